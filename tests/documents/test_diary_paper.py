"""The papers of the diary: a page for the dash, and a calendar that a telephone can read."""

import re
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
import vobject
from msgspec.structs import replace

from quotegen.app import make_diary
from quotegen.diary.keeping import DIARY_REF
from quotegen.diary.laying import lay_diary
from quotegen.diary.records import Diary, DiarySubject, Site
from quotegen.documents.owner.diary import MOST_LATER, SHEET_IT, STAY, diary_view
from quotegen.documents.owner.diary_calendar import DIARY_CALENDAR
from quotegen.making.issuing import Outcome, State
from quotegen.model.choices import BuildUp, CustomerKind, Occupier
from quotegen.model.enquiry import Customer
from quotegen.model.issue import Issue
from quotegen.working_out import work_out
from tests import builders
from tests.builders import TODAY
from tests.pdfs import whole_text
from tests.safety.diaries import job, no_day_off
from tests.safety.forecasts import FAIR, MONDAY, WET, forecast
from tests.safety.test_diary import ROOF, THURSDAY, TUESDAY, book_of
from tests.test_cli import run

ISSUE = Issue(DIARY_REF, 2, TODAY)
CUSTOMER = Customer("Ms R. Petrel; flat 2, back", CustomerKind.LANDLORD, "9 Gull Row")
SITE = Site(
    CUSTOMER, "4 Kittiwake Street,\nMizzlehaven ZZ1 4AA", Occupier.TENANT, BuildUp.NEW_DECK, 2.0,
    ("Tower hire",), ("Gannet Supplies",),
)  # fmt: skip


def subject_of(diary: Diary, **settings: Any) -> DiarySubject:
    sites = {one.ref: SITE for one in diary.laid}
    firm = builders.settings(**settings)
    weather = forecast(WET, FAIR)
    return DiarySubject(
        DIARY_REF, diary, sites, replace(firm, forecast=weather), builders.enquiry()
    )


def two_jobs(crews: int = 1) -> DiarySubject:
    """One agreed with a wet day under an open roof, one provisional after it."""
    jobs = [job("A", "o.lt", MONDAY), job("B", "bt", accepted=False)]
    return subject_of(lay_diary(jobs, crews, MONDAY, no_day_off))


def calendar_of(subject: DiarySubject, issue: Issue = ISSUE) -> bytes:
    return DIARY_CALENDAR.make(subject, issue, None).content


def events_in(content: bytes) -> Iterator[Any]:
    """The events as another program's parser reads them."""
    yield from vobject.readOne(content.decode()).vevent_list


def test_the_page_says_what_a_day_needs() -> None:
    view = diary_view(two_jobs(), ISSUE)
    cells = [(row.day, job) for row in view.rows for jobs in row.crews for job in jobs]
    assert [(day, job.ref) for day, job in cells] == [
        ("Mon 7 Dec", "A"), ("Tue 8 Dec", "A"), ("Wed 9 Dec", "A"), ("Thu 10 Dec", "A"),
        ("Fri 11 Dec", "B"), ("Mon 14 Dec", "B"),
    ]  # fmt: skip
    assert [job.warned for _, job in cells] == [SHEET_IT, STAY, "", "", "", ""]
    assert [job.standing for _, job in cells] == ["agreed"] * 4 + ["provisional"] * 2
    first, last = cells[0][1], cells[3][1]
    assert first.place == (
        "4 Kittiwake Street, Mizzlehaven ZZ1 4AA, Ms R. Petrel; flat 2, back, 2 people"
    )
    assert first.notes == "Delivered before the start: Gannet Supplies. On hire: Tower hire"
    assert last.notes == "Off hire when done: Tower hire"
    assert first.work == "08:00 to 16:00: strip, deck and edges"
    assert [row.weather for row in view.rows][:3] == [
        "Rain at times, 5 to 10 °C", "Dry, 7 to 11 °C", "",
    ]  # fmt: skip


def test_a_day_off_and_free_days_are_shown() -> None:
    jobs = [job("A", "b", THURSDAY)]
    diary = lay_diary(jobs, 1, MONDAY, lambda day: "Boxing Day" if day == TUESDAY else "")
    plain = subject_of(diary)
    rows = diary_view(replace(plain, settings=builders.settings()), ISSUE).rows
    assert [(row.day, row.why, row.free) for row in rows] == [
        ("Mon 7 Dec", "", True), ("Tue 8 Dec", "Boxing Day", False),
        ("Wed 9 Dec", "", True), ("Thu 10 Dec", "", False),
    ]  # fmt: skip


