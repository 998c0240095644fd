"""Older workbooks still work, and are carried over into new ones without losing anything."""

import hashlib
import re
from pathlib import Path

import pytest
from click.testing import CliRunner
from openpyxl import Workbook, load_workbook
from openpyxl.comments import Comment
from openpyxl.worksheet.worksheet import Worksheet

from quotegen.cli.commands import cli
from quotegen.problems import Problem
from quotegen.workbook.copies.carried import write_carried
from quotegen.workbook.copies.leftovers import Carried
from quotegen.workbook.package.book import RawSheet
from quotegen.workbook.package.raw_cell import Raw
from quotegen.workbook.reading.reader import WorkbookRead, read_workbook
from quotegen.workbook.reading.rows import read_rows
from quotegen.workbook.sheets.columns import Group, JobSheet
from quotegen.workbook.sheets.declaration import LEFT_OVER_SHEET, PRICE_SHEET, sheets
from tests.workbook.books import at, where_and_what, write_book
from tests.workbook.older_books import (
    NOTE,
    OWN_HEADING,
    given_out,
    rows_of,
    turned_round,
    write_older,
)


def said(read: WorkbookRead) -> str:
    """All that a workbook says, whatever cells it stands in.

    What the old one lacks, a setting or a later column, stands in a cell of the new one, with
    the same figure or blank.
    """
    whole = f"{read.enquiries!r} {read.settings!r} {read.done!r} {read.left_out!r}"
    words = r"(?:'[^']*'|\"[^\"]*\")"
    whole = re.sub(rf"Origin\(source=<[^>]*>, place={words}, note={words}\)", "@", whole)
    return re.sub(r"\b[A-Z]{1,3}[0-9]+\b", "@", whole).replace("cell=''", "cell='@'")


def carried_over(old: Path, new: Path) -> Carried:
    found = write_carried(old, new)
    assert isinstance(found, Carried), found
    return found


def test_every_column_added_since_may_be_lacking() -> None:
    """Otherwise the workbooks given out would stop working."""
    was = {name: sheet["headings"] for name, sheet in given_out().items()}
    lacking = [
        (name, column.heading)
        for name, sheet in sheets().items()
        for column in sheet.columns
        if name in was and column.heading not in was[name]
        if not column.later or column.required
    ]
    assert lacking == []


def test_no_heading_given_out_has_gone() -> None:
    now = {name: {c.heading for c in sheet.columns} for name, sheet in sheets().items()}
    gone = {name: set(was["headings"]) - now[name] for name, was in given_out().items()}
    assert {name: lost for name, lost in gone.items() if lost} == {}


def test_a_workbook_of_november_2026_reads_as_a_new_one(tmp_path: Path) -> None:
    read = read_workbook(write_older(tmp_path / "jobs.xlsx"))
    assert [(p.code, p.place) for p in read.problems if p.stops] == []
    assert not {p.code for p in read.problems} & {"heading-unknown", "sheet-unknown"}
    assert read.enquiries
    assert read.settings is not None


def test_columns_stand_in_any_order_under_headings_in_any_writing(tmp_path: Path) -> None:
    plain = read_workbook(write_older(tmp_path / "a" / "jobs.xlsx"))
    turned = read_workbook(
        write_older(
            tmp_path / "b" / "jobs.xlsx",
            turned_round,
            own=True,
            spelt=lambda heading: f"  {heading.upper()}\u00a0 ",
        )
    )
    assert said(turned) == said(plain)
    assert [(p.code, p.place) for p in turned.problems if p.stops] == []
    unknown = {p.seen for p in turned.problems if p.code in ("heading-unknown", "sheet-unknown")}
    assert unknown == {OWN_HEADING, "My sums"}


