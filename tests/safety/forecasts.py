"""Forecasts for the tests, made up by hand: a week with every kind of day."""

from collections.abc import Sequence
from datetime import date, timedelta

from quotegen.model.weather import Sky, Weather
from quotegen.problems import Place
from quotegen.working import Figure
from tests import builders

MONDAY = date(2026, 12, 7)
SHEET = Place(builders.BOOK, "Forecast", "A2")

Reading = tuple[int | None, float | None, float | None, Sky | None]
"""Starting hour, air [C], humidity [%], sky."""

WET: Sequence[Reading] = [(0, 8, 95, Sky.RAIN), (12, 10, 92, Sky.RAIN), (21, 5, 88, Sky.DRY)]
COLD: Sequence[Reading] = [(0, -2, 85, Sky.DRY), (9, 1, 74, Sky.DRY), (12, 4, 60, Sky.DRY)]
DEW: Sequence[Reading] = [(0, 6, 95, Sky.DRY), (9, 10, 84, Sky.DRY), (15, 9, 85, Sky.DRY)]
FAIR: Sequence[Reading] = [(0, 7, 80, Sky.DRY), (9, 11, 62, Sky.DRY), (17, 8, 72, Sky.DRY)]


def weather(
    day: date,
    from_hour: int | None,
    air_c: float | None,
    humidity_pct: float | None,
    sky: Sky | None,
    deck_c: float | None = None,
) -> Weather:
    """One row of the Forecast sheet."""

    def cell(name: str, value: float | None, unit: str) -> Figure | None:
        return None if value is None else builders.given(name, value, unit, "Forecast!C2")

    return Weather(
        SHEET,
        day,
        from_hour,
        cell("air", air_c, "°C"),
        cell("humidity", humidity_pct, "%"),
        cell("deck", deck_c, "°C"),
        sky,
    )


def forecast(*days: Sequence[Reading], first: date = MONDAY) -> tuple[Weather, ...]:
    """A row for each reading on consecutive days."""
    return tuple(
        weather(first + timedelta(days=number), *reading)
        for number, day in enumerate(days)
        for reading in day
    )
