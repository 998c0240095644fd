"""The firm's diary: agreed days stand, every other job has the first gap, and no crew is at two."""

import json
from collections import Counter
from collections.abc import Sequence
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen import wording
from quotegen.days.days_off import bank_holiday
from quotegen.diary.clashes import check_clashes, days_needed
from quotegen.diary.laying import lay_diary
from quotegen.diary.records import Diary, FixedJob, JobToLay
from quotegen.making.papers import diary_of, ready_for
from quotegen.model.takeoff import Phase
from quotegen.problems import Place
from quotegen.working_out import check_workbook, work_out
from tests import builders
from tests.builders import TODAY
from tests.safety.diaries import job, no_day_off, plan_from
from tests.safety.forecasts import DEW, FAIR, MONDAY, WET, Reading
from tests.test_app import SURVEYED
from tests.test_app import write_book as write_app_book
from tests.test_cli import run
from tests.workbook.books import at, setting_cell, type_into

TUESDAY, WEDNESDAY, THURSDAY, FRIDAY = (MONDAY + timedelta(days=n) for n in range(1, 5))
NEXT_MONDAY = MONDAY + timedelta(days=7)

Laid = dict[str, list[date]]


def laid(*jobs: JobToLay, crews: int = 1, on: date = MONDAY) -> Laid:
    return days_of(lay_diary(jobs, crews, on, no_day_off))


def days_of(diary: Diary) -> Laid:
    return {one.ref: [day.day for day in one.days] for one in diary.laid}


# By hand, a weekday a letter; common practice, no source.


def test_an_agreed_day_stands_and_the_others_go_round_it() -> None:
    found = laid(job("A", "bt"), job("B", "bt", TUESDAY))
    assert found == {"B": [TUESDAY, WEDNESDAY], "A": [THURSDAY, FRIDAY]}


def test_accepted_comes_before_provisional_and_old_before_new() -> None:
    older = MONDAY - timedelta(days=3)
    found = laid(
        job("provisional", "b", accepted=False, dated=older - timedelta(days=9)),
        job("new", "b"),
        job("old", "b", dated=older),
    )
    assert found == {"old": [MONDAY], "new": [TUESDAY], "provisional": [WEDNESDAY]}


def test_while_the_laminate_cures_the_crew_may_be_elsewhere() -> None:
    found = laid(job("A", "b.t", MONDAY), job("B", "b"))
    assert found == {"A": [MONDAY, WEDNESDAY], "B": [TUESDAY]}


def test_an_open_roof_is_not_left_for_another() -> None:
    """Opened on Monday, laminated on Wednesday: Tuesday belongs to it, work or no work."""
    diary = lay_diary([job("A", "o.lt", MONDAY), job("B", "b")], 1, MONDAY, no_day_off)
    assert days_of(diary)["B"] == [FRIDAY]
    nights = [(day.day, bool(day.phases), day.open_tonight) for day in diary.laid[0].days]
    assert nights == [
        (MONDAY, True, True),
        (TUESDAY, False, True),
        (WEDNESDAY, True, False),
        (THURSDAY, True, False),
    ]


def test_no_work_on_a_day_off() -> None:
    diary = lay_diary([job("A", "bt")], 1, MONDAY, lambda day: "off" if day == TUESDAY else "")
    assert days_of(diary) == {"A": [WEDNESDAY, THURSDAY]}
    assert diary.days_off == {TUESDAY: "off"}


def test_what_is_over_is_not_laid_again_and_what_has_begun_goes_on() -> None:
    diary = lay_diary(
        [job("done", "bt", MONDAY), job("begun", "bt", TUESDAY), job("next", "b")],
        1, WEDNESDAY, no_day_off,
    )  # fmt: skip
    assert diary.past == ("done",)
    assert days_of(diary) == {"begun": [TUESDAY, WEDNESDAY], "next": [THURSDAY]}


def test_agreed_jobs_stand_even_where_no_crew_is_free() -> None:
    diary = lay_diary([job("A", "b", MONDAY), job("B", "b", MONDAY)], 1, MONDAY, no_day_off)
    assert [(one.ref, one.days[0].crew) for one in diary.laid] == [("A", 1), ("B", None)]


