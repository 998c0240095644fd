"""Tables as a workbook: one page each, with headings and types, set up to print on A4.

For papers that somebody goes on working with, such as an order. No text can run as a formula, and
equal tables always give the same bytes.
"""

import io
import re
from collections.abc import Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import cast
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from msgspec import Struct
from openpyxl import Workbook
from openpyxl.cell.cell import Cell
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.table import Table
from openpyxl.worksheet.worksheet import Worksheet
from openpyxl.writer.excel import ExcelWriter

from quotegen.workbook.sheets.columns import CellKind
from quotegen.workbook.writing import look
from quotegen.workbook.writing.filling import CELL_FORMATS, put_text

WrittenValue = str | int | float | Decimal | date | None

_UNDATED = datetime(2000, 1, 1)  # noqa: DTZ001 -- a workbook's own times have no zone
_LONGEST_NAME = 31
_NOT_IN_NAMES = re.compile(r"[\[\]:*?/\\]")
_HEAD_LINES = 2.2


class TableColumn(Struct, frozen=True):
    """A column: its heading, its width in characters, and the kind of its cells."""

    heading: str
    width: float
    kind: CellKind = CellKind.TEXT


class BookPage(Struct, frozen=True):
    """One page of a workbook.

    `name` is on its tab and `title` at its top; `lines` are pairs of a label and its text, between
    title and headings. `rows` and `totals` have a value for each column, None for an empty cell;
    without totals there is no last line. `notes` go below, one per line. `one_page` prints it
    smaller where it would otherwise run on to a second page. With `table`, a name, headings and
    rows are a table of the workbook, to sort and to filter.
    """

    name: str
    title: str
    lines: tuple[tuple[str, str], ...]
    columns: tuple[TableColumn, ...]
    rows: tuple[tuple[WrittenValue, ...], ...]
    totals: tuple[WrittenValue, ...] = ()
    landscape: bool = False
    notes: tuple[str, ...] = ()
    one_page: bool = False
    table: str = ""


def tables_as_workbook(tables: Sequence[BookPage], title: str, author: str, mark: str) -> bytes:
    """The tables as the bytes of one workbook, with `mark` at the foot of each printed page."""
    book = Workbook()
    look.measure_in_body_type(book)
    for blank in book.worksheets:
        book.remove(blank)
    for table in tables:
        page = book.create_sheet(_free_name(table.name, book.sheetnames))
        _fill(page, table)
        _set_up(page, table, mark)
    book.properties.title, book.properties.creator = title, author
    book.properties.created = book.properties.modified = _UNDATED
    return _same_bytes(book)


def _fill(page: Worksheet, table: BookPage) -> None:
    put_text(_cell(page, 1, 1), table.title)
    _cell(page, 1, 1).font = look.SUBTITLE
    for line, (word, words) in enumerate(table.lines, start=2):
        _put_line(page, line, word, words)
    head = _head_line(table)
    for number, column in enumerate(table.columns, start=1):
        cell = _cell(page, head, number)
        put_text(cell, column.heading)
        cell.font, cell.alignment = look.HEAD, look.HEAD_ALIGNMENT
        cell.fill, cell.border = look.HEAD_FILLS[0], look.BOX
        page.column_dimensions[get_column_letter(number)].width = column.width
    page.row_dimensions[head].height = look.LINE_POINTS * _HEAD_LINES
    rows = [*table.rows, table.totals] if table.totals else table.rows
    for line, row in enumerate(rows, start=head + 1):
        for number, (column, value) in enumerate(zip(table.columns, row, strict=True), start=1):
            cell = _cell(page, line, number)
            _put(cell, value, column.kind)
            cell.font = look.STRONG if row is table.totals else look.BODY
        _fit(page, line, row, table.columns)
    if table.table and table.rows:
        across, down = get_column_letter(len(table.columns)), head + len(table.rows)
        page.add_table(Table(displayName=table.table, ref=f"A{head}:{across}{down}"))
    _put_notes(page, table)


def _put_notes(page: Worksheet, table: BookPage) -> None:
    """Write the notes below the table, each across all columns."""
    width = sum(column.width for column in table.columns)
    first = page.max_row + 2
    for line, note in enumerate(table.notes, start=first):
        page.merge_cells(
            start_row=line, end_row=line, start_column=1, end_column=len(table.columns)
        )
        cell = _cell(page, line, 1)
        put_text(cell, note)
        cell.font, cell.alignment = look.BODY, look.WRAPPED
        look.fit_height(page, line, [(note, width)])


def _fit(
    page: Worksheet, line: int, row: Sequence[WrittenValue], columns: Sequence[TableColumn]
) -> None:
    widths = [column.width for column in columns]
    texts = [(v, width) for v, width in zip(row, widths, strict=True) if isinstance(v, str)]
    look.fit_height(page, line, texts)


def _put_line(page: Worksheet, line: int, word: str, value: str) -> None:
    put_text(_cell(page, line, 1), word)
    _cell(page, line, 1).font = look.STRONG
    put_text(_cell(page, line, 2), value)
    _cell(page, line, 2).font = look.BODY


def _put(cell: Cell, value: WrittenValue, kind: CellKind) -> None:
    cell.border = look.BOX
    if isinstance(value, str):
        cell.number_format = CELL_FORMATS[CellKind.TEXT]
        cell.alignment = look.WRAPPED
        put_text(cell, value)
        return
    cell.number_format = CELL_FORMATS.get(kind, "General")
    cell.alignment = look.FIGURE
    if value is not None:
        cell.value = value


def _cell(page: Worksheet, line: int, number: int) -> Cell:
    """A cell; in a merged range, only its first."""
    return cast(Cell, page.cell(line, number))


def _head_line(table: BookPage) -> int:
    return len(table.lines) + 3


def _set_up(page: Worksheet, table: BookPage, mark: str) -> None:
    look.set_up_page(page, tab=look.CELL_INK)
    head = _head_line(table)
    page.page_setup.orientation = "landscape" if table.landscape else "portrait"
    page.page_setup.fitToHeight = int(table.one_page)
    page.freeze_panes = f"A{head + 1}"
    page.print_title_rows = f"{head}:{head}"
    look.put_foot(page, mark.replace("&", "&&"))


def _free_name(wanted: str, taken: Sequence[str]) -> str:
    """A valid and unused name for a page."""
    name = _NOT_IN_NAMES.sub(" ", wanted).strip(" '")[:_LONGEST_NAME] or "Table"
    used = {one.casefold() for one in taken}
    free, number = name, 1
    while free.casefold() in used:
        number += 1
        free = f"{name[: _LONGEST_NAME - 4]} ({number})"
    return free


def _same_bytes(book: Workbook) -> bytes:
    """The bytes of a workbook, without its creation time."""
    timed, fixed = io.BytesIO(), io.BytesIO()
    with ZipFile(timed, "w", ZIP_DEFLATED) as archive:
        ExcelWriter(book, archive).save()
    with ZipFile(timed) as made, ZipFile(fixed, "w", ZIP_DEFLATED) as archive:
        for name in made.namelist():
            archive.writestr(ZipInfo(name), made.read(name), ZIP_DEFLATED)
    return fixed.getvalue()
