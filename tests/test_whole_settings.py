"""Whatever is blanked, deleted, renamed or filled with rubbish, every problem is still listed.

Each setting and each heading in turn is changed in the cells of one opened workbook; no file is
written.
"""

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest
from click.testing import CliRunner
from msgspec.structs import replace

from quotegen.cli.commands import cli
from quotegen.model.settings import Mixed
from quotegen.problems import Problem
from quotegen.reference import house_rules
from quotegen.workbook.package.book import Book, RawSheet, open_book
from quotegen.workbook.package.raw_cell import Raw
from quotegen.workbook.reading.price_lists import PricesRead
from quotegen.workbook.reading.reader import WorkbookRead, read_book
from quotegen.workbook.reading.settings_sheets import read_settings
from quotegen.workbook.sheets.declaration import (
    BOOK_SHEETS,
    JOB_SHEETS,
    MAY_LACK,
    SETTING_SHEETS,
    TABLE_SHEETS,
    sheets,
)
from quotegen.workbook.sheets.firm_tables import MATERIAL_LOSSES
from quotegen.workbook.writing.blank import write_blank
from quotegen.working_out import each_worked_out, opened_with, work_out
from tests.builders import TODAY, prices
from tests.workbook.books import BAY, at, enquiry_row, type_into, write_book

RUBBISH = "rubbish\u0007 =1/0 ½"
SETTINGS = house_rules.settings()
NEEDED = {code for code, kind in SETTINGS.items() if kind.required or kind.default is not None}
Cells = dict[tuple[int, int], Raw]


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> Book:
    """A workbook with a row on every job sheet."""
    given = {
        "openings": [{"ref": "T-01", "kind": "pipe", "count": 1, "length_mm": 110}],
        "findings": [{"ref": "T-01", "seen": "Rot.", "if_left": "More.", "advised": "Mend it."}],
        "extras": [{"ref": "T-01", "words": "Guard", "quantity": 3, "unit": "m", "price_each": 6,
                    "included": "yes"}],
    }  # fmt: skip
    second = enquiry_row("T-02", covering="felt", deck="sheet boards", width_mm=None)
    path = tmp_path_factory.mktemp("sound") / "jobs.xlsx"
    book = open_book(write_book(path, BAY, second, **given))
    assert isinstance(book, Book)
    return book


@pytest.fixture(scope="module")
def short(sound: Book) -> Book:
    """The same with the settings that are needed and no others, which is quicker read."""
    book = sound
    for name in SETTING_SHEETS:
        codes = {code for code, kind in SETTINGS.items() if kind.required and kind.sheet == name}
        cells = sheets_of(sound)[name].cells
        kept = {line for (line, c), raw in cells.items() if c == 1 and raw.value in codes}
        book = changed(book, name, only({1, *kept}))
    return book


def changed(book: Book, name: str, change: Callable[[Cells], None]) -> Book:
    """The workbook with the cells of one sheet changed."""
    altered = []
    for raw in book.sheets:
        cells = dict(raw.cells)
        if raw.name == name:
            change(cells)
        altered.append(RawSheet(raw.name, cells))
    return replace(book, sheets=tuple(altered))


def all_found(book: Book) -> tuple[WorkbookRead, list[Problem]]:
    """What is read of a workbook and everything found by working it out as `check` does."""
    read = read_book(book)
    opened = opened_with(read, PricesRead(prices(), ()), book.name)
    worked = list(each_worked_out(opened, TODAY))
    if read.settings is None or any(p.stops and not p.ref for p in read.problems):
        assert all(one.quote is None for one in worked)
    return read, [*opened.problems, *(p for one in worked for p in one.problems)]


def with_cells(added: Cells) -> Callable[[Cells], None]:
    """Puts these cells in."""
    return lambda cells: cells.update(added)


def without(line: int) -> Callable[[Cells], None]:
    """Deletes a row: those below move up."""

    def change(cells: Cells) -> None:
        kept = {(r - (r > line), c): raw for (r, c), raw in cells.items() if r != line}
        cells.clear()
        cells.update(kept)

    return change


def only(kept: set[int]) -> Callable[[Cells], None]:
    """Leaves these rows where they are and clears the others."""

    def change(cells: Cells) -> None:
        for position in [p for p in cells if p[0] not in kept]:
            del cells[position]

    return change


def put(line: int, column: int, value: object) -> Callable[[Cells], None]:
    """Types a value into a cell, or blanks it."""

    def change(cells: Cells) -> None:
        cells.pop((line, column), None)
        if value is not None:
            cells[line, column] = Raw(value)

    return change


def sheets_of(book: Book) -> Mapping[str, RawSheet]:
    return {raw.name: raw for raw in book.sheets}


@pytest.mark.parametrize("name", SETTING_SHEETS)
@pytest.mark.parametrize("what", ["blanked", "deleted", "renamed", "rubbish"])
def test_each_setting_in_turn(sound: Book, short: Book, name: str, what: str) -> None:
    by_code = {kind.code: kind for kind in SETTINGS.values() if kind.sheet == name}
    lines = {raw.value: line for (line, c), raw in sheets_of(sound)[name].cells.items() if c == 1}
    for code, kind in by_code.items():
        line = lines[code]
        change = {
            "blanked": put(line, 3, None),
            "deleted": without(line),
            "renamed": put(line, 1, f"{code}_"),
            "rubbish": put(line, 3, RUBBISH),
        }[what]
        its_row = {p: raw for p, raw in sheets_of(sound)[name].cells.items() if p[0] == line}
        book = changed(changed(short, name, with_cells(its_row)), name, change)
        firm = read_settings(book.name, sheets_of(book))
        lost = kind.required and (what != "rubbish" or kind.kind != "text")
        assert (firm.whole is None) == lost, code
        # A price can only be reached with every setting that it needs.
        assert firm.whole is None or set(firm.whole.figures) >= NEEDED
        found = {(p.code, p.place.sheet, p.place.cell) for p in firm.problems}
        if what == "renamed":
            assert ("setting-unknown", name, f"A{line}") in found
        if lost and what == "blanked":
            assert ("setting-missing", name, f"C{line}") in found
        if lost and what in ("deleted", "renamed"):
            assert ("setting-missing", name, "") in found
        if what == "rubbish" and kind.kind != "text":
            assert [cell for _, sheet, cell in found if sheet == name] == [f"C{line}"], code
        if lost or (kind.default is None and what == "blanked"):
            _, everything = all_found(book)
            assert ("size-missing", "T-02") in {(p.code, p.ref) for p in everything}