def test_a_job_longer_than_every_gap_is_not_placed() -> None:
    off = lay_diary([job("A", "bt")], 1, MONDAY, lambda day: "off" if day.weekday() != 2 else "")
    assert (off.laid, off.unplaced) == ((), ("A",))


def test_a_second_crew_works_beside_the_first() -> None:
    found = laid(job("A", "bt"), job("B", "bt"), job("C", "b"), crews=2)
    assert found == {"A": [MONDAY, TUESDAY], "B": [MONDAY, TUESDAY], "C": [WEDNESDAY]}


# Properties over sets of jobs.

LINES = st.sampled_from(["b", "bt", "b.t", "b..t", "olt", "ool.t", "o.l", "bttt"])
STARTS = st.none() | st.integers(0, 12).map(lambda n: MONDAY + timedelta(days=n))


@st.composite
def job_lists(draw: st.DrawFn) -> list[JobToLay]:
    many = draw(st.integers(1, 8))
    return [
        job(
            f"J{n}",
            draw(LINES),
            draw(STARTS),
            accepted=draw(st.booleans()),
            dated=MONDAY - timedelta(days=draw(st.integers(0, 3))),
        )
        for n in range(many)
    ]


@given(job_lists(), st.integers(1, 3))
def test_no_day_has_more_jobs_than_crews(jobs: list[JobToLay], crews: int) -> None:
    diary = lay_diary(jobs, crews, MONDAY, no_day_off)
    fixed = Counter(day.day for one in diary.laid if one.fixed for day in one.days)
    for day, many in Counter(day.day for one in diary.laid for day in one.days).items():
        assert many <= max(crews, fixed[day]), "only agreed jobs may clash"
    at_work = [(day.day, day.crew) for one in diary.laid for day in one.days if day.crew]
    assert len(set(at_work)) == len(at_work), "no crew at two jobs"
    assert {one.ref for one in jobs} == {one.ref for one in diary.laid}


@given(job_lists(), st.integers(1, 3))
def test_starts_are_kept(jobs: list[JobToLay], crews: int) -> None:
    diary = lay_diary(jobs, crews, MONDAY, no_day_off)
    for one in jobs:
        found = next(each for each in diary.laid if each.ref == one.ref)
        assert found.days[0].day >= (one.start_on or MONDAY)
        assert all(day.day.weekday() < 5 for day in found.worked)
        on_weekday = one.start_on is not None and one.start_on.weekday() < 5
        assert found.fixed == (one.accepted and on_weekday)
        if found.fixed:
            assert found.days[0].day == one.start_on
        # The days are those of its own plan, from wherever it begins.
        lines = days_needed(one.replan(found.days[0].day))
        assert tuple(day.day for day in found.days) == lines


@given(job_lists(), st.integers(1, 3))
def test_a_clash_is_told_exactly_where_an_agreed_job_has_no_crew(
    jobs: list[JobToLay], crews: int
) -> None:
    diary = lay_diary(jobs, crews, MONDAY, no_day_off)
    place = Place("jobs.xlsx", "Enquiries", "A2", "Start")
    agreed = [
        FixedJob(one.ref, place, tuple(day.day for day in one.days))
        for one in diary.laid
        if one.fixed
    ]
    told = check_clashes(agreed, builders.settings(crews=crews))
    without = {day.day for one in diary.laid for day in one.days if day.crew is None}
    assert bool(told) == bool(without)
    assert {p.seen for p in told} <= {wording.short_day(day) for day in without}


@given(job_lists(), st.integers(1, 3))
def test_the_same_jobs_give_the_same_diary(jobs: list[JobToLay], crews: int) -> None:
    assert lay_diary(jobs, crews, MONDAY, no_day_off) == lay_diary(jobs, crews, MONDAY, no_day_off)


@given(job_lists(), st.integers(1, 7))
def test_with_a_crew_for_every_job_none_ends_later(jobs: list[JobToLay], crews: int) -> None:
    """One crew more may end a job later: where another takes its gap. A crew each never does."""
    few, each = laid(*jobs, crews=crews), laid(*jobs, crews=len(jobs))
    if crews <= len(jobs):
        assert all(each[ref][-1] <= few[ref][-1] for ref in few)


