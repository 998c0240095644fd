"""Which papers are due when: each state of a row makes exactly its papers, and loses none.

The states are the owner's way of working: quote, yes, start agreed, the eve, the end. Common
practice, no source; the dates below are counted on a calendar of 2026.
"""

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from quotegen.making.moments import (
    PAPERS_OF,
    STAYS_FROM,
    JobMoment,
    RowPapers,
    moment_of,
    named_papers,
    papers_at,
)
from quotegen.making.papers import PAPER_KINDS, FirmPaper, Paper, Ready
from quotegen.model.choices import BuildUp, Household, Occupier
from quotegen.model.prestart.record import BeforeItem, Gate, Payer
from quotegen.model.safety import Known, MethodStatement
from quotegen.reference.rule_keys import BeforeKey
from quotegen.register.store import Register
from tests.builders import TODAY
from tests.documents.said_papers import ready_of
from tests.safety import jobs
from tests.test_app import SURVEYED, write_book
from tests.test_cli import run

MONDAY = date(2026, 12, 7)
FRIDAY = date(2026, 12, 4)
ROW: dict[str, Any] = {
    **SURVEYED, "access": "tower", "room_for_tower": "yes", "heated_below": "no",
    "occupier": "tenant", "build_ups": "new deck",
}  # fmt: skip
YES = {**ROW, "accepted": "new deck"}
AGREED = {**YES, "start_on": MONDAY}
STEPS: tuple[tuple[dict[str, Any], date, JobMoment], ...] = (
    (ROW, TODAY, JobMoment.QUOTE),
    (ROW, date(2026, 11, 26), JobMoment.QUOTE),
    (YES, date(2026, 11, 27), JobMoment.ACCEPTED),
    (AGREED, date(2026, 11, 30), JobMoment.AGREED),
    (AGREED, FRIDAY, JobMoment.EVE),
    (AGREED, date(2026, 12, 8), JobMoment.END),
    (AGREED, date(2026, 12, 9), JobMoment.END),
)
"""A row as it is filled in, day by day, and the moment it has come to."""


def accepted_job(**changes: Any) -> Ready:
    """A job accepted, with a start on a Monday; nothing open."""
    ready = ready_of(
        jobs.plain_enquiry(
            build_ups=(BuildUp.NEW_DECK,),
            accepted=BuildUp.NEW_DECK,
            start_on=MONDAY,
            occupier=Occupier.TENANT,
            household=(Household.NONE,),
            **changes,
        ),
        jobs.SETTINGS,
    )
    assert ready is not None
    statement = replace(ready.statement, before=replace(ready.statement.before, items=()))
    return replace(ready, statement=statement)


def test_every_paper_is_due_once() -> None:
    due = [paper for papers in PAPERS_OF.values() for paper in papers]
    assert sorted(due) == sorted(Paper)
    order = list(JobMoment)
    for paper, moment in STAYS_FROM.items():
        (own,) = [one for one, papers in PAPERS_OF.items() if paper in papers]
        assert order.index(own) < order.index(moment), paper


@pytest.fixture(scope="module")
def agreed() -> MethodStatement:
    return accepted_job().statement


@pytest.mark.parametrize(
    ("on", "moment"),
    [
        (date(2026, 12, 3), JobMoment.AGREED),
        (FRIDAY, JobMoment.EVE),
        (date(2026, 12, 6), JobMoment.EVE),
        (MONDAY, JobMoment.EVE),
        (date(2026, 12, 8), JobMoment.END),
    ],
)
def test_the_moments_of_an_agreed_job(agreed: MethodStatement, on: date, moment: JobMoment) -> None:
    """The eve of a Monday is the Friday, the last day anybody loads a van."""
    assert moment_of(agreed, on)[0] is moment


def test_the_moments_before_a_start_is_agreed(agreed: MethodStatement) -> None:
    def at(statement: MethodStatement) -> tuple[JobMoment, str]:
        return moment_of(statement, FRIDAY)

    open_item = BeforeItem(
        BeforeKey.SCAFFOLDER, True, Gate.START, Payer.IN_PRICE, None, None, None, None,
        MONDAY, False, None,
    )  # fmt: skip
    waiting = replace(agreed, before=replace(agreed.before, items=(open_item,)))
    no_start = replace(agreed, enquiry=replace(agreed.enquiry, start_on=None))
    on_sunday = replace(agreed, enquiry=replace(agreed.enquiry, start_on=date(2026, 12, 6)))
    asked_for = replace(agreed, accepted=False)
    assert at(asked_for) == (JobMoment.QUOTE, "no build-up is accepted")
    assert at(no_start) == (JobMoment.ACCEPTED, "new deck is accepted; Start is blank")
    assert at(waiting)[0] is JobMoment.ACCEPTED
    assert "waiting for the scaffolder" in at(waiting)[1]
    assert at(on_sunday)[0] is JobMoment.ACCEPTED
    assert "does not fit on Sunday 6 December" in at(on_sunday)[1]
    assert moment_of(no_start, FRIDAY, done=True)[0] is JobMoment.END
    assert moment_of(asked_for, FRIDAY, done=True)[0] is JobMoment.QUOTE


