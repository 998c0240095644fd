"""The hours of a forecast that are fit for laying, and the dry time needed afterwards.

What is not forecast is not allowed. Unless somebody has measured it, the deck is assumed a little
colder than the air, and in the sun warmer.
"""

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import lru_cache
from typing import NamedTuple

from msgspec import Struct

from quotegen.days.climate import dew_point_c
from quotegen.model.days import Span
from quotegen.model.settings import Settings
from quotegen.model.takeoff import Phase
from quotegen.model.weather import Against, Hour, Sky, Weather
from quotegen.reference.loader import figure
from quotegen.takeoff.hours.elapsed import cure_h

HOURS_IN_DAY = 24
STEP_H = 0.25
"""The step that a day is divided into [h]."""

_NOT_KNOWN = (Against.UNKNOWN,)
_UNKNOWN = Hour(None, None, False, _NOT_KNOWN, _NOT_KNOWN, _NOT_KNOWN)
_SLACK = 1e-9

HoursTable = tuple[tuple[float, float], ...]


class Sets(NamedTuple):
    """Setting times: the dry hours needed by deck temperature, and the coldest deck allowed."""

    table: HoursTable
    least_c: float


class Pace(Struct, frozen=True):
    """The pace of a firm: its working hours, and how fast its materials set."""

    work_h: Span
    weekends: bool
    lay: Sets
    coat: Sets
    recoat_h: float


@dataclass(frozen=True, slots=True)
class Outlook:
    """Every hour of consecutive days. Times are hours since the midnight of the first day.

    `first` is None where the days have no dates yet. Beyond the last hour nothing is known.
    """

    first: date | None
    hours: tuple[Hour, ...]
    _set: dict[tuple[float, HoursTable, float], float | None] = field(
        default_factory=dict, compare=False, repr=False
    )
    _begin: dict[tuple[Pace, Phase, int, float], tuple[float, ...]] = field(
        default_factory=dict, compare=False, repr=False
    )

    @property
    def days(self) -> int:
        """The number of days."""
        return len(self.hours) // HOURS_IN_DAY

    def at(self, time_h: float) -> Hour:
        """The hour that contains a time."""
        place = math.floor(time_h + _SLACK)
        return self.hours[place] if 0 <= place < len(self.hours) else _UNKNOWN

    def day(self, number: int) -> date | None:
        """The date of a day, counted from 0."""
        return self.first and self.first + timedelta(days=number)


@dataclass(frozen=True, slots=True, eq=False)
class _Asked:
    """The forecast and settings of an outlook, compared by identity."""

    forecast: Sequence[Weather]
    settings: Settings

    def __eq__(self, other: object) -> bool:
        return (
            isinstance(other, _Asked)
            and self.forecast is other.forecast
            and self.settings is other.settings
        )

    def __hash__(self) -> int:
        return hash((id(self.forecast), id(self.settings)))


def forecast_outlook(forecast: Sequence[Weather], settings: Settings, least: date) -> Outlook:
    """The days forecast from `least` on, hour by hour; empty where no forecast reaches it.

    All jobs of a run have the same forecast, so recent results are kept.
    """
    return _forecast_outlook(_Asked(forecast, settings), least)


@lru_cache(maxsize=16)
def _forecast_outlook(asked: _Asked, least: date) -> Outlook:
    forecast, settings = asked.forecast, asked.settings
    by_day: dict[date, list[Weather]] = defaultdict(list)
    for row in forecast:
        if row.day >= least:
            by_day[row.day].append(row)
    if not by_day:
        return Outlook(None, ())
    first, last = min(by_day), max(by_day)
    days = [first + timedelta(days=n) for n in range((last - first).days + 1)]
    hours = (
        weather_at(_holding(by_day.get(day, ()), hour), hour, settings)
        for day in days
        for hour in range(HOURS_IN_DAY)
    )
    return Outlook(first, tuple(hours))


def steady_outlook(first: date | None, days: int, deck_c: float, settings: Settings) -> Outlook:
    """Dry days at one deck temperature; everything else is left to be measured on the day.

    Without dates, a cold deck means winter. Most jobs of a run ask for the same days, so recent
    results are kept.
    """
    return _steady_outlook(_Asked(settings.forecast, settings), first, days, deck_c)


@lru_cache(maxsize=16)
def _steady_outlook(asked: _Asked, first: date | None, days: int, deck_c: float) -> Outlook:
    settings = asked.settings
    cold = deck_c < settings.number("cold_below_c")
    hours = []
    for number in range(days):
        winter = is_winter(first + timedelta(days=number), settings) if first else cold
        for hour in range(HOURS_IN_DAY):
            late = _late(hour, settings) if winter else ()
            hours.append(Hour(deck_c, None, True, (), (), late))
    return Outlook(first, tuple(hours))