def test_one_crew_more_may_end_a_job_later() -> None:
    """Found by trying, then by hand: `C` and `D` move up, and take Tuesday from `E`.

    One crew: A Monday, C and D after B's Wednesday to Friday, so E has Tuesday. Two crews: A and C
    on Monday, C and D on Tuesday, so E has to wait.
    """
    jobs = [
        job("B", "olt", WEDNESDAY, accepted=False),
        *(job(ref, line, accepted=False) for ref, line in
          [("A", "b"), ("C", "bt"), ("D", "b..t"), ("E", "b")]),
    ]  # fmt: skip
    assert (laid(*jobs)["E"], laid(*jobs, crews=2)["E"]) == ([TUESDAY], [WEDNESDAY])


# gov.uk/bank-holidays, England and Wales, as published for 2026 to 2028; substitute days included.
PUBLISHED = [
    "2026-01-01", "2026-04-03", "2026-04-06", "2026-05-04", "2026-05-25", "2026-08-31",
    "2026-12-25", "2026-12-28",
    "2027-01-01", "2027-03-26", "2027-03-29", "2027-05-03", "2027-05-31", "2027-08-30",
    "2027-12-27", "2027-12-28",
    "2028-01-03", "2028-04-14", "2028-04-17", "2028-05-01", "2028-05-29", "2028-08-28",
    "2028-12-25", "2028-12-26",
]  # fmt: skip


def test_bank_holidays_are_those_published() -> None:
    """A weekday is a bank holiday exactly where the government's list has it."""
    first = date(2026, 1, 1)
    days = [first + timedelta(days=n) for n in range((date(2029, 1, 1) - first).days)]
    found = [day.isoformat() for day in days if bank_holiday(day) and day.weekday() < 5]
    assert found == PUBLISHED


# Three accepted roofs, one crew and a wet week, from the workbook on.

ROOF: dict[str, Any] = {**SURVEYED, "accepted": "new deck", "deck_c": 11}
WET_WEEK = (WET, FAIR, WET, DEW, FAIR, FAIR, FAIR, FAIR, FAIR, WET, FAIR, FAIR, FAIR, FAIR, FAIR)
"""From Monday 7 December: a wet Monday and Wednesday, dew on Thursday, a wet Wednesday after."""


def book_of(folder: Path, *rows: dict[str, Any], week: Sequence[Sequence[Reading]] = ()) -> Path:
    book = write_app_book(folder, *rows)
    cells: dict[str, Any] = {}
    lines = [(n, reading) for n, day in enumerate(week) for reading in day]
    for line, (n, (hour, air, humidity, sky)) in enumerate(lines, start=2):
        values = {
            "day": MONDAY + timedelta(days=n), "from_hour": hour, "air_c": air,
            "humidity_pct": humidity, "sky": str(sky),
        }  # fmt: skip
        cells |= {at("Forecast", field, line): value for field, value in values.items()}
    type_into(book, cells)
    return book


def diary_in(book: Path) -> Diary:
    batch = work_out(book, (), TODAY)
    ready = [one for one in (ready_for(w, batch.prices) for w in batch.worked) if one]
    return diary_of(ready, TODAY).diary


def test_three_roofs_one_crew_and_a_wet_week(tmp_path: Path) -> None:
    book = book_of(
        tmp_path,
        {**ROOF, "ref": "C", "dated": TODAY, "site_address": "8 Auk Rise, Mizzlehaven"},
        {**ROOF, "ref": "A", "dated": TODAY - timedelta(days=9)},
        {**ROOF, "ref": "B", "dated": TODAY - timedelta(days=5)},
        {**ROOF, "ref": "no papers", "dated": TODAY - timedelta(days=20), "make_documents": "no"},
        week=WET_WEEK,
    )
    diary = diary_in(book)
    found = {one.ref: [day.day for day in one.worked] for one in diary.laid}
    assert list(found) == ["A", "B", "C"], "the oldest first, and nothing for a row left out"
    days = [day for each in found.values() for day in each]
    assert len(set(days)) == len(days), "one crew is never at two roofs"
    wet = {MONDAY + timedelta(days=n) for n, day in enumerate(WET_WEEK) if day is WET}
    assert wet.isdisjoint(days)
    assert all(day.weekday() < 5 and not bank_holiday(day) for day in days)
    for one in diary.laid:
        lay = max(day.day for day in one.days if Phase.LAY in day.phases)
        coat = min(day.day for day in one.days if Phase.COAT in day.phases)
        assert lay <= coat
        assert not any(day.open_tonight for day in one.days), "small roofs are closed the same day"


