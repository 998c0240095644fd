"""The mixes of a job as a table for whoever measures the catalyst."""

from collections.abc import Sequence
from dataclasses import dataclass

from quotegen.documents.paper import capital
from quotegen.documents.wording import Wording
from quotegen.model.safety import WorkingLimits
from quotegen.model.takeoff import Dose, Mixes, MixSize
from quotegen.units import round_up

NO_MIX = "DO NOT MIX"
LITRE_STEP = 0.1


@dataclass(frozen=True, slots=True)
class MixRow:
    """One row of a mix table: what it is and its cell under each deck temperature."""

    words: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MixTable:
    """The mixes of one material in one band of deck temperature.

    At the cold end of the cool table and the hot end of the hot one stands a column outside the
    limits, in which nothing is mixed.
    """

    title: str
    note: str
    expected: str
    temperatures: tuple[str, ...]
    sizes: tuple[MixRow, ...]
    pot_life: MixRow


def mix_table(mixes: Mixes, limits: WorkingLimits, wording: Wording) -> MixTable:
    """The mixes of one material: deck temperatures across, mixes down, millilitres between."""
    start = f"{wording.plain(mixes.hot_from_c.number)} °C"
    band = f"deck at {start} or more" if mixes.hot else f"deck under {start}"
    doses = mixes.sizes[0].doses
    return MixTable(
        title=f"{capital(mixes.material)}, {band}",
        note=f"no mix over {wording.plain(mixes.limit_l.number)} l; "
        f"{wording.number(round_up(mixes.total_l.number, LITRE_STEP), 1)} l in all",
        expected=_expected(mixes, wording),
        temperatures=_between_limits(
            mixes,
            [f"{wording.plain(dose.deck_c)} °C" for dose in doses],
            f"under {wording.plain(limits.least_c.number)} °C",
            f"over {wording.plain(limits.most_c.number)} °C",
        ),
        sizes=tuple(
            MixRow(_size(size, wording), _outside(mixes, [_dose(d, wording) for d in size.doses]))
            for size in mixes.sizes
        ),
        pot_life=MixRow(
            "Goes off in the bucket in about",
            _between_limits(mixes, [_minutes(dose, wording) for dose in doses], "", ""),
        ),
    )


def _outside(mixes: Mixes, cells: Sequence[str]) -> tuple[str, ...]:
    return _between_limits(mixes, cells, NO_MIX, NO_MIX)


def _between_limits(mixes: Mixes, cells: Sequence[str], cold: str, hot: str) -> tuple[str, ...]:
    """The cells with the one outside the limits at its end of the table."""
    return (*cells, hot) if mixes.hot else (cold, *cells)


def _size(size: MixSize, wording: Wording) -> str:
    mixes = wording.count(size.count, "mix", "mixes")
    litres = wording.number(size.litres.number, 1)
    mass = wording.number(size.mass_kg.number, 1)
    return f"{mixes} of {litres} l ({mass} kg)"


def _dose(dose: Dose, wording: Wording) -> str:
    return NO_MIX if dose.ml is None else f"{wording.plain(dose.ml)} ml"


def _minutes(dose: Dose, wording: Wording) -> str:
    return NO_MIX if dose.pot_life_min is None else f"{wording.number(dose.pot_life_min)} min"


def _expected(mixes: Mixes, wording: Wording) -> str:
    """Which column to read at the deck temperature the row expects: the warmer one."""
    if mixes.expected is None:
        return ""
    deck = f"Expected deck {wording.plain(mixes.expected.deck_c)} °C"
    if mixes.expected.ml is None:
        return f"{deck}: {NO_MIX}"
    warmer = [d.deck_c for d in mixes.sizes[0].doses if d.deck_c >= mixes.expected.deck_c]
    column = (
        f"the {wording.plain(warmer[0])} °C column" if warmer else "the table for a hotter deck"
    )
    return f"{deck}: read {column}"
