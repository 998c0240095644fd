"""What a revision says it replaces, and what has changed: which cells, which totals."""

from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from quotegen.app import make_papers
from quotegen.documents.printing.paper import replaced_words
from quotegen.making.issuing import Outcome, State
from quotegen.making.papers import Paper
from quotegen.making.remembered import memory_of_enquiry
from quotegen.model.choices import EdgeKind, EdgesAtOnce
from quotegen.model.issue import Change, Issue, Memory, Replaced, changed
from quotegen.register.store import Register
from quotegen.workbook.reading.reader import read_workbook
from quotegen.workbook.sheets.declaration import DETAILS
from quotegen.workbook.sheets.enquiries import ENQUIRIES
from quotegen.workbook.writing.writing import write_workbook
from quotegen.working_out import work_out
from tests.builders import TODAY, prices
from tests.pdfs import whole_text
from tests.test_app import SURVEYED, write_book
from tests.workbook.every_column import ROWS

LATER = TODAY + timedelta(days=2)
NO_CELL = {"ref", "make_documents", "note", "missing", "edges_at_once", "key"}
"""What a paper is filed under, whether it is made, a note that no record holds, what the file works
out, what is said of all edges at once, remembered as the edge of each side, and what a row of
“Before the start” is about, which names its cells."""


def run(book: Path, on: date, *papers: Paper, renew: bool = False) -> list[Outcome]:
    batch = work_out(book, (), on)
    wanted = papers or (Paper.QUOTE,)
    return list(make_papers(batch, wanted, book.parent / "papers", on, renew=renew))


def replaced_by(folder: Path, paper: Paper) -> Replaced:
    last = Register(folder / "papers").last("T-01", paper)
    assert last is not None
    assert last.issue.replaces is not None
    return last.issue.replaces


def test_every_cell_of_an_enquiry_is_remembered_under_its_heading(tmp_path: Path) -> None:
    path = tmp_path / "jobs.xlsx"
    assert write_workbook(path, ROWS) is None
    read = read_workbook(path)
    assert read.settings is not None
    memories = [memory_of_enquiry(one, read.settings, prices()) for one in read.enquiries]
    headings = {where for one in memories for where in (*one.cells, *one.own)}
    forgotten = [
        column.heading
        for sheet in (ENQUIRIES, *DETAILS)
        for column in sheet.columns
        if column.field not in NO_CELL
        and not any(
            f", {where}".casefold().endswith(f", {column.heading.partition(' (')[0]}".casefold())
            for where in headings
        )
    ]
    assert forgotten == []
    shown = {where for one in memories for where in one.cells}
    assert not {"Private notes", "Travel", "If it takes longer"} & shown


def test_a_new_size_is_named_with_what_it_does_to_the_price(tmp_path: Path) -> None:
    both = (Paper.QUOTE, Paper.METHOD)
    book = write_book(tmp_path, SURVEYED)
    run(book, TODAY, *both)
    write_book(tmp_path, {**SURVEYED, "width_mm": 2450, "private_notes": "Dog."})
    sheet, quote, _ = run(book, LATER, *both)
    assert sheet.state is State.UNCHANGED, "no size of a roof is on the standing sheet"
    assert quote.path is not None
    width = Change("Width along wall", "2400 mm", "2450 mm")
    said = replaced_by(tmp_path, Paper.QUOTE)
    assert said.changes[0] == width
    assert [one.where for one in said.changes[1:]] == ["Cap over", "New deck"]
    assert all(one.before.startswith("£") for one in said.changes[1:])
    assert all(one.before != one.now for one in said.changes)
    assert said.own == (Change("Private notes", "", "Dog."),)
    on_safety_paper = replaced_by(tmp_path, Paper.METHOD)
    assert on_safety_paper.changes == (width,), "no price on a safety paper"
    words = " ".join(whole_text(quote.path.read_bytes()).split())
    assert "Replaces revision 0 of 25 November 2026, which is no longer valid." in words
    assert "Width along wall 2400 mm to 2450 mm; Cap over £" in words
    assert "Dog" not in words
    again = run(book, LATER, *both)
    assert [one.state for one in again] == [State.UNCHANGED] * 3
    assert again[1].issue == quote.issue


@pytest.mark.usefixtures("undrawn")
def test_another_choice_of_edges_in_one_go_is_named_side_by_side(tmp_path: Path) -> None:
    """The choices are those of the list of “Edges in one go”: the house wall is at the back."""
    edges = {f"edge_{side}": None for side in ("back", "right", "front", "left")}
    one_go = {**SURVEYED, **edges}
    book = write_book(tmp_path, {**one_go, "edges_at_once": str(EdgesAtOnce.GUTTER_ROUND)})
    run(book, TODAY)
    write_book(tmp_path, {**one_go, "edges_at_once": str(EdgesAtOnce.GUTTER_FRONT)})
    run(book, LATER)
    drip, raised = str(EdgeKind.GUTTER_DRIP), str(EdgeKind.RAISED)
    changes = set(replaced_by(tmp_path, Paper.QUOTE).changes)
    assert {Change(f"{side} edge", drip, raised) for side in ("Right", "Left")} <= changes
    assert not {"Back edge", "Front edge"} & {one.where for one in changes}


