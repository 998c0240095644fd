"""The sheet that ticks off what is settled first: what it refuses, what a cell alone answers."""

from datetime import date
from pathlib import Path

import pytest
from openpyxl import load_workbook

from quotegen.model.prestart.row import IN_A_CELL
from quotegen.reference.rule_keys import BeforeKey
from quotegen.workbook.reading.reader import read_workbook
from tests.workbook.books import enquiry_row, write_book

DONE = date(2026, 11, 24)


def codes(path: Path) -> list[str]:
    return [found.code for found in read_workbook(path).problems]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "jobs.xlsx"


def test_a_thing_is_ticked_off_once(path: Path) -> None:
    ticked = {"ref": "T-01", "key": "licence", "done_on": DONE}
    write_book(path, enquiry_row("T-01"), before_the_start=[ticked])
    read = read_workbook(path)
    assert read.problems == ()
    (row,) = read.enquiries[0].before
    assert (row.key, row.done_on, row.place.heading) == (BeforeKey.LICENCE, DONE, "Done on")
    write_book(path, enquiry_row("T-01"), before_the_start=[ticked, ticked])
    assert codes(path) == ["before-twice"]


@pytest.mark.parametrize("key", IN_A_CELL)
def test_what_a_cell_answers_is_not_ticked_off_against_it(path: Path, key: BeforeKey) -> None:
    ticked = {"ref": "T-01", "key": str(key), "done_on": DONE}
    open_yet = {"colour": "to be agreed", "accepted": None, "asbestos_surveyed": "no"}
    write_book(path, enquiry_row("T-01", **open_yet), before_the_start=[ticked])
    assert codes(path) == ["ticked-elsewhere"]
    answered = {"colour": "dark grey", "accepted": "new deck", "asbestos_surveyed": "yes"}
    write_book(
        path, enquiry_row("T-01", build_ups="new deck", **answered), before_the_start=[ticked]
    )
    assert codes(path) == []


def test_when_it_is_expected_may_be_said_of_anything(path: Path) -> None:
    rows = [{"ref": "T-01", "key": str(key), "expected_on": DONE} for key in BeforeKey]
    write_book(path, enquiry_row("T-01"), before_the_start=rows)
    assert codes(path) == []


def test_an_older_workbook_has_no_such_sheet(path: Path) -> None:
    write_book(path, enquiry_row("T-01"))
    book = load_workbook(path)
    del book["Before the start"]
    book.save(path)
    assert codes(path) == []
