"""Hours outside the tasks: waiting for the laminate to cure, and a long journey to the job."""

from collections.abc import Sequence

from quotegen.model.settings import Curing
from quotegen.model.takeoff import Labour, Phase, Programme, Stage
from quotegen.reference.remark_keys import Task
from quotegen.takeoff.basis.interpolation import interpolated
from quotegen.takeoff.basis.job import Job
from quotegen.takeoff.basis.task_names import task_name
from quotegen.units import Unit
from quotegen.working import Figure, alike, derive

_MINUTES_IN_HOUR = 60


def waiting(job: Job, crew: Figure) -> list[Labour]:
    """The crew's wait between laminate and topcoat on a job done in one go, as a task."""
    settings = job.settings
    wait = derive(
        "laminate to walking on it",
        Unit.H,
        cure_h,
        deck_c=job.enquiry.deck_c or settings["planned_least_c"],
        table=[row.paired(Unit.CELSIUS_AND_H) for row in settings.tables.curing[Curing.LAMINATE]],
    )
    hours = derive(
        "wait for the laminate to cure", Unit.PERSON_HOURS, crew_hours, clock_h=wait, crew=crew
    )
    return [Labour(Task.WAIT, task_name(Task.WAIT), Stage.LAMINATE, hours, Phase.WAIT)]


def closing(laid_out: Figure, crew: Figure) -> list[Labour]:
    """Closing up every evening until the laminate is hard, as a task; none if it is hard the same
    day.
    """
    hours = derive(
        "closing up",
        Unit.PERSON_HOURS,
        closing_hours,
        laid_out_h=laid_out,
        crew=crew,
    )
    if not hours.number:
        return []
    return [Labour(Task.CLOSE_UP, task_name(Task.CLOSE_UP), Stage.STRIP, hours, Phase.CLOSE)]


def travelling(job: Job, programme: Programme) -> list[Labour]:
    """Travel beyond the allowance in the hours for setting up, on every day on site.

    It is paid, and lies outside the working hours of the day.
    """
    hours = derive(
        "longer way to the job",
        Unit.PERSON_HOURS,
        travel_hours,
        way_h=longer_way(job),
        days=programme.priced_days,
        crew=programme.crew,
    )
    if not hours.number:
        return []
    return [Labour(Task.TRAVEL, task_name(Task.TRAVEL), Stage.ACCESS, hours, Phase.TRAVEL)]


def longer_way(job: Job) -> Figure:
    """Travel there and back beyond what the hours for setting up allow."""
    return derive(
        "longer way, there and back",
        Unit.H,
        longer_way_h,
        minutes=job.enquiry.travel_min or job.settings["travel_min"],
        allowed_minutes=job.settings["travel_allowed_min"],
    )


def cure_h(deck_c: float, table: Sequence[tuple[float, float]]) -> float:
    """Hours from laminate to walking on it: linear between the rows of the table, level outside.

    Inputs [C] and rows of (deck temperature, hours) [C, h], result [h].

    >>> cure_h(12.5, ((10, 4.0), (15, 2.0))), cure_h(40, ((10, 4.0), (15, 2.0)))
    (3.0, 2.0)
    """
    return interpolated(deck_c, table)


def crew_hours(clock_h: float, crew: float) -> float:
    """Person-hours of some hours on the clock: hours x people.

    Inputs [h, people], result [person-hours].

    >>> crew_hours(1.5, 2.0)
    3.0
    """
    return clock_h * crew


def closing_hours(laid_out_h: tuple[float, ...], crew: float) -> float:
    """Person-hours of closing up: the hours of it in the layout x people.

    Inputs [h, people], result [person-hours].

    >>> closing_hours((9.0, 2.5, 0.5), 2)
    1.0
    """
    return laid_out_h[2] * crew


@alike("minutes", "allowed_minutes", result=False)
def longer_way_h(minutes: float, allowed_minutes: float) -> float:
    """Extra travel for one day: there and back x minutes beyond those allowed for.

    Inputs [min each way], result [h].

    >>> longer_way_h(50, 20), longer_way_h(10, 20)
    (1.0, 0.0)
    """
    return 2 * max(0.0, minutes - allowed_minutes) / _MINUTES_IN_HOUR


def travel_hours(way_h: float, days: float, crew: float) -> float:
    """Person-hours of extra travel: days on site x people x extra hours.

    Inputs [h, days, people], result [person-hours].

    >>> travel_hours(1.0, 2, 2)
    4.0
    """
    return days * crew * way_h