def weather_at(row: Weather | None, hour: int, settings: Settings) -> Hour:
    """The work allowed at an hour of the day under the forecast row for it."""
    if row is None:
        return _UNKNOWN
    wet = () if row.sky is Sky.DRY else ((Against.RAIN if row.sky else Against.UNKNOWN),)
    if row.air_c is None or row.humidity_pct is None:
        against = tuple(dict.fromkeys((*wet, Against.UNKNOWN)))
        return Hour(None, None, not wet, against, against, against)
    number = settings.number
    air_c, humidity_pct = row.air_c.number, row.humidity_pct.number
    deck_c = row.deck_c.number if row.deck_c else air_c - number("deck_below_air_c")
    hottest_c = row.deck_c.number if row.deck_c else air_c + number("deck_above_air_c")
    coldest_c = min(air_c, deck_c)
    dew_c = dew_point_c(
        air_c,
        humidity_pct,
        figure("dew_point.magnus_a").number,
        figure("dew_point.magnus_b_c").number,
    )
    daytime = range(int(number("whole_day_from_hour")), int(number("whole_day_to_hour")))
    either = [
        *wet,
        *_if(hottest_c > number("resin_most_c"), Against.HOT),
        *_if(humidity_pct > number("humidity_most_pct"), Against.HUMID),
        *_if(deck_c < dew_c + figure("dew_point.margin_c").number, Against.DEW),
        *_if(row.from_hour is None and hour not in daytime, Against.WHOLE_DAY),
    ]
    late = _late(hour, settings) if is_winter(row.day, settings) else ()
    return Hour(
        deck_c=deck_c,
        dew_point_c=dew_c,
        dry=not wet,
        work=(*wet, *_if(coldest_c < number("ice_below_c"), Against.ICE)),
        lay=(*either, *_if(coldest_c < number("resin_least_c"), Against.COLD)),
        coat=(*either, *_if(coldest_c < number("topcoat_least_c"), Against.COLD), *late),
    )


def is_winter(day: date, settings: Settings) -> bool:
    """Whether a day lies in the firm's winter, which spans the new year."""
    first, last = settings.number("winter_first_month"), settings.number("winter_last_month")
    return day.month >= first or day.month <= last


def may_begin(
    outlook: Outlook, pace: Pace, phase: Phase, day: int, hours: float
) -> tuple[float, ...]:
    """The quarter-hours of a day at which a stretch may begin.

    Inputs [-, h], result [h since the first midnight]. Results are kept with the outlook: every job
    and every start in the forecast asks about the same days.
    """
    asked = (pace, phase, day, hours)
    if asked not in outlook._begin:
        outlook._begin[asked] = tuple(
            slot_h
            for slot_h in quarters(pace, day)
            if _may_lay(outlook, pace, phase, slot_h, hours)
        )
    return outlook._begin[asked]


def quarters(pace: Pace, day: int) -> list[float]:
    """The starts of the quarter-hours of a working day [h since the first midnight]."""
    starts_h = day * HOURS_IN_DAY + pace.work_h.from_h
    many = int((pace.work_h.to_h - pace.work_h.from_h) / STEP_H)
    return [starts_h + n * STEP_H for n in range(many)]


def day_of(time_h: float) -> int:
    """The day of a time [h since the first midnight], counted from 0."""
    return int(time_h // HOURS_IN_DAY)


def _may_lay(outlook: Outlook, pace: Pace, phase: Phase, from_h: float, hours: float) -> bool:
    """Whether a stretch may be laid from a time on: within one working day, and dry until set.

    Inputs [h since the first midnight, h].
    """
    to_h = from_h + hours
    if to_h > day_of(from_h) * HOURS_IN_DAY + pace.work_h.to_h + _SLACK:
        return False
    time_h = from_h
    while time_h < to_h - _SLACK:
        hour = outlook.at(time_h)
        if hour.lay if phase is Phase.LAY else hour.coat:
            return False
        time_h += STEP_H
    sets = pace.lay if phase is Phase.LAY else pace.coat
    return dry_until(outlook, to_h, *sets) is not None


def dry_until(outlook: Outlook, from_h: float, table: HoursTable, least_c: float) -> float | None:
    """The time at which laid work has set; None if rain, dew, cold or the unknown comes first.

    Setting goes on at the rate of the hour: the share done in a time dt is dt / hours(deck), and it
    has set when the shares come to one. `table` has rows of (deck [C], hours [h]). Result [h since
    the first midnight]. Source: the firm's curing times, common practice. Results are kept with
    the outlook: every job asks about the same quarter-hours.
    """
    asked = (from_h, table, least_c)
    if asked not in outlook._set:
        outlook._set[asked] = _sets_at(outlook, from_h, table, least_c)
    return outlook._set[asked]


def _sets_at(outlook: Outlook, from_h: float, table: HoursTable, least_c: float) -> float | None:
    share, time_h = 0.0, from_h
    while share < 1 - _SLACK:
        hour = outlook.at(time_h)
        if hour.deck_c is None or hour.deck_c < least_c or not hour.lets_set:
            return None
        takes_h = cure_h(hour.deck_c, table)
        step_h = min(math.floor(time_h + _SLACK) + 1 - time_h, (1 - share) * takes_h)
        share += step_h / takes_h
        time_h += step_h
    return time_h


def _holding(rows: Sequence[Weather], hour: int) -> Weather | None:
    """The last row of a day that begins by this hour."""
    begun = [row for row in rows if (row.from_hour or 0) <= hour]
    return begun[-1] if begun else None


def _late(hour: int, settings: Settings) -> tuple[Against, ...]:
    return _if(hour >= settings.number("winter_topcoat_latest_hour"), Against.LATE)


def _if(holds: bool, reason: Against) -> tuple[Against, ...]:
    return (reason,) if holds else ()
