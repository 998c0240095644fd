"""The diary as a calendar file (RFC 5545), to import on a phone: one event for each working day.

An event keeps its mark (UID) from one revision to the next; its sequence number is that of the
revision, and its stamp the day of it, so the same diary gives the same bytes.
"""

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING, ClassVar
from uuid import NAMESPACE_URL, uuid5
from zoneinfo import ZoneInfo

from quotegen.diary.records import DiaryDay, DiarySubject, LaidJob, Site
from quotegen.documents.owner.diary import notes_of, standing_in, street_of, warned_of, work_words
from quotegen.documents.printing.design import Making
from quotegen.documents.printing.paper import PictureBox, one_line
from quotegen.documents.printing.pdf import Rendered
from quotegen.model.issue import Issue
from quotegen.phrases import capital

if TYPE_CHECKING:
    from icalendar import Event

PRODUCT = "-//quotegen//diary//EN"
_LONDON = ZoneInfo("Europe/London")
_MIDNIGHT = time(tzinfo=UTC)


class DiaryCalendar(Making):
    """The maker of the calendar file."""

    title: ClassVar[str] = "Calendar"
    suffix: ClassVar[str] = ".ics"
    template: ClassVar[str] = ""

    def said(self, subject: DiarySubject, issue: Issue, _box: PictureBox) -> str:
        """The calendar itself, which tells a new revision from the last."""
        return _calendar(subject, issue).decode()

    def drawn(self, said: str, _subject: DiarySubject, _issue: Issue, _box: PictureBox) -> Rendered:
        """The calendar file."""
        return Rendered(said.encode(), (), 1)


DIARY_CALENDAR = DiaryCalendar()


def _calendar(subject: DiarySubject, issue: Issue) -> bytes:
    from icalendar import Calendar  # noqa: PLC0415 - for this paper alone

    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", "PUBLISH")
    days = []
    for job in subject.diary.laid:
        for number, day in enumerate(job.worked, 1):
            calendar.add_component(_event(subject, issue, job, number, day))
            days.append(day.day)
    if days:
        year = timedelta(days=366)
        calendar.add_missing_timezones(min(days) - year, max(days) + year)
    content: bytes = calendar.to_ical()
    return content


def _event(
    subject: DiarySubject, issue: Issue, job: LaidJob, number: int, day: DiaryDay
) -> "Event":
    from icalendar import Event  # noqa: PLC0415

    if day.hours is None:
        raise TypeError(f"a working day without hours: {job.ref}, {day.day}")
    site = subject.sites[job.ref]
    event = Event()
    event.add("uid", _mark(subject, job.ref, number))
    event.add("dtstamp", datetime.combine(issue.issued, _MIDNIGHT))
    event.add("sequence", issue.revision)
    event.add("dtstart", _at(day.day, day.hours.from_h))
    event.add("dtend", _at(day.day, day.hours.to_h))
    which = f"day {number} of {len(job.worked)}{_unless_fixed(job)}"
    event.add("summary", f"{job.ref}, {street_of(site)}, {which}")
    event.add("location", one_line(site.address))
    event.add("description", "\n".join(_description(subject, job, day, site)))
    event.add("status", "CONFIRMED" if job.fixed else "TENTATIVE")
    event.add("transp", "OPAQUE")
    return event


def _mark(subject: DiarySubject, ref: str, number: int) -> str:
    """The mark of a working day of a job: the same each time the diary is made."""
    firm = subject.settings.text("firm_name")
    return str(uuid5(NAMESPACE_URL, f"{firm}\n{ref}\n{number}"))


def _at(day: date, hour: float) -> datetime:
    minutes = round(hour * 60)
    return datetime.combine(day, time(minutes // 60, minutes % 60, tzinfo=_LONDON))


def _unless_fixed(job: LaidJob) -> str:
    return "" if job.fixed else f" ({standing_in(job)})"


def _description(subject: DiarySubject, job: LaidJob, day: DiaryDay, site: Site) -> Iterator[str]:
    yield work_words(day)
    yield f"{site.customer.name}: {site.build_up}"
    if subject.diary.crews > 1:
        yield f"Crew {day.crew}" if day.crew else "No crew is free"
    if not job.forecast:
        yield "Planned without a forecast"
    yield from notes_of(job, day, site)
    if warned := warned_of(day):
        yield capital(warned)
