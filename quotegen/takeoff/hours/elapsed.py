"""Hours outside the tasks: waiting for the laminate to cure, and a long journey to the job."""

from collections.abc import Sequence
from itertools import pairwise

from quotegen.model.choices import Task
from quotegen.model.settings import Settings
from quotegen.model.takeoff import Labour, Phase, Programme, Stage
from quotegen.takeoff.basis.job import Job
from quotegen.units import Unit, whole_number
from quotegen.working import Figure, alike, chosen, derive, total

_MINUTES_IN_HOUR = 60
_CURE_TABLE = (5, 10, 15, 20, 25, 30)


def waiting(job: Job, lines: Sequence[Labour], crew: Figure) -> list[Labour]:
    """The wait between laminate and topcoat that no other task fills, on a one-day job.

    A job of more than a day leaves the laminate overnight, so the wait is at most the rest of the
    single day.
    """
    settings = job.settings
    wait = derive(
        "laminate to walking on it",
        Unit.H,
        cure_hours,
        deck_c=job.enquiry.deck_c or settings["planned_least_c"],
        table=by_deck_temperature(settings, "walk_on_hours"),
    )
    filled = [line.hours for line in lines if line.phase is Phase.MEANWHILE]
    hours = derive(
        "wait for the laminate to cure",
        Unit.H,
        waiting_hours,
        wait_h=wait,
        crew=crew,
        filled_h=derive("hours of tasks meanwhile", Unit.H, total, parts=filled),
        work_h=derive("hours of all tasks", Unit.H, total, parts=[line.hours for line in lines]),
        day_h=settings["day_hours"],
    )
    if not hours.number:
        return []
    return [Labour(Task.WAIT, "Wait for the laminate to cure", Stage.LAMINATE, hours, Phase.WAIT)]


def travelling(job: Job, programme: Programme) -> list[Labour]:
    """Travel beyond the allowance in the hours for setting up, on every day of the job.

    It is paid, and lies outside the working hours of the day.
    """
    settings = job.settings
    hours = derive(
        "longer way to the job",
        Unit.H,
        travel_hours,
        minutes=job.enquiry.travel_min or settings["travel_min"],
        allowed_minutes=settings["travel_allowed_min"],
        days=programme.days,
        crew=programme.crew,
    )
    if not hours.number:
        return []
    return [
        Labour(Task.TRAVEL, "Longer way to the job and back", Stage.ACCESS, hours, Phase.TRAVEL)
    ]


def by_deck_temperature(settings: Settings, code: str) -> Figure:
    """The rows of a table of the Rates sheet: (deck temperature [C], hours [h])."""
    rows = tuple((float(c), settings.number(f"{code}_{c}c")) for c in _CURE_TABLE)
    return chosen("hours by deck temperature", rows, Unit.CELSIUS_AND_H, "the Rates sheet")


def cure_hours(deck_c: float, table: Sequence[Sequence[float]]) -> float:
    """Hours from laminate to walking on it: linear between the rows of the table, level outside.

    Inputs [C] and rows of (deck temperature, hours) [C, h], result [h].

    >>> cure_hours(12.5, ((10, 4.0), (15, 2.0))), cure_hours(40, ((10, 4.0), (15, 2.0)))
    (3.0, 2.0)
    """
    if deck_c <= table[0][0]:
        return table[0][1]
    for (low_c, low_h), (high_c, high_h) in pairwise(table):
        if deck_c <= high_c:
            return low_h + (high_h - low_h) * (deck_c - low_c) / (high_c - low_c)
    return table[-1][1]


@alike("wait_h", "filled_h", "work_h", "day_h")
def waiting_hours(
    wait_h: float, crew: float, filled_h: float, work_h: float, day_h: float
) -> float:
    """Person-hours waited: crew x wait - tasks meanwhile, at most the rest of one day's work.

    Inputs [h, people], result [h]. Never negative. Source: common practice, no source.

    >>> waiting_hours(2.0, 2.0, 1.5, 11.0, 8.0), waiting_hours(2.0, 2.0, 1.5, 15.0, 8.0)
    (2.5, 1.0)
    >>> waiting_hours(2.0, 2.0, 5.0, 11.0, 8.0), waiting_hours(2.0, 2.0, 1.5, 23.0, 8.0)
    (0.0, 0.0)
    """
    return max(0.0, min(crew * wait_h - filled_h, crew * day_h - work_h))


@alike("minutes", "allowed_minutes", result=False)
def travel_hours(minutes: float, allowed_minutes: float, days: float, crew: float) -> float:
    """Person-hours of a longer way: days begun x people x there and back x minutes beyond.

    Inputs [min each way, days, people], result [h].

    >>> travel_hours(50, 20, 1.5, 2), travel_hours(10, 20, 1.5, 2)
    (4.0, 0.0)
    """
    beyond = max(0.0, minutes - allowed_minutes)
    return whole_number(days) * crew * 2 * beyond / _MINUTES_IN_HOUR
