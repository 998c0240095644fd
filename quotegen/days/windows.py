"""The hours of a forecast that are fit for laying, and the dry time needed afterwards.

An hour with no forecast is not allowed. Unless somebody has measured it, we assume the deck is a
little colder than the air, and warmer in the sun.
"""

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import lru_cache

from quotegen.days.climate import dew_point_c
from quotegen.days.daylight import daylight
from quotegen.days.pace import BEFORE_HARD, HoursTable, Pace, on_the_ground
from quotegen.machine.day import day_in_force
from quotegen.model.days import Light, Span
from quotegen.model.settings import Settings
from quotegen.model.takeoff import Phase
from quotegen.model.weather import Against, Hour, Sky, Weather
from quotegen.reference.loader import figure
from quotegen.takeoff.basis.interpolation import interpolated

HOURS_IN_DAY = 24
STEP_H = 0.25
"""The step that a day is divided into [h]."""

_NOT_KNOWN = (Against.UNKNOWN,)
_UNKNOWN = Hour(None, None, False, _NOT_KNOWN, _NOT_KNOWN, _NOT_KNOWN)
_SLACK = 1e-9

_ANY_LIGHT = Light(0.0, 0.0, HOURS_IN_DAY, HOURS_IN_DAY)


@dataclass(frozen=True, slots=True)
class Outlook:
    """Every hour and the light of consecutive days. Times are hours since the first midnight.

    `first` is None where the days have no dates yet. Beyond the last hour nothing is known.
    """

    first: date | None
    hours: tuple[Hour, ...]
    light: tuple[Light, ...] = ()
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

    def light_of(self, number: int) -> Light:
        """The light of a day, counted from 0."""
        return self.light[number] if number < len(self.light) else _ANY_LIGHT

    def day(self, number: int) -> date | None:
        """The date of a day, counted from 0."""
        return self.first and self.first + timedelta(days=number)


@dataclass(frozen=True, slots=True, eq=False)
class _Asked:
    """The forecast and settings of an outlook, compared by identity, and the day in force."""

    forecast: Sequence[Weather]
    settings: Settings
    on: date | None = field(default_factory=day_in_force)

    def __eq__(self, other: object) -> bool:
        return (
            isinstance(other, _Asked)
            and self.forecast is other.forecast
            and self.settings is other.settings
            and self.on == other.on
        )

    def __hash__(self) -> int:
        return hash((id(self.forecast), id(self.settings)))


def forecast_outlook(forecast: Sequence[Weather], settings: Settings, least: date) -> Outlook:
    """The days forecast from `least` on, hour by hour; empty where no forecast reaches it.

    All jobs in a run have the same forecast, so recent results are kept.
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
    return Outlook(first, tuple(hours), tuple(daylight(day, settings) for day in days))


def steady_outlook(first: date, days: int, deck_c: float, settings: Settings) -> Outlook:
    """Dry days at one deck temperature; everything else is measured on the day.

    Most jobs in a run ask for the same days, so recent results are kept.
    """
    return _steady_outlook(_Asked(settings.forecast, settings), first, days, deck_c)


@lru_cache(maxsize=16)
def _steady_outlook(asked: _Asked, first: date, days: int, deck_c: float) -> Outlook:
    settings = asked.settings
    hours: list[Hour] = []
    light = []
    for number in range(days):
        day = first + timedelta(days=number)
        late_h = settings.number("winter_topcoat_latest_hour")
        hours += steady_day(deck_c, late_h if is_winter(day, settings) else HOURS_IN_DAY)
        light.append(daylight(day, settings))
    return Outlook(first, tuple(hours), tuple(light))


@lru_cache(maxsize=64)
def standard_outlook(days: int, deck_c: float, topcoat_by_h: float, light: Light) -> Outlook:
    """Dry days without dates, all alike: one deck temperature, one light."""
    return Outlook(None, steady_day(deck_c, topcoat_by_h) * days, (light,) * days)


def steady_day(deck_c: float, topcoat_by_h: float) -> tuple[Hour, ...]:
    """The hours of a dry day at one deck temperature; topcoat is kept before an hour [h]."""
    return tuple(
        Hour(deck_c, None, True, (), (), (Against.LATE,) if hour >= topcoat_by_h else ())
        for hour in range(HOURS_IN_DAY)
    )


def weather_at(row: Weather | None, hour: int, settings: Settings) -> Hour:
    """The work allowed at an hour of the day under the forecast row for it."""
    if row is None:
        return _UNKNOWN
    wet = () if row.sky is Sky.DRY else ((Against.RAIN if row.sky else Against.UNKNOWN),)
    if row.air_c is None or row.humidity_pct is None:
        against = tuple(dict.fromkeys((*wet, Against.UNKNOWN)))
        return Hour(None, None, not wet, against, against, against, _gust(row))
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
        gust_mph=_gust(row),
    )


def is_winter(day: date, settings: Settings) -> bool:
    """Whether a day lies in the firm's winter, which spans the new year."""
    first, last = settings.number("winter_first_month"), settings.number("winter_last_month")
    return day.month >= first or day.month <= last


def may_begin(
    outlook: Outlook, pace: Pace, phase: Phase, day: int, hours: float
) -> tuple[float, ...]:
    """The quarter-hours of a day at which a stretch can start.

    Inputs [-, h], result [h since the first midnight]. Results are kept with the outlook: every job
    and every start in the forecast asks about the same days.
    """
    asked = (pace, phase, day, hours)
    if asked not in outlook._begin:
        outlook._begin[asked] = tuple(
            slot_h for slot_h in quarters(pace, day) if may_lay(outlook, pace, phase, slot_h, hours)
        )
    return outlook._begin[asked]


