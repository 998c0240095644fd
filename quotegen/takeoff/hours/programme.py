"""The visits of the crew, the days they take and the days they are paid as.

The wait for the laminate is paid whole, and the job done in one go, where that costs less than
letting it cure overnight, coming back and setting up again, or costs as much for fewer days; a deck
that is too cold always cures overnight. So what is paid is the less of two sums that grow with the
work, and never falls for a larger, colder, harder or longer job. Work that was found and agreed is
paid by the hour, as its rates are, and moves neither the visits nor what they are paid as.
"""

from collections.abc import Sequence

from quotegen.model.choices import Task
from quotegen.model.takeoff import Labour, Phase, Programme
from quotegen.takeoff.basis.job import Job
from quotegen.takeoff.hours.elapsed import longer_way, wait_left
from quotegen.units import Unit, round_up, whole_number
from quotegen.working import Figure, alike, chosen, derive, total

VISITS_LINE = "visits"
"""The line of `explain` that gives the working of the visits, which rests on every task."""
_ON_HARD_LAMINATE = frozenset({Phase.FLASH, Phase.SAND, Phase.COAT, Phase.DRESS, Phase.AFTER})
_BESIDE_THE_WORK = frozenset({Task.COME_BACK, Task.WAIT, Task.TRAVEL})


def plan_programme(job: Job, lines: Sequence[Labour]) -> Programme:
    """The hours of all tasks as visits and days; a longer way makes no more days."""
    comes = visits(job, lines)
    on_site = [line for line in lines if line.phase is not Phase.TRAVEL]
    by_days = [line for line in on_site if not line.by_the_hour]
    return Programme(
        person_hours=_sum_of("person-hours", _hours_of(lines)),
        crew=crew_on_job(job),
        days=_days_on_site(job, _hours_by_visit(on_site, comes)),
        visits=comes,
        paid_days=_days_paid(job, _hours_by_visit(by_days, comes)),
    )


def crew_on_job(job: Job) -> Figure:
    """The number of people on the job: the firm's crew, or one where the row says so."""
    if job.enquiry.site.lone_work:
        return chosen("people on the job", 1.0, Unit.PEOPLE, "the row says one person works alone")
    return job.settings["crew"]


def visits(job: Job, lines: Sequence[Labour]) -> Figure:
    """The times the crew comes: once, or again once the laminate has cured overnight."""
    settings = job.settings
    work = [line for line in lines if line.key not in _BESIDE_THE_WORK and not line.by_the_hour]
    before, later = parted_by_visit(work)
    wait = wait_left(job, work, crew_on_job(job))
    once = [_sum_of("hours with the wait", [*_hours_of(work), wait])]
    twice = [
        _sum_of("hours before curing", _hours_of(before)),
        _sum_of("hours on hard laminate", [*_hours_of(later), settings["hours_return"]]),
    ]
    return derive(
        "visits",
        Unit.DAYS,
        visit_count,
        deck_c=job.enquiry.deck_c or settings["planned_least_c"],
        two_below_c=settings["two_visits_below_c"],
        once_paid=_days_paid(job, once),
        once_days=_days_on_site(job, once),
        twice_paid=_days_paid(job, twice),
        twice_days=_days_on_site(job, twice),
        day_h=settings["day_hours"],
        way_h=longer_way(job),
    )


def parted_by_visit(lines: Sequence[Labour]) -> tuple[list[Labour], list[Labour]]:
    """What is done until the laminate is laid, and what needs it hard."""
    later = [line for line in lines if line.phase in _ON_HARD_LAMINATE]
    return [line for line in lines if line.phase not in _ON_HARD_LAMINATE], later


def _hours_by_visit(lines: Sequence[Labour], comes: Figure) -> list[Figure]:
    """The person-hours of each visit; those on hard laminate are the second's."""
    if comes.number == 1:
        return [_sum_of("hours with the wait", _hours_of(lines))]
    before, later = parted_by_visit(lines)
    return [
        _sum_of("hours before curing", _hours_of(before)),
        _sum_of("hours on hard laminate", _hours_of(later)),
    ]


def _days_on_site(job: Job, visit_hours: Sequence[Figure]) -> Figure:
    return derive(
        "days on site",
        Unit.DAYS,
        days_on_site,
        visit_hours=visit_hours,
        crew=crew_on_job(job),
        day_h=job.settings["day_hours"],
    )


def _days_paid(job: Job, visit_hours: Sequence[Figure]) -> Figure:
    settings = job.settings
    return derive(
        "days paid",
        Unit.DAYS,
        days_paid,
        visit_hours=visit_hours,
        crew=crew_on_job(job),
        day_h=settings["day_hours"],
        day_step=settings["day_step"],
        least_days=settings["least_days"],
    )


def _hours_of(lines: Sequence[Labour]) -> list[Figure]:
    return [line.hours for line in lines]


def _sum_of(name: str, hours: Sequence[Figure]) -> Figure:
    return derive(name, Unit.PERSON_HOURS, total, parts=hours)


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

    Never less than the least. Inputs [person-hours, people, h, days], result [days].

    >>> days_paid((18.0, 5.0), 2, 8, 0.5, 1), days_paid((18.0,), 2, 8, 0.5, 1)
    (2.0, 1.5)
    """
    by_visits = sum(round_up(hours / (crew * day_h), day_step) for hours in visit_hours)
    return float(max(by_visits, least_days))


def visit_count(
    deck_c: float,
    two_below_c: float,
    once_paid: float,
    once_days: float,
    twice_paid: float,
    twice_days: float,
    day_h: float,
    way_h: float,
) -> float:
    """Visits: one where waiting is paid less than coming back, or as much for fewer days; else two.

    Each way is paid days paid x hours in a day + days on site x the longer way. Always two on a
    deck colder than the limit. Inputs [C, C, days, h], result [visits]. Source: common practice, no
    source.

    >>> visit_count(15, 12, 1.0, 1, 1.0, 2, 8, 0), visit_count(15, 12, 1.5, 2, 1.5, 2, 8, 0)
    (1.0, 2.0)
    >>> visit_count(9, 12, 1.0, 1, 1.5, 2, 8, 0), visit_count(15, 12, 2.0, 2, 1.5, 3, 8, 5)
    (2.0, 1.0)
    """
    once = (once_paid * day_h + once_days * way_h, once_days)
    twice = (twice_paid * day_h + twice_days * way_h, twice_days)
    return 1.0 if deck_c >= two_below_c and once < twice else 2.0
