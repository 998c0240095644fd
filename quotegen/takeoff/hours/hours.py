"""Person-hours of a task: quantity x rate x difficulty, with a least."""

from collections.abc import Sequence

from quotegen.units import mm_to_m
from quotegen.working import alike

_MINUTES_IN_HOUR = 60


@alike("least_hours")
def area_hours(area_m2: float, hours_per_m2: float, difficulty: float, least_hours: float) -> float:
    """Person-hours for an area: area x rate x difficulty, at least the least.

    Inputs [m2, person-hours/m2, times, person-hours], result [person-hours].

    >>> area_hours(10, 0.22, 1, 1.0), area_hours(2, 0.22, 1.2, 1.0)
    (2.2, 1.0)
    """
    return max(least_hours, area_m2 * hours_per_m2 * difficulty)


@alike("least_hours")
def strip_hours(
    area_m2: float,
    layers: float,
    layer_hours_per_m2: float,
    dressing_hours_per_m2: Sequence[float],
    difficulty: float,
    least_hours: float,
) -> float:
    """Person-hours to strip: area x (layers x rate + chippings once) x difficulty, or the least.

    Inputs [m2, layers, person-hours/m2, times, person-hours], result [person-hours].

    >>> round(strip_hours(10, 2, 0.15, (0.18,), 1, 1.0), 2)
    4.8
    """
    each_m2 = layers * layer_hours_per_m2 + sum(dressing_hours_per_m2)
    return max(least_hours, area_m2 * each_m2 * difficulty)


def trim_hours(length_mm: float, hours_per_m: float, difficulty: float) -> float:
    """Person-hours along a run: length x rate x difficulty, such as a curve.

    Inputs [mm, person-hours/m, times], result [person-hours].

    >>> trim_hours(2000, 0.15, 2)
    0.6
    """
    return mm_to_m(length_mm) * hours_per_m * difficulty


def count_hours(number: float, each_hours: float) -> float:
    """Person-hours for so many: number x rate.

    >>> count_hours(4, 0.25)
    1.0
    """
    return number * each_hours


@alike("least_hours")
def laminate_hours(area_m2: float, layers: float, hours_per_m2: float, least_hours: float) -> float:
    """Person-hours to laminate: area x layers x rate, at least the least.

    Inputs [m2, layers, person-hours/m2, person-hours], result [person-hours].

    >>> laminate_hours(10, 2, 0.2, 1.0)
    4.0
    """
    return max(least_hours, area_m2 * layers * hours_per_m2)


def test_mix_hours(minutes: float) -> float:
    """Person-hours of a test mix: one person's minutes / 60.

    >>> test_mix_hours(15)
    0.25
    """
    return minutes / _MINUTES_IN_HOUR
