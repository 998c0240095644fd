"""Sunrise, sunset and twilight where the firm is, in local clock time."""

import math
from datetime import date, datetime
from functools import lru_cache

from quotegen.model.days import Light
from quotegen.model.settings import DefaultedSettings

_ZONE = "Europe/London"
_QUARTERS_IN_HOUR = 4
_SHORTEST, _MIDDLING = (12, 21), (3, 21)
"""The day of the standard day's light, month and day: the shortest, and in summer an equinox."""


def daylight(day: date, settings: DefaultedSettings) -> Light:
    """The light of a day at the place given in the firm's settings."""
    latitude, longitude = (settings.number(f"place_{name}") for name in ("latitude", "longitude"))
    return light_at(day, latitude, longitude)


def standard_light(winter: bool, year: int, settings: DefaultedSettings) -> Light:
    """The light used to plan a day without a date: in winter, that of the shortest day."""
    return daylight(date(year, *(_SHORTEST if winter else _MIDDLING)), settings)


@lru_cache(maxsize=512)
def light_at(day: date, latitude: float, longitude: float) -> Light:
    """First light, sunrise, sunset and last light at a place.

    Inputs [degrees north, degrees east]. Civil twilight: the sun up to 6 degrees below the horizon.
    """
    from zoneinfo import ZoneInfo  # noqa: PLC0415 - only where days are laid out

    from astral import Observer  # noqa: PLC0415
    from astral.sun import dawn, dusk, sunrise, sunset  # noqa: PLC0415

    at, zone = Observer(latitude, longitude), ZoneInfo(_ZONE)
    first, rises, sets, last = (
        _clock_h(when(at, day, tzinfo=zone)) for when in (dawn, sunrise, sunset, dusk)
    )
    return Light(_up(first), _up(rises), _down(sets), _down(last))


def _clock_h(time: datetime) -> float:
    return time.hour + time.minute / 60 + time.second / 3600


def _up(hour: float) -> float:
    return math.ceil(hour * _QUARTERS_IN_HOUR) / _QUARTERS_IN_HOUR


def _down(hour: float) -> float:
    return math.floor(hour * _QUARTERS_IN_HOUR) / _QUARTERS_IN_HOUR
