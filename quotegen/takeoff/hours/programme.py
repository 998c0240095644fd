"""The crew's working days for the hours of all tasks, and the number of visits."""

from quotegen.model.takeoff import Labour, Phase, Programme
from quotegen.takeoff.basis.job import Job
from quotegen.units import Unit, round_up
from quotegen.working import Figure, alike, chosen, derive, total


def plan_programme(job: Job, lines: tuple[Labour, ...]) -> Programme:
    """The hours of all tasks as working days of the crew; a longer journey adds no days."""
    person_hours = derive(
        "person-hours", Unit.PERSON_HOURS, total, parts=[line.hours for line in lines]
    )
    on_site = [line.hours for line in lines if line.phase is not Phase.TRAVEL]
    crew = crew_on_job(job)
    days = derive(
        "working days",
        Unit.DAYS,
        crew_days,
        person_hours=derive("person-hours on site", Unit.PERSON_HOURS, total, parts=on_site),
        crew=crew,
        day_h=job.settings["day_hours"],
        day_step=job.settings["day_step"],
        least_days=job.settings["least_days"],
        visits=visits(job),
    )
    return Programme(person_hours, crew, days, visits(job))


def crew_on_job(job: Job) -> Figure:
    """The number of people on the job: the firm's crew, or one where the row says so."""
    if job.enquiry.site.lone_work:
        return chosen("people on the job", 1.0, Unit.PEOPLE, "the row says one person works alone")
    return job.settings["crew"]


def visits(job: Job) -> Figure:
    """The days the crew must come: two where the laminate cures overnight before topcoat."""
    return derive(
        "visits",
        Unit.DAYS,
        visit_count,
        deck_c=job.enquiry.deck_c or job.settings["planned_least_c"],
        two_below_c=job.settings["two_visits_below_c"],
    )


@alike("day_step", "least_days", "visits")
def crew_days(
    person_hours: float,
    crew: float,
    day_h: float,
    day_step: float,
    least_days: float,
    visits: float,
) -> float:
    """Working days: person-hours / (crew x hours in a day), rounded up to the firm's step.

    Never fewer than the least days or the visits. Inputs [person-hours, people, h, days], result
    [days].

    >>> crew_days(18, 2, 8, 0.5, 1, 1), crew_days(9, 2, 8, 0.5, 1, 2)
    (1.5, 2.0)
    """
    by_hours = round_up(person_hours / (crew * day_h), day_step)
    return float(max(by_hours, least_days, visits))


def visit_count(deck_c: float, two_below_c: float) -> float:
    """Visits: two on a deck colder than the limit, where the laminate cures overnight.

    Inputs [C], result [visits]. Source: common practice, no source.

    >>> visit_count(9, 12), visit_count(15, 12)
    (2.0, 1.0)
    """
    return 2.0 if deck_c < two_below_c else 1.0
