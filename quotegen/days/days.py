"""The plan of a job's days: each part in order, in suitable weather.

Strip, deck and edges need dry hours. Laminate and topcoat need an unbroken stretch of hours fit for
laying, and dry weather until they have set. Every start in the forecast is tried; the plan with the
fewest days on site is taken, then the fewest nights with the roof open, then the earliest.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from datetime import date
from itertools import pairwise

from quotegen.days.layout import SLACK_H, Layout, NoRoomError, is_worked
from quotegen.days.pace import Pace, pace_of
from quotegen.days.standard import clock_hours, standard_layout
from quotegen.days.windows import (
    HOURS_IN_DAY,
    STEP_H,
    Outlook,
    forecast_outlook,
    may_begin,
    steady_outlook,
)
from quotegen.model.choices import Access
from quotegen.model.days import Span, Spell, WorkDay, WorkPlan
from quotegen.model.settings import Settings
from quotegen.model.takeoff import OptionTakeOff, Phase
from quotegen.model.weather import Against, Hour

_ORDER = tuple(Phase)
_STEADY_DAYS = 60


def plan_days(
    option: OptionTakeOff, settings: Settings, start_on: date | None, on: date, deck_c: float
) -> WorkPlan:
    """Plan the days of a build-up's work.

    The forecast is used from the wanted start, or from today; where it does not reach that far, the
    plan ignores the weather and takes a deck of `deck_c` [C], without a start on the standard days
    that the price is made for. A job that the forecast has no room for is refused.
    """
    pace = pace_of(settings, option.access.chosen is Access.TOWER)
    outlook = forecast_outlook(settings.forecast, settings, max(start_on or on, on))
    hours = phase_hours(option)
    comes_back = option.programme.visits.number > 1
    if outlook.days:
        return _laid_out(outlook, pace, hours, comes_back, True)
    if start_on is None:
        run = standard_layout(hours, settings, deck_c, comes_back)
        if run is None:
            return WorkPlan((), pace.work_h, False, Phase.COAT)
        shown = sorted({one.day for one in run.laid})
        days = tuple(_work_days(run, shown))
        return WorkPlan(days, pace.work_h, False, None, len(days))
    outlook = steady_outlook(start_on, _STEADY_DAYS, deck_c, settings)
    return _laid_out(outlook, pace, hours, comes_back, False)


def phase_hours(option: OptionTakeOff) -> dict[Phase, float]:
    """Clock hours of each part of the work: person-hours / crew."""
    person_hours: defaultdict[Phase, float] = defaultdict(float)
    for line in option.labour:
        person_hours[line.phase] += line.hours.number
    return clock_hours(person_hours, option.programme.crew.number)


def _laid_out(
    outlook: Outlook, pace: Pace, hours: dict[Phase, float], comes_back: bool, forecast: bool
) -> WorkPlan:
    runs: list[Layout] = []
    reached = [Phase.SET_UP]
    for first in range(outlook.days):
        if not is_worked(outlook, pace, first):
            continue
        run = Layout(outlook, pace, hours, first, comes_back)
        try:
            run.lay_out()
        except NoRoomError as error:
            reached.append(error.phase)
            continue
        runs.append(run)
        if not forecast:
            break
    best = min(runs, key=lambda run: run.burden) if runs else Layout(outlook, pace, hours, 0, False)
    refused = None if runs else max(reached, key=_ORDER.index)
    shown = range(outlook.days) if forecast else sorted({one.day for one in best.laid})
    worked = sorted({one.day for one in best.laid})
    stands = range(worked[0], worked[-1] + 1) if worked else ()
    return WorkPlan(
        tuple(_work_days(best, shown)),
        pace.work_h,
        forecast,
        refused,
        sum(is_worked(outlook, pace, day) for day in stands),
    )


def _work_days(run: Layout, shown: Sequence[int]) -> Iterator[WorkDay]:
    outlook, pace = run.outlook, run.pace
    numbers = {day: n for n, day in enumerate(sorted({one.day for one in run.laid}), 1)}
    coats = [one.to_h - one.from_h for one in run.laid if one.phase is Phase.COAT]
    for day in shown:
        midnight_h = day * HOURS_IN_DAY
        begun = [one.from_h for one in run.laid if one.phase is Phase.COAT and one.day == day]
        last = (*may_begin(outlook, pace, Phase.COAT, day, max(coats, default=STEP_H)), *begun[:1])
        weather = outlook.hours[midnight_h : midnight_h + HOURS_IN_DAY]
        working = weather[int(pace.work_h.from_h) : int(pace.work_h.to_h)]
        gusts = [hour.gust_mph for hour in working if hour.gust_mph is not None]
        rest = run.rest_of(day)
        ends_h = max((one.to_h for one in run.laid if one.day == day), default=midnight_h)
        yield WorkDay(
            day=outlook.day(day),
            number=numbers.get(day),
            hours=weather,
            lay=_spans(may_begin(outlook, pace, Phase.LAY, day, STEP_H), midnight_h),
            coat=_spans(may_begin(outlook, pace, Phase.COAT, day, STEP_H), midnight_h),
            against=_why(working, pace),
            last_topcoat_h=max(last) - midnight_h if last else None,
            spells=tuple(_spells(outlook, run, day)),
            rest=_of_day(rest, midnight_h) if rest.to_h < ends_h + SLACK_H else None,
            light=outlook.light_of(day),
            tests=run.tests(day),
            gust_mph=max(gusts) if len(gusts) == len(working) else None,
        )


def _of_day(span: Span, midnight_h: float) -> Span:
    return Span(span.from_h - midnight_h, span.to_h - midnight_h)


def _why(hours: tuple[Hour, ...], pace: Pace) -> tuple[Against, ...]:
    """The reasons against laying in the working hours, most frequent first."""
    found = Counter(reason for hour in hours for reason in hour.lay)
    found[Against.WIND] = sum((hour.gust_mph or 0.0) > pace.edge_mph for hour in hours)
    return tuple(reason for reason, times in found.most_common() if times)


def _spans(slots: Sequence[float], midnight_h: float) -> tuple[Span, ...]:
    """Consecutive quarter-hours joined into stretches."""
    found: list[Span] = []
    for slot in slots:
        from_h, to_h = slot - midnight_h, slot - midnight_h + STEP_H
        if found and abs(found[-1].to_h - from_h) < SLACK_H:
            from_h = found.pop().from_h
        found.append(Span(from_h, to_h))
    return tuple(found)


def _spells(outlook: Outlook, run: Layout, day: int) -> Iterator[Spell]:
    """The work planned on a day, with consecutive pieces of one part joined."""
    midnight_h = day * HOURS_IN_DAY
    today = sorted((one for one in run.laid if one.day == day), key=lambda one: one.from_h)
    if not today:
        return
    joins = [0] + [
        i
        for i, (one, other) in enumerate(pairwise(today), 1)
        if one.phase is not other.phase or other.from_h - one.to_h > SLACK_H
    ]
    for start, end in pairwise([*joins, len(today)]):
        from_h, to_h = today[start].from_h, today[end - 1].to_h
        decks = [
            deck
            for hour in range(int(from_h), max(int(from_h) + 1, int(to_h - SLACK_H) + 1))
            if (deck := outlook.at(hour).deck_c) is not None
        ]
        yield Spell(
            today[start].phase,
            Span(from_h - midnight_h, to_h - midnight_h),
            (min(decks), max(decks)) if decks else None,
            today[start].abrade,
        )
