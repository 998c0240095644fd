"""The plan of a job's days: each part in order, in weather that allows it.

Strip, deck and edges need dry hours. Laminate and topcoat need an unbroken stretch of hours fit for
laying, and dry weather until they have set. Every start in the forecast is tried; the plan with the
fewest days on site is taken, then the fewest nights with the roof open, then the earliest.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import pairwise
from math import inf
from typing import NamedTuple

from quotegen import wording
from quotegen.days.windows import (
    HOURS_IN_DAY,
    STEP_H,
    Outlook,
    Pace,
    Sets,
    day_of,
    dry_until,
    forecast_outlook,
    may_begin,
    quarters,
    steady_outlook,
)
from quotegen.model.days import Span, Spell, WorkDay, WorkPlan
from quotegen.model.enquiry import Enquiry
from quotegen.model.settings import Curing, Settings, pairs
from quotegen.model.takeoff import OptionTakeOff, Phase
from quotegen.model.weather import Against, Hour
from quotegen.problems import Place, Problem, problem
from quotegen.units import round_up
from quotegen.workbook.sheets.declaration import FORECAST_SHEET

_SATURDAY = 5
_ORDER = tuple(Phase)
_STEADY_DAYS = 60
_SLACK_H = 1e-9


class _NoRoomError(Exception):
    """No room in the days for a part of the work."""

    def __init__(self, phase: Phase) -> None:
        super().__init__(phase)
        self.phase = phase


def plan_days(
    option: OptionTakeOff, settings: Settings, start_on: date | None, on: date, deck_c: float
) -> WorkPlan:
    """Plan the days of a build-up's work.

    The forecast is used from the wanted start, or from today; where it does not reach that far, the
    plan goes by the clock on a deck of `deck_c` [C]. A job that the forecast has no room for is
    refused.
    """
    pace = pace_of(settings)
    outlook = forecast_outlook(settings.forecast, settings, max(start_on or on, on))
    hours = phase_hours(option)
    if not outlook.days:
        return _laid_out(
            steady_outlook(start_on, _STEADY_DAYS, deck_c, settings), pace, hours, False
        )
    return _laid_out(outlook, pace, hours, True)


def check_days(plan: WorkPlan, enquiry: Enquiry, priced_days: float) -> list[Problem]:
    """Problems of a plan: no room in the forecast, or more days than the job is priced for."""
    place = Place(enquiry.place.book, FORECAST_SHEET)
    if plan.refused is not None:
        return [problem("no-window", place, str(plan.refused), enquiry.ref)]
    on_site = len(plan.worked)
    if plan.forecast and on_site > round_up(priced_days):
        priced = wording.exact(priced_days)
        return [problem("plan-longer", place, str(on_site), enquiry.ref, priced=priced)]
    return []


def pace_of(settings: Settings) -> Pace:
    """The firm's hours and tables from its settings."""
    starts_h = settings.number("day_starts_hour")
    least_c = settings.number("resin_least_c")

    def setting(stage: Curing) -> Sets:
        return Sets(pairs(settings.tables.curing[stage]), least_c)

    return Pace(
        work_h=Span(starts_h, starts_h + settings.number("day_hours")),
        weekends=settings.yes("weekend_work"),
        lay=setting(Curing.LAMINATE),
        coat=setting(Curing.TOPCOAT),
        recoat_h=settings.number("recoat_hours"),
    )


def phase_hours(option: OptionTakeOff) -> dict[Phase, float]:
    """Clock hours of each part of the work: person-hours / crew, rounded to the next quarter."""
    person_hours: defaultdict[Phase, float] = defaultdict(float)
    for line in option.labour:
        person_hours[line.phase] += line.hours.number
    crew = option.programme.crew.number
    return {phase: round_up(hours / crew, STEP_H) for phase, hours in person_hours.items()}


