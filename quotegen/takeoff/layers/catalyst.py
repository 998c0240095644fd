"""Catalyst: the dose by deck temperature, and the amount for one mix."""

from collections.abc import Sequence

from quotegen.model.settings import DefaultedSettings, Mixed, pairs
from quotegen.model.takeoff import Dose
from quotegen.takeoff.basis.interpolation import interpolated
from quotegen.units import Unit, round_half_up
from quotegen.working import Figure, derive


def least_c(material: Mixed) -> str:
    """The setting for the coldest deck the material is laid on."""
    return f"{material}_least_c"


def dose_at(settings: DefaultedSettings, material: Mixed, deck_c: float) -> float | None:
    """Dose of catalyst [% by mass] at a deck temperature, None where mixing is not allowed."""
    if not settings.number(least_c(material)) <= deck_c <= settings.number("resin_most_c"):
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
        kg_per_l=settings.number("catalyst_kg_per_l"),
        least_pct=settings.number("catalyst_least_pct"),
        most_pct=settings.number("catalyst_most_pct"),
        mark_ml=settings.number("vessel_mark_ml"),
    )
    if ml is None:
        return Dose(deck_c, None, None, None)
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
    """Dose by mass at a deck temperature: linear between the rows of the table, level outside them.

    Inputs [C] and rows of ([C], [%]) in order, result [%]. Source: the firm's table of doses.

    >>> interpolated_pct(12.5, ((10, 3.0), (15, 2.5))), interpolated_pct(40, ((10, 3.0), (15, 2.5)))
    (2.75, 2.5)
    """
    return interpolated(deck_c, table)


def ml_per_kg(dose_pct: float, kg_per_l: float) -> float:
    """Catalyst in millilitres for each kilogram, for a share by mass: dose x 10 / density.

    Inputs [% by mass, kg/l], result [ml/kg].

    >>> round(ml_per_kg(4.0, 1.15), 1), ml_per_kg(2.0, 1.0)
    (34.8, 20.0)
    """
    return dose_pct * 10 / kg_per_l


def measured_ml(
    mass_kg: float,
    dose_pct: float,
    kg_per_l: float,
    least_pct: float,
    most_pct: float,
    mark_ml: float,
) -> float | None:
    """Catalyst for a mix to the nearest mark of the vessel, within the least and most by mass.

    None where no mark lies within them: the vessel is too coarse for so small a mix. Inputs
    [kg, % by mass, kg/l, ml], result [ml].

    >>> measured_ml(3.63, 3.0, 1.15, 1, 4, 5), measured_ml(3.63, 4.0, 1.15, 1, 4, 5)
    (95.0, 125.0)
    >>> measured_ml(0.5, 1.0, 1.0, 1, 4, 25) is None
    True
    """
    exact = mass_kg * ml_per_kg(dose_pct, kg_per_l)
    least, most = (mass_kg * ml_per_kg(pct, kg_per_l) for pct in (least_pct, most_pct))
    nearest = round_half_up(exact, mark_ml)
    for ml in (nearest, nearest - mark_ml, nearest + mark_ml):
        if least - _ML_SLACK <= ml <= most + _ML_SLACK:
            return ml
    return None


_ML_SLACK = 1e-6


def vessels(ml: float, holds_ml: float) -> tuple[int, float]:
    """How often the vessel is filled for a dose, and what is measured on top of that.

    Inputs [ml], result [times, ml].

    >>> vessels(110, 50), vessels(100, 50), vessels(24, 50)
    ((2, 10.0), (2, 0.0), (0, 24.0))
    """
    full = int((ml + _ML_SLACK) // holds_ml)
    return full, max(0.0, float(ml - full * holds_ml))


def pot_life_min(
    deck_c: float,
    dose_pct: float,
    given_min: float,
    given_c: float,
    given_pct: float,
    halves_each_c: float,
) -> float:
    """Rough time before a mix sets in the bucket, as a caution, give or take the firm's margin.

    given life x 2^((given T - T) / step) x given dose / dose. Inputs [C, %, min, C, %, C], result
    [min]. Source: rule of thumb, from memory.

    >>> pot_life_min(20, 2, 20, 20, 2, 10), pot_life_min(30, 1, 20, 20, 2, 10)
    (20.0, 20.0)
    """
    warmer = (given_c - deck_c) / halves_each_c
    return float(given_min * 2**warmer * given_pct / dose_pct)
