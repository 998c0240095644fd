"""Folding away, on a settings sheet, what few firms ever change: an outline of the spreadsheet.

What is folded counts like the rest, and the reader does not ask where a row stands or whether it
is seen. The head of the fold stands above it, in the columns that only people read.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from openpyxl.worksheet.properties import Outline
from openpyxl.worksheet.worksheet import Worksheet

from quotegen.workbook.writing import look

FOLD_HEAD: Mapping[str, str] = {
    "words": "All the other figures are folded away below. They are used as they are.",
    "basis": (
        "To see them, click the + in the left margin, or the 2 at the top of it. The 1 folds them"
        " away again."
    ),
}
"""The row that stands between what is shown and what is folded."""


def fold_below_head(page: Worksheet, rows: Sequence[Mapping[str, Any]]) -> None:
    """Fold all rows below the head of the fold away; a sheet without a head stays as it is.

    `rows` are those of the sheet, the first of which stands on line 2.
    """
    if FOLD_HEAD not in rows:
        return
    head, last = rows.index(FOLD_HEAD) + 2, len(rows) + 1
    for cell in page[head]:
        cell.fill, cell.font = look.FOLD_FILL, look.STRONG
    for beside in (head, last + 1):  # LibreOffice looks for the mark below, wherever the head is
        page.row_dimensions[beside].collapsed = True
    for line in range(head + 1, last + 1):
        page.row_dimensions[line].outlineLevel = 1
        page.row_dimensions[line].hidden = True
    page.sheet_properties.outlinePr = Outline(summaryBelow=False)
    page.sheet_format.outlineLevelRow = 1
