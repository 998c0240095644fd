"""The house defaults: settings the owner may change, and the catalogue of items and units.

`house/*.toml` hold what stands on the Business, Rates and Waste sheets of a blank workbook,
each with the basis of its default, and the items a price list may price. They are not
published values and never pass for such.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Any

from quotegen.reference.loader import ReferenceFileError, unit_named
from quotegen.reference.tables import keyed, known, tables
from quotegen.units import Unit

HOUSE = Path(__file__).parent / "house"
SETTING_SHEETS = ("Business", "Rates", "Waste")


@dataclass(frozen=True, slots=True)
class SettingKind:
    """One setting of the firm: where it stands, what it means, its default and that one's basis.

    `default` is None where only the firm can know; `required` then says whether a blank stops
    the papers. Numbers carry their least and most; `whole` ones are counted, and `allowed` names
    the items whose codes end in the figures a number may be.
    """

    sheet: str
    code: str
    words: str
    unit: Unit
    kind: str
    default: float | str | None
    required: bool
    least: float
    most: float
    choices: tuple[str, ...]
    whole: bool
    allowed: str
    basis: str


class Family(StrEnum):
    """Items that belong together and are bought from one supplier."""

    RESIN = "resin"
    TRIMS = "trims"


@dataclass(frozen=True, slots=True)
class ItemKind:
    """One thing that is bought or hired: its code, words and the unit it is counted in.

    What `keeps` can go back on the van; anything else left over is lost to the job. `family` is
    None for what belongs to none. What is not `stocked` never counts as being on the van: it is
    hired, or the job decides in what lengths it comes. `asks` is what the merchant is asked for
    beyond its name, with the placeholders of the safety rules; `hired` says for how long, with
    `{weeks}` where it is by the week, and is empty for what is kept.
    """

    code: str
    words: str
    unit: Unit
    family: Family | None
    keeps: bool
    stocked: bool = True
    hired: str = ""
    asks: str = ""


@dataclass(frozen=True, slots=True)
class OrderNote:
    """A sentence under an order for items whose codes begin so, or under each for none.

    `{things}` in the text stands for those of them that are ordered.
    """

    begins: tuple[str, ...]
    text: str
    basis: str


@dataclass(frozen=True, slots=True)
class UrgencyBand:
    """How urgent a roof is beside others."""

    key: str
    words: str


@dataclass(frozen=True, slots=True)
class UrgencyRule:
    """How urgent a roof is in which the deck is so, or a finding has this price basis.

    Both are named by their keys: the names of the choices, in small letters.
    """

    band: UrgencyBand
    words: str
    basis: str
    deck: str = ""
    finding: str = ""

    @property
    def fits_all(self) -> bool:
        """True for the rule that asks for nothing."""
        return not self.deck and not self.finding


_SETTING_KEYS = {"code", "words", "unit", "kind", "default", "required", "least", "most"}
_SETTING_KEYS |= {"choices", "whole", "allowed", "basis"}
KINDS_OF_SETTING = ("number", "money", "text", "yes/no", "choice")


@cache
def settings() -> Mapping[str, SettingKind]:
    """Every setting by its code, in the order of the sheets."""
    found: dict[str, SettingKind] = {}
    for sheet in SETTING_SHEETS:
        for row in _rows(f"{sheet.lower()}.toml", "setting"):
            made = _setting(sheet, row)
            if made.code in found:
                raise ReferenceFileError(f"the setting {made.code} is declared twice")
            found[made.code] = made
    return found


@cache
def items() -> Mapping[str, ItemKind]:
    """Every item a price list may price, by its code."""
    rows = _rows("items.toml", "item")
    found = {row["code"]: _item(row) for row in rows}
    if len(found) != len(rows):
        raise ReferenceFileError("an item is declared twice")
    return found


def _item(row: Mapping[str, Any]) -> ItemKind:
    where = f"items.toml, {row.get('code', '?')}"
    named = row["family"]
    family = Family(known(named, list(Family), f"{where}, family")) if named else None
    return ItemKind(**{**row, "family": family, "unit": unit_named(row["unit"], where)})


def sizes(prefix: str) -> tuple[float, ...]:
    """The figures at the end of the item codes that begin so, such as 18 of `deck_board_18`."""
    found = [code.removeprefix(prefix) for code in items() if code.startswith(prefix)]
    return tuple(sorted(float(figure) for figure in found))


@cache
def terms() -> tuple[Mapping[str, str], ...]:
    """The default rows of the Terms sheet: kind, applies_to, text."""
    return tuple(_rows("terms.toml", "term"))


@cache
def order_notes() -> tuple[OrderNote, ...]:
    """The sentences that may stand under an order, in their order."""
    found = []
    for row in _rows("order_notes.toml", "note"):
        if not {"text", "basis"} <= set(row) <= {"begins", "text", "basis"}:
            raise ReferenceFileError(f"order_notes.toml: the keys of {row} are not right")
        begins = tuple(row.get("begins", ()))
        if any(not any(code.startswith(one) for code in items()) for one in begins):
            raise ReferenceFileError(f"order_notes.toml: no item begins with one of {begins}")
        found.append(OrderNote(begins, row["text"], row["basis"]))
    return tuple(found)


@cache
def urgency() -> tuple[UrgencyRule, ...]:
    """How urgent a roof is beside others: the first rule that fits holds, the last fits all."""
    bands = {band.key: band for band in urgency_bands()}
    rows = tables(HOUSE / "urgency.toml", "band", "rule")["rule"]
    found = tuple(_urgency(row, bands) for row in rows)
    if any(rule.fits_all for rule in found[:-1]) or not found[-1].fits_all:
        raise ReferenceFileError("urgency.toml: the last rule, and no other, fits every roof")
    return found


@cache
def urgency_bands() -> tuple[UrgencyBand, ...]:
    """The bands of urgency, the most urgent first."""
    rows = tables(HOUSE / "urgency.toml", "band", "rule")["band"]
    return tuple(UrgencyBand(**row) for row in keyed("urgency.toml", rows).values())


def _urgency(row: Mapping[str, str], bands: Mapping[str, UrgencyBand]) -> UrgencyRule:
    missing = {"band", "words", "basis"} - set(row)
    unknown = set(row) - {"band", "words", "basis", "deck", "finding"}
    if missing or unknown:
        raise ReferenceFileError(
            f"urgency.toml: missing {sorted(missing)}, unknown {sorted(unknown)}"
        )
    band = bands[known(row["band"], bands, "urgency.toml, band")]
    deck, finding = (row.get(name, "") for name in ("deck", "finding"))
    return UrgencyRule(band, row["words"], row["basis"], deck, finding)


def _rows(file_name: str, table: str) -> list[dict[str, Any]]:
    return tables(HOUSE / file_name, table)[table]


def _setting(sheet: str, row: dict[str, Any]) -> SettingKind:
    unknown = set(row) - _SETTING_KEYS
    if unknown or not row.get("basis") or row.get("kind", "number") not in KINDS_OF_SETTING:
        raise ReferenceFileError(f"{sheet}, {row.get('code', '?')}: unknown {sorted(unknown)}")
    kind = row.get("kind", "number")
    if kind in ("number", "money") and not {"least", "most"} <= set(row):
        raise ReferenceFileError(f"{sheet}, {row['code']}: a number needs its least and most")
    return SettingKind(
        sheet=sheet,
        code=row["code"],
        words=row["words"],
        unit=unit_named(row.get("unit", ""), f"{sheet}, {row['code']}"),
        kind=kind,
        default=row.get("default"),
        required=row.get("required", False),
        least=row.get("least", 0.0),
        most=row.get("most", 0.0),
        choices=tuple(row.get("choices", ())),
        whole=row.get("whole", False),
        allowed=row.get("allowed", ""),
        basis=row["basis"],
    )
