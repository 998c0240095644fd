"""Writing workbooks of our own: blank ones, price lists, the demo. Never the user's.

An existing file is left alone. A new one is written beside its place and moved there whole.
Everything typed by a person is written as text that cannot run as a formula.
"""

import io
from collections.abc import Mapping, Sequence
from copy import copy
from datetime import date
from decimal import Decimal
from pathlib import Path

from openpyxl import Workbook
from openpyxl.cell.cell import Cell
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from quotegen.machine.files import replace_file
from quotegen.problems import Place, Problem, problem
from quotegen.reference import house_rules
from quotegen.workbook.sheets.columns import EXAMPLE_REF, YES_NO, AnyColumn, DeclarationError, Sheet
from quotegen.workbook.sheets.declaration import (
    BOOK_SHEETS,
    JOB_SHEETS,
    PRICE_SHEET,
    SETTING_SHEETS,
    setting_column,
    sheets,
)
from quotegen.workbook.sheets.enquiries import ENQUIRIES
from quotegen.workbook.sheets.firm import SettingSheet
from quotegen.workbook.writing import asking, look
from quotegen.workbook.writing.dropdowns import Lists, add_rule
from quotegen.workbook.writing.filling import CELL_FORMATS, put_text
from quotegen.workbook.writing.folding import fold_below_head
from quotegen.workbook.writing.guide_sheet import add_book_guide, add_price_guide

CellIn = str | float | int | Decimal | date | bool | tuple[str, ...] | None
RowsIn = Sequence[Mapping[str, CellIn]]

SPARE_ROWS = 20
LAST_RULED_ROW = 1000
_MARGIN = 2
_PAGES_WIDE = {"Enquiries": 6}
_PAGES_FOLDED = 2


def write_workbook(
    path: Path, rows: Mapping[str, RowsIn], *, folded: bool = False
) -> Problem | None:
    """Write a workbook of enquiries; return a problem if it could not be written.

    `folded` shows of Enquiries only what a first price needs; the rest is folded away.

    `rows` gives the rows of each sheet by name, each row its cells by field; a field that the sheet
    does not declare is our own fault (`DeclarationError`). Every declared sheet is written, with
    drop-downs, prompts and a page on filling it in.
    """
    book = _new_book()
    lists = Lists(book)
    add_book_guide(book)
    for name in BOOK_SHEETS:
        _add_sheet(book, lists, sheets()[name], rows.get(name, ()))
    _ask(book[ENQUIRIES.name], len(rows.get(ENQUIRIES.name, ())), folded=folded)
    lists.finish()
    return _save(book, path)


def write_price_list(path: Path, rows: RowsIn) -> Problem | None:
    """Write a price list; return a problem if it could not be written."""
    book = _new_book()
    lists = Lists(book)
    _add_sheet(book, lists, sheets()[PRICE_SHEET], rows)
    add_price_guide(book)
    lists.finish()
    return _save(book, path)


def _new_book() -> Workbook:
    book = Workbook()
    for sheet in book.worksheets:
        book.remove(sheet)
    return book


def _save(book: Workbook, path: Path) -> Problem | None:
    place = Place(path.name)
    if path.exists():
        return problem("file-exists", place, str(path))
    content = io.BytesIO()
    book.save(content)
    try:
        replace_file(path, content.getvalue())
    except OSError as error:
        return problem("output-blocked", place, error.strerror or str(error))
    return None


def _add_sheet(book: Workbook, lists: Lists, sheet: Sheet, rows: RowsIn) -> None:
    unknown = {field for row in rows for field in row} - {column.field for column in sheet.columns}
    if unknown:
        raise DeclarationError(f"{sheet.name} has no columns for {sorted(unknown)}")
    page = book.create_sheet(sheet.name)
    _heads(page, sheet)
    top = sheet.heading_row
    last = len(rows) + top + (0 if sheet.name in SETTING_SHEETS else SPARE_ROWS)
    for number, column in enumerate(sheet.columns, start=1):
        first = page.cell(top + 1, number)
        if last > top:
            _style(first, column)
        for line in range(top + 2, last + 1):
            page.cell(line, number)._style = copy(first._style)
    for line, row in enumerate(rows, start=top + 1):
        example = row.get("ref") == EXAMPLE_REF
        for number, column in enumerate(sheet.columns, start=1):
            cell = page.cell(line, number)
            _fill(cell, row.get(column.field))
            if example:
                cell.fill, cell.font = look.EXAMPLE_FILL, look.EXAMPLE
        texts = [(_text(row.get(column.field)), column.width) for column in sheet.columns]
        look.fit_height(page, line, texts)
    if sheet.name in SETTING_SHEETS:
        _rule_settings(page, lists, sheet, rows)
        fold_below_head(page, rows)
    else:
        for number, column in enumerate(sheet.columns, start=1):
            letter = get_column_letter(number)
            add_rule(page, lists, column, f"{letter}{top + 1}:{letter}{LAST_RULED_ROW}")
    _set_up_page(page, sheet)


