"""Agreed jobs that need more crews on a day than the firm has."""

from collections import Counter, defaultdict
from collections.abc import Iterable
from datetime import date

from quotegen import wording
from quotegen.days.first_day import first_day
from quotegen.diary.records import FixedJob
from quotegen.model.days import WorkPlan
from quotegen.model.enquiry import Enquiry
from quotegen.model.settings import Settings
from quotegen.model.takeoff import Phase
from quotegen.phrases import listed
from quotegen.problems import Problem, problem


def days_needed(plan: WorkPlan) -> tuple[date, ...]:
    """The days a job keeps its crew: those worked, and those when its roof is open.

    While the laminate cures the crew can be elsewhere. Days without a date are left out.
    """
    opened, closed = open_between(plan)
    worked = {day.day for day in plan.worked if day.day is not None}
    between = {
        day.day
        for day in plan.days
        if day.day is not None and opened and closed and opened < day.day < closed
    }
    return tuple(sorted(worked | between))


def open_between(plan: WorkPlan) -> tuple[date | None, date | None]:
    """The day the old roof is opened and the day the last laminate is down; None if neither."""
    by_phase = [(spell.phase, day.day) for day in plan.worked for spell in day.spells if day.day]
    opened = [day for phase, day in by_phase if phase is Phase.OPEN]
    closed = [day for phase, day in by_phase if phase is Phase.LAY]
    return (opened[0], closed[-1]) if opened and closed else (None, None)


def fixed_job(enquiry: Enquiry, accepted: bool, plan: WorkPlan) -> FixedJob | None:
    """The agreed days of a job; None if they are not agreed."""
    if not first_day(plan, accepted, enquiry.start_on).agreed:
        return None
    return FixedJob(enquiry.ref, enquiry.start_at or enquiry.place, days_needed(plan))


def days_taken(jobs: Iterable[FixedJob], crews: float) -> tuple[date, ...]:
    """The days when agreed jobs need every crew, in order."""
    needed = Counter(day for job in jobs for day in job.days)
    return tuple(sorted(day for day, many in needed.items() if many >= crews))


def check_clashes(jobs: Iterable[FixedJob], settings: Settings | None) -> list[Problem]:
    """A problem for each agreed job with all crews on other jobs, on the first such day."""
    if settings is None:
        return []
    crews = int(settings.number("crews"))
    there: defaultdict[date, list[FixedJob]] = defaultdict(list)
    found = []
    for job in sorted(jobs, key=lambda one: (one.days, one.ref)):
        full = next((day for day in job.days if len(there[day]) >= crews), None)
        if full:
            found.append(_clash(job, there[full], full, crews))
        for day in job.days:
            there[day].append(job)
    return found


def _clash(job: FixedJob, others: list[FixedJob], day: date, crews: int) -> Problem:
    together = [*others, job]
    many = "both" if len(together) == 2 else "all"
    begin = all(one.days[0] == day for one in together)
    return problem(
        "crews-clash",
        job.start_at,
        wording.short_day(day),
        job.ref,
        jobs=listed([one.ref for one in together]),
        cells=listed([one.start_at.cell or one.ref for one in together]),
        need=f"{many} {'begin' if begin else 'need a crew'}",
        crews=wording.count(crews, "crew", "crews"),
        enough=wording.count(len(together), "crew", "crews"),
    )
