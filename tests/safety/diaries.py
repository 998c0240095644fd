"""Jobs for the diary made up by hand: each a line of days, laid on weekdays by the clock."""

from datetime import date, timedelta

from quotegen.diary.records import JobToLay
from quotegen.model.days import Span, Spell, WorkDay, WorkPlan
from quotegen.model.takeoff import Phase
from tests.safety.forecasts import MONDAY

PARTS = {
    "b": (Phase.OPEN, Phase.LAY),
    "o": (Phase.OPEN,),
    "l": (Phase.LAY,),
    "t": (Phase.COAT,),
    ".": (),
}
"""A letter a day: old roof opened and laminated, opened, laminated, topcoated, nothing."""
WORK = Span(8.0, 16.0)


def plan_from(line: str, day: date) -> WorkPlan:
    """The plan of a line of days that begins on the first weekday from a day on."""
    days: list[WorkDay] = []
    for letter in line:
        while day.weekday() > 4:
            day += timedelta(days=1)
        spells = tuple(Spell(phase, WORK, None) for phase in PARTS[letter])
        days.append(WorkDay(day, None, (), (WORK,), (WORK,), (), None, spells))
        day += timedelta(days=1)
    return WorkPlan(tuple(days), WORK, forecast=False, refused=None)


def job(
    ref: str,
    line: str,
    start_on: date | None = None,
    *,
    accepted: bool = True,
    dated: date = MONDAY,
) -> JobToLay:
    """A job of a line of days, accepted unless said otherwise."""
    return JobToLay(ref, dated, accepted, start_on, dated, lambda day: plan_from(line, day))


def no_day_off(_day: date) -> str:
    """A firm that never has a day off, but for Saturdays and Sundays."""
    return ""