def _ask(page: Worksheet, filled: int, *, folded: bool) -> None:
    """What only the Enquiries sheet does; `filled` is its number of rows."""
    top = ENQUIRIES.heading_row
    asking.add_groups(page)
    asking.add_notes(page)
    asking.add_folds(page, folded=folded)
    asking.add_shading(page, LAST_RULED_ROW)
    number = ENQUIRIES.columns.index(ENQUIRIES.missing) + 1
    for line in range(top + 1, top + filled + SPARE_ROWS + 1):
        page.cell(line, number).value = asking.missing_formula(line)
        page.cell(line, number).number_format = "General"
        page.cell(line, number).alignment = look.HEAD_LEFT
    page.freeze_panes = f"{get_column_letter(number + 1)}{top + 1}"
    page.print_title_rows = f"1:{top}"
    if folded:
        page.page_setup.fitToWidth = _PAGES_FOLDED


def _heads(page: Worksheet, sheet: Sheet) -> None:
    """Write the headings toned by group, with a thick line under those needed first."""
    groups = list(dict.fromkeys(column.group for column in sheet.columns))
    for number, column in enumerate(sheet.columns, start=1):
        cell = page.cell(sheet.heading_row, number, column.heading)
        cell.font, cell.alignment = look.HEAD, look.HEAD_ALIGNMENT
        cell.fill = look.HEAD_FILLS[groups.index(column.group) % len(look.HEAD_FILLS)]
        cell.border = look.NEEDED_BOX if column.required or column.first else look.BOX
        page.column_dimensions[get_column_letter(number)].width = column.width + _MARGIN
    high = page.row_dimensions[sheet.heading_row]
    high.height = look.LINE_POINTS * (4 if len(sheet.columns) > 10 else 2.5)


def _style(cell: Cell, column: AnyColumn) -> None:
    cell.font, cell.alignment, cell.border = look.BODY, look.WRAPPED, look.BOX
    cell.number_format = CELL_FORMATS.get(column.kind, "General")


def _text(value: CellIn) -> str:
    if isinstance(value, bool):
        return YES_NO[0] if value else YES_NO[1]
    return "; ".join(value) if isinstance(value, tuple) else str(value or "")


def _fill(cell: Cell, value: CellIn) -> None:
    if isinstance(value, str | tuple | bool):
        put_text(cell, _text(value))
    elif value is not None:
        cell.value = value


def _rule_settings(page: Worksheet, lists: Lists, sheet: Sheet, rows: RowsIn) -> None:
    """Give each value cell of a settings sheet the rule and look of its own setting."""
    number = sheet.columns.index(SettingSheet.value) + 1
    for line, row in enumerate(rows, start=2):
        setting = house_rules.settings().get(str(row.get("code")))
        if setting is None:
            continue
        column = setting_column(setting)
        cell = page.cell(line, number)
        cell.number_format = CELL_FORMATS.get(column.kind, "General")
        cell.font = look.STRONG
        if setting.required:
            cell.fill = look.NEEDED_FILL
        add_rule(page, lists, column, f"{get_column_letter(number)}{line}")


def _set_up_page(page: Worksheet, sheet: Sheet) -> None:
    tab = look.CELL_INK if sheet.name == JOB_SHEETS[0] else look.TAB_SOFT
    look.set_up_page(page, tab=tab, pages_wide=_PAGES_WIDE.get(sheet.name, 1))
    page.freeze_panes = "B2"
    page.print_title_rows = "1:1"
    page.print_title_cols = "A:A"
    look.put_foot(page)
