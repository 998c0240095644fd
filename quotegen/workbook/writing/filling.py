"""Putting values into the cells of workbooks we write, so that no words can run as a formula."""

import unicodedata

from openpyxl.cell.cell import Cell

from quotegen.workbook.sheets.columns import CellKind

FORMATS = {CellKind.DATE: "dd/mm/yyyy", CellKind.MONEY: "#,##0.00", CellKind.TEXT: "@"}
"""How the cells of a kind show what is in them; every other kind as it comes."""

_FORMULA_STARTS = ("=", "+", "-", "@")


def put_text(cell: Cell, text: str) -> None:
    """Write words as words; characters that no workbook can hold are left out.

    A text that begins like a formula stays a text, also when it is edited later.
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