def _laid_out(outlook: Outlook, pace: Pace, hours: dict[Phase, float], forecast: bool) -> WorkPlan:
    runs: list[_Run] = []
    reached = [Phase.SET_UP]
    for first in range(outlook.days):
        if not _works(outlook, pace, first):
            continue
        run = _Run(outlook, pace, hours, first)
        try:
            run.lay_out()
        except _NoRoomError as error:
            reached.append(error.phase)
            continue
        runs.append(run)
        if not forecast:
            break
    best = min(runs, key=lambda run: run.burden).laid if runs else []
    refused = None if runs else max(reached, key=_ORDER.index)
    shown = range(outlook.days) if forecast else sorted({one.day for one in best})
    return WorkPlan(
        tuple(_work_days(outlook, pace, hours, best, shown)), pace.work_h, forecast, refused
    )


class _Laid(NamedTuple):
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
class _Run:
    """One plan through the days, from one start."""

    outlook: Outlook
    pace: Pace
    hours: dict[Phase, float]
    first: int
    laid: list[_Laid] = field(default_factory=list)

    @property
    def burden(self) -> tuple[int, int, int]:
        """The days on site, nights with the roof open, and the day of the start."""
        days = [one.day for one in self.laid]
        opened = [one.day for one in self.laid if one.phase is Phase.OPEN]
        closed = [one.day for one in self.laid if one.phase is Phase.LAY]
        nights = max(closed) - min(opened) if opened and closed else 0
        return max(days) - min(days) + 1, nights, self.first

    def lay_out(self) -> None:
        """Plan every part of the work in order; raise where one has no room."""
        time_h = float(self.first * HOURS_IN_DAY)
        time_h = self._work(Phase.SET_UP, time_h)
        time_h = self._work(Phase.OPEN, time_h)
        for part_h in _parts(self.hours.get(Phase.LAY, 0.0), self.pace):
            time_h = self._stretch(Phase.LAY, part_h, time_h)
        finished_h = time_h
        cured_h = dry_until(self.outlook, time_h, *self.pace.lay) or time_h
        left_h = self.hours.get(Phase.MEANWHILE, 0.0)
        _, left_h = self._fill(Phase.MEANWHILE, left_h, time_h, cured_h)
        time_h = self._work(Phase.FLASH, cured_h)
        time_h = self._work(Phase.SAND, time_h)
        before = time_h
        for part_h in _parts(self.hours.get(Phase.COAT, 0.0), self.pace):
            time_h = self._stretch(Phase.COAT, part_h, time_h, finished_h)
        coated_from = next((one.from_h for one in self.laid if one.phase is Phase.COAT), before)
        _, left_h = self._fill(Phase.MEANWHILE, left_h, before, coated_from)
        set_h = dry_until(self.outlook, time_h, *self.pace.coat) or time_h
        time_h = self._work(Phase.MEANWHILE, time_h, left_h)
        if self.hours.get(Phase.DRESS):
            time_h = self._work(Phase.DRESS, max(time_h, set_h))
        self._work(Phase.AFTER, time_h)

    def _work(self, phase: Phase, from_h: float, hours: float | None = None) -> float:
        """Do a part in whatever hours allow it; return when it is done."""
        whole_h = self.hours.get(phase, 0.0) if hours is None else hours
        time_h, left_h = self._fill(phase, whole_h, from_h, inf)
        if left_h > _SLACK_H:
            raise _NoRoomError(phase)
        return time_h

    def _fill(self, phase: Phase, hours: float, from_h: float, to_h: float) -> tuple[float, float]:
        """Use the dry quarter-hours between two times for a part; return the end and the rest."""
        time_h, left_h = from_h, hours
        for slot_h in self._slots(from_h):
            if left_h <= _SLACK_H or slot_h + STEP_H > to_h + _SLACK_H:
                break
            if not self.outlook.at(slot_h).work:
                time_h = slot_h + STEP_H
                self.laid.append(_Laid(phase, slot_h, time_h))
                left_h -= STEP_H
        return time_h, left_h

    def _stretch(
        self, phase: Phase, hours: float, from_h: float, finished_h: float | None = None
    ) -> float:
        """Lay without a break in the first stretch of a day that allows it; return the end."""
        for day in self._days(from_h):
            for slot_h in may_begin(self.outlook, self.pace, phase, day, hours):
                if slot_h >= from_h - _SLACK_H:
                    old = finished_h is not None and slot_h - finished_h > self.pace.recoat_h
                    self.laid.append(_Laid(phase, slot_h, slot_h + hours, old))
                    return slot_h + hours
        raise _NoRoomError(phase)

    def _slots(self, from_h: float) -> Iterator[float]:
        """The quarter-hours of the working days from a time on."""
        for day in self._days(from_h):
            yield from (slot for slot in quarters(self.pace, day) if slot >= from_h - _SLACK_H)

    def _days(self, from_h: float) -> Iterator[int]:
        """The working days from that of a time on."""
        days = range(day_of(from_h), self.outlook.days)
        return (day for day in days if _works(self.outlook, self.pace, day))


