"""Every column of every sheet, written and read back, reaches its record."""

from collections.abc import Iterator
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from quotegen.workbook.package.book import Book, RawSheet, open_book
from quotegen.workbook.reading.price_lists import read_price_lists
from quotegen.workbook.reading.reader import read_book, read_workbook
from quotegen.workbook.sheets.declaration import PRICE_SHEET, sheets
from quotegen.workbook.writing.writing import write_price_list, write_workbook
from tests.workbook.every_column import PRICES, ROWS, Cells
from tests.workbook.every_firm import price_book
from tests.workbook.every_record import workbook

ALL_ROWS = {**ROWS, PRICE_SHEET: PRICES}
FOR_THE_READER = {
    *((sheet, field) for sheet in ("Business", "Rates", "Waste") for field in ("words", "unit")),
    ("Van stock", "note"),
    ("Before the start", "note"),
    ("Enquiries", "missing"),
}
"""What the firm writes for itself, or the file works out: no record holds it."""


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("full") / "jobs.xlsx"
    assert write_workbook(path, ROWS) is None
    return path


def test_every_column_is_filled_and_none_like_another_of_its_kind() -> None:
    alike: list[tuple[str, ...]] = []
    for name, sheet in sheets().items():
        down = {
            column: [row.get(column.field) for row in ALL_ROWS[name]] for column in sheet.columns
        }
        typed = [c for c in sheet.columns if not c.worked_out]
        alike += [(name, c.field) for c in typed if len({*map(str, down[c])}) == 1]
        alike += [
            (name, one.field, other.field)
            for one, other in combinations(typed, 2)
            if one.kind is other.kind and down[one] == down[other]
        ]
    assert alike == []


def test_every_column_of_a_workbook_reaches_its_record(path: Path) -> None:
    read, expected = read_workbook(path), workbook(Cells(path))
    assert read.problems == ()
    assert read == expected
    # A word passes for a member of its list where they are compared, but not where they are shown.
    assert repr(read.enquiries) == repr(expected.enquiries)
    assert read.settings is not None
    assert expected.settings is not None
    assert repr(read.settings.terms) == repr(expected.settings.terms)
    assert repr(read.settings.forecast) == repr(expected.settings.forecast)


def test_every_column_of_a_price_list_reaches_its_record(tmp_path: Path) -> None:
    path = tmp_path / "list.xlsx"
    assert write_price_list(path, PRICES) is None
    read = read_price_lists([path])
    assert read.problems == ()
    assert repr(read.book) == repr(price_book(Cells(path)))


def test_no_column_is_declared_that_nothing_is_made_of(path: Path) -> None:
    """Its cells moved down by a row, the records are others."""
    book = open_book(path, lambda _: True)
    assert isinstance(book, Book)
    sound = read_book(book)
    idle = {
        (raw.name, field)
        for raw in book.sheets
        if raw.name in ROWS
        for field, moved in moved_down(raw)
        if replace(read_book(with_sheet(book, moved)), problems=()) == sound
    }
    assert idle == FOR_THE_READER


def test_no_column_of_prices_is_declared_that_nothing_is_made_of(tmp_path: Path) -> None:
    def read(folder: str, rows: list[dict[str, Any]]) -> object:
        path = tmp_path / folder / "list.xlsx"
        assert write_price_list(path, rows) is None
        return read_price_lists([path]).book

    sound, (first, second) = read("sound", PRICES), PRICES
    for column in sheets()[PRICE_SHEET].columns:
        field = column.field
        swapped = [{**first, field: second[field]}, {**second, field: first[field]}]
        assert read(field, swapped) != sound, column.heading


def moved_down(raw: RawSheet) -> Iterator[tuple[str, RawSheet]]:
    """The sheet with the cells of one column moved down a row, the last to the top, for each."""
    top = sheets()[raw.name].heading_row
    last = len(ROWS[raw.name]) + top
    for number, column in enumerate(sheets()[raw.name].columns, start=1):
        cells = {at: cell for at, cell in raw.cells.items() if at[1] != number or at[0] <= top}
        for (line, of), cell in raw.cells.items():
            if of == number and line > top:
                cells[line + 1 if line < last else top + 1, of] = cell
        yield column.field, RawSheet(raw.name, cells)


def with_sheet(book: Book, changed: RawSheet) -> Book:
    found = tuple(changed if raw.name == changed.name else raw for raw in book.sheets)
    return replace(book, sheets=found)
