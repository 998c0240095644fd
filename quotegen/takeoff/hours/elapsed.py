"""Hours outside the tasks: waiting for the laminate to cure, and a long journey to the job."""

from collections.abc import Sequence
from itertools import pairwise

from quotegen.model.choices import Task
from quotegen.model.settings import Curing
from quotegen.model.takeoff import Labour, Phase, Programme, Stage
from quotegen.takeoff.basis.job import Job
from quotegen.takeoff.basis.task_names import task_name
from quotegen.units import Unit, whole_number
from quotegen.working import Figure, alike, derive, total

_MINUTES_IN_HOUR = 60


def waiting(job: Job, lines: Sequence[Labour], crew: Figure) -> list[Labour]:
    """The wait between laminate and topcoat that no other task fills, on a one-day job.

    A job of more than a day leaves the laminate overnight, so the wait is at most the rest of the
    single day.
    """
    settings = job.settings
    wait = derive(
        "laminate to walking on it",
        Unit.H,
        cure_h,
        deck_c=job.enquiry.deck_c or settings["planned_least_c"],
        table=[row.paired(Unit.CELSIUS_AND_H) for row in settings.tables.curing[Curing.LAMINATE]],
    )
    worked = [line.hours for line in lines]
    filled = [line.hours for line in lines if line.phase is Phase.MEANWHILE]
    hours = derive(
        "wait for the laminate to cure",
        Unit.PERSON_HOURS,
        waiting_hours,
        wait_hours=_of_all("wait of everybody", wait, crew),
        filled_hours=derive("hours of tasks meanwhile", Unit.PERSON_HOURS, total, parts=filled),
        work_hours=derive("hours of all tasks", Unit.PERSON_HOURS, total, parts=worked),
        day_hours=_of_all("day of everybody", settings["day_hours"], crew),
    )
    if not hours.number:
        return []
    return [Labour(Task.WAIT, task_name(Task.WAIT), Stage.LAMINATE, hours, Phase.WAIT)]


def travelling(job: Job, programme: Programme) -> list[Labour]:
    """Travel beyond the allowance in the hours for setting up, on every day of the job.

    It is paid, and lies outside the working hours of the day.
    """
    settings = job.settings
    hours = derive(
        "longer way to the job",
        Unit.PERSON_HOURS,
        travel_hours,
        minutes=job.enquiry.travel_min or settings["travel_min"],
        allowed_minutes=settings["travel_allowed_min"],
        days=programme.days,
        crew=programme.crew,
    )
    if not hours.number:
        return []
    return [Labour(Task.TRAVEL, task_name(Task.TRAVEL), Stage.ACCESS, hours, Phase.TRAVEL)]


def _of_all(name: str, clock: Figure, crew: Figure) -> Figure:
    return derive(name, Unit.PERSON_HOURS, crew_hours, clock_h=clock, crew=crew)


def cure_h(deck_c: float, table: Sequence[tuple[float, float]]) -> float:
    """Hours from laminate to walking on it: linear between the rows of the table, level outside.

    Inputs [C] and rows of (deck temperature, hours) [C, h], result [h].

    >>> cure_h(12.5, ((10, 4.0), (15, 2.0))), cure_h(40, ((10, 4.0), (15, 2.0)))
    (3.0, 2.0)
    """
    if deck_c <= table[0][0]:
        return table[0][1]
    for (low_c, low_h), (high_c, high_h) in pairwise(table):
        if deck_c <= high_c:
            return low_h + (high_h - low_h) * (deck_c - low_c) / (high_c - low_c)
    return table[-1][1]


def crew_hours(clock_h: float, crew: float) -> float:
    """Person-hours of some hours on the clock: hours x people.

    Inputs [h, people], result [person-hours].

    >>> crew_hours(1.5, 2.0)
    3.0
    """
    return clock_h * crew


@alike("wait_hours", "filled_hours", "work_hours", "day_hours")
def waiting_hours(
    wait_hours: float, filled_hours: float, work_hours: float, day_hours: float
) -> float:
    """Person-hours waited: the wait - tasks meanwhile, at most the rest of one day's work.

    Inputs and result [person-hours], of everybody together. Never negative. Source: common
    practice, no source.

    >>> waiting_hours(4.0, 1.5, 11.0, 16.0), waiting_hours(4.0, 1.5, 15.0, 16.0)
    (2.5, 1.0)
    >>> waiting_hours(4.0, 5.0, 11.0, 16.0), waiting_hours(4.0, 1.5, 23.0, 16.0)
    (0.0, 0.0)
    """
    return max(0.0, min(wait_hours - filled_hours, day_hours - work_hours))


@alike("minutes", "allowed_minutes", result=False)
def travel_hours(minutes: float, allowed_minutes: float, days: float, crew: float) -> float:
    """Person-hours of a longer way: days begun x people x there and back x minutes beyond.

    Inputs [min each way, days, people], result [person-hours].

    >>> travel_hours(50, 20, 1.5, 2), travel_hours(10, 20, 1.5, 2)
    (4.0, 0.0)
    """
    beyond = max(0.0, minutes - allowed_minutes)
    return whole_number(days) * crew * 2 * beyond / _MINUTES_IN_HOUR
