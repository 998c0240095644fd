"""Drop-down lists, ranges and prompts for the cells of workbooks we write.

The spreadsheet's own rules only help with typing; the reader checks everything again. Lists are on
a hidden sheet, because a choice may contain a comma.
"""

from openpyxl import Workbook
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from quotegen.workbook.sheets.columns import AnyColumn, CellKind
from quotegen.workbook.sheets.declaration import LISTS_SHEET

LONGEST_TITLE = 32
LONGEST_PROMPT = 255


class Lists:
    """The hidden sheet of lists of one workbook; each list is written once."""

    def __init__(self, book: Workbook) -> None:
        self._page = book.create_sheet(LISTS_SHEET)
        self._book = book
        self._known: dict[tuple[str | float, ...], str] = {}

    def address(self, heading: str, choices: tuple[str | float, ...]) -> str:
        """The range of the list of these choices."""
        if choices not in self._known:
            number = len(self._known) + 1
            letter = get_column_letter(number)
            self._page.cell(1, number, heading)
            for line, choice in enumerate(choices, start=2):
                self._page.cell(line, number, choice)
            last = len(choices) + 1
            self._known[choices] = f"{LISTS_SHEET}!${letter}$2:${letter}${last}"
        return self._known[choices]

    def finish(self) -> None:
        """Move the sheet behind the others and hide it."""
        self._page.sheet_state = "hidden"
        self._book.move_sheet(self._page, len(self._book.worksheets))
        self._book.active = 0


def add_rule(page: Worksheet, lists: Lists, column: AnyColumn, cells: str) -> None:
    """Give cells the prompt of their column, and its list or range if it has one."""
    rule = _rule(lists, column, cells)
    rule.allow_blank = True
    rule.showInputMessage = bool(column.prompt)
    rule.promptTitle = column.heading[:LONGEST_TITLE]
    rule.prompt = _prompt(column)
    rule.errorTitle = "Please look again"
    rule.error = f"Please type {column.needed}."[:LONGEST_PROMPT]
    page.add_data_validation(rule)
    rule.add(cells)


def _rule(lists: Lists, column: AnyColumn, cells: str) -> DataValidation:
    if column.choices or column.allowed:
        address = lists.address(column.heading, column.choices or column.allowed)
        # Several choices are typed with semicolons between, so the list only suggests.
        strict = column.kind is not CellKind.CHOICES
        return DataValidation("list", formula1=address, showErrorMessage=strict)
    if column.earliest and column.latest:
        first, last = (
            f"DATE({d.year},{d.month},{d.day})" for d in (column.earliest, column.latest)
        )
        return DataValidation(
            "date", operator="between", formula1=first, formula2=last, showErrorMessage=True
        )
    if column.least is None or column.most is None:
        return DataValidation(None, showErrorMessage=False)
    if column.kind is CellKind.LENGTH:
        # A length may be typed with its unit, which is text; the reader understands it.
        first_cell = cells.split(":", maxsplit=1)[0]
        within = f"AND({first_cell}>={column.least:g},{first_cell}<={column.most:g})"
        formula = f"OR(ISTEXT({first_cell}),{within})"
        return DataValidation("custom", formula1=formula, showErrorMessage=True)
    return DataValidation(
        "whole" if column.whole else "decimal",
        operator="between",
        formula1=f"{column.least:g}",
        formula2=f"{column.most:g}",
        showErrorMessage=True,
    )


def _prompt(column: AnyColumn) -> str:
    parts = [column.prompt]
    if column.kind is CellKind.CHOICES:
        parts.append(f"Choices: {'; '.join(column.choices)}.")
    elif column.least is not None and column.most is not None:
        parts.append(f"{column.least:g} to {column.most:g} {column.unit}".strip() + ".")
    text = " ".join(part for part in parts if part)
    return text if len(text) <= LONGEST_PROMPT else f"{text[: LONGEST_PROMPT - 1]}…"