def test_a_later_column_is_taken_as_blank_where_it_is_lacking() -> None:
    """Whatever needs it asks for it, as for a blank cell."""

    class Wider(JobSheet):
        ref = Group("Row").reference("Which roof.")
        old = Group("Row").text("Old column", "Words.")
        new = Group("Row").text("New column", "Words.", later=True)

    wider = Wider("Wider", "A sheet with a column added.")
    cells = {(1, 1): Raw("Reference"), (1, 2): Raw("Old column"), (2, 1): Raw("T-01")}
    (row,), problems = read_rows("jobs.xlsx", RawSheet("Wider", cells), wider)
    assert [(p.code, p.place.heading, p.stops) for p in problems] == [
        ("heading-later", "New column", False)
    ]
    assert row.get(wider.new) is None
    assert [p.code for p in row.missing(wider.new)] == ["cell-missing"]
    del cells[1, 2]
    _, problems = read_rows("jobs.xlsx", RawSheet("Wider", cells), wider)
    assert ("heading-missing", True) in {(p.code, p.stops) for p in problems}


@pytest.mark.parametrize("turned", [False, True], ids=["as it was", "turned round"])
def test_carried_over_it_says_the_same(tmp_path: Path, turned: bool) -> None:
    order = (turned_round,) if turned else ()
    old = write_older(tmp_path / "old" / "jobs.xlsx", *order)
    before = hashlib.sha256(old.read_bytes()).hexdigest()
    new = tmp_path / "new" / "jobs.xlsx"
    carried = carried_over(old, new)
    assert carried.left_over == []
    assert carried.own_columns == []
    assert said(read_workbook(new)) == said(read_workbook(old))
    assert hashlib.sha256(old.read_bytes()).hexdigest() == before


def test_no_cell_comment_or_column_of_the_owners_own_is_lost(tmp_path: Path) -> None:
    old = write_older(tmp_path / "old.xlsx", turned_round, own=True)
    new = tmp_path / "new.xlsx"
    carried = carried_over(old, new)
    assert carried.left_over == []
    was, book = load_workbook(old), load_workbook(new)
    names = [name for name in given_out() if name != PRICE_SHEET]
    filled = [name for name in names if rows_of(name)]
    assert carried.own_columns == [f"{name}: {OWN_HEADING}" for name in names]
    assert [c.value for c in book["My sums"][1]] == ["Van", 12.5]
    for name in filled:
        page = book[name]
        top = page.iter_rows(max_row=2)
        (number,) = [cell.column for row in top for cell in row if cell.value == OWN_HEADING]
        assert number == page.max_column
        own = {page.cell(line, number).value for line in range(2, page.max_row + 1)} - {None}
        notes = [c.comment.text for line in page.iter_rows() for c in line if c.comment]
        lines = range(2, len(rows_of(name)) + 2)
        assert own - {OWN_HEADING} == {f"{name} {line}" for line in lines}
        assert {n for n in notes if n.startswith(NOTE)} == {f"{NOTE}, {name} {n}" for n in lines}
        if name not in ("Business", "Rates", "Waste"):
            assert _entries(page) >= _entries(was[name]), name


@pytest.mark.parametrize("name", ["Business", "Rates", "Waste"])
def test_every_setting_is_carried_with_what_it_rests_on(name: str, tmp_path: Path) -> None:
    old = write_older(tmp_path / "old.xlsx", turned_round)
    carried_over(old, tmp_path / "new.xlsx")
    was, now = (_by_code(load_workbook(p)[name]) for p in (old, tmp_path / "new.xlsx"))
    assert was
    assert {code: now[code] for code in was} == was


def _by_code(page: Worksheet) -> dict[str, tuple[object, object]]:
    lines = list(page.iter_rows(values_only=True))
    code, value, basis = (lines[0].index(heading) for heading in ("Code", "Value", "Basis"))
    return {str(one[code]): (one[value], one[basis]) for one in lines[1:] if one[code]}


def _entries(page: Worksheet) -> set[str]:
    rows = page.iter_rows(min_row=2, values_only=True)
    return {str(value) for row in rows for value in row if value is not None}


