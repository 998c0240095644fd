"""Writing values into cells of our own workbooks, so that no text can run as a formula."""

import unicodedata

from openpyxl.cell.cell import Cell

from quotegen.workbook.sheets.columns import CellKind

CELL_FORMATS = {CellKind.DATE: "dd/mm/yyyy", CellKind.MONEY: "#,##0.00", CellKind.TEXT: "@"}
"""Number formats by kind of cell; other kinds have none."""

_FORMULA_STARTS = ("=", "+", "-", "@")


def put_text(cell: Cell, text: str) -> None:
    """Write text as text, leaving out characters that no workbook can hold.

    A text that begins like a formula stays text, even when edited later.
    """
    text = _printable(text)
    if not text:
        return
    cell.value = text
    cell.data_type = "s"
    if text.startswith(_FORMULA_STARTS):
        cell.quotePrefix = True


def _printable(text: str) -> str:
    return "".join(c for c in text if c in "\n\t" or unicodedata.category(c) != "Cc")
