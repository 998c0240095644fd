"""When the platform is inspected, how soon the report is handed over and how long it is kept."""

from datetime import date, timedelta

from quotegen.model.choices import PLATFORMS
from quotegen.model.safety import Inspections
from quotegen.reference.loader import figure
from quotegen.safety.facts.job import PlannedJob
from quotegen.units import Unit, mm_to_m, whole_number
from quotegen.working import Figure, chosen, derive

_WORKING_DAYS, _WEEKEND_DAYS = 5, 2


def inspections_of(job: PlannedJob) -> Inspections | None:
    """The inspections of the platform of this job, None where there is none."""
    if job.option.access.chosen not in PLATFORMS:
        return None
    every = figure("work_at_height.inspection_days")
    start = job.enquiry.start_on
    after = _days_after(job, start, every) if start and _far_to_fall(job) else None
    return Inspections(
        weekly=_far_to_fall(job),
        every_days=every,
        after_days=after,
        dates=_dates(start, after),
        report_hours=figure("work_at_height.report_hours"),
        kept_months=figure("work_at_height.report_months"),
    )


def _far_to_fall(job: PlannedJob) -> bool:
    """Whether a fall is high enough for weekly inspections by law; not known counts as yes."""
    height = job.enquiry.roof.height_mm
    least_m = figure("work_at_height.inspection_height_m").number
    return height is None or mm_to_m(height.number) >= least_m


def _days_after(job: PlannedJob, start: date, every_days: Figure) -> Figure:
    weekends = job.settings["weekend_work"]
    first = chosen("weekday of the start", float(start.weekday()), Unit.DAY, start.isoformat())
    stands = derive(
        "days the platform stands",
        Unit.DAYS,
        calendar_days,
        work_days=job.option.programme.days,
        first_weekday=first,
        weekend_work=weekends,
    )
    return derive(
        "inspections, days after the first use",
        Unit.DAYS,
        inspection_days,
        stands_days=stands,
        every_days=every_days,
    )


def _dates(start: date | None, after_days: Figure | None) -> tuple[date, ...]:
    if start is None:
        return ()
    later = after_days.value if after_days else 0.0
    offsets = later if isinstance(later, tuple) else (later,)
    return tuple(start + timedelta(days=day) for day in offsets if isinstance(day, float))


def calendar_days(work_days: float, first_weekday: float, weekend_work: bool) -> float:
    """Days from the first working day to the last, counting both and the weekends between.

    Inputs: working days, weekday of the first (0 is Monday; a start at a weekend counts as a
    Friday), whether weekends are worked. Result [days]. The weather may make it longer.

    >>> calendar_days(1.5, 0, False), calendar_days(3, 3, False), calendar_days(3, 3, True)
    (2.0, 5.0, 3.0)
    """
    days = whole_number(work_days)
    if weekend_work:
        return float(days)
    weekends = (min(int(first_weekday), _WORKING_DAYS - 1) + days - 1) // _WORKING_DAYS
    return float(days + _WEEKEND_DAYS * weekends)


def inspection_days(stands_days: float, every_days: float) -> tuple[float, ...]:
    """Days after first use on which a platform is inspected, and when the next would be due.

    Formula: day 0, then every so many days while it is up, and one more in case it is up longer.
    Inputs [days], result [days]. Source: Work at Height Regulations 2005, regulation 12 (4).

    >>> inspection_days(2, 7), inspection_days(8, 7)
    ((0.0, 7.0), (0.0, 7.0, 14.0))
    """
    return tuple(float(every_days * n) for n in range(whole_number(stands_days / every_days) + 1))