def test_what_has_no_place_is_left_over_with_its_comment(tmp_path: Path) -> None:
    old = write_book(tmp_path / "old.xlsx")
    book = load_workbook(old)
    business = book["Business"]
    line = business.max_row + 1
    business.cell(line, 1, "no_such_setting")
    business.cell(line, 3, "=HYPERLINK(1)").data_type = "s"
    business.cell(line, 3).comment = Comment("mine", "the owner")
    width, ref = (at("Enquiries", field, 3).partition("!")[2] for field in ("width_mm", "ref"))
    book["Enquiries"][width] = "=1200*2"
    book["Enquiries"][ref] = "T-02"
    book.save(old)
    new = tmp_path / "new.xlsx"
    carried = carried_over(old, new)
    assert [(one.sheet, one.cell, one.said, one.comment) for one in carried.left_over] == [
        ("Enquiries", width, "=1200*2", ""),
        ("Business", f"A{line}", "no_such_setting", ""),
        ("Business", f"C{line}", "=HYPERLINK(1)", "mine"),
    ]
    listed = load_workbook(new)[LEFT_OVER_SHEET]
    assert [listed.cell(4, n).value for n in (1, 2, 4, 5)] == [
        "Business", f"C{line}", "=HYPERLINK(1)", "mine"
    ]  # fmt: skip
    assert {cell.data_type for row in listed.iter_rows() for cell in row} <= {"s", "n"}


def test_of_a_formula_its_result_is_carried_and_the_formula_noted(tmp_path: Path) -> None:
    old = tmp_path / "old.xlsx"
    book = Workbook()
    page = book.worksheets[0]
    page.title = "Enquiries"
    page.append(["Reference", "Width along wall (mm)", "Mine"])
    page.append(["T-01", 2400, 7])
    book.save(old)
    from tests.workbook.small_books import packed, parts_of, with_cell  # noqa: PLC0415

    parts = parts_of(old.read_bytes())
    parts = with_cell(parts, "", "B2", '<c r="B2"><f>1200*2</f><v>2400</v></c>')
    old.write_bytes(packed(parts))
    new = tmp_path / "new.xlsx"
    carried_over(old, new)
    page = load_workbook(new)["Enquiries"]
    (found,) = [cell for row in page.iter_rows() for cell in row if cell.value == 2400]
    assert found.comment is not None
    assert "=1200*2" in found.comment.text


def test_nothing_is_written_over_and_nothing_that_is_no_workbook(tmp_path: Path) -> None:
    old, new = write_book(tmp_path / "old.xlsx"), tmp_path / "new.xlsx"
    new.write_bytes(b"mine")
    found = write_carried(old, new)
    assert isinstance(found, Problem)
    assert found.code == "file-exists"
    assert new.read_bytes() == b"mine"
    bad = tmp_path / "bad.xlsx"
    bad.write_bytes(b"no workbook")
    found = write_carried(bad, tmp_path / "other.xlsx")
    assert isinstance(found, Problem)
    assert found.code == "file-not-a-workbook"
    assert not (tmp_path / "other.xlsx").exists()


def test_the_command_says_what_it_did(tmp_path: Path) -> None:
    old, new = write_older(tmp_path / "old.xlsx", own=True), tmp_path / "new.xlsx"
    ran = CliRunner().invoke(cli, ["blank", str(new), "--from", str(old)])
    assert ran.exit_code == 0, ran.output
    assert re.search(r"Carried over: [0-9]+ cells and [0-9]+ comments", ran.output)
    assert f"Own column, at the right of Enquiries: {OWN_HEADING}" in ran.output
    assert "Own sheet: My sums" in ran.output
    ran = CliRunner().invoke(cli, ["blank", str(new), "--from", str(old)])
    assert ran.exit_code == 1


def test_carried_over_twice_it_is_the_same_again(tmp_path: Path) -> None:
    one = write_older(tmp_path / "a" / "jobs.xlsx", own=True)
    two, three = tmp_path / "b" / "jobs.xlsx", tmp_path / "c" / "jobs.xlsx"
    first, second = carried_over(one, two), carried_over(two, three)
    assert second.left_over == []
    assert second.own_columns == first.own_columns
    assert where_and_what(read_workbook(three).problems) == where_and_what(
        read_workbook(two).problems
    )
    assert said(read_workbook(three)) == said(read_workbook(one))
