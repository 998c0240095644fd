"""The marked copy: each faulty cell coloured and told of, and the user's file untouched."""

import hashlib
from pathlib import Path

import pytest
from click.testing import CliRunner
from openpyxl import load_workbook
from openpyxl.comments import Comment

from quotegen.cli.commands import cli
from quotegen.problems import Problem
from quotegen.workbook.copies.marked import marked_path, write_marked
from quotegen.workbook.reading.reader import read_workbook
from quotegen.workbook.sheets.declaration import MARKED_SHEET
from tests.workbook.bad_books import bad_books
from tests.workbook.books import at, enquiry_row, type_into, write_book
from tests.workbook.small_books import packed, part_of, parts_of, sound_book

WIDTH = at("Enquiries", "width_mm", 2).partition("!")[2]
FAULTS = {
    at("Enquiries", "width_mm", 2): ("8ft", "2438"),
    at("Enquiries", "shape", 3): ("cantd bay", "Type canted bay"),
    at("Enquiries", "cars_near", 3): ("=cmd|'/C calc'!A0", "yes, no"),
    at("Enquiries", "dated", 2): ("some day", "25/11/2026"),
}


def digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = write_book(tmp_path / "jobs.xlsx", enquiry_row("T-01"), enquiry_row("T-02"))
    page = load_workbook(path)
    page["Enquiries"][WIDTH].comment = Comment("measured twice", "the owner")
    page.save(path)
    texts = {cell: value for cell, (value, _) in FAULTS.items() if not value.startswith("=")}
    type_into(path, texts)
    kept = load_workbook(path)
    formula = kept["Enquiries"][at("Enquiries", "cars_near", 3).partition("!")[2]]
    formula.value, formula.data_type = FAULTS[at("Enquiries", "cars_near", 3)][0], "s"
    kept.save(path)
    return path


def test_each_faulty_cell_is_coloured_with_what_to_do(book: Path) -> None:
    before = digest(book)
    problems = read_workbook(book).problems
    assert {f"{p.place.sheet}!{p.place.cell}" for p in problems if p.stops} == set(FAULTS)
    path = write_marked(book, problems)
    assert path == book.with_name("jobs-marked.xlsx")
    assert digest(book) == before
    marked, plain = load_workbook(path), load_workbook(book)
    page = marked["Enquiries"]
    for faulty, (_, cure) in FAULTS.items():
        found = page[faulty.partition("!")[2]]
        assert found.comment is not None, faulty
        assert cure in found.comment.text
        assert found.fill.fgColor.rgb == "FFF4B6A6"
    assert page[WIDTH].comment is not None
    assert page[WIDTH].comment.text.startswith("measured twice")
    untouched = {
        cell.coordinate
        for row in page.iter_rows(min_row=2, max_row=4)
        for cell in row
        if cell.fill.fgColor.rgb != "FFF4B6A6" and not cell.comment
    }
    assert len(untouched) > 100
    for one in plain.worksheets:
        for row in one.iter_rows():
            for cell in row:
                assert marked[one.title][cell.coordinate].value == cell.value
    assert len(page.data_validations.dataValidation) == len(
        plain["Enquiries"].data_validations.dataValidation
    )


def test_a_sheet_in_front_lists_them_all_and_no_words_run(book: Path) -> None:
    path = write_marked(book, read_workbook(book).problems)
    assert isinstance(path, Path)
    page = load_workbook(path).worksheets[0]
    assert page.title == MARKED_SHEET
    listed = {f"{row[0]}!{row[1]}" for row in page.iter_rows(min_row=2, values_only=True)}
    assert listed == set(FAULTS)
    assert all(cell.data_type == "s" for row in page.iter_rows() for cell in row)


def test_marked_again_it_is_replaced_and_reads_like_the_book_itself(book: Path) -> None:
    problems = read_workbook(book).problems
    path = write_marked(book, problems)
    assert write_marked(book, problems[:1]) == path
    assert isinstance(path, Path)
    assert len(list(load_workbook(path)[MARKED_SHEET].iter_rows())) == 2
    again = [(p.code, str(p.place)) for p in read_workbook(path).problems]
    assert again == [(p.code, str(p.place)) for p in problems]


def test_a_file_of_that_name_that_is_none_of_ours_is_left_alone(book: Path) -> None:
    other = marked_path(book)
    for mine in (b"mine", book.read_bytes()):
        other.write_bytes(mine)
        found = write_marked(book, ())
        assert isinstance(found, Problem)
        assert found.code == "file-exists"
        assert other.read_bytes() == mine


def test_check_writes_one_only_where_it_is_asked_for(book: Path) -> None:
    before = digest(book)
    ran = CliRunner().invoke(cli, ["check", str(book)])
    assert not marked_path(book).exists()
    asked = CliRunner().invoke(cli, ["check", str(book), "--mark"])
    assert marked_path(book).exists()
    assert (ran.exit_code, asked.exit_code) == (1, 1)
    assert "Marked copy: " in asked.output
    assert digest(book) == before


@pytest.mark.parametrize("beside", ["xl/comments/odd.xml", "docProps/app.xml", "xl/drawings/a.vml"])
def test_an_entity_bomb_in_any_part_is_refused(beside: str, tmp_path: Path) -> None:
    """Our reader does not look into these parts, but the library that makes the copy does."""
    path = tmp_path / "jobs.xlsx"
    bomb = b'<!DOCTYPE x [<!ENTITY a "b">]><x>&a;</x>'
    path.write_bytes(packed({**parts_of(sound_book()), beside: bomb}))
    found = write_marked(path, ())
    assert isinstance(found, Problem)
    assert (found.code, found.seen) == ("copy-not-made", "a document type declared inside")


@pytest.mark.parametrize("ref", ["A40:XFD1048576", "A40:A1048576"])
def test_a_merge_without_end_is_refused_before_it_costs_memory(ref: str, tmp_path: Path) -> None:
    path = tmp_path / "jobs.xlsx"
    parts = parts_of(sound_book())
    part = part_of("Enquiries")
    merge = f'</sheetData><mergeCells><mergeCell ref="{ref}"/></mergeCells>'.encode()
    path.write_bytes(packed({**parts, part: parts[part].replace(b"</sheetData>", merge)}))
    assert read_workbook(path).problems == ()
    found = write_marked(path, ())
    assert isinstance(found, Problem)
    assert (found.code, "cells are merged" in found.seen) == ("copy-not-made", True)


def test_of_a_bad_file_there_is_a_copy_or_one_clear_problem(tmp_path: Path) -> None:
    made = 0
    for number, bad in enumerate(one for one in bad_books() if not one.prices):
        if number % 9:
            continue
        path = tmp_path / f"book{bad.ending}"
        path.write_bytes(bad.make())
        before = digest(path)
        found = write_marked(path, read_workbook(path).problems)
        if isinstance(found, Problem):
            assert found.message, bad.name
            assert not marked_path(path).exists(), bad.name
        else:
            made += 1
            found.unlink()
        assert digest(path) == before, bad.name
    assert made > 10
