"""Sheets no roofer could have made are refused at the cell before they cost time or memory.

Other programs write such sheets when a format or a formula was dragged to the end.
"""

import tracemalloc
import zipfile
from pathlib import Path

import pytest
from openpyxl import load_workbook

from quotegen.problems import Problem
from quotegen.workbook.package import book
from quotegen.workbook.package.book import Book, open_book
from quotegen.workbook.package.sheet_cells import MOST_CELLS, MOST_MERGED, MOST_ROWS
from quotegen.workbook.reading.price_lists import read_price_lists
from quotegen.workbook.reading.reader import read_workbook
from quotegen.workbook.sheets.declaration import sheets
from tests.workbook.books import (
    at,
    enquiry_row,
    type_into,
    where_and_what,
    write_book,
    write_prices,
)
from tests.workbook.test_sheet_cells import book_of


def with_rows(path: Path, name: str, rows: str) -> Path:
    """A sound book with rows of one's own XML after those of a sheet."""
    sheet = load_workbook(path).sheetnames.index(name) + 1
    part = f"xl/worksheets/sheet{sheet}.xml"
    with zipfile.ZipFile(path) as archive:
        parts = {one: archive.read(one) for one in archive.namelist()}
    parts[part] = parts[part].replace(b"</sheetData>", rows.encode() + b"</sheetData>")
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for one, content in parts.items():
            archive.writestr(one, content)
    return path


def test_as_many_rows_as_the_limit_are_read_and_one_more_is_refused(tmp_path: Path) -> None:
    rows = "".join(f"<row r='{n}'><c><v>1</v></c></row>" for n in range(1, MOST_ROWS + 1))
    found = open_book(book_of(tmp_path / "full.xlsx", rows))
    assert isinstance(found, Book)
    assert len(found.sheets[0].cells) == MOST_ROWS
    more = f"{rows}<row r='{MOST_ROWS + 7}'><c><v>1</v></c></row>"
    refused = open_book(book_of(tmp_path / "over.xlsx", more))
    assert isinstance(refused, Problem)
    assert (refused.code, refused.place.cell) == ("rows-too-many", f"A{MOST_ROWS + 7}")


def test_a_million_filled_rows_take_no_room(tmp_path: Path) -> None:
    """They are read no further than the limit: what is kept is a small part of the whole."""
    rows = "".join(f"<row r='{n}'><c><v>1</v></c></row>" for n in range(5_000, 1_005_000))
    path = with_rows(write_book(tmp_path / "jobs.xlsx"), "Enquiries", rows)
    del rows
    tracemalloc.start()
    read = read_workbook(path)
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert [(p.code, p.place.sheet) for p in read.problems] == [("rows-too-many", "Enquiries")]
    assert most < 32 * 1024 * 1024