def test_a_job_of_one_day_ends_on_it(agreed: MethodStatement) -> None:
    one = replace(agreed.days, days=agreed.days.worked[:1])
    assert moment_of(replace(agreed, days=one), MONDAY)[0] is JobMoment.END


def due(ready: Ready, moment: JobMoment, issued: Callable[[Paper], bool]) -> RowPapers:
    return papers_at(ready, moment, "", issued)


def test_each_moment_makes_exactly_its_papers() -> None:
    """On the first run of all, at each moment, in the order a reader would name them."""
    ready = accepted_job()
    asked = replace(ready, statement=replace(ready.statement, accepted=False))

    def never(_paper: Paper) -> bool:
        return False

    quote = {Paper.QUOTE, Paper.EMAIL, Paper.COST_SHEET}
    statement = {
        Paper.METHOD, Paper.PHASE_PLAN, Paper.ORDER, Paper.ORDER_BOOK, Paper.CUTTING_LIST,
    }  # fmt: skip
    start = {Paper.TENANT_NOTICE, Paper.START_EMAIL}
    crew = {Paper.VAN_LIST, Paper.DAY_SHEET, Paper.SITE_CARD}
    assert set(due(asked, JobMoment.QUOTE, never).papers) == quote
    got = set(due(ready, JobMoment.ACCEPTED, never).papers)
    assert got == {Paper.QUOTE, *statement, Paper.ACCEPTED_EMAIL}
    assert set(due(ready, JobMoment.AGREED, never).papers) == {Paper.QUOTE, *statement, *start}
    eve = due(ready, JobMoment.EVE, never)
    assert set(eve.papers) == {Paper.QUOTE, *statement, *start, *crew}
    assert eve.stay == frozenset()
    end = due(ready, JobMoment.END, never)
    assert set(end.papers) == {Paper.QUOTE, Paper.HAND_OVER, Paper.VARIATION_SLIP}


NOT_OF_THE_ROW = {Paper.SURVEY_SHEET, Paper.CANCELLATION}
"""The row is known well enough to need no survey, and no business has a consumer's right."""


def test_what_was_issued_stays_from_its_moment_on() -> None:
    ready = accepted_job()
    eve = due(ready, JobMoment.EVE, lambda _paper: True)
    assert eve.stay == {
        Paper.QUOTE, Paper.CANCELLATION, Paper.EMAIL, Paper.COST_SHEET, Paper.ACCEPTED_EMAIL,
    }  # fmt: skip
    end = due(ready, JobMoment.END, lambda _paper: True)
    assert set(end.papers) - end.stay == {Paper.HAND_OVER, Paper.VARIATION_SLIP}
    assert set(end.papers) == set(Paper), "nothing that was issued is lost from the list"


@pytest.mark.usefixtures("undrawn")
def test_a_row_moves_through_its_moments_and_issues_nothing_twice(tmp_path: Path) -> None:
    issued: dict[str, int] = {}
    for row, on, moment in STEPS:
        book = write_book(tmp_path, row)
        made = run("job", book, "--ref", "T-01", "--on", str(on))
        assert made.exit_code == 0, made.output
        assert f"T-01: {moment}, because " in made.stdout
        entries = Register(tmp_path / "papers").entries()
        now = {
            entry.paper: entry.issue.revision
            for entry in entries
            if entry.paper != FirmPaper.STANDING_SHEET
        }
        assert len(entries) == len({(one.paper, one.issue.revision) for one in entries})
        new = {paper for paper in now if paper not in issued}
        wanted = set(PAPERS_OF[moment]) - NOT_OF_THE_ROW
        assert new in (wanted, set()), on
        assert set(issued) <= set(now), "nothing is lost"
        assert all((tmp_path / "papers" / entry.file).is_file() for entry in entries)
        issued = now
    assert set(issued) == set(Paper) - NOT_OF_THE_ROW
    once = set(issued) - {Paper.METHOD, Paper.PHASE_PLAN, Paper.ORDER, Paper.ORDER_BOOK}
    assert {issued[paper] for paper in once} == {0}, "a letter, a quote, a card go out once"
    assert issued[Paper.METHOD] == 1, "the agreed day is new to the statement, and nothing else"


