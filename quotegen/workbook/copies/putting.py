"""Putting what stood in an old cell into a new one: its value, how it looks, its comment."""

from copy import copy
from datetime import date, time, timedelta

from openpyxl.cell.cell import Cell, MergedCell
from openpyxl.comments import Comment
from openpyxl.worksheet.worksheet import Worksheet

from quotegen.workbook.package.raw_cell import Raw
from quotegen.workbook.writing.filling import put_text

_GENERAL = "General"
_MOMENTS = (date, time, timedelta)


def put(cell: Cell, raw: Raw, old: Cell) -> None:
    """Put a value into a cell; of a formula its result, with the formula in a comment."""
    value = raw.value
    if raw.error:
        cell.value, cell.data_type = raw.error, "e"
    elif isinstance(value, str):
        put_text(cell, value)
    elif isinstance(value, bool | int | float | date | time | timedelta):
        cell.value = value
    shown_otherwise = raw.percent or (isinstance(value, _MOMENTS) and not cell.is_date)
    if shown_otherwise or cell.number_format == _GENERAL:
        cell.number_format = old.number_format
    if raw.formula:
        add_comment(cell, f"Worked out in the older workbook as {raw.formula}")


def add_comment(cell: Cell, text: str, like: Comment | None = None) -> None:
    """Give a cell a comment, below the one it has already; never the same words twice."""
    before = cell.comment.text if cell.comment else ""
    if text and text not in before:
        author = like.author if like else "quotegen"
        comment = Comment("\n\n".join(filter(None, (before, text))), author or "")
        if like:
            comment.width, comment.height = like.width, like.height
        cell.comment = comment


def comments_of(page: Worksheet) -> dict[tuple[int, int], Comment]:
    """The comments of a sheet by row and column."""
    return {
        (line, number): cell.comment
        for line, cells in enumerate(page.iter_rows(min_col=1), start=page.min_row)
        for number, cell in enumerate(cells, start=1)
        if cell.comment
    }


def plain_cell(page: Worksheet, line: int, number: int) -> Cell:
    """A cell that can hold a value; one hidden by a merge is set free first."""
    cell = page.cell(line, number)
    if isinstance(cell, MergedCell):
        hidden_by = next(one for one in page.merged_cells.ranges if cell.coordinate in one)
        page.unmerge_cells(str(hidden_by))
        cell = page.cell(line, number)
    assert isinstance(cell, Cell)
    return cell


def look_like(cell: Cell, other: Cell) -> None:
    """Give a cell the look of another."""
    if not cell.has_style:
        restyle(cell, other)


def restyle(cell: Cell, other: Cell) -> None:
    """Give a cell the look of another in place of its own."""
    cell._style = copy(other._style)  # type: ignore[attr-defined]  # not in its hints