def test_a_clash_has_a_column_of_its_own() -> None:
    diary = lay_diary([job("A", "b", MONDAY), job("B", "b", MONDAY)], 1, MONDAY, no_day_off)
    view = diary_view(subject_of(diary), ISSUE)
    assert view.crews == ("Crew 1", "No crew")
    assert [[one.ref for one in jobs] for jobs in view.rows[0].crews] == [["A"], ["B"]]


def test_jobs_after_the_page_are_listed_and_counted() -> None:
    jobs = [job(f"J{n:02}", "bttt", dated=MONDAY + timedelta(days=n)) for n in range(17)]
    view = diary_view(subject_of(lay_diary(jobs, 1, MONDAY, no_day_off)), ISSUE)
    on_page = {job.ref for row in view.rows for jobs in row.crews for job in jobs}
    assert len(on_page) == 5, "four weeks of five days, four days a job"
    assert len(view.later) == MOST_LATER
    assert view.more.startswith("And 2 more jobs")


def test_a_job_that_runs_off_the_page_is_among_the_later_ones() -> None:
    """It begins on the last Friday of the page."""
    start = MONDAY + timedelta(days=25)
    view = diary_view(subject_of(lay_diary([job("A", "bt", start)], 1, MONDAY, no_day_off)), ISSUE)
    assert view.rows[-1].crews[0][0].ref == "A"
    assert [(row.ref, row.days) for row in view.later] == [("A", "Fri 1 Jan to Mon 4 Jan")]


@pytest.mark.parametrize(("crews", "weeks"), [(1, 4), (2, 2), (3, 1), (6, 1)])
def test_the_more_crews_the_fewer_weeks(crews: int, weeks: int) -> None:
    """A row grows with its crews, and the page stays one."""
    jobs = [job(f"J{n:02}", "bttt") for n in range(50)]
    rows = diary_view(subject_of(lay_diary(jobs, crews, MONDAY, no_day_off)), ISSUE).rows
    assert len(rows) == weeks * 5


# RFC 5545: 3.1 lines end in CRLF and hold 75 octets at most, folded by a space or tab; 3.3.11 text
# escapes backslash, semicolon, comma and line break; 3.6.1 an event has one UID and one DTSTAMP;
# 3.6.5 a TZID has its VTIMEZONE; 3.8.1.11 the states of an event.


def test_the_calendar_keeps_the_rules_of_its_lines() -> None:
    content = calendar_of(two_jobs())
    assert content.endswith(b"\r\n")
    lines = content[:-2].split(b"\r\n")
    assert not any(b"\n" in line or b"\r" in line for line in lines)
    assert max(map(len, lines)) <= 75
    whole = re.sub(rb"\r\n[ \t]", b"", content).decode()
    properties = [line for line in whole.split("\r\n") if line]
    assert properties[0] == "BEGIN:VCALENDAR"
    assert properties[-1] == "END:VCALENDAR"
    assert all(re.match(r"[A-Z-]+(;[A-Z-]+=[^:;]+)*:", line) for line in properties)
    for name in ("VERSION:2.0", "CALSCALE:GREGORIAN", "METHOD:PUBLISH"):
        assert properties.count(name) == 1
    assert properties.count("TZID:Europe/London") == 1
    text = next(line for line in properties if line.startswith("DESCRIPTION"))
    assert "Ms R. Petrel\\; flat 2\\, back" in text
    assert "\\n" in text
    for event in whole.split("BEGIN:VEVENT")[1:]:
        for once in ("UID:", "DTSTAMP:", "SEQUENCE:", "DTSTART;TZID=Europe/London:", "STATUS:"):
            assert event.count(f"\r\n{once}") == 1


