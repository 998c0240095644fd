"""The parts of a job in order along the clock, each as early as the day allows.

One engine for the price and for every paper: the price lays a job out on standard days, the plan
on those of the calendar or of a forecast. A part that can be left and picked up again fills
whatever hours there are; a coat is laid in one go on one day or, if no day is long enough, from a
morning on in whole days. Each part starts as soon as the one before allows, so a longer part, a
longer cure or a shorter day never brings the end forward.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from math import inf
from typing import NamedTuple

from quotegen.days.days_off import is_working_day
from quotegen.days.pace import BEFORE_HARD, Pace
from quotegen.days.windows import (
    HOURS_IN_DAY,
    STEP_H,
    Outlook,
    coat_ends_h,
    day_of,
    dry_until,
    may_begin,
    may_lay,
    may_work,
    room_of,
    test_wait_h,
)
from quotegen.model.days import Span, TestMix
from quotegen.model.takeoff import Phase
from quotegen.model.weather import Against
from quotegen.units import round_up

SLACK_H = 1e-9
FIRST_VISIT = (Phase.SET_UP, Phase.OPEN, Phase.WASTE, Phase.LAY, Phase.CLOSE)
"""The parts of the work of a first visit, where the crew comes back on hard laminate."""


class NoRoomError(Exception):
    """The days have no room for a part of the work."""

    def __init__(self, phase: Phase) -> None:
        super().__init__(phase)
        self.phase = phase


class Laid(NamedTuple):
    """A part of the work with its times [h since the first midnight]."""

    phase: Phase
    from_h: float
    to_h: float
    abrade: bool = False

    @property
    def day(self) -> int:
        """Its day, counted from 0."""
        return day_of(self.from_h)


@dataclass(slots=True)
class Layout:
    """One way through the days, from one start.

    `hours` are those of the clock by part of the work [h]. With `comes_back`, nothing is done on
    the laminate on the day it is laid. `rests` holds the breaks put off by a coat.
    """

    outlook: Outlook
    pace: Pace
    hours: Mapping[Phase, float]
    first: int
    comes_back: bool
    laid: list[Laid] = field(default_factory=list)
    rests: dict[int, float] = field(default_factory=dict)
    cured_h: float = 0.0

    @property
    def burden(self) -> tuple[int, int, int]:
        """The days on site, nights with the roof open, and the day of the start."""
        days = [one.day for one in self.laid]
        opened = [one.day for one in self.laid if one.phase is Phase.OPEN]
        closed = [one.day for one in self.laid if one.phase is Phase.LAY]
        nights = max(closed) - min(opened) if opened and closed else 0
        return max(days) - min(days) + 1, nights, self.first

    def lay_out(self) -> None:
        """Plan every part of the work in order; raise if there is no room for one."""
        time_h = self._work(Phase.SET_UP, float(self.first * HOURS_IN_DAY))
        time_h = self._open(time_h)
        for part_h in self._coats(Phase.LAY):
            time_h = self._stretch(Phase.LAY, part_h, time_h)
        finished_h = time_h
        cured_h = self.cured_h = dry_until(self.outlook, time_h, *self.pace.lay) or time_h
        if self.comes_back:
            time_h = float((day_of(finished_h) + 1) * HOURS_IN_DAY)
        time_h = self._work(Phase.RETURN, time_h)
        time_h = self._work(Phase.FLASH, max(time_h, cured_h))
        time_h = self._work(Phase.SAND, time_h)
        for part_h in self._coats(Phase.COAT):
            time_h = self._stretch(Phase.COAT, part_h, time_h, finished_h)
        set_h = dry_until(self.outlook, time_h, *self.pace.coat) or time_h
        if self.hours.get(Phase.DRESS):
            time_h = self._work(Phase.DRESS, max(time_h, set_h))
        self._work(Phase.AFTER, time_h)
        self._close()

    def rest_of(self, day: int) -> Span:
        """The break of a day [h since the first midnight]."""
        rest = self.pace.rest
        from_h = self.rests.get(day, day * HOURS_IN_DAY + rest.from_h)
        return Span(from_h, from_h + rest.to_h - rest.from_h)

    def tests(self, day: int) -> tuple[TestMix, ...]:
        """The test mixes of a day, each before the first mix of its coat."""
        found = []
        for coat in (Phase.LAY, Phase.COAT):
            begins_h = min(
                (o.from_h for o in self.laid if o.phase is coat and o.day == day), default=None
            )
            if begins_h is None:
                continue
            wait_h = test_wait_h(self.outlook, self.pace, coat, begins_h)
            if wait_h:
                hard_h = begins_h - day * HOURS_IN_DAY
                found.append(TestMix(coat, hard_h - wait_h, hard_h))
        return tuple(found)

    def worked_h(self, phases: frozenset[Phase]) -> float:
        """The time some parts of the work take, from their first morning to their end [h worked].

        Each day before the last counts whole.
        """
        parts = [one for one in self.laid if one.phase in phases]
        if not parts:
            return 0.0
        end_h, first = max(one.to_h for one in parts), min(one.day for one in parts)
        last = max(one.day for one in parts)
        rest = self.rest_of(last)
        today_h = end_h - last * HOURS_IN_DAY - self.pace.work_h.from_h
        if rest.from_h < end_h - SLACK_H:
            today_h -= rest.to_h - rest.from_h
        return (last - first) * self.pace.day_h + min(today_h, self.pace.day_h)

    def _work(self, phase: Phase, from_h: float) -> float:
        """Do a part in whatever hours allow it; return when it is done."""
        pieces = self._filled(phase, self.hours.get(phase, 0.0), from_h)
        self.laid += pieces
        return pieces[-1].to_h if pieces else from_h

    def _open(self, from_h: float) -> float:
        """Strip, deck and edges; the waste of each day goes down and away on that day."""
        away_h = self.hours.get(Phase.WASTE, 0.0)
        whole_h = self.hours.get(Phase.OPEN, 0.0) + away_h
        days: defaultdict[int, list[Laid]] = defaultdict(list)
        time_h = from_h
        for piece in self._filled(Phase.OPEN, whole_h, from_h):
            days[piece.day].append(piece)
            time_h = piece.to_h
        for pieces in days.values():
            left_h = sum(one.to_h - one.from_h for one in pieces) * (1 - away_h / whole_h)
            for one in pieces:
                turn_h = min(one.to_h, one.from_h + max(0.0, left_h))
                left_h -= one.to_h - one.from_h
                if turn_h > one.from_h + SLACK_H:
                    self.laid.append(Laid(Phase.OPEN, one.from_h, turn_h))
                if turn_h < one.to_h - SLACK_H:
                    self.laid.append(Laid(Phase.WASTE, turn_h, one.to_h))
        return time_h

    def _filled(self, phase: Phase, hours: float, from_h: float) -> list[Laid]:
        """The pieces of a part in the hours that allow it from a time on."""
        pieces: list[Laid] = []
        left_h = hours
        if left_h <= SLACK_H:
            return pieces
        for start_h, end_h in self._allowed(phase, from_h):
            take_h = min(end_h - start_h, left_h)
            pieces.append(Laid(phase, start_h, start_h + take_h))
            left_h -= take_h
            if left_h <= SLACK_H:
                return pieces
        raise NoRoomError(phase)

    def _allowed(self, phase: Phase, from_h: float) -> Iterator[tuple[float, float]]:
        """The times from one on in which a part of the work may be done, none over an hour."""
        for day in self._days(from_h):
            room, rest = room_of(self.outlook, self.pace, phase, day), self.rest_of(day)
            time_h = max(room.from_h, from_h)
            while time_h < room.to_h - SLACK_H:
                if rest.from_h - SLACK_H <= time_h < rest.to_h - SLACK_H:
                    time_h = rest.to_h
                    continue
                end_h = min(room.to_h, int(time_h + SLACK_H) + 1.0)
                if time_h < rest.from_h:
                    end_h = min(end_h, rest.from_h)
                if may_work(self.outlook, self.pace, phase, time_h):
                    yield time_h, end_h
                time_h = end_h

    def _stretch(
        self, phase: Phase, hours: float, from_h: float, finished_h: float | None = None
    ) -> float:
        """Lay in one go in the first stretch of a day that allows it; return the end."""
        for day in self._days(from_h):
            slots = [
                h for h in may_begin(self.outlook, self.pace, phase, day, hours) if h >= from_h
            ]
            now = day_of(from_h) == day and may_lay(self.outlook, self.pace, phase, from_h, hours)
            begins_h = from_h if now else min(slots, default=None)
            if begins_h is None or self._at_rest(begins_h):
                begins_h = next((h for h in slots if not self._at_rest(h)), None)
            if begins_h is not None:
                old = finished_h is not None and begins_h - finished_h > self.pace.recoat_h
                return self._laid(phase, begins_h, hours, old)
        raise NoRoomError(phase)

    def _at_rest(self, time_h: float) -> bool:
        rest = self.rest_of(day_of(time_h))
        return rest.from_h - SLACK_H <= time_h < rest.to_h - SLACK_H

    def _laid(self, phase: Phase, from_h: float, hours: float, old: bool) -> float:
        """Enter a coat, with the break that interrupts it or that waits until it is done."""
        day, to_h = day_of(from_h), coat_ends_h(self.pace, from_h, hours)
        rest = self.rest_of(day)
        if (
            from_h < rest.from_h - SLACK_H
            and to_h > rest.to_h + SLACK_H
            and to_h - from_h > hours + SLACK_H
        ):
            self.laid.append(Laid(phase, from_h, rest.from_h, old))
            self.laid.append(Laid(phase, rest.to_h, to_h, old))
            return to_h
        if from_h < rest.from_h - SLACK_H and to_h > rest.from_h + SLACK_H:
            self.rests[day] = to_h
        self.laid.append(Laid(phase, from_h, to_h, old))
        return to_h

    def _coats(self, phase: Phase) -> list[float]:
        """A coat in one go, or in whole days and a remainder if no day is long enough."""
        hours = self.hours.get(phase, 0.0)
        if hours <= SLACK_H:
            return []
        most_h = max(STEP_H, self._longest_h(phase))
        parts = []
        while hours > most_h + SLACK_H:
            parts.append(most_h)
            hours -= most_h
        return [*parts, hours]

    def _longest_h(self, phase: Phase) -> float:
        """The longest coat that fits the daylight of the shortest of these days [h]."""
        longest_h = inf
        for light in set(self.outlook.light) or {self.outlook.light_of(0)}:
            day = self.outlook.light.index(light) if self.outlook.light else 0
            room = room_of(self.outlook, self.pace, phase, day)
            wait_h = test_wait_h(self.outlook, self.pace, phase, room.from_h)
            from_h = round_up(room.from_h + wait_h, STEP_H)
            to_h = min(room.to_h, day * HOURS_IN_DAY + self._topcoat_by_h(day, phase))
            rest = self.pace.rest
            rest_to_h = day * HOURS_IN_DAY + rest.to_h
            broken_h = rest.to_h - rest.from_h if from_h < rest_to_h < to_h else 0.0
            longest_h = min(longest_h, to_h - from_h - broken_h)
        return max(0.0, longest_h)

    def _topcoat_by_h(self, day: int, phase: Phase) -> float:
        """The hour of a day from which it is too late for topcoat, whatever the weather."""
        if phase is not Phase.COAT:
            return HOURS_IN_DAY
        hours = self.outlook.hours[day * HOURS_IN_DAY : (day + 1) * HOURS_IN_DAY]
        late = (n for n, hour in enumerate(hours) if Against.LATE in hour.coat)
        return float(next(late, HOURS_IN_DAY))

    def _close(self) -> None:
        """Close up every evening from the first opening until the laminate is hard."""
        days = sorted({one.day for one in self.laid if one.phase in BEFORE_HARD})
        for day in days:
            if self.cured_h > room_of(self.outlook, self.pace, Phase.COAT, day).to_h + SLACK_H:
                end_h = max(o.to_h for o in self.laid if o.day == day and o.phase in BEFORE_HARD)
                rest = self.rest_of(day)
                if rest.from_h - SLACK_H <= end_h < rest.to_h - SLACK_H:
                    end_h = rest.to_h
                self.laid.append(Laid(Phase.CLOSE, end_h, end_h + self.pace.close_h))

    def _days(self, from_h: float) -> Iterator[int]:
        """The working days from that of a time on."""
        days = range(day_of(from_h), self.outlook.days)
        return (day for day in days if is_worked(self.outlook, self.pace, day))


def is_worked(outlook: Outlook, pace: Pace, day: int) -> bool:
    """Whether the crew is free on a day; one without a date is a working day."""
    dated = outlook.day(day)
    return dated is None or is_working_day(dated, pace.weekends, pace.taken)