def test_two_agreed_on_one_day_is_a_problem_with_both_cells(tmp_path: Path) -> None:
    start = {"start_on": THURSDAY}
    book = book_of(tmp_path, {**ROOF, **start, "ref": "A"}, {**ROOF, **start, "ref": "B"})
    found = json.loads(run("check", book, "--json", "--on", str(TODAY)).stdout)
    clash = next(p for p in found if p["code"] == "crews-clash")
    cells = [at("Enquiries", "start_on", line).partition("!")[2] for line in (2, 3)]
    assert (clash["ref"], clash["cell"], clash["seen"]) == ("B", cells[1], "Thu 10 Dec")
    assert clash["message"] == (
        f"A and B (Start in {cells[0]} and {cells[1]}) both begin on Thu 10 Dec, with only 1 crew"
    )
    assert clash["cure"].endswith("or put 2 crews on the Business sheet.")
    type_into(book, {setting_cell("crews"): 2})
    assert "crews-clash" not in [p.code for p in check_workbook(book, (), TODAY)]


@pytest.mark.parametrize("changes", [{"accepted": None}, {"start_on": None}])
def test_a_provisional_job_clashes_with_nobody(tmp_path: Path, changes: dict[str, Any]) -> None:
    rows = [{**ROOF, "ref": "A", "start_on": THURSDAY},
            {**ROOF, "ref": "B", "start_on": THURSDAY, **changes}]  # fmt: skip
    kept = [{k: v for k, v in row.items() if v is not None} for row in rows]
    book = book_of(tmp_path, *kept)
    assert "crews-clash" not in [p.code for p in check_workbook(book, (), TODAY)]
    assert [one.fixed for one in diary_in(book).laid if one.ref == "A"] == [True]


@pytest.mark.parametrize("refs", [(), ("B",)])
def test_the_papers_of_no_job_begin_on_a_day_agreed_with_another(
    tmp_path: Path, refs: tuple[str, ...]
) -> None:
    """One crew: the second job, wanted on the same day, is planned on days of its own.

    So it is too where it alone is asked for.
    """
    rows = [{**ROOF, "ref": "A", "start_on": THURSDAY},
            {**ROOF, "ref": "B", "start_on": THURSDAY, "accepted": None}]  # fmt: skip
    kept = [{k: v for k, v in row.items() if v is not None} for row in rows]
    book = book_of(tmp_path, *kept)

    def days_of(ref: str, crews: int = 1) -> set[date]:
        type_into(book, {setting_cell("crews"): crews})
        (made,) = [w.statement for w in work_out(book, (), TODAY, refs).worked if w.ref == ref]
        assert made
        return {day.day for day in made.days.worked if day.day}

    assert THURSDAY not in days_of("B")
    assert THURSDAY in days_of("B", crews=2)
    if not refs:
        assert THURSDAY in days_of("A")
        assert days_of("A").isdisjoint(days_of("B"))


def test_no_paper_plans_work_on_a_bank_holiday(tmp_path: Path) -> None:
    """Christmas Day 2026 is a Friday, and Monday the 28th the day for Boxing Day (gov.uk)."""
    eve = date(2026, 12, 24)
    book = book_of(tmp_path, {**ROOF, "ref": "A", "start_on": eve, "if_longer": "keep the price"})
    (worked,) = work_out(book, (), TODAY).worked
    assert worked.statement, worked.problems
    days = [day.day for day in worked.statement.days.worked]
    assert days[0] == eve
    assert len(days) > 1
    assert not {date(2026, 12, 25), date(2026, 12, 28)} & set(days)


def test_plans_made_by_hand_are_as_they_look() -> None:
    """The helper itself: Friday, then over the weekend to Monday."""
    assert [day.day for day in plan_from("b.t", FRIDAY).worked] == [
        FRIDAY, NEXT_MONDAY + timedelta(days=1),
    ]  # fmt: skip