def test_another_parser_reads_the_days() -> None:
    """By vobject, which shares nothing with the library that writes the file."""
    events = list(events_in(calendar_of(two_jobs())))
    london = ZoneInfo("Europe/London")
    found = [(one.dtstart.value.astimezone(london), one.status.value) for one in events]
    worked = [(7, "CONFIRMED"), (9, "CONFIRMED"), (10, "CONFIRMED"), (11, "TENTATIVE"),
              (14, "TENTATIVE")]  # fmt: skip
    assert found == [(datetime(2026, 12, day, 8, tzinfo=london), status) for day, status in worked]
    assert {one.dtend.value - one.dtstart.value for one in events} == {timedelta(hours=8)}
    assert events[0].location.value == "4 Kittiwake Street, Mizzlehaven ZZ1 4AA"
    assert events[0].summary.value == "A, 4 Kittiwake Street, day 1 of 3"
    assert "Ms R. Petrel; flat 2, back: new deck" in events[0].description.value.split("\n")
    assert SHEET_IT in events[0].description.value


@pytest.mark.parametrize(("day", "hours"), [(date(2026, 12, 7), 0), (date(2026, 6, 8), 1)])
def test_eight_o_clock_is_eight_o_clock_in_summer_too(day: date, hours: int) -> None:
    """By hand: London is an hour before Greenwich in June, and with it in December."""
    content = calendar_of(subject_of(lay_diary([job("A", "b", day)], 1, day, no_day_off)))
    start = next(events_in(content)).dtstart.value
    assert start.utcoffset() == timedelta(hours=hours)
    assert (start.hour, start.date()) == (8, day)


def test_events_keep_their_marks_and_nothing_depends_on_the_clock() -> None:
    before, after = two_jobs(), subject_of(
        lay_diary([job("A", "o.lt", MONDAY + timedelta(days=7))], 1, MONDAY, no_day_off)
    )  # fmt: skip
    assert calendar_of(before) == calendar_of(two_jobs())
    moved = {
        one.uid.value: one for one in events_in(calendar_of(after, replace(ISSUE, revision=3)))
    }
    first = list(events_in(calendar_of(before)))
    assert len({one.uid.value for one in first}) == len(first)
    assert set(moved) == {one.uid.value for one in first[:3]}, "the same days of the same job"
    assert {one.sequence.value for one in first} == {"2"}
    assert {one.sequence.value for one in moved.values()} == {"3"}
    assert {f"{one.dtstamp.value:%Y%m%d %H%M}" for one in first} == {f"{TODAY:%Y%m%d} 0000"}


# From the workbook to the files.


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[Outcome]]:
    """Two roofs in a fair week, the first agreed for Thursday."""
    book = book_of(
        tmp_path_factory.mktemp("diary"),
        {**ROOF, "ref": "A", "start_on": THURSDAY},
        {**ROOF, "ref": "B"},
    )
    return book, make_diary(work_out(book, (), TODAY), book.parent / "papers", TODAY)


def test_both_papers_are_made_and_say_the_same_days(made: tuple[Path, list[Outcome]]) -> None:
    _, outcomes = made
    assert [(o.state, o.layout_warnings, o.problems) for o in outcomes] == [
        (State.MADE, (), ())
    ] * 2
    page, calendar = (o.path for o in outcomes)
    assert page is not None
    assert calendar is not None
    text = whole_text(page.read_bytes())
    for event in events_in(calendar.read_bytes()):
        day = event.dtstart.value
        assert f"{day:%a} {day.day} {day:%b}" in text
        assert event.summary.value.partition(",")[0] in text


def test_the_same_day_makes_nothing_new(made: tuple[Path, list[Outcome]]) -> None:
    book, _ = made
    again = run("diary", book, "--on", str(TODAY))
    assert again.exit_code == 0
    assert "2 unchanged" in again.stdout


@pytest.mark.usefixtures("undrawn")
def test_the_whole_set_has_the_diary_and_one_job_has_not(
    made: tuple[Path, list[Outcome]],
) -> None:
    book, _ = made
    out = book.parent / "all"
    assert "calendar r0" in run("job", book, "--on", str(TODAY), "--out", out).stdout
    alone = run("job", book, "--ref", "A", "--on", str(TODAY), "--out", book.parent / "one")
    assert "calendar" not in alone.stdout


def test_a_workbook_without_jobs_has_no_diary(tmp_path: Path) -> None:
    said = run("diary", book_of(tmp_path, {**ROOF, "make_documents": "no"}), "--on", str(TODAY))
    assert (said.exit_code, said.stdout.strip()) == (
        0, "No row on Enquiries is filled in and marked for papers.",
    )  # fmt: skip
