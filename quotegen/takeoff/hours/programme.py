"""The visits of the crew, the days they take and the days they are paid as.

A job is done in one go where all its work and the whole wait for the laminate fit one working day
and the deck is not too cold. Otherwise the laminate cures overnight: the crew comes back for what
is done on hard laminate, and no wait is paid. Work that was found and agreed is paid by the hour,
as its rates are, and moves neither the visits nor what they are paid as.
"""

from collections.abc import Sequence

from quotegen.model.choices import Task
from quotegen.model.takeoff import Labour, Phase, Programme
from quotegen.takeoff.basis.job import Job
from quotegen.takeoff.hours.elapsed import crew_hours, wait_left
from quotegen.units import Unit, round_up, whole_number
from quotegen.working import Figure, alike, chosen, derive, total

VISITS_LINE = "visits"
"""The line of `explain` that gives the working of the visits, which rests on every task."""
_ON_HARD_LAMINATE = frozenset({Phase.FLASH, Phase.SAND, Phase.COAT, Phase.DRESS, Phase.AFTER})
_BESIDE_THE_WORK = frozenset({Task.COME_BACK, Task.WAIT, Task.TRAVEL})


def plan_programme(job: Job, lines: Sequence[Labour]) -> Programme:
    """The hours of all tasks as visits and days; a longer way makes no more days."""
    settings, crew, comes = job.settings, crew_on_job(job), visits(job, lines)
    on_site = [line for line in lines if line.phase is not Phase.TRAVEL]
    paid = [line for line in on_site if not line.by_the_hour]
    days = derive(
        "days on site",
        Unit.DAYS,
        days_on_site,
        visit_hours=_hours_by_visit(on_site, comes),
        crew=crew,
        day_h=settings["day_hours"],
    )
    paid_days = derive(
        "days paid",
        Unit.DAYS,
        days_paid,
        visit_hours=_hours_by_visit(paid, comes),
        crew=crew,
        day_h=settings["day_hours"],
        day_step=settings["day_step"],
        least_days=settings["least_days"],
    )
    person_hours = derive(
        "person-hours", Unit.PERSON_HOURS, total, parts=[line.hours for line in lines]
    )
    return Programme(person_hours, crew, days, comes, paid_days)


def crew_on_job(job: Job) -> Figure:
    """The number of people on the job: the firm's crew, or one where the row says so."""
    if job.enquiry.site.lone_work:
        return chosen("people on the job", 1.0, Unit.PEOPLE, "the row says one person works alone")
    return job.settings["crew"]


def visits(job: Job, lines: Sequence[Labour]) -> Figure:
    """The times the crew comes: once, or again once the laminate has cured overnight."""
    settings, crew = job.settings, crew_on_job(job)
    work = [line for line in lines if line.key not in _BESIDE_THE_WORK and not line.by_the_hour]
    return derive(
        "visits",
        Unit.DAYS,
        visit_count,
        deck_c=job.enquiry.deck_c or settings["planned_least_c"],
        two_below_c=settings["two_visits_below_c"],
        work_hours=_sum_of("hours of all tasks", work),
        wait_hours=wait_left(job, work, crew),
        day_hours=derive(
            "day of everybody",
            Unit.PERSON_HOURS,
            crew_hours,
            clock_h=settings["day_hours"],
            crew=crew,
        ),
    )


def _hours_by_visit(lines: Sequence[Labour], comes: Figure) -> list[Figure]:
    """The person-hours of each visit; those on hard laminate are the last of two."""
    if comes.number == 1:
        return [_sum_of("hours on site", lines)]
    later = [line for line in lines if line.phase in _ON_HARD_LAMINATE]
    before = [line for line in lines if line.phase not in _ON_HARD_LAMINATE]
    return [_sum_of("hours before curing", before), _sum_of("hours on hard laminate", later)]


def _sum_of(name: str, lines: Sequence[Labour]) -> Figure:
    return derive(name, Unit.PERSON_HOURS, total, parts=[line.hours for line in lines])


def days_on_site(visit_hours: Sequence[float], crew: float, day_h: float) -> float:
    """Days on site: person-hours of each visit / (crew x hours in a day), in whole days begun.

    Inputs [person-hours, people, h], result [days].

    >>> days_on_site((18.0, 5.0), 2, 8), days_on_site((12.0,), 2, 8)
    (3.0, 1.0)
    """
    return float(sum(whole_number(hours / (crew * day_h)) for hours in visit_hours))


@alike("day_step", "least_days")
def days_paid(
    visit_hours: Sequence[float], crew: float, day_h: float, day_step: float, least_days: float
) -> float:
    """Days paid: person-hours of each visit / (crew x hours in a day), up to the firm's step.

    Never less than the least, nor, where the crew comes back, than the whole day at which a job
    done in one go ends: else a cold roof would cost less than a warm one. Inputs [person-hours,
    people, h, days], result [days].

    >>> days_paid((18.0, 5.0), 2, 8, 0.5, 1), days_paid((18.0,), 2, 8, 0.5, 1)
    (2.0, 1.5)
    >>> days_paid((3.0,), 2, 8, 0.25, 0.25), days_paid((3.0, 3.0), 2, 8, 0.25, 0.25)
    (0.25, 1.0)
    """
    by_visits = sum(round_up(hours / (crew * day_h), day_step) for hours in visit_hours)
    whole_days = round_up(len(visit_hours) - 1, day_step)
    return float(max(by_visits, least_days, whole_days))


@alike("work_hours", "wait_hours", "day_hours", result=False)
def visit_count(
    deck_c: float, two_below_c: float, work_hours: float, wait_hours: float, day_hours: float
) -> float:
    """Visits: one where work + wait fit a day, two on a deck colder than the limit or beyond it.

    Inputs [C, C, person-hours of everybody], result [visits]. Source: common practice, no source.

    >>> visit_count(15, 12, 12.0, 3.5, 16.0), visit_count(15, 12, 13.0, 3.5, 16.0)
    (1.0, 2.0)
    >>> visit_count(9, 12, 6.0, 0.0, 16.0)
    2.0
    """
    fits = whole_number((work_hours + wait_hours) / day_hours) <= 1
    return 1.0 if fits and deck_c >= two_below_c else 2.0
