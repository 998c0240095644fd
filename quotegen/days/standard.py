"""The standard day, on which the price is worked out before anybody knows the weather.

It is dry, every day is the same,
at the deck temperature planned for, and in winter with the light of the shortest day. Everything
the price counts by days comes from here, and so does a plan without dates.
"""

from collections.abc import Mapping, Sequence
from datetime import date
from functools import lru_cache
from typing import Any, TypedDict, cast

from quotegen.days.daylight import standard_light
from quotegen.days.layout import FIRST_VISIT, Layout, NoRoomError
from quotegen.days.pace import MINUTES_IN_HOUR, HoursTable, Pace, Sets, test_wait_at
from quotegen.days.windows import HOURS_IN_DAY, is_winter, standard_outlook
from quotegen.model.days import Light, Span
from quotegen.model.settings import Curing, Mixed, Settings
from quotegen.model.takeoff import Phase
from quotegen.units import Unit
from quotegen.working import Figure, chosen

PARTS = (
    Phase.SET_UP,
    Phase.OPEN,
    Phase.WASTE,
    Phase.LAY,
    Phase.RETURN,
    Phase.FLASH,
    Phase.SAND,
    Phase.COAT,
    Phase.DRESS,
    Phase.AFTER,
)
"""The parts of the work that take hours of the crew, in the order in which they are handed over."""
SECOND_VISIT = frozenset(PARTS) - frozenset(FIRST_VISIT)
"""The parts that need the laminate hard."""
_YEAR = 2026
"""The year whose sun gives the light of the standard day; another differs by a minute."""
_DAYS = 90
_ANY_DECK_C = -273.0
_ANY_LIGHT = (0.0, 0.0, float(HOURS_IN_DAY), float(HOURS_IN_DAY))


class StandardDay(TypedDict):
    """What a standard day is made of, by the parameters of `laid_out_h`."""

    deck_c: Figure
    starts_h: Figure
    day_h: Figure
    rest_from_h: Figure
    rest_min: Figure
    close_min: Figure
    light: Figure
    topcoat_by_h: Figure
    test_waits: Figure
    laminate_sets: list[Figure]
    topcoat_sets: list[Figure]


def standard_day(settings: Settings, deck: Figure, start_on: date | None) -> StandardDay:
    """The figures of the standard day at a deck temperature; winter where it or the start is."""
    winter = deck.number < settings.number("cold_below_c") or (
        start_on is not None and is_winter(start_on, settings)
    )
    light = standard_light(winter, _YEAR, settings)
    by_h = (
        settings["winter_topcoat_latest_hour"]
        if winter
        else chosen("topcoat is begun by", float(HOURS_IN_DAY), Unit.H, "not in winter")
    )
    waits = tuple(test_wait_at(settings, one, deck.number) for one in Mixed)
    return {
        "deck_c": deck,
        "starts_h": settings["day_starts_hour"],
        "day_h": settings["day_hours"],
        "rest_from_h": settings["rest_from_hour"],
        "rest_min": settings["rest_min"],
        "close_min": settings["close_up_min"],
        "light": chosen(
            "first light, sunrise, sunset, last light",
            (light.dawn_h, light.sunrise_h, light.sunset_h, light.dusk_h),
            Unit.H,
            "shortest day" if winter else "equinox",
        ),
        "topcoat_by_h": by_h,
        "test_waits": chosen(
            "wait for a test mix, laminate and topcoat", waits, Unit.H, "mix card"
        ),
        "laminate_sets": _sets(settings, Curing.LAMINATE),
        "topcoat_sets": _sets(settings, Curing.TOPCOAT),
    }


def _sets(settings: Settings, stage: Curing) -> list[Figure]:
    return [row.paired(Unit.CELSIUS_AND_H) for row in settings.tables.curing[stage]]


def clock_hours(person_hours: Mapping[Phase, float], crew: float) -> dict[Phase, float]:
    """Hours of the clock by part of the work: person-hours / people."""
    return {phase: hours / crew for phase, hours in person_hours.items() if phase in PARTS}


