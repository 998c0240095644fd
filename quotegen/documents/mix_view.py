"""The mixes of a job as a table for whoever measures the catalyst."""

from dataclasses import dataclass

from quotegen.documents.paper import capital
from quotegen.documents.wording import Wording
from quotegen.model.takeoff import Dose, Mixes, MixSize

NO_MIX = "do not mix"


@dataclass(frozen=True, slots=True)
class MixRow:
    """One row of a mix table: what it is and its cell under each deck temperature."""

    words: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MixTable:
    """The mixes of one material in one band of deck temperature."""

    title: str
    note: str
    temperatures: tuple[str, ...]
    sizes: tuple[MixRow, ...]
    pot_life: MixRow
    expected: str


def mix_table(mixes: Mixes, wording: Wording) -> MixTable:
    """The mixes of one material: deck temperatures across, mixes down, millilitres between."""
    limit = f"{wording.plain(mixes.limit_l.number)} l"
    start = f"{wording.plain(mixes.hot_from_c.number)} °C"
    band = f"deck at {start} or more" if mixes.hot else f"deck under {start}"
    total = wording.number(mixes.total_l.number, 1)
    first = mixes.sizes[0]
    return MixTable(
        title=f"{capital(mixes.material)}, {band}",
        note=f"{total} l in all; never more than {limit} in one mix",
        temperatures=tuple(f"{wording.plain(dose.deck_c)} °C" for dose in first.doses),
        sizes=tuple(_mix_row(size, wording) for size in mixes.sizes),
        pot_life=MixRow(
            "Goes off in the bucket in about",
            tuple(_minutes(dose, wording) for dose in first.doses),
        ),
        expected=_expected(mixes.expected, first, wording),
    )


def _mix_row(size: MixSize, wording: Wording) -> MixRow:
    mixes = wording.count(size.count, "mix", "mixes")
    litres = wording.number(size.litres.number, 1)
    mass = wording.number(size.mass_kg.number, 1)
    return MixRow(
        f"{mixes} of {litres} l ({mass} kg)", tuple(_dose(dose, wording) for dose in size.doses)
    )


def _dose(dose: Dose, wording: Wording) -> str:
    return NO_MIX if dose.ml is None else f"{wording.plain(dose.ml)} ml"


def _minutes(dose: Dose, wording: Wording) -> str:
    return NO_MIX if dose.pot_life_min is None else f"{wording.number(dose.pot_life_min)} min"


def _expected(dose: Dose | None, size: MixSize, wording: Wording) -> str:
    """The dose of a full mix at the deck temperature the row expects."""
    if dose is None:
        return ""
    litres = wording.number(size.litres.number, 1)
    deck = wording.plain(dose.deck_c)
    return f"Expected deck {deck} °C: {_dose(dose, wording)} in a mix of {litres} l"