def test_cells_without_end_are_refused_though_they_are_empty(tmp_path: Path) -> None:
    row = "<row>" + '<c s="1"/>' * 1000 + "</row>"
    refused = open_book(book_of(tmp_path / "wide.xlsx", row * (MOST_CELLS // 1000 + 1)))
    assert isinstance(refused, Problem)
    assert refused.code == "rows-too-many"


MERGED = ["A30:XFD1048576", "A30:XFD30", "A30:A1048576"]


@pytest.mark.parametrize("ref", MERGED)
def test_a_merge_without_end_is_a_problem_where_something_stands_in_it(
    ref: str, tmp_path: Path
) -> None:
    path = write_book(tmp_path / "jobs.xlsx")
    rows = "<row r='30'><c r='A30' t='inlineStr'><is><t>T-30</t></is></c></row></sheetData>"
    merge = f"<mergeCells><mergeCell ref='{ref}'/></mergeCells><sheetData>"
    read = read_workbook(with_rows(path, "Enquiries", rows + merge))
    found = where_and_what(read.problems)
    assert (("Enquiries!A30", "merge-too-large") in found) == (ref != "A30:XFD30")
    assert len(read.problems) < MOST_MERGED
    assert not any(enquiry.ref == "T-30" for enquiry in read.enquiries)


def test_a_merge_without_end_over_nothing_is_no_matter(tmp_path: Path) -> None:
    path = write_book(tmp_path / "jobs.xlsx")
    merges = "".join(f"<mergeCell ref='A{n}:XFD1048576'/>" for n in range(40, 60))
    rows = f"</sheetData><mergeCells>{merges}</mergeCells><sheetData>"
    read = read_workbook(with_rows(path, "Enquiries", rows))
    assert read.problems == ()
    assert [enquiry.ref for enquiry in read.enquiries] == ["T-01"]


def test_a_sheet_of_ones_own_is_not_looked_at(tmp_path: Path) -> None:
    """Whatever it holds: only a warning that it is not read."""
    path = write_book(tmp_path / "jobs.xlsx")
    book = load_workbook(path)
    book.create_sheet("My sums")
    book.save(path)
    rows = "<row r='x'><c r='??'><v>1</v></c></row>"
    read = read_workbook(with_rows(path, "My sums", rows))
    assert [p.code for p in read.problems] == ["sheet-unknown"]
    assert [enquiry.ref for enquiry in read.enquiries] == ["T-01"]


def test_a_name_of_32_000_letters(tmp_path: Path) -> None:
    path = write_book(
        tmp_path / "jobs.xlsx",
        enquiry_row("T-01", customer_name="x" * 32_000),
        enquiry_row("T-02", customer_notes="word " * 500),
        enquiry_row("T-03", customer_notes="word " * 5_000),
        firm={"firm_name": "x" * 32_000},
    )
    read = read_workbook(path)
    assert where_and_what(read.problems) == {
        (at("Enquiries", "customer_name", 2), "cell-too-long"),
        (at("Enquiries", "customer_notes", 4), "cell-too-long"),
        ("Business!C2", "cell-too-long"),
    }
    assert all(len(p.message) < 200 for p in read.problems)
    assert read.settings is None
    assert [enquiry.ref for enquiry in read.enquiries] == ["T-02"]


def test_a_number_of_400_digits_and_one_odd_cell_are_their_own_problems(tmp_path: Path) -> None:
    """Excel keeps 15 digits; a letter in a number is written by no program."""
    path = write_book(tmp_path / "jobs.xlsx", enquiry_row("T-01"), enquiry_row("T-02"))
    type_into(path, {at("Enquiries", "gutter_mm", 2): 123456, at("Enquiries", "ref", 3): "T-02"})
    with zipfile.ZipFile(path) as archive:
        parts = {one: archive.read(one) for one in archive.namelist()}
    part = "xl/worksheets/sheet2.xml"
    assert parts[part].count(b"<v>123456</v>") == 1
    for written, cell in ((b"9" * 400, "gutter_mm"), (b"24x0", "gutter_mm")):
        changed = {**parts, part: parts[part].replace(b"123456", written)}
        with zipfile.ZipFile(path, "w") as archive:
            for one, content in changed.items():
                archive.writestr(one, content)
        read = read_workbook(path)
        assert where_and_what(read.problems) == {(at("Enquiries", cell, 2), "cell-damaged")}
        assert [enquiry.ref for enquiry in read.enquiries] == ["T-02"]


def test_a_hostile_price_list_is_refused_as_a_workbook_is(tmp_path: Path) -> None:
    path = write_prices(tmp_path / "list.xlsx", {})
    rows = "".join(f"<row r='{n}'><c><v>1</v></c></row>" for n in range(100, 200 + MOST_ROWS))
    found = read_price_lists([with_rows(path, "Prices", rows)])
    assert [p.code for p in found.problems] == ["rows-too-many"]
    path = write_prices(tmp_path / "merged.xlsx", {}, {"item": "topcoat"})
    rows = "</sheetData><mergeCells><mergeCell ref='A3:A1048576'/></mergeCells><sheetData>"
    found = read_price_lists([with_rows(path, "Prices", rows)])
    assert [(p.code, p.place.cell) for p in found.problems] == [("merge-too-large", "A3")]
    path = write_prices(tmp_path / "long.xlsx", {"supplier": "x" * 32_000})
    assert [p.code for p in read_price_lists([path]).problems] == ["cell-too-long"]


def test_every_text_has_a_limit() -> None:
    for sheet in sheets().values():
        for column in sheet.columns:
            assert column.longest <= 3000 or column.field == "ref", (sheet.name, column.field)


def test_a_file_larger_than_any_workbook_is_not_opened(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = write_book(tmp_path / "jobs.xlsx")
    monkeypatch.setattr(book, "MOST_BOOK_BYTES", path.stat().st_size)
    assert isinstance(open_book(path), Book)
    monkeypatch.setattr(book, "MOST_BOOK_BYTES", path.stat().st_size - 1)
    refused = open_book(path)
    assert isinstance(refused, Problem)
    assert refused.code == "file-too-large"