def standard_layout(
    hours: Mapping[Phase, float], settings: Settings, deck_c: float, comes_back: bool
) -> Layout | None:
    """The layout of a job on standard days, as the price has it; None where no day has room."""
    deck = chosen("deck", deck_c, Unit.CELSIUS, "planned for")
    plain: dict[str, Any] = {
        key: one.value if isinstance(one, Figure) else tuple(row.value for row in one)
        for key, one in cast(
            Mapping[str, Figure | list[Figure]], standard_day(settings, deck, None)
        ).items()
    }
    try:
        return _layout(tuple(hours.get(part, 0.0) for part in PARTS), comes_back, **plain)
    except NoRoomError:
        return None


def laid_out_h(
    parts: Sequence[float],
    crew: float,
    visits: float,
    deck_c: float,
    starts_h: float,
    day_h: float,
    rest_from_h: float,
    rest_min: float,
    close_min: float,
    light: tuple[float, ...],
    topcoat_by_h: float,
    test_waits: tuple[float, ...],
    laminate_sets: Sequence[tuple[float, float]],
    topcoat_sets: Sequence[tuple[float, float]],
) -> tuple[float, ...]:
    """Hours of each visit, each day before its last counted whole, and those of closing up.

    The person-hours of each part / people, laid out one after the other on standard days: coats in
    one go, each after its test mix and in daylight, the break left out. In one visit the crew waits
    for the laminate; in two, whatever needs it hard is done from the next morning. If the firm's
    hours leave no room for a coat, we assume it is laid in any light. Inputs [person-hours, people,
    visits, C, h, min], result [h] of the first visit, the second, and closing up.
    """
    hours, sets = tuple(part / crew for part in parts), (tuple(laminate_sets), tuple(topcoat_sets))
    day = (deck_c, starts_h, day_h, rest_from_h, rest_min, close_min)
    try:
        laid = _layout(hours, visits > 1, *day, light, topcoat_by_h, test_waits, *sets)
    except NoRoomError:
        laid = _layout(hours, visits > 1, *day, _ANY_LIGHT, HOURS_IN_DAY, (0.0, 0.0), *sets)
    closing_h = sum(one.to_h - one.from_h for one in laid.laid if one.phase is Phase.CLOSE)
    if visits > 1:
        return laid.worked_h(frozenset(FIRST_VISIT)), laid.worked_h(SECOND_VISIT), closing_h
    return laid.worked_h(frozenset((*PARTS, Phase.CLOSE))), 0.0, closing_h


@lru_cache(maxsize=256)
def _layout(
    parts: tuple[float, ...],
    comes_back: bool,
    deck_c: float,
    starts_h: float,
    day_h: float,
    rest_from_h: float,
    rest_min: float,
    close_min: float,
    light: tuple[float, ...],
    topcoat_by_h: float,
    test_waits: tuple[float, ...],
    laminate_sets: HoursTable,
    topcoat_sets: HoursTable,
) -> Layout:
    """The parts laid out on standard days [h of the clock]; a coat on any deck sets in its time."""
    rest_h = rest_min / MINUTES_IN_HOUR
    resin_h, topcoat_h = test_waits
    pace = Pace(
        work_h=Span(starts_h, starts_h + day_h + rest_h),
        rest=Span(rest_from_h, rest_from_h + rest_h),
        close_h=close_min / MINUTES_IN_HOUR,
        weekends=True,
        lay=Sets(laminate_sets, _ANY_DECK_C),
        coat=Sets(topcoat_sets, _ANY_DECK_C),
        recoat_h=float("inf"),
        tests=(((deck_c, resin_h),), ((deck_c, topcoat_h),)),
    )
    days = _DAYS * (1 + int(sum(parts) // _DAYS))
    outlook = standard_outlook(days, deck_c, topcoat_by_h, Light(*light))
    hours = dict(zip(PARTS, parts, strict=True))
    laid = Layout(outlook, pace, hours, 0, comes_back)
    laid.lay_out()
    return laid
