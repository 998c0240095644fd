"""The diary as a PDF: a page of the coming weeks for the van, a row for each day."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from itertools import groupby
from typing import Any

from msgspec import Struct

from quotegen import wording
from quotegen.diary.records import Diary, DiaryDay, DiarySubject, LaidJob, Site
from quotegen.documents.drawing.day_chart import clock
from quotegen.documents.printing.design import Design
from quotegen.documents.printing.paper import PictureBox, in_lines, one_line
from quotegen.documents.shared.first_day_words import AGREED, PROVISIONAL
from quotegen.model.issue import Issue
from quotegen.model.weather import Sky, Weather
from quotegen.phrases import capital, listed

MOST_WEEKS = 4
"""The weeks of the page for one crew, fewer for several; what ends later is listed below."""
MOST_LATER = 10
SHEET_IT = "Roof open tonight: sheet it and weight the sheet"
STAY = "No work in this weather, but the roof is open: check the sheet"
NO_CREW = "NO CREW"
NO_DAY_YET = "accepted, day not agreed"
WEEKEND = (5, 6)


class JobCell(Struct, frozen=True):
    """A job on a day: its reference and standing, its place, the work, what to see to.

    On its first day the place is the whole address with the customer, afterwards the street.
    """

    ref: str
    standing: str
    firm: bool
    place: str
    work: str
    notes: str
    warned: str


class DayRow(Struct, frozen=True):
    """A day: its name, the weather, why nothing is done or laid, and a cell for each crew.

    A run of days without job or forecast is one row, and `free`.
    """

    day: str
    monday: bool
    weather: str
    why: str
    crews: tuple[tuple[JobCell, ...], ...]
    free: bool


class LaterRow(Struct, frozen=True):
    """A job that continues or starts after the page: its first and last days."""

    ref: str
    standing: str
    place: str
    days: str


class DiaryView(Struct, frozen=True):
    """Everything the template of the diary shows."""

    dated: str
    revision: str
    firm: str
    weeks: str
    crews: tuple[str, ...]
    rows: tuple[DayRow, ...]
    later: tuple[LaterRow, ...]
    more: str
    left_out: tuple[str, ...]
    forecast_to: str


def diary_view(subject: DiarySubject, issue: Issue) -> DiaryView:
    """The diary in ready words."""
    diary = subject.diary
    shown = _shown_days(diary)
    later = [job for job in diary.laid if job.days[-1].day > shown[-1]]
    named = tuple(f"Crew {n}" for n in range(1, diary.crews + 1))
    clash = any(day.crew is None for job in diary.laid for day in job.days if day.day in shown)
    weather = _by_day(subject.settings.forecast)
    return DiaryView(
        dated=wording.date(issue.issued),
        revision=str(issue.revision),
        firm=subject.settings.text("firm_name"),
        weeks=f"{wording.short_day(shown[0])} to {wording.long_day(shown[-1])}",
        crews=(*named, NO_CREW.capitalize()) if clash else named,
        rows=tuple(_rows(subject, shown, weather, clash)),
        later=tuple(_later(job, subject.sites[job.ref]) for job in later[:MOST_LATER]),
        more=_more(later),
        left_out=tuple(_left_out(diary)),
        forecast_to=wording.short_day(max(weather)) if weather else "",
    )


def standing_in(job: LaidJob) -> str:
    """Whether the days of a job are agreed or provisional."""
    if job.fixed:
        return AGREED
    return NO_DAY_YET if job.accepted else PROVISIONAL


def street_of(site: Site) -> str:
    """The first line of an address."""
    return one_line(in_lines(site.address).partition("\n")[0]).rstrip(",")


def work_words(day: DiaryDay) -> str:
    """What is done on a day, with its hours."""
    if day.hours is None:
        return ""
    hours = f"{clock(day.hours.from_h)} to {clock(day.hours.to_h)}"
    return f"{hours}: {'; '.join(str(phase) for phase in day.phases)}"


def notes_of(job: LaidJob, day: DiaryDay, site: Site) -> Iterator[str]:
    """What comes and goes on a day: goods and hire on the first, off-hire on the last."""
    if day is job.worked[0]:
        if site.suppliers:
            yield f"Delivered before the start: {listed(site.suppliers)}"
        if site.hires:
            yield f"On hire: {'; '.join(site.hires)}"
    if day is job.worked[-1] and site.hires:
        yield f"Off hire when done: {'; '.join(site.hires)}"


def warned_of(day: DiaryDay) -> str:
    """What the night needs, empty where the roof is closed."""
    if not day.open_tonight:
        return ""
    return SHEET_IT if day.phases else STAY


def _shown_days(diary: Diary) -> list[date]:
    """The days of the page: from the day of the diary to the last job's, or what fits a page."""
    last = max((job.days[-1].day for job in diary.laid), default=diary.on)
    weeks = max(1, MOST_WEEKS // diary.crews)
    many = min(7 * weeks, max((last - diary.on).days + 1, 1))
    return [diary.on + timedelta(days=n) for n in range(many)]


def _rows(
    subject: DiarySubject,
    shown: Sequence[date],
    weather: Mapping[date, Sequence[Weather]],
    clash: bool,
) -> Iterator[DayRow]:
    """The rows of the page; Saturdays and Sundays only if there is work on them."""
    diary = subject.diary
    days = [day for day in shown if day.weekday() not in WEEKEND or _jobs_on(diary, day)]

    def alike(day: date) -> tuple[int, object]:
        empty = not (_jobs_on(diary, day) or weather.get(day) or diary.days_off.get(day))
        return day.isocalendar().week, "free" if empty else day

    for _, on_end in groupby(days, alike):
        some = list(on_end)
        yield _row(subject, some, weather.get(some[0], []), clash)


def _row(
    subject: DiarySubject, days: Sequence[date], weather: Sequence[Weather], clash: bool
) -> DayRow:
    diary, day = subject.diary, days[0]
    crews: list[int | None] = [*range(1, diary.crews + 1), *([None] if clash else [])]
    today = _jobs_on(diary, day)
    last = f" to {wording.short_day(days[-1])}" if len(days) > 1 else ""
    return DayRow(
        day=f"{wording.short_day(day)}{last}",
        monday=day.weekday() == 0,
        weather=_weather(weather),
        why=_why(diary, day),
        crews=tuple(
            tuple(_cell(job, one, subject.sites[job.ref]) for job, one in today if one.crew == crew)
            for crew in crews
        ),
        free=not today and day not in diary.days_off,
    )


def _jobs_on(diary: Diary, day: date) -> list[tuple[LaidJob, DiaryDay]]:
    return [(job, one) for job in diary.laid for one in job.days if one.day == day]


def _cell(job: LaidJob, day: DiaryDay, site: Site) -> JobCell:
    people = wording.count(site.people, "person", "people")
    return JobCell(
        ref=job.ref,
        standing=standing_in(job),
        firm=job.fixed,
        place=f"{one_line(site.address)}, {site.customer.name}, {people}"
        if day is job.worked[0]
        else street_of(site),
        work=work_words(day),
        notes=". ".join(notes_of(job, day, site)),
        warned=warned_of(day),
    )


def _why(diary: Diary, day: date) -> str:
    """The name of a day off, or why nothing can be laid that day."""
    if off := diary.days_off.get(day):
        return off
    against = diary.no_laying.get(day, ())
    return f"no laying: {', '.join(against)}" if against else ""


def _by_day(forecast: Sequence[Weather]) -> dict[date, list[Weather]]:
    found: dict[date, list[Weather]] = {}
    for row in forecast:
        found.setdefault(row.day, []).append(row)
    return found


def _weather(rows: Sequence[Weather]) -> str:
    """The air of a day and whether it rains, as forecast; empty without a forecast.

    An hour not marked dry counts as rain.
    """
    if not rows:
        return ""
    air = sorted(row.air_c.number for row in rows if row.air_c)
    wet = [row.sky is not Sky.DRY for row in rows]
    sky = "dry" if not any(wet) else "rain" if all(wet) else "rain at times"
    if not air:
        return capital(sky)
    coldest, warmest = wording.number(air[0]), wording.number(air[-1])
    return f"{capital(sky)}, {coldest} to {warmest} °C"


def _later(job: LaidJob, site: Site) -> LaterRow:
    first, last = (wording.short_day(job.worked[at].day) for at in (0, -1))
    return LaterRow(
        ref=job.ref,
        standing=standing_in(job),
        place=f"{street_of(site)}, {site.customer.name}",
        days=first if first == last else f"{first} to {last}",
    )


def _more(later: Sequence[LaidJob]) -> str:
    if len(later) <= MOST_LATER:
        return ""
    rest = wording.count(len(later) - MOST_LATER, "more job", "more jobs")
    return f"And {rest}, the last ending {wording.long_day(max(j.days[-1].day for j in later))}."


def _left_out(diary: Diary) -> Iterator[str]:
    if diary.past:
        yield (
            f"{listed(diary.past)}: the agreed days are past. If the job is done, put no under "
            "“Make documents?”; if not, give another Start."
        )
    if diary.unplaced:
        yield f"{listed(diary.unplaced)}: no room was found. Check the days of the job."


def _fill(subject: DiarySubject, issue: Issue, _box: PictureBox) -> Mapping[str, Any]:
    return {"diary": diary_view(subject, issue)}


DIARY = Design(
    "Diary",
    "owner/diary.html",
    lambda subject: (subject.first, subject.settings),
    _fill,
    line=lambda subject: f"from {wording.date(subject.diary.on)}",
)
