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

from quotegen.reference.item_kinds import SIZE_UNITS, ItemKind
from quotegen.tables import (
    Key,
    Number,
    ReferenceFileError,
    Said,
    Table,
    by_key,
    known_key,
    rows,
    tables,
)
from quotegen.units import Unit

HOUSE = Path(__file__).parent / "house"
_SETTING_SHEETS = ("Business", "Rates", "Waste")


class _Setting(Table, frozen=True, kw_only=True):
    """A setting as its file holds it."""

    code: str
    words: str
    unit: Unit = Unit.NONE
    kind: Literal["number", "money", "text", "yes/no", "choice", "date"] = "number"
    default: Number | str | None = None
    required: bool = False
    shown: bool = False
    least: Number = math.inf
    most: Number = -math.inf
    choices: tuple[str, ...] = ()
    whole: bool = False
    allowed: ItemKind | None = None
    basis: Said


class SettingKind(_Setting, frozen=True, kw_only=True):
    """One setting of the firm: its sheet and row, its meaning, its default and the basis for it.

    `default` is None where only the firm can know the value; `required` then tells whether a blank
    stops the papers. What is `shown` comes first on its sheet, since every firm looks at it; the
    others are folded away below. Numbers carry their least and most; `whole` ones are counts, and
    `allowed` names the kind of item whose sizes a number may take.
    """

    sheet: str


class Family(StrEnum):
    """Items that belong together and are bought from one supplier."""

    RESIN = "resin"
    TRIMS = "trims"


class Item(Table, frozen=True, kw_only=True):
    """One item bought or hired: its code, its words and the unit it is counted in.

    Its kind and its `size` [size_unit] tell it from every other item; a kind without sizes has one
    item. A leftover that `keeps` can go back on the van; any other is lost to the job. `family` is
    None for an item without one. An item that is not `stocked` never counts as being on the van: it
    is hired, or the job decides the lengths it comes in. `asks` is what the merchant is asked for
    beyond its name, with the placeholders of the safety rules; `hired` is the hire period, with
    `{weeks}` where it is by the week, and empty for what is kept.
    """

    code: str
    words: str
    kind: ItemKind
    size: Number | None = None
    size_unit: Unit = Unit.NONE
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
    """A sentence printed under an order for items of these kinds, or under every order for none.

    Without any beginnings it goes under every order. `{things}` in the text stands for those of the
    items that are ordered.
    """

    kinds: tuple[ItemKind, ...] = ()
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
    for sheet in _SETTING_SHEETS:
        path = HOUSE / f"{sheet.lower()}.toml"
        for row in rows(path, "setting", _Setting):
            _check_row(row, path.name)
            found.append(SettingKind(**structs.asdict(row), sheet=sheet))
    return by_key("house", found, named="code")


def of_sheet(name: str) -> tuple[tuple[SettingKind, ...], tuple[SettingKind, ...]]:
    """The settings of a sheet in their order: those that are shown, then those folded away."""
    here = [setting for setting in settings().values() if setting.sheet == name]
    shown = tuple(setting for setting in here if setting.shown)
    return shown, tuple(setting for setting in here if not setting.shown)


@cache
def items() -> Mapping[str, Item]:
    """Every item a price list may price, by code."""
    found = rows(HOUSE / "items.toml", "item", Item)
    seen = set()
    for item in found:
        unit = SIZE_UNITS.get(item.kind, Unit.NONE)
        if item.size_unit is not unit or (item.size is None) is not (unit is Unit.NONE):
            wanted = f"a size in {unit}" if unit else "no size"
            raise ReferenceFileError(f"items.toml, {item.code}: {item.kind} has {wanted}")
        if (item.kind, item.size) in seen:
            raise ReferenceFileError(f"items.toml, {item.code}: its kind and size stand twice")
        seen.add((item.kind, item.size))
    for kind in ItemKind:
        known_key(kind, {kind for kind, _ in seen}, "items.toml, kind")
    return by_key("items.toml", found, named="code")


@cache
def item_of(kind: ItemKind, size: float | None = None) -> Item:
    """The one item of a kind in a size, or of a kind that has no sizes.

    A size that is not among `sizes` is our own fault (KeyError): what a cell may hold is refused
    where it is read.

    >>> item_of(ItemKind.DECK_BOARD, 18.0).code
    'deck_board_18'
    """
    for item in items().values():
        if item.kind is kind and item.size == size:
            return item
    raise KeyError(f"no {kind} of size {size}")


@cache
def sizes(kind: ItemKind) -> tuple[float, ...]:
    """The sizes in which a kind of item is listed, the smallest first [unit of the kind].

    >>> sizes(ItemKind.MAT)
    (300.0, 450.0, 600.0)
    """
    found = (item.size for item in items().values() if item.kind is kind)
    return tuple(sorted(float(size) for size in found if size is not None))


def _check_row(row: _Setting, file_name: str) -> None:
    """Refuse a row with something missing.

    A number needs its least and most, and the unit of the sizes it may take; what the firm has to
    fill in is shown.
    """
    if row.kind in ("number", "money") and not row.least < row.most < math.inf:
        raise ReferenceFileError(f"{file_name}, {row.code}: a number needs its least and most")
    if row.required and not row.shown:
        raise ReferenceFileError(f"{file_name}, {row.code}: what is required has to be shown")
    if row.allowed and SIZE_UNITS.get(row.allowed) is not row.unit:
        raise ReferenceFileError(
            f"{file_name}, {row.code}: no {row.allowed} has a size in its unit"
        )


@cache
def terms() -> tuple[Mapping[str, str], ...]:
    """The default rows of the Terms sheet: kind, applies_to, text."""
    return tuple(structs.asdict(row) for row in rows(HOUSE / "terms.toml", "term", _Term))


@cache
def order_notes() -> tuple[OrderNote, ...]:
    """The sentences that may appear under an order, in order."""
    return rows(HOUSE / "words" / "order_notes.toml", "note", OrderNote)


@cache
def urgency() -> tuple[UrgencyRule, ...]:
    """The rules of urgency: the first that fits applies, and the last fits all."""
    bands, found = _urgency_file()
    for rule in found:
        known_key(rule.band_key, [band.key for band in bands], "urgency.toml, band")
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