@pytest.mark.usefixtures("undrawn")
def test_papers_by_name_and_all_of_them(tmp_path: Path) -> None:
    book = write_book(tmp_path, ROW)
    named = run("job", book, "--paper", "e-mail", "--paper", "van-list", "--on", str(TODAY))
    assert named.exit_code == 0, named.output
    entries = Register(tmp_path / "papers").entries()
    assert {e.paper for e in entries} == {"quote", "e-mail", "van-list"}, "with what it carries"
    assert "What goes when" not in named.stdout
    unknown = run("job", book, "--paper", "day-shet")
    assert unknown.exit_code == 2
    assert "day-sheet" in unknown.stderr
    assert run("job", book, "--every-paper", "--paper", "quote").exit_code == 2


def test_the_console_says_when_each_paper_is_due(tmp_path: Path) -> None:
    book = write_book(tmp_path, {**ROW, "width_mm": 1})
    said = run("job", book, "--on", str(TODAY)).stdout
    for moment, papers in PAPERS_OF.items():
        assert f"{moment}: " in said
        assert all(str(paper) in said for paper in papers)
    assert "T-01: with the quote, because something stops it." in said
    assert "--every-paper" in said
    assert "No proof of insurance" in said


def with_unknown(ready: Ready, many: int) -> Ready:
    """The job with so many facts not known, who is there among them, and all others known."""
    facts = {key: replace(one, known=Known.NO) for key, one in ready.statement.facts.items()}
    for key in sorted(facts, key=lambda key: key != "occupied")[:many]:
        facts[key] = replace(facts[key], known=Known.UNKNOWN)
    return replace(ready, statement=replace(ready.statement, facts=facts))


def test_more_than_ten_unknown_give_a_survey_sheet_in_place_of_what_follows() -> None:
    """Ten as the Business sheet says unless the firm says otherwise; a house figure."""
    follows = {
        paper for paper in Paper if paper not in (*PAPERS_OF[JobMoment.QUOTE], Paper.VARIATION_SLIP)
    }
    ready = accepted_job()
    known, survey = with_unknown(ready, 10), with_unknown(ready, 11)
    assert not PAPER_KINDS[Paper.SURVEY_SHEET].wanted(known)
    assert all(PAPER_KINDS[paper].wanted(known) for paper in follows)
    assert PAPER_KINDS[Paper.SURVEY_SHEET].wanted(survey)
    assert not any(PAPER_KINDS[paper].wanted(survey) for paper in follows)
    assert named_papers(survey, (Paper.METHOD, Paper.DAY_SHEET)) == (Paper.SURVEY_SHEET,)
    assert named_papers(survey, (Paper.QUOTE,)) == (Paper.QUOTE,)
    assert named_papers(known, (Paper.METHOD,)) == (Paper.METHOD,)
    at_eve = due(survey, JobMoment.EVE, lambda _paper: False)
    assert set(at_eve.papers) == {Paper.QUOTE, Paper.SURVEY_SHEET}


@pytest.mark.usefixtures("undrawn")
def test_a_job_that_is_hardly_known(tmp_path: Path) -> None:
    """`method` makes the survey sheet, the quote is provisional, `check` and `explain` say so."""
    blank = (
        "occupier", "household", "below", "through_roof", "heated_below", "overhead_cables",
        "cars_near", "nesting_birds", "lone_work", "year_built",
    )  # fmt: skip
    book = write_book(tmp_path, {key: value for key, value in ROW.items() if key not in blank})
    made = run("method", book, "--on", str(TODAY))
    assert made.exit_code == 0, made.output
    (sheet,) = (tmp_path / "papers" / "T-01").iterdir()
    assert sheet.name == "T-01-survey-sheet-r0.pdf"
    for command in ("method", "check", "explain", "quote"):
        said = run(command, book, "--on", str(TODAY))
        assert said.exit_code == 0, "a warning, not a stop"
        assert "there is a survey sheet in place of the method statement" in said.stderr
        for heading in ("Year built", "Underneath", "Who lives there", "Overhead cables?"):
            assert heading in said.stderr
    found = [e.paper for e in Register(tmp_path / "papers").entries()]
    assert found == ["quote", "survey-sheet"]
    whole = run("job", book, "--every-paper", "--ref", "T-01", "--on", str(TODAY))
    papers = {e.paper for e in Register(tmp_path / "papers").entries()}
    assert whole.exit_code == 0
    assert papers == {*PAPERS_OF[JobMoment.QUOTE], Paper.VARIATION_SLIP} - {Paper.CANCELLATION}