def test_an_accepted_quote_is_never_called_invalid(tmp_path: Path) -> None:
    """An accepted offer is a contract; what was settled since is told without rows and cells."""
    agreed = {**SURVEYED, "accepted": "new deck"}
    licence: dict[str, Any] = {"ref": "T-01", "key": "licence"}
    settled = {**licence, "done_on": TODAY + timedelta(days=1)}
    book = write_book(tmp_path, agreed, before=(licence,))
    run(book, TODAY)
    write_book(tmp_path, agreed, before=(settled,))
    (quote,) = run(book, LATER)
    assert quote.state is State.MADE and quote.path is not None
    words = " ".join(whole_text(quote.path.read_bytes()).split())
    assert "Follows revision 0 of 25 November 2026. The price you accepted stands" in words
    assert "Changed: Licence, done on 26 November 2026." in words
    for never in ("no longer valid", "Valid until", "Before the start 1"):
        assert never not in words


@pytest.mark.usefixtures("undrawn")
def test_a_change_back_is_a_change_too(tmp_path: Path) -> None:
    book = write_book(tmp_path, SURVEYED)
    run(book, TODAY)
    write_book(tmp_path, {**SURVEYED, "width_mm": 2450})
    run(book, TODAY)
    write_book(tmp_path, SURVEYED)
    (back,) = run(book, TODAY)
    assert back.issue is not None
    assert back.issue.revision == 2
    said = replaced_by(tmp_path, Paper.QUOTE)
    assert said.revision == 1
    assert said.changes[0] == Change("Width along wall", "2450 mm", "2400 mm")


@pytest.mark.parametrize(
    ("changes", "own", "said"),
    [
        ((), (), "Changed: the wording."),
        ((), (Change("Labour", "£28.00", "£30.00"),), "Changed: our own figures."),
        ((Change("Colour", "", "grey"),), (), "Changed: Colour grey."),
        ((Change("Colour", "grey", ""),), (), "Changed: Colour grey to blank."),
        ((Change("What was seen", "x" * 41, "y"),), (), "Changed: What was seen."),
        (
            tuple(Change(f"Cell {n}", "1", "2") for n in range(8)), (),
            "Changed: Cell 0 1 to 2; Cell 1 1 to 2; Cell 2 1 to 2; Cell 3 1 to 2; Cell 4 1 to 2; "
            "Cell 5 1 to 2; 2 more.",
        ),
    ],
)  # fmt: skip
def test_the_words_on_the_face(
    changes: tuple[Change, ...], own: tuple[Change, ...], said: str
) -> None:
    words = replaced_words(Issue("R-1", 4, LATER, Replaced(3, TODAY, changes, own)))
    lead = "Replaces revision 3 of 25 November 2026, which is no longer valid. "
    assert words == lead + said
    assert replaced_words(Issue("R-1", 0, LATER)) == ""


def test_what_is_gone_and_what_is_new_are_changes() -> None:
    before = Memory({"A": "1", "B": "2"}, {"Own": "x"})
    now = Memory({"B": "2", "C": "3"}, {"Own": "x"})
    assert changed(before, now) == ((Change("A", "1", ""), Change("C", "", "3")), ())


@pytest.mark.usefixtures("undrawn")
@pytest.mark.parametrize(
    ("days", "codes"),
    [(22, []), (23, ["quote-runs-out"]), (30, ["quote-runs-out"]), (31, ["quote-ran-out"])],
)
def test_a_quote_made_again_says_when_it_runs_out(
    tmp_path: Path, days: int, codes: list[str]
) -> None:
    """It is valid for 30 days, and named in the last 7 of them."""
    book = write_book(tmp_path, SURVEYED)
    run(book, TODAY)
    (again,) = run(book, TODAY + timedelta(days=days))
    assert again.state is State.UNCHANGED
    assert [one.code for one in again.problems] == codes
    assert not any(one.stops for one in again.problems)


@pytest.mark.usefixtures("undrawn")
def test_a_quote_that_ran_out_is_renewed_if_asked_and_only_then(tmp_path: Path) -> None:
    book = write_book(tmp_path, SURVEYED)
    (first,) = run(book, TODAY)
    after = TODAY + timedelta(days=40)
    (renewed,) = run(book, after, renew=True)
    assert renewed.state is State.MADE
    assert renewed.problems == ()
    assert renewed.issue is not None
    assert (renewed.issue.revision, renewed.issue.issued) == (1, after)
    assert replaced_by(tmp_path, Paper.QUOTE).issued == TODAY, "and the old price is called in"
    (again,) = run(book, after, renew=True)
    assert again.state is State.UNCHANGED, "one that holds is not renewed"
    assert first.issue is not None


@pytest.mark.usefixtures("undrawn")
def test_an_accepted_quote_does_not_run_out(tmp_path: Path) -> None:
    book = write_book(tmp_path, {**SURVEYED, "accepted": "new deck"})
    run(book, TODAY)
    (again,) = run(book, TODAY + timedelta(days=60))
    assert "quote-ran-out" not in {one.code for one in again.problems}


@pytest.mark.usefixtures("undrawn")
def test_a_price_that_was_accepted_stays_as_it_was(tmp_path: Path) -> None:
    book = write_book(tmp_path, SURVEYED)
    run(book, TODAY)
    write_book(tmp_path, {**SURVEYED, "accepted": "new deck"})
    (accepted,) = run(book, LATER)
    assert accepted.state is State.MADE
    assert accepted.problems == ()
    write_book(tmp_path, {**SURVEYED, "accepted": "new deck", "width_mm": 2900})
    (dearer,) = run(book, LATER)
    assert dearer.state is State.UNCHANGED
    assert dearer.issue == accepted.issue
    (moved,) = dearer.problems
    assert moved.code == "accepted-price-moved"
    assert not moved.stops
    assert moved.details["was"] != moved.details["now"]
    write_book(tmp_path, {**SURVEYED, "width_mm": 2900})
    (new_price,) = run(book, LATER)
    assert new_price.state is State.MADE, "with the answer cleared it is quoted anew"
