"""Opened and saved by a real spreadsheet program, a workbook reads the same: LibreOffice."""

import re
from pathlib import Path

import pytest

from quotegen.workbook.package.book import Book, open_book
from quotegen.workbook.package.raw_cell import Raw
from quotegen.workbook.reading.price_lists import read_price_lists
from quotegen.workbook.reading.reader import WorkbookRead, read_workbook
from quotegen.workbook.writing.blank import write_blank
from quotegen.workbook.writing.writing import write_price_list, write_workbook
from tests.spreadsheets import converted
from tests.workbook.every_column import PRICES, ROWS
from tests.workbook.older_books import write_older

WAYS = [("xlsx",), ("ods",), ("ods", "xlsx")]


def through(path: Path, ways: tuple[str, ...], folder: Path) -> Path:
    """A file opened and saved under each kind in turn."""
    file = path
    for kind in ways:
        file = converted(file, kind, folder)
    return file


def said(read: WorkbookRead | object) -> str:
    """All that was read, whatever the ending of the file."""
    return re.sub(r"\.ods\b", ".xlsx", repr(read))


@pytest.fixture(scope="module")
def blank(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("blank") / "jobs.xlsx"
    assert write_blank(path) is None
    return path


@pytest.fixture(scope="module")
def full(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("full") / "jobs.xlsx"
    assert write_workbook(path, ROWS) is None
    return path


@pytest.mark.parametrize("ways", WAYS, ids="-".join)
def test_a_blank_workbook(blank: Path, ways: tuple[str, ...], tmp_path: Path) -> None:
    assert said(read_workbook(through(blank, ways, tmp_path))) == said(read_workbook(blank))


@pytest.mark.parametrize("ways", WAYS, ids="-".join)
def test_a_workbook_with_every_column_filled(
    full: Path, ways: tuple[str, ...], tmp_path: Path
) -> None:
    before = read_workbook(full)
    assert before.enquiries
    assert said(read_workbook(through(full, ways, tmp_path))) == said(before)


def test_cell_by_cell_as_ods(full: Path, tmp_path: Path) -> None:
    """Dates lose their midnight: OpenDocument 1.3 part 3, 19.385, has days without a time."""
    one, other = open_book(full), open_book(through(full, ("ods",), tmp_path))
    assert isinstance(one, Book)
    assert isinstance(other, Book)
    assert [sheet.name for sheet in one.sheets] == [sheet.name for sheet in other.sheets]
    for plain, saved in zip(one.sheets, other.sheets, strict=True):
        assert _shown(plain.cells.values()) == _shown(saved.cells.values()), plain.name
        assert {at for at, raw in plain.cells.items() if not raw.blank} == {
            at for at, raw in saved.cells.items() if not raw.blank
        }


def _shown(cells: object) -> list[str]:
    values = [raw.value for raw in cells if isinstance(raw, Raw) and not raw.blank]  # type: ignore[attr-defined]  # cells
    return sorted(re.sub(r" 00:00:00$", "", str(value)) for value in values)


def test_a_price_list_as_ods(tmp_path: Path) -> None:
    path = tmp_path / "list.xlsx"
    assert write_price_list(path, PRICES) is None
    before = read_price_lists([path])
    assert before.book.packs
    after = read_price_lists([through(path, ("ods",), tmp_path)])
    assert said(after) == said(before)


@pytest.mark.parametrize("kind", ["xlsx", "ods"])
def test_an_older_workbook(kind: str, tmp_path: Path) -> None:
    path = write_older(tmp_path / "jobs.xlsx", own=True)
    after = read_workbook(converted(path, kind, tmp_path / "saved"))
    assert said(after) == said(read_workbook(path))
