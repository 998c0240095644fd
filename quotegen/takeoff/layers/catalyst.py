"""Catalyst: the dose by deck temperature, and what that makes for one mix."""

from collections.abc import Sequence

from quotegen.model.settings import DefaultedSettings, Mixed, pairs
from quotegen.model.takeoff import Dose
from quotegen.takeoff.basis.interpolation import interpolated
from quotegen.units import Unit, round_half_up
from quotegen.working import Figure, derive


def dose_at(settings: DefaultedSettings, material: Mixed, deck_c: float) -> float | None:
    """Dose of catalyst [%] at a deck temperature, None where mixing is not allowed."""
    if not settings.number("resin_least_c") <= deck_c <= settings.number("resin_most_c"):
        return None
    dose = interpolated_pct(deck_c, pairs(settings.tables.doses[material]))
    allowed = settings.number("catalyst_least_pct") <= dose <= settings.number("catalyst_most_pct")
    return dose if allowed else None


def coldest_deck_c(settings: DefaultedSettings, deck_c: Figure | None) -> Figure:
    """The coldest deck to buy for: the temperature expected, or the firm's own if that is lower."""
    planned = settings["planned_least_c"]
    return deck_c if deck_c is not None and deck_c.number < planned.number else planned


def buying_dose_pct(settings: DefaultedSettings, material: Mixed, deck_c: Figure) -> Figure:
    """The dose to buy catalyst for, at the coldest deck planned for."""
    return derive(
        "dose at the coldest planned",
        Unit.PERCENT,
        interpolated_pct,
        deck_c=deck_c,
        table=[row.paired(Unit.CELSIUS_AND_PERCENT) for row in settings.tables.doses[material]],
    )


def card_temperatures(settings: DefaultedSettings) -> list[float]:
    """The deck temperatures of the mix card [C]."""
    least, most = settings.number("resin_least_c"), settings.number("resin_most_c")
    step = settings.number("card_step_c")
    return [least + step * i for i in range(int((most - least) // step) + 1)]


def dose(settings: DefaultedSettings, material: Mixed, mass_kg: float, deck_c: float) -> Dose:
    """Catalyst for one mix at one deck temperature; nothing where mixing is not allowed."""
    percent = dose_at(settings, material, deck_c)
    if percent is None:
        return Dose(deck_c, None, None, None)
    ml = measured_ml(
        mass_kg=mass_kg,
        dose_pct=percent,
        ml_per_kg_per_pct=settings.number("catalyst_ml_per_kg_per_pct"),
        least_pct=settings.number("catalyst_least_pct"),
        most_pct=settings.number("catalyst_most_pct"),
        step_ml=settings.number("measure_step_ml"),
        fine_step_ml=settings.number("measure_fine_step_ml"),
        fine_below_ml=settings.number("measure_fine_below_ml"),
    )
    life = pot_life_min(
        deck_c=deck_c,
        dose_pct=percent,
        given_min=settings.number("pot_life_min"),
        given_c=settings.number("pot_life_at_c"),
        given_pct=settings.number("pot_life_at_pct"),
        halves_each_c=settings.number("pot_life_halves_each_c"),
    )
    return Dose(deck_c, percent, ml, life)


def interpolated_pct(deck_c: float, table: Sequence[tuple[float, float]]) -> float:
    """Dose at a deck temperature: linear between the rows of the table, level outside them.

    Inputs [C] and rows of ([C], [%]) in order, result [%]. Source: the firm's table of doses.

    >>> interpolated_pct(12.5, ((10, 3.0), (15, 2.5))), interpolated_pct(40, ((10, 3.0), (15, 2.5)))
    (2.75, 2.5)
    """
    return interpolated(deck_c, table)


def dose_by_mass_pct(ml_per_kg_per_pct: float, kg_per_l: float) -> float:
    """What 1 % of the trade's millilitres is by mass: ml per kg x density / 10.

    Inputs [ml/kg, kg/l], result [%]. A data sheet that doses by mass means this.

    >>> round(dose_by_mass_pct(10, 1.17), 2)
    1.17
    """
    return ml_per_kg_per_pct * kg_per_l / 10


def measured_ml(
    mass_kg: float,
    dose_pct: float,
    ml_per_kg_per_pct: float,
    least_pct: float,
    most_pct: float,
    step_ml: float,
    fine_step_ml: float,
    fine_below_ml: float,
) -> float:
    """Catalyst for a mix as a person measures it: mass x dose x ml per kg and %, rounded.

    To `step_ml`, small amounts to `fine_step_ml`; rounding never carries it past the greatest
    dose allowed or below the least. Inputs [kg, %, ml/kg, ml], result [ml].

    >>> measured_ml(4.4, 3.0, 10, 1, 4, 5, 1, 50), measured_ml(1.1, 2.0, 10, 1, 4, 5, 1, 50)
    (130.0, 22.0)
    >>> measured_ml(4.4, 4.0, 10, 1, 4, 5, 1, 50)
    175.0
    """
    exact = mass_kg * dose_pct * ml_per_kg_per_pct
    step = fine_step_ml if exact < fine_below_ml else step_ml
    rounded = round_half_up(exact, step)
    per_pct = mass_kg * ml_per_kg_per_pct
    if rounded > most_pct * per_pct + _ML_SLACK:
        rounded -= step
    if rounded < least_pct * per_pct - _ML_SLACK:
        rounded += step
    return rounded


_ML_SLACK = 1e-6


def pot_life_min(
    deck_c: float,
    dose_pct: float,
    given_min: float,
    given_c: float,
    given_pct: float,
    halves_each_c: float,
) -> float:
    """Rough time before a mix sets in the bucket, as a caution, give or take what the firm says.

    given life x 2^((given T - T) / step) x given dose / dose. Inputs [C, %, min, C, %, C], result
    [min]. Source: rule of thumb, from memory.

    >>> pot_life_min(20, 2, 20, 20, 2, 10), pot_life_min(30, 1, 20, 20, 2, 10)
    (20.0, 20.0)
    """
    warmer = (given_c - deck_c) / halves_each_c
    return float(given_min * 2**warmer * given_pct / dose_pct)