def quarters(pace: Pace, day: int) -> list[float]:
    """The starts of the quarter-hours of a working day [h since the first midnight]."""
    starts_h = day * HOURS_IN_DAY + pace.work_h.from_h
    many = int((pace.work_h.to_h - pace.work_h.from_h) / STEP_H)
    return [starts_h + n * STEP_H for n in range(many)]


def day_of(time_h: float) -> int:
    """The day of a time [h since the first midnight], counted from 0."""
    return int((time_h + _SLACK) // HOURS_IN_DAY)


def room_of(outlook: Outlook, pace: Pace, phase: Phase, day: int) -> Span:
    """The part of a day in which a part of the work may be done [h since the first midnight].

    On the ground from first light to last, at the roof from sunrise to sunset. Until the laminate
    is hard, what closing the roof for the night takes is kept free before the end.
    """
    light, midnight_h = outlook.light_of(day), day * HOURS_IN_DAY
    ground = on_the_ground(phase)
    from_h = max(pace.work_h.from_h, light.dawn_h if ground else light.sunrise_h)
    to_h = min(pace.work_h.to_h, light.dusk_h if ground else light.sunset_h)
    kept_h = pace.close_h if phase in BEFORE_HARD else 0.0
    return Span(midnight_h + from_h, midnight_h + max(from_h, to_h - kept_h))


def may_work(outlook: Outlook, pace: Pace, phase: Phase, time_h: float) -> bool:
    """Whether rain, ice and wind allow a part of the work at a time; unknown wind allows it."""
    hour = outlook.at(time_h)
    return not hour.work and (hour.gust_mph is None or hour.gust_mph <= pace.most_mph(phase))


def coat_ends_h(pace: Pace, from_h: float, hours: float) -> float:
    """When a coat begun at a time is done, the break in it counted [h since the first midnight]."""
    midnight_h = day_of(from_h) * HOURS_IN_DAY
    return midnight_h + pace.worked_to_h(from_h - midnight_h, hours)


def may_lay(outlook: Outlook, pace: Pace, phase: Phase, from_h: float, hours: float) -> bool:
    """Whether a coat can be laid from a time on: within one day, and dry until it has set.

    Not before any test mix the deck calls for is hard. Inputs [h since the first midnight, h].
    """
    day = day_of(from_h)
    room, midnight_h = room_of(outlook, pace, phase, day), day * HOURS_IN_DAY
    in_rest = pace.rest.from_h - _SLACK <= from_h - midnight_h < pace.rest.to_h - _SLACK
    to_h = coat_ends_h(pace, from_h, hours)
    if in_rest or from_h < room.from_h - _SLACK or to_h > room.to_h + _SLACK:
        return False
    if not _test_fits(outlook, pace, phase, from_h):
        return False
    time_h = from_h
    while time_h < to_h - _SLACK:
        hour = outlook.at(time_h)
        against = hour.lay if phase is Phase.LAY else hour.coat
        if against or not may_work(outlook, pace, phase, time_h):
            return False
        time_h = min(to_h, math.floor(time_h + _SLACK) + 1.0)
    return dry_until(outlook, to_h, *pace.sets(phase)) is not None


def test_wait_h(outlook: Outlook, pace: Pace, phase: Phase, from_h: float) -> float:
    """How long before a coat begun at a time its test mix is made [h]; 0 if none is needed.

    Whether one is needed is told by the deck at that time, as on the mix card; it takes as long to
    harden as the deck it is made on, if that is colder, has it.
    """
    wait_h = pace.test_h(phase, outlook.at(from_h).deck_c)
    if not wait_h:
        return 0.0
    return max(wait_h, pace.test_h(phase, outlook.at(from_h - wait_h).deck_c))


def _test_fits(outlook: Outlook, pace: Pace, phase: Phase, from_h: float) -> bool:
    """Whether the test mix of a coat can be made in time, on a deck warm enough for that coat."""
    wait_h = test_wait_h(outlook, pace, phase, from_h)
    if not wait_h:
        return True
    made_h = from_h - wait_h
    hour = outlook.at(made_h)
    too_cold = Against.COLD in (hour.lay if phase is Phase.LAY else hour.coat)
    return made_h >= room_of(outlook, pace, phase, day_of(from_h)).from_h - _SLACK and not too_cold


def dry_until(outlook: Outlook, from_h: float, table: HoursTable, least_c: float) -> float | None:
    """The time at which laid work has set; None if rain, dew, cold or the unknown comes first.

    It sets at the rate of each hour: the share done in a time dt is dt / hours(deck), and it has
    set when the shares add up to one. `table` has rows of (deck [C], hours [h]). Result [h since
    the first midnight]. Source: the firm's curing times, common practice. Results are kept with the
    outlook: every job asks about the same quarter-hours.
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
        takes_h = interpolated(hour.deck_c, table)
        step_h = min(math.floor(time_h + _SLACK) + 1 - time_h, (1 - share) * takes_h)
        share += step_h / takes_h
        time_h += step_h
    return time_h


def _holding(rows: Sequence[Weather], hour: int) -> Weather | None:
    """The last row of a day that begins by this hour."""
    begun = [row for row in rows if (row.from_hour or 0) <= hour]
    return begun[-1] if begun else None


def _gust(row: Weather) -> float | None:
    return row.gust_mph.number if row.gust_mph else None


def _late(hour: int, settings: Settings) -> tuple[Against, ...]:
    return _if(hour >= settings.number("winter_topcoat_latest_hour"), Against.LATE)


def _if(holds: bool, reason: Against) -> tuple[Against, ...]:
    return (reason,) if holds else ()
