"""Planning the jobs for the crews: agreed days stay, every other job takes the first gap.

The agreed jobs come first, then those accepted without an agreed day, then the provisional ones;
within each, the oldest enquiry goes first. A job that is not agreed is planned again from each day
when a crew is free, until all the days it needs have a crew to spare and none is a day off. Once
placed, a job is not moved for a later one.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from datetime import date, timedelta

from quotegen.diary.clashes import days_needed, open_between
from quotegen.diary.records import Diary, DiaryDay, JobToLay, LaidJob
from quotegen.model.days import Span, WorkDay, WorkPlan
from quotegen.model.weather import Against

_DAY = timedelta(days=1)
_LOOKED_BEYOND = timedelta(days=366)
"""How far beyond the last day taken room is looked for: a year without room has none at all."""

_MONTHS = 3


def lay_diary(
    jobs: Sequence[JobToLay], crews: int, on: date, day_off: Callable[[date], str]
) -> Diary:
    """The diary of the jobs from a day on; `day_off` names a day off, and is empty on others."""
    diary = _Laying(crews, on, day_off)
    for job in sorted(jobs, key=lambda one: (not one.accepted, one.dated)):
        diary.fix(job)
    for job in diary.loose:
        diary.lay(job)
    return diary.done()


class _Laying:
    """The diary while it is being filled; `taken` counts the crews at work on each day."""

    def __init__(self, crews: int, on: date, day_off: Callable[[date], str]) -> None:
        self._crews = crews
        self._on = on
        self._day_off = day_off
        self._taken: Counter[date] = Counter()
        self._plans: list[tuple[JobToLay, bool, WorkPlan]] = []
        self._past: list[str] = []
        self._unplaced: list[str] = []
        self._no_laying: dict[date, tuple[Against, ...]] = {}
        self.loose: list[JobToLay] = []

    def fix(self, job: JobToLay) -> None:
        """Enter a job on its agreed days, or keep it for later where it has none."""
        plan = self._planned(job, job.start_on) if job.accepted and job.start_on else None
        if plan is None or plan.refused or not plan.worked or plan.worked[0].day != job.start_on:
            self.loose.append(job)
        elif max(days_needed(plan)) < self._on:
            self._past.append(job.ref)
        else:
            self._enter(job, True, plan)

    def lay(self, job: JobToLay) -> None:
        """Enter a job on the first days that have room for it."""
        plan = self._first_room(job, max(job.start_on or self._on, job.earliest, self._on))
        if plan is None:
            self._unplaced.append(job.ref)
        else:
            self._enter(job, False, plan)

    def done(self) -> Diary:
        """The diary, with a crew for each day of each job."""
        laid = _with_crews(self._plans, self._crews)
        last = max((job.days[-1].day for job in laid), default=self._on)
        days = (self._on + n * _DAY for n in range((last - self._on).days + 1))
        return Diary(
            on=self._on,
            crews=self._crews,
            laid=tuple(sorted(laid, key=lambda job: job.days[0].day)),
            past=tuple(self._past),
            unplaced=tuple(self._unplaced),
            no_laying=self._no_laying,
            days_off={day: name for day in days if (name := self._day_off(day))},
        )

    def _enter(self, job: JobToLay, fixed: bool, plan: WorkPlan) -> None:
        self._taken.update(days_needed(plan))
        self._plans.append((job, fixed, plan))

    def _planned(self, job: JobToLay, day: date) -> WorkPlan:
        """The days of a job from a day on, with what they say about the weather."""
        plan = job.replan(day)
        if plan.forecast:
            bad = (one for one in plan.days if not one.lay)
            self._no_laying |= {one.day: one.against for one in bad if one.day}
        return plan

    def _first_room(self, job: JobToLay, earliest: date) -> WorkPlan | None:
        """The plan from the first day that has room for the job; None if there is none.

        Without the weather, two starts on the same weekday of one quarter need the same days after
        them, so if those are taken the job is not planned again: a long diary would take hours.
        """
        day, last = earliest, max(self._taken, default=earliest)
        alike: dict[tuple[int, int], list[timedelta]] = {}
        while day <= max(last, earliest) + _LOOKED_BEYOND:
            season = (day.weekday(), (day.month - 1) // _MONTHS)
            if not self._free([day, *(day + later for later in alike.get(season, ()))]):
                day += _DAY
                continue
            plan = self._planned(job, day)
            if not plan.forecast:
                alike[season] = [one - day for one in days_needed(plan)]
            if plan.refused is None and self._has_room(plan):
                return plan
            if plan.refused is not None and not plan.forecast:
                return None
            tried = plan.worked[0] if plan.worked else plan.days[-1]
            day = max(day, tried.day or day) + _DAY
        return None

    def _has_room(self, plan: WorkPlan) -> bool:
        return self._free(days_needed(plan))

    def _free(self, days: Iterable[date]) -> bool:
        """Whether a crew is free on all of the days, and none of them is a day off."""
        return all(self._taken[day] < self._crews and not self._day_off(day) for day in days)


def _with_crews(plans: Iterable[tuple[JobToLay, bool, WorkPlan]], crews: int) -> list[LaidJob]:
    """Each job with a crew on each of its days, the one it had before if that is free."""
    plans = list(plans)
    crew_of: dict[tuple[str, date], int | None] = {}
    free: dict[date, list[int]] = {}
    needed = [(day, job.ref) for job, _, plan in plans for day in days_needed(plan)]
    had: dict[str, int] = {}
    for day, ref in sorted(needed, key=lambda one: one[0]):
        left = free.setdefault(day, list(range(1, crews + 1)))
        crew = had[ref] if had.get(ref) in left else next(iter(left), None)
        if crew is not None:
            left.remove(crew)
            had[ref] = crew
        crew_of[ref, day] = crew
    return [
        LaidJob(
            ref=job.ref,
            accepted=job.accepted,
            fixed=fixed,
            forecast=plan.forecast,
            days=tuple(_day(day, crew_of[job.ref, day], plan) for day in days_needed(plan)),
        )
        for job, fixed, plan in plans
    ]


def _day(day: date, crew: int | None, plan: WorkPlan) -> DiaryDay:
    opened, closed = open_between(plan)
    work: WorkDay | None = next((one for one in plan.worked if one.day == day), None)
    spells = work.spells if work else ()
    return DiaryDay(
        day=day,
        crew=crew,
        phases=tuple(dict.fromkeys(spell.phase for spell in spells)),
        hours=Span(spells[0].span.from_h, spells[-1].span.to_h) if spells else None,
        open_tonight=bool(opened and closed and opened <= day < closed),
    )
