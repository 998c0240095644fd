"""The visits of the crew, the days they take and the days charged.

All are read off the job laid out on standard days, by the same engine as the plan of the days. The
crew waits for the laminate and does the job in one go if that costs less than letting it cure
overnight, coming back and setting up again, or costs the same for fewer days; on a deck that is too
cold it always cures overnight. So the charge is the smaller of two sums that grow with the work,
and never falls for a larger, colder, harder or longer job. Work that was found and agreed is paid
by the hour, like its rates, and changes neither the visits nor their charge.
"""

from collections.abc import Sequence

from quotegen.days.standard import PARTS, laid_out_h, standard_day
from quotegen.model.choices import IfLonger
from quotegen.model.takeoff import Labour, Phase, Programme, Stage
from quotegen.reference.remark_keys import Task
from quotegen.takeoff.basis.job import Job
from quotegen.takeoff.hours.elapsed import longer_way
from quotegen.units import Unit, round_up, whole_number
from quotegen.working import Figure, alike, chosen, derive, total

VISITS_LINE = "visits"
"""The line of `explain` that gives the working of the visits, which rests on every task."""
_MINUTES_IN_HOUR = 60
_BESIDE_THE_WORK = frozenset({Task.COME_BACK, Task.WAIT, Task.TRAVEL, Task.CLOSE_UP})


def plan_programme(job: Job, lines: Sequence[Labour]) -> Programme:
    """The hours of all tasks as visits and days; extra travel adds no days."""
    comes = visits(job, lines)
    by_days = [line for line in lines if not line.by_the_hour]
    on_site = laid_out(job, lines, comes)
    standard = _days_on_site(job, on_site)
    days, stands = _planned(job, standard)
    charged = job.enquiry.if_longer is IfLonger.CHARGE
    priced = days if charged else standard
    visit_h = laid_out(job, by_days, comes)
    return Programme(
        person_hours=_sum_of("person-hours", _hours_of(lines)),
        crew=crew_on_job(job),
        days=days,
        visits=comes,
        visit_h=visit_h,
        paid_days=_with_extra(_days_paid(job, visit_h), priced, standard),
        priced_days=priced,
        stands=stands if charged else standard,
        open_nights=derive(
            "evenings closed up",
            Unit.DAYS,
            evenings,
            laid_out_h=on_site,
            close_min=job.settings["close_up_min"],
        ),
    )


def _planned(job: Job, standard: Figure) -> tuple[Figure, Figure]:
    """The days on site, and the days hired things stand: as planned once the row says who pays for
    them.
    """
    planned = job.enquiry.planned.get(job.build_up)
    if planned is None:
        return standard, standard
    on_site, stands = (
        chosen("days planned", float(days), Unit.DAYS, "the plan")
        for days in (planned.on_site, planned.stands)
    )
    return _with_extra(standard, on_site, standard), _with_extra(standard, stands, standard)


def _with_extra(days: Figure, planned: Figure, standard: Figure) -> Figure:
    if planned.number <= standard.number:
        return days
    return derive(
        days.name, days.unit, days_with_extra, days=days, planned=planned, standard=standard
    )


def laid_out(job: Job, lines: Sequence[Labour], comes: Figure) -> Figure:
    """The hours of each visit of some tasks on standard days, and of closing up."""
    planned_deck = job.enquiry.deck_c or job.settings["planned_least_c"]
    parts = [
        _sum_of(f"hours: {part}", [line.hours for line in lines if line.phase is part])
        for part in PARTS
    ]
    return derive(
        "laid out on standard days",
        Unit.H,
        laid_out_h,
        parts=parts,
        crew=crew_on_job(job),
        visits=comes,
        **standard_day(job.settings, planned_deck, job.enquiry.start_on),
    )


def crew_on_job(job: Job) -> Figure:
    """The number of people on the job: the firm's crew, or one if the row says so."""
    if job.enquiry.site.lone_work:
        return chosen("people on the job", 1.0, Unit.PEOPLE, "the row says one person works alone")
    return job.settings["crew"]