@pytest.mark.parametrize("name", TABLE_SHEETS)
def test_each_row_of_a_table_in_turn(short: Book, name: str) -> None:
    """A figure blanked or filled with rubbish stops at its cell; a price is never made of it."""
    figure = 2 if name == MATERIAL_LOSSES.name else 3
    lines = {line for line, _ in sheets_of(short)[name].cells if line > 1}
    for line in lines:
        for value, code in ((None, "cell-missing"), (RUBBISH, "cell-not-a-number")):
            book = changed(short, name, put(line, figure, value))
            firm = read_settings(book.name, sheets_of(book))
            place = f"{'ABC'[figure - 1]}{line}"
            assert {(p.code, p.place.cell, p.stops) for p in firm.problems} == {(code, place, True)}
            assert firm.defaulted.tables.doses.keys() == set(Mixed)
        renamed = changed(short, name, put(line, 1, RUBBISH))
        firm = read_settings(renamed.name, sheets_of(renamed))
        told = [(p.code, p.place.cell) for p in firm.problems]
        assert told == [("cell-not-a-choice", f"A{line}")]
    for book in (changed(short, name, put(2, figure, None)), changed(short, name, put(2, 1, None))):
        read, everything = all_found(book)
        assert "size-missing" in {p.code for p in everything}
        assert any(p.stops and not p.ref for p in read.problems)


@pytest.mark.parametrize("name", TABLE_SHEETS)
def test_each_row_of_a_table_deleted_in_turn(short: Book, name: str) -> None:
    """What is left is read or asked for: a first row gone leaves a deck without a figure."""
    for line in {line for line, _ in sheets_of(short)[name].cells if line > 1}:
        gone = str(sheets_of(short)[name].cells[line, 1].value)
        _, everything = all_found(changed(short, name, without(line)))
        codes = {p.code for p in everything if p.stops and p.place.sheet == name}
        coldest = name != MATERIAL_LOSSES.name and sheets_of(short)[name].cells[line, 2].value == 5
        if name == MATERIAL_LOSSES.name:
            assert codes == {"table-row-missing"}, gone
        else:
            assert codes == ({"table-too-short"} if coldest else set()), gone


@pytest.mark.parametrize("name", BOOK_SHEETS)
@pytest.mark.parametrize("what", ["blanked", "renamed", "row deleted"])
def test_each_heading_in_turn(short: Book, name: str, what: str) -> None:
    top = sheets()[name].heading_row
    for number, column in enumerate(sheets()[name].columns, start=1):
        change = {
            "blanked": put(top, number, None),
            "renamed": put(top, number, RUBBISH),
            "row deleted": without(top),
        }[what]
        read, found = all_found(changed(short, name, change))
        lost = [p for p in found if p.place.sheet == name and p.stops]
        if what == "row deleted":
            assert "headings-missing" in {p.code for p in lost}
            break
        told = {p.place.heading for p in lost if p.code == "heading-missing"}
        if column.later:
            later = {p.place.heading for p in found if p.code == "heading-later"}
            assert (told, later) == (set(), set() if column.worked_out else {column.heading})
            continue
        assert told == {column.heading}
        assert name not in JOB_SHEETS or not read.enquiries


@pytest.mark.parametrize("name", BOOK_SHEETS)
def test_each_sheet_gone_or_bare(sound: Book, name: str) -> None:
    _, found = all_found(changed(sound, name, Cells.clear))
    assert "headings-missing" in {p.code for p in found if p.place.sheet == name}
    rest = tuple(raw for raw in sound.sheets if raw.name != name)
    _, found = all_found(replace(sound, sheets=rest))
    told = {
        (p.code, p.stops) for p in found if p.place.sheet == name and p.code.startswith("sheet")
    }
    if name in TABLE_SHEETS:
        assert told == {("sheet-defaulted", False)}
    else:
        assert told == (set() if name in MAY_LACK else {("sheet-missing", True)})


def test_the_first_thing_everybody_does(tmp_path: Path) -> None:
    """A blank workbook, one enquiry with an impossible shape, and nothing of the firm filled in."""
    book = tmp_path / "jobs.xlsx"
    assert write_blank(book) is None
    row = enquiry_row("T-01", covering="felt", front_width_mm=3000)
    type_into(book, {at("Enquiries", field, 3): row[field] for field in row})
    ran = CliRunner().invoke(cli, ["check", str(book)])
    assert ran.exit_code == 1
    for said in ("Waste!C", "labour", "price list", "cannot make a canted bay"):
        assert said in ran.output
    batch = work_out(book, (), TODAY)
    assert [one.quote for one in batch.worked] == [None]
    required = {code for code, kind in SETTINGS.items() if kind.required}
    assert {p.seen for p in batch.problems if p.code == "setting-missing"} == required
