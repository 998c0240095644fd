"""How a firm works: its working day, how fast its materials set, and what wind stops it."""

import math
from collections.abc import Iterable
from datetime import date
from typing import NamedTuple

from msgspec import Struct

from quotegen.model.days import Span
from quotegen.model.settings import Curing, DefaultedSettings, Mixed, Settings, pairs
from quotegen.model.takeoff import Phase
from quotegen.takeoff.basis.interpolation import interpolated
from quotegen.takeoff.layers.trial_mix import hard_after_h, wants_test_mix

HoursTable = tuple[tuple[float, float], ...]
MINUTES_IN_HOUR = 60
_REST_GIVES_H = 1.0
"""How long after the hour of the break a coat already begun may be finished first [h]."""
_COLDEST_C, _HOTTEST_C = 0, 45
"""The deck temperatures for which the wait for a test mix is worked out [C]."""

BEFORE_HARD = (Phase.OPEN, Phase.WASTE, Phase.LAY)
"""What is done on a roof that is not closed by its own laminate."""
_ON_THE_GROUND = (Phase.SET_UP, Phase.RETURN)


class Sets(NamedTuple):
    """Setting times: the dry hours needed by deck temperature, and the coldest deck allowed."""

    table: HoursTable
    least_c: float


class Pace(Struct, frozen=True):
    """The pace of a firm.

    `work_h` is its working day with the break `rest` in it. `close_h` is what closing the roof for
    a night takes. `tests` are the waits for a test mix before laminate and topcoat by deck
    temperature. Gusts above `boards_mph` stop strip, deck and edges, above `edge_mph` everything.
    On the days `taken` the crews are at agreed jobs.
    """

    work_h: Span
    rest: Span
    close_h: float
    weekends: bool
    lay: Sets
    coat: Sets
    recoat_h: float
    tests: tuple[HoursTable, HoursTable] = ((), ())
    boards_mph: float = float("inf")
    edge_mph: float = float("inf")
    taken: frozenset[date] = frozenset()

    @property
    def day_h(self) -> float:
        """The hours worked in a day."""
        return self.work_h.to_h - self.work_h.from_h - (self.rest.to_h - self.rest.from_h)

    def sets(self, phase: Phase) -> Sets:
        """How a coat sets."""
        return self.lay if phase is Phase.LAY else self.coat

    def most_mph(self, phase: Phase) -> float:
        """The strongest gust a part of the work can be done in."""
        return self.boards_mph if phase is Phase.OPEN else self.edge_mph

    def test_h(self, phase: Phase, deck_c: float | None) -> float:
        """The wait for a test mix of a coat on a deck [h]; 0 if none is needed."""
        table = self.tests[0 if phase is Phase.LAY else 1]
        if not table or deck_c is None:
            return 0.0
        return interpolated(float(round(deck_c)), table)

    def worked_to_h(self, from_h: float, hours: float) -> float:
        """When a coat that takes some hours, started at an hour of the day, is done [h].

        A coat that can be done within an hour of the break is finished first; a longer one stops
        for it between two mixes.
        """
        to_h = from_h + hours
        before = from_h < self.rest.from_h and to_h > self.rest.from_h
        if before and to_h > self.rest.from_h + _REST_GIVES_H:
            return to_h + self.rest.to_h - self.rest.from_h
        return to_h


def on_the_ground(phase: Phase) -> bool:
    """Whether a part of the work is done from the ground, so that first light is enough."""
    return phase in _ON_THE_GROUND


def pace_of(settings: Settings, tower: bool = False) -> Pace:
    """The firm's hours and tables from its settings; everything at the edge stops with a tower."""
    number = settings.number
    starts_h, rest_h = number("day_starts_hour"), number("rest_min") / MINUTES_IN_HOUR
    rest_from_h = number("rest_from_hour")
    least_c = number("resin_least_c")

    def setting(stage: Curing) -> Sets:
        return Sets(pairs(settings.tables.curing[stage]), least_c)

    edge_mph = number("wind_tower_mph") if tower else number("wind_edge_mph")
    return Pace(
        work_h=Span(starts_h, starts_h + number("day_hours") + rest_h),
        rest=Span(rest_from_h, rest_from_h + rest_h),
        close_h=number("close_up_min") / MINUTES_IN_HOUR,
        weekends=settings.yes("weekend_work"),
        lay=setting(Curing.LAMINATE),
        coat=setting(Curing.TOPCOAT),
        recoat_h=number("recoat_hours"),
        tests=(tests_of(settings, Mixed.RESIN), tests_of(settings, Mixed.TOPCOAT)),
        boards_mph=min(number("wind_boards_mph"), edge_mph),
        edge_mph=edge_mph,
        taken=frozenset(settings.taken),
    )


def test_wait_at(settings: DefaultedSettings, material: Mixed, deck_c: float) -> float:
    """The wait for a test mix on a deck, as `tests_of` has it between two whole degrees [C, h]."""
    colder = min(max(math.floor(deck_c), _COLDEST_C), _HOTTEST_C - 1)
    return interpolated(deck_c, tests_of(settings, material, (colder, colder + 1)))


def tests_of(
    settings: DefaultedSettings,
    material: Mixed,
    degrees: Iterable[int] = range(_COLDEST_C, _HOTTEST_C + 1),
) -> HoursTable:
    """The wait for a test mix by whole degrees of the deck [C, h]; 0 if none is needed."""
    return tuple(
        (float(deck_c), hard_after_h(settings, material, deck_c))
        if wants_test_mix(settings, deck_c)
        else (float(deck_c), 0.0)
        for deck_c in degrees
    )
