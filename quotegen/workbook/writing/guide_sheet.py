"""The guide sheet on filling in a workbook, made from the declaration."""

from collections.abc import Sequence
from io import BytesIO

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from quotegen import wording
from quotegen.reference import house_rules
from quotegen.workbook.sheets.columns import EXAMPLE_REF, AnyColumn
from quotegen.workbook.sheets.declaration import (
    BOOK_SHEETS,
    GUIDE_SHEET,
    JOB_SHEETS,
    PRICE_SHEET,
    TABLE_SHEETS,
    sheets,
)
from quotegen.workbook.sheets.shape_pictures import SIZE_LETTERS
from quotegen.workbook.writing import look

BOOK_ADVICE = (
    "Fill in the shaded cells of Business and Waste once. Only your firm knows these.",
    "Business, Rates and Waste begin with what every firm should look at. Their other figures are"
    " folded away below and are used as they are. To see them, click the + in the left margin, or"
    " the 2 at the top of it.",
    "Fill one row of Enquiries for each roof. The twelve cells whose headings have a thick amber "
    "line under them give a first price; what it takes for granted is said on the quote. The rest "
    "is folded away: the + above the headings, or the 2 at the left of them, opens it. What is "
    "missing is named beside the reference, and grey cells are not needed for that shape.",
    "Stand in the garden and look at the wall: left, right, front and back are as you see them.",
    "Sizes are in millimetres. 2400, 2,400mm, 240 cm and 2.4 m all mean the same. If you type "
    "just 2.4, we ask; we never guess.",
    "Leave blank what you do not know. For safety, we treat unknown as the dangerous answer; for "
    "a price, we tell you what is missing.",
    f"The row {EXAMPLE_REF} shows what a filled-in row looks like. It is not read: clear it or "
    "leave it.",
    "Leave the headings as they are, and do not merge cells. Columns and sheets you add "
    "are not read; hidden and filtered rows are.",
    "The program never changes your workbook. Save it, then run a check before you make the "
    "papers.",
)
PRICE_ADVICE = (
    "One row for each pack of each item from each supplier, at its price without VAT.",
    "Use the item codes below, and give the pack size in the unit beside the code.",
    "A supplier's charge for one delivery has its own row: item delivery, unit order, pack size "
    "1. Without that row we assume delivery is free, as when you collect.",
    "When a price changes, change the row and its date; do not add a second row for that pack.",
)
_NUMBERED = "Edges with numbers are entered one row each on the Outline sheet, in that order."
_WIDTHS = (24, 30, 46, 74)
_POINTS_PER_PIXEL = 0.75


def add_book_guide(book: Workbook) -> None:
    """Add the guide at the front: what to do, then every column of job sheets and tables."""
    page = _page(book, BOOK_ADVICE, 0)
    line = _add_shapes(page, page.max_row + 2)
    line = _table(
        page, line, "The sheets", ("Sheet", "What it is for"),
        [(name, sheets()[name].about) for name in BOOK_SHEETS],
    )  # fmt: skip
    for name in (*JOB_SHEETS, *TABLE_SHEETS):
        rows = [
            (column.group, column.heading, what_may_stand(column), column.prompt)
            for column in sheets()[name].columns
        ]
        line = _table(page, line, name, ("Part", "Heading", "What you can put there", "Help"), rows)


def _add_shapes(page: Worksheet, line: int) -> int:
    """Put the pictures of the shapes with their letters into a row of their own; the line after."""
    from openpyxl.drawing.image import Image  # noqa: PLC0415 - only with the pictures

    from quotegen.workbook.writing.shape_drawing import PICTURE_SIZE, shapes_png  # noqa: PLC0415

    page.cell(line, 1, "The shapes, seen from above").font = look.SUBTITLE
    letters = ", ".join(f"{letter} {size}" for size, letter in SIZE_LETTERS.items())
    key = page.cell(line + 1, 1, f"{letters}. {_NUMBERED}")
    key.font, key.alignment = look.BODY, look.WRAPPED
    page.merge_cells(start_row=line + 1, end_row=line + 1, start_column=1, end_column=len(_WIDTHS))
    look.fit_height(page, line + 1, [(str(key.value), sum(_WIDTHS))])
    picture = Image(BytesIO(shapes_png()))
    picture.width, picture.height = PICTURE_SIZE
    page.add_image(picture, f"A{line + 2}")
    page.row_dimensions[line + 2].height = PICTURE_SIZE[1] * _POINTS_PER_PIXEL + look.LINE_POINTS
    return line + 4


