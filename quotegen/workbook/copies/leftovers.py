"""What was carried over, and the sheet of left-overs: what has no place in the new workbook."""

from collections.abc import Iterable, Sequence

from msgspec import Struct
from openpyxl import Workbook

from quotegen.workbook.reading.cells import in_brief, shown
from quotegen.workbook.sheets.declaration import LEFT_OVER_SHEET
from quotegen.workbook.writing import look
from quotegen.workbook.writing.filling import put_text

_HEADS = (
    ("Sheet", 18.0),
    ("Cell", 8.0),
    ("Heading", 30.0),
    ("It said", 50.0),
    ("Comment", 40.0),
    ("Why it is here", 40.0),
)


class LeftOver(Struct, frozen=True):
    """One cell: where it stood, what it and its comment said, and why it has no place."""

    sheet: str
    cell: str
    heading: str
    said: str
    comment: str
    why: str

    @property
    def shown(self) -> str:
        """What it said, on a line."""
        return in_brief(shown(self.said or self.comment))


class Carried(Struct):
    """What was done: the cells and comments carried over, the owner's own columns, what is left."""

    cells: int = 0
    comments: int = 0
    own_columns: list[str] = []
    own_sheets: list[str] = []
    left_over: list[LeftOver] = []


def report(carried: Carried) -> Iterable[str]:
    """What was done, a line each."""
    yield f"Carried over: {carried.cells} cells and {carried.comments} comments."
    yield from (f"Own column, at the right of {one}" for one in carried.own_columns)
    yield from (f"Own sheet: {one}" for one in carried.own_sheets)
    for one in carried.left_over:
        yield f"Left over, {one.sheet}!{one.cell}: “{one.shown}”: {one.why}"


def list_left_overs(book: Workbook, found: Sequence[LeftOver]) -> None:
    """Write the sheet of left-overs, if there are any; a sheet of that name is left as it is."""
    if not found:
        return
    page = book.create_sheet(LEFT_OVER_SHEET)
    for number, (head, width) in enumerate(_HEADS, start=1):
        cell = page.cell(1, number, head)
        cell.font, cell.fill = look.HEAD, look.HEAD_FILLS[0]
        page.column_dimensions[cell.column_letter].width = width
    for line, one in enumerate(found, start=2):
        texts = (one.sheet, one.cell, one.heading, one.said, one.comment, one.why)
        for number, text in enumerate(texts, start=1):
            cell = page.cell(line, number)
            put_text(cell, text)
            cell.font, cell.alignment = look.BODY, look.WRAPPED
    look.set_up_page(page, tab=look.AMBER)
    page.freeze_panes = "A2"