def _works(outlook: Outlook, pace: Pace, day: int) -> bool:
    dated = outlook.day(day)
    return pace.weekends or dated is None or dated.weekday() < _SATURDAY


def _parts(hours: float, pace: Pace) -> list[float]:
    """Laying split into as few equal stretches as the working day allows."""
    day_h = pace.work_h.to_h - pace.work_h.from_h
    many = max(1, int(round_up(hours / day_h)))
    return [round_up(hours / many, STEP_H)] * many if hours else []


def _work_days(
    outlook: Outlook,
    pace: Pace,
    hours: dict[Phase, float],
    laid: list[_Laid],
    shown: range | list[int],
) -> Iterator[WorkDay]:
    numbers = {day: n for n, day in enumerate(sorted({one.day for one in laid}), 1)}
    for day in shown:
        midnight_h = day * HOURS_IN_DAY
        coat_h = max(_parts(hours.get(Phase.COAT, 0.0), pace), default=STEP_H)
        last = may_begin(outlook, pace, Phase.COAT, day, coat_h)
        weather = outlook.hours[midnight_h : midnight_h + HOURS_IN_DAY]
        working = weather[int(pace.work_h.from_h) : int(pace.work_h.to_h)]
        yield WorkDay(
            day=outlook.day(day),
            number=numbers.get(day),
            hours=weather,
            lay=_spans(may_begin(outlook, pace, Phase.LAY, day, STEP_H), midnight_h),
            coat=_spans(may_begin(outlook, pace, Phase.COAT, day, STEP_H), midnight_h),
            against=_why(working),
            last_topcoat_h=max(last) - midnight_h if last else None,
            spells=tuple(_spells(outlook, laid, day)),
        )


def _why(hours: tuple[Hour, ...]) -> tuple[Against, ...]:
    """The reasons against laying in the working hours, most frequent first."""
    found = Counter(reason for hour in hours for reason in hour.lay)
    return tuple(reason for reason, _ in found.most_common())


def _spans(slots: Sequence[float], midnight_h: float) -> tuple[Span, ...]:
    """Consecutive quarter-hours joined into stretches."""
    found: list[Span] = []
    for slot in slots:
        from_h, to_h = slot - midnight_h, slot - midnight_h + STEP_H
        if found and abs(found[-1].to_h - from_h) < _SLACK_H:
            from_h = found.pop().from_h
        found.append(Span(from_h, to_h))
    return tuple(found)


def _spells(outlook: Outlook, laid: list[_Laid], day: int) -> Iterator[Spell]:
    """The work planned on a day, with consecutive pieces of one part joined."""
    midnight_h = day * HOURS_IN_DAY
    today = sorted((one for one in laid if one.day == day), key=lambda one: one.from_h)
    if not today:
        return
    joins = [0] + [
        i
        for i, (one, other) in enumerate(pairwise(today), 1)
        if one.phase is not other.phase or other.from_h - one.to_h > _SLACK_H
    ]
    for start, end in pairwise([*joins, len(today)]):
        from_h, to_h = today[start].from_h, today[end - 1].to_h
        decks = [
            deck
            for hour in range(int(from_h), max(int(from_h) + 1, int(to_h - _SLACK_H) + 1))
            if (deck := outlook.at(hour).deck_c) is not None
        ]
        yield Spell(
            today[start].phase,
            Span(from_h - midnight_h, to_h - midnight_h),
            (min(decks), max(decks)) if decks else None,
            today[start].abrade,
        )