def visits(job: Job, lines: Sequence[Labour]) -> Figure:
    """How often the crew comes: once, or again once the laminate has cured overnight."""
    settings = job.settings
    work = [line for line in lines if line.key not in _BESIDE_THE_WORK and not line.by_the_hour]
    once = laid_out(job, work, chosen("visits", 1.0, Unit.DAYS, "in one go"))
    back = Labour(Task.COME_BACK, "", Stage.ACCESS, settings["hours_return"], Phase.RETURN)
    twice = laid_out(job, [*work, back], chosen("visits", 2.0, Unit.DAYS, "cured overnight"))
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


def _days_on_site(job: Job, visit_hours: Figure) -> Figure:
    return derive(
        "days on site",
        Unit.DAYS,
        days_on_site,
        laid_out_h=visit_hours,
        day_h=job.settings["day_hours"],
    )


def _days_paid(job: Job, visit_hours: Figure) -> Figure:
    settings = job.settings
    return derive(
        "days paid",
        Unit.DAYS,
        days_paid,
        laid_out_h=visit_hours,
        day_h=settings["day_hours"],
        day_step=settings["day_step"],
        least_days=settings["least_days"],
    )


def _hours_of(lines: Sequence[Labour]) -> list[Figure]:
    return [line.hours for line in lines]


def _sum_of(name: str, hours: Sequence[Figure]) -> Figure:
    return derive(name, Unit.PERSON_HOURS, total, parts=hours)


def days_on_site(laid_out_h: tuple[float, ...], day_h: float) -> float:
    """Days on site: hours of each of two visits / hours in a day, each rounded up to whole days.

    Inputs [h], result [days].

    >>> days_on_site((9.0, 2.5, 0.25), 8), days_on_site((6.0, 0.0, 0.0), 8)
    (3.0, 1.0)
    """
    first_h, second_h, _ = laid_out_h
    return float(whole_number(first_h / day_h) + whole_number(second_h / day_h))


@alike("day_step", "least_days")
def days_paid(
    laid_out_h: tuple[float, ...], day_h: float, day_step: float, least_days: float
) -> float:
    """Days charged: hours of each of two visits / hours in a day, rounded up to the firm's step.

    Never less than the least. Inputs [h, h, days, days], result [days].

    >>> days_paid((9.0, 2.5, 0.25), 8, 0.5, 1), days_paid((9.0, 0.0, 0.25), 8, 0.5, 1)
    (2.0, 1.5)
    """
    first_h, second_h, _ = laid_out_h
    by_visits = round_up(first_h / day_h, day_step) + round_up(second_h / day_h, day_step)
    return float(max(by_visits, least_days))


@alike("days", "planned", "standard")
def days_with_extra(days: float, planned: float, standard: float) -> float:
    """Days charged, plus those the plan has beyond the standard ones [days].

    >>> days_with_extra(1.5, 3, 2), days_with_extra(1.5, 2, 2)
    (2.5, 1.5)
    """
    return days + max(0.0, planned - standard)


def evenings(laid_out_h: tuple[float, ...], close_min: float) -> float:
    """Evenings the roof is closed up: hours of closing up / hours for one evening.

    Inputs [h, min], result [evenings].

    >>> evenings((9.0, 2.5, 0.5), 15)
    2.0
    """
    return float(round(laid_out_h[2] * _MINUTES_IN_HOUR / close_min)) if close_min else 0.0


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
    """Visits: one if waiting costs less than coming back, or the same for fewer days; else two.

    Each way costs days charged x hours in a day + days on site x extra travel. Always two on a deck
    colder than the limit. Inputs [C, C, days, h], result [visits]. Source: common practice, no
    source.

    >>> visit_count(15, 12, 1.0, 1, 1.0, 2, 8, 0), visit_count(15, 12, 1.5, 2, 1.5, 2, 8, 0)
    (1.0, 2.0)
    >>> visit_count(9, 12, 1.0, 1, 1.5, 2, 8, 0), visit_count(15, 12, 2.0, 2, 1.5, 3, 8, 5)
    (2.0, 1.0)
    """
    once = (once_paid * day_h + once_days * way_h, once_days)
    twice = (twice_paid * day_h + twice_days * way_h, twice_days)
    return 1.0 if deck_c >= two_below_c and once < twice else 2.0
