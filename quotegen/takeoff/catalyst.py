"""Catalyst: the dose by deck temperature, and the mixes of the job, none above the batch limit."""

import re
from collections.abc import Sequence
from itertools import pairwise

from quotegen.model.settings import Settings
from quotegen.model.takeoff import Dose, Mixes, MixSize
from quotegen.units import round_half_up, round_up, whole_number
from quotegen.working import Figure, derive

_RESIN_DOSE = re.compile(r"catalyst_resin_(\d+)c_pct")


def dose_table(settings: Settings) -> tuple[tuple[float, float], ...]:
    """The firm's doses for laminating resin as (deck temperature [C], dose [%]), coldest first."""
    rows = [
        (float(match.group(1)), figure.number)
        for code, figure in settings.figures.items()
        if (match := _RESIN_DOSE.fullmatch(code))
    ]
    return tuple(sorted(rows))


def dose_at(settings: Settings, material: str, deck_c: float) -> float | None:
    """Dose of catalyst [%] at a deck temperature, None where mixing is not allowed."""
    if not settings.number("resin_least_c") <= deck_c <= settings.number("resin_most_c"):
        return None
    if material == "topcoat":
        dose = settings.number("catalyst_topcoat_pct")
    else:
        dose = interpolated_pct(deck_c, dose_table(settings))
    allowed = settings.number("catalyst_least_pct") <= dose <= settings.number("catalyst_most_pct")
    return dose if allowed else None


def coldest_deck_c(settings: Settings, deck_c: Figure | None) -> Figure:
    """The coldest deck to buy for: the temperature expected, or the firm's own if that is lower."""
    planned = settings["planned_least_c"]
    return deck_c if deck_c is not None and deck_c.number < planned.number else planned


def buying_dose_pct(settings: Settings, material: str, deck_c: Figure) -> Figure:
    """The dose to buy catalyst for, at the coldest deck planned for."""
    if material == "topcoat":
        return settings["catalyst_topcoat_pct"]
    rows = tuple(
        Figure(f"dose at {temperature:g} °C", (temperature, dose), "°C, %", basis)
        for temperature, dose, basis in (
            (t, d, settings[f"catalyst_resin_{t:g}c_pct"].basis) for t, d in dose_table(settings)
        )
    )
    return derive(
        "dose at the coldest planned",
        "%",
        interpolated_pct,
        deck_c=deck_c,
        table=rows,
    )


def card_temperatures(settings: Settings) -> list[float]:
    """The deck temperatures of the mix card [C]."""
    least, most = settings.number("resin_least_c"), settings.number("resin_most_c")
    step = settings.number("card_step_c")
    return [least + step * i for i in range(int((most - least) // step) + 1)]


def plan_mixes(
    settings: Settings, material: str, total_l: Figure, deck_c: Figure | None
) -> tuple[Mixes, Mixes]:
    """All mixes of a material, for a cool deck and for a hot one with its smaller limit."""
    hot_from_c = settings["hot_from_c"]
    bands = []
    for hot in (False, True):
        limit_l = settings["hot_batch_limit_l" if hot else "batch_limit_l"]
        temperatures = [c for c in card_temperatures(settings) if (c >= hot_from_c.number) is hot]
        size = _size(settings, material, total_l, limit_l, temperatures)
        expected = None
        if deck_c is not None and (deck_c.number >= hot_from_c.number) is hot:
            expected = _dose(settings, material, size.mass_kg.number, deck_c.number)
        bands.append(Mixes(material, hot, hot_from_c, total_l, limit_l, (size,), expected))
    return bands[0], bands[1]


def _size(
    settings: Settings,
    material: str,
    total_l: Figure,
    limit_l: Figure,
    temperatures: Sequence[float],
) -> MixSize:
    """Equal mixes, as few as the limit allows: none is too small to measure."""
    count = derive("mixes", "mixes", mix_count, total_l=total_l, limit_l=limit_l)
    litres = derive(
        f"one mix of {material}",
        "l",
        mix_l,
        total_l=total_l,
        limit_l=limit_l,
        count=count,
        step_l=settings["mix_step_l"],
    )
    mass = derive(
        f"one mix of {material}",
        "kg",
        mix_mass_kg,
        litres=litres,
        kg_per_l=settings[f"{material}_kg_per_l"],
    )
    doses = tuple(_dose(settings, material, mass.number, c) for c in temperatures)
    return MixSize(int(count.number), litres, mass, doses)


def _dose(settings: Settings, material: str, mass_kg: float, deck_c: float) -> Dose:
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

    Inputs [C] and rows of ([C], [%]) in order, result [%]. Source: the product's own table.

    >>> interpolated_pct(12.5, ((10, 3.0), (15, 2.5))), interpolated_pct(40, ((10, 3.0), (15, 2.5)))
    (2.75, 2.5)
    """
    if deck_c <= table[0][0]:
        return table[0][1]
    for (cold_c, cold_pct), (warm_c, warm_pct) in pairwise(table):
        if deck_c <= warm_c:
            share = (deck_c - cold_c) / (warm_c - cold_c)
            return cold_pct + share * (warm_pct - cold_pct)
    return table[-1][1]


def mix_count(total_l: float, limit_l: float) -> float:
    """How many mixes a total needs, none above the limit: total / limit, rounded up, at least one.

    Inputs [l], result [mixes].

    >>> mix_count(13.2, 4.0), mix_count(8.0, 4.0), mix_count(0.3, 4.0)
    (4.0, 2.0, 1.0)
    """
    return float(max(1, whole_number(total_l / limit_l)))


def mix_l(total_l: float, limit_l: float, count: float, step_l: float) -> float:
    """Size of one of so many equal mixes, rounded up to a step but never above the limit.

    Inputs [l, l, mixes, l], result [l].

    >>> mix_l(13.2, 4.0, 4, 0.1), mix_l(11.99, 4.0, 3, 0.1)
    (3.3, 4.0)
    """
    return min(limit_l, round_up(total_l / count, step_l))


def mix_mass_kg(litres: float, kg_per_l: float) -> float:
    """Mass of a mix: volume x density.

    Inputs [l, kg/l], result [kg].

    >>> round(mix_mass_kg(4.0, 1.1), 3)
    4.4
    """
    return litres * kg_per_l


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
    """Rough time before a mix sets in the bucket, as a caution, give or take 40 %.

    given life x 2^((given T - T) / step) x given dose / dose. Inputs [C, %, min, C, %, C], result
    [min]. Source: rule of thumb, from memory.

    >>> pot_life_min(20, 2, 20, 20, 2, 10), pot_life_min(30, 1, 20, 20, 2, 10)
    (20.0, 20.0)
    """
    warmer = (given_c - deck_c) / halves_each_c
    return float(given_min * 2**warmer * given_pct / dose_pct)
