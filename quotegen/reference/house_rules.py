"""The house defaults: settings the owner may change, and the catalogue of items and units.

`house/*.toml` holds the rows of the Business, Rates and Waste sheets of a blank workbook, each with
the basis of its default, and the items a price list may price. These are not published values and
are never presented as such.
"""

import math
from collections.abc import Mapping
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Any, Literal

from msgspec import field, structs

from quotegen.tables import (
    Key,
    Number,
    ReferenceFileError,
    Said,
    Table,
    by_key,
    known,
    rows,
    tables,
)
from quotegen.units import Unit

HOUSE = Path(__file__).parent / "house"
SETTING_SHEETS = ("Business", "Rates", "Waste")


class _Setting(Table, frozen=True, kw_only=True):
    """A setting as its file holds it."""

    code: str
    words: str
    unit: Unit = Unit.NONE
    kind: Literal["number", "money", "text", "yes/no", "choice"] = "number"
    default: Number | str | None = None
    required: bool = False
    least: Number = math.inf
    most: Number = -math.inf
    choices: tuple[str, ...] = ()
    whole: bool = False
    allowed: str = ""
    basis: Said


class SettingKind(_Setting, frozen=True, kw_only=True):
    """One setting of the firm: its sheet and row, its meaning, its default and the basis for it.

    `default` is None where only the firm can know the value; `required` then tells whether a blank
    stops the papers. Numbers carry their least and most; `whole` ones are counts; `allowed` names
    the items whose codes end in the figures a number may take.
    """

    sheet: str


class Family(StrEnum):
    """Items that belong together and are bought from one supplier."""

    RESIN = "resin"
    TRIMS = "trims"


class ItemKind(Table, frozen=True, kw_only=True):
    """One item bought or hired: its code, its words and the unit it is counted in.

    A leftover that `keeps` can go back on the van; any other is lost to the job. `family` is None
    for an item without one. An item that is not `stocked` never counts as being on the van: it is
    hired, or the job decides the lengths it comes in. `asks` is what the merchant is asked for
    beyond its name, with the placeholders of the safety rules; `hired` is the hire period, with
    `{weeks}` where it is by the week, and empty for what is kept.
    """

    code: str
    words: str
    unit: Unit
    family: Family | None
    keeps: bool
    stocked: bool = True
    hired: str = ""
    asks: str = ""

    @classmethod
    def spelled_out(cls, row: Any) -> Any:
        """Read an empty family name as no family."""
        alone = isinstance(row, dict) and row.get("family") == ""
        return row | {"family": None} if alone else row


class OrderNote(Table, frozen=True, kw_only=True):
    """A sentence printed under an order for items whose codes begin with one of these.

    Without any beginnings it goes under every order. `{things}` in the text stands for those of the
    items that are ordered.
    """

    begins: tuple[str, ...] = ()
    text: str
    basis: str


class _Term(Table, frozen=True):
    """A default row of the Terms sheet."""

    kind: str
    applies_to: str
    text: str


class UrgencyBand(Table, frozen=True):
    """A band of urgency among roofs."""

    key: Key
    words: str


class UrgencyRule(Table, frozen=True, kw_only=True):
    """The band for a roof with this deck, or with a finding of this price basis.

    Both are named by key: the name of the choice, in lower case.
    """

    band_key: str = field(name="band")
    words: str
    basis: str
    deck: str = ""
    finding: str = ""

    @property
    def band(self) -> UrgencyBand:
        """The band for a roof that the rule fits."""
        return next(band for band in urgency_bands() if band.key == self.band_key)

    @property
    def fits_all(self) -> bool:
        """Whether the rule has no condition and so fits every roof."""
        return not self.deck and not self.finding


@cache
def settings() -> Mapping[str, SettingKind]:
    """Every setting by code, in the order of the sheets."""
    found = []
    for sheet in SETTING_SHEETS:
        path = HOUSE / f"{sheet.lower()}.toml"
        for row in rows(path, "setting", _Setting):
            _check_bounds(row, path.name)
            found.append(SettingKind(**structs.asdict(row), sheet=sheet))
    return by_key("house", found, named="code")


@cache
def items() -> Mapping[str, ItemKind]:
    """Every item a price list may price, by code."""
    return by_key("items.toml", rows(HOUSE / "items.toml", "item", ItemKind), named="code")


def _check_bounds(row: _Setting, file_name: str) -> None:
    """Refuse a number without its least and most."""
    if row.kind in ("number", "money") and not row.least < row.most < math.inf:
        raise ReferenceFileError(f"{file_name}, {row.code}: a number needs its least and most")


def sizes(prefix: str) -> tuple[float, ...]:
    """The numbers ending the item codes with this prefix, such as 18 for `deck_board_18`."""
    found = [code.removeprefix(prefix) for code in items() if code.startswith(prefix)]
    return tuple(sorted(float(figure) for figure in found))


@cache
def terms() -> tuple[Mapping[str, str], ...]:
    """The default rows of the Terms sheet: kind, applies_to, text."""
    return tuple(structs.asdict(row) for row in rows(HOUSE / "terms.toml", "term", _Term))


@cache
def order_notes() -> tuple[OrderNote, ...]:
    """The sentences that may appear under an order, in order."""
    found = rows(HOUSE / "order_notes.toml", "note", OrderNote)
    for note in found:
        if any(not any(code.startswith(one) for code in items()) for one in note.begins):
            raise ReferenceFileError(
                f"order_notes.toml: no item begins with one of {list(note.begins)}"
            )
    return found


@cache
def urgency() -> tuple[UrgencyRule, ...]:
    """The rules of urgency: the first that fits applies, and the last fits all."""
    bands, found = _urgency_file()
    for rule in found:
        known(rule.band_key, [band.key for band in bands], "urgency.toml, band")
    if any(rule.fits_all for rule in found[:-1]) or not found[-1].fits_all:
        raise ReferenceFileError("urgency.toml: the last rule, and no other, fits every roof")
    return found


@cache
def urgency_bands() -> tuple[UrgencyBand, ...]:
    """The bands of urgency, most urgent first."""
    return _urgency_file()[0]


def _urgency_file() -> tuple[tuple[UrgencyBand, ...], tuple[UrgencyRule, ...]]:
    read = tables(HOUSE / "urgency.toml", band=UrgencyBand, rule=UrgencyRule)
    by_key("urgency.toml", read["band"])
    return read["band"], read["rule"]