def add_price_guide(book: Workbook) -> None:
    """Add the guide after the prices: what to do, the columns, and every item with its unit."""
    page = _page(book, PRICE_ADVICE, None)
    line = _table(
        page, page.max_row + 2, PRICE_SHEET, ("Part", "Heading", "What you can put there", "Help"),
        [(c.group, c.heading, what_may_stand(c), c.prompt) for c in sheets()[PRICE_SHEET].columns],
    )  # fmt: skip
    items = [(item.code, item.words, item.unit) for item in house_rules.items().values()]
    _table(page, line, "Items", ("Item", "What it is", "Unit"), items)


def what_may_stand(column: AnyColumn) -> str:
    """What a column's cells may hold, in a few words."""
    if column.choices:
        count = "one or more of" if column.kind == "choices" else "one of"
        words = f"{count}: {', '.join(column.choices)}"
    elif column.allowed:
        words = (
            f"one of: {', '.join(f'{wording.typed(figure)}' for figure in column.allowed)} "
            f"{column.unit}"
        )
    elif column.least is not None and column.most is not None:
        kind = "whole number" if column.whole else str(column.kind)
        least, most = wording.typed(column.least), wording.typed(column.most)
        words = f"{kind}, {least} to {most} {column.unit}".strip()
    else:
        words = str(column.kind)
    return f"{words}; must be filled in" if column.required else words


def _page(book: Workbook, advice: tuple[str, ...], position: int | None) -> Worksheet:
    page: Worksheet = book.create_sheet(GUIDE_SHEET, position)
    for letter, width in zip("ABCD", _WIDTHS, strict=True):
        page.column_dimensions[letter].width = width
    page.cell(1, 1, GUIDE_SHEET).font = look.TITLE
    page.row_dimensions[1].height = 28
    for number, sentence in enumerate(advice, start=1):
        line = number + 2
        cell = page.cell(line, 1, f"{number}.  {sentence}")
        cell.font, cell.alignment = look.BODY, look.WRAPPED
        page.merge_cells(start_row=line, end_row=line, start_column=1, end_column=len(_WIDTHS))
        look.fit_height(page, line, [(sentence, sum(_WIDTHS))])
    look.set_up_page(page, tab=look.AMBER)
    look.put_foot(page)
    return page


def _table(
    page: Worksheet,
    line: int,
    title: str,
    heads: tuple[str, ...],
    rows: Sequence[tuple[str, ...]],
) -> int:
    """Write a small table under its title; return the line after it.

    The last column takes the space left.
    """
    page.cell(line, 1, title).font = look.SUBTITLE
    for offset, row in enumerate((heads, *rows)):
        here = line + 1 + offset
        for number, text in enumerate(row, start=1):
            cell = page.cell(here, number, text)
            cell.font, cell.alignment, cell.border = look.BODY, look.WRAPPED, look.UNDERLINE
            if offset == 0:
                cell.font, cell.fill = look.HEAD, look.HEAD_FILLS[0]
        widths = [*_WIDTHS[: len(row) - 1], sum(_WIDTHS[len(row) - 1 :])]
        if len(row) < len(_WIDTHS):
            page.merge_cells(
                start_row=here, end_row=here, start_column=len(row), end_column=len(_WIDTHS)
            )
        look.fit_height(page, here, list(zip(row, widths, strict=True)))
    return line + len(rows) + 3
