"""Workbooks as given out in November 2026, made from the list of their headings alone."""

import tomllib
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any

from openpyxl import Workbook
from openpyxl.comments import Comment

from quotegen.workbook.sheets.declaration import PRICE_SHEET, sheets
from tests.workbook.every_column import ROWS

FILE = Path(__file__).with_name("sheets_of_2026_11.toml")
OWN_HEADING, NOTE = "Dog's name", "ring first"


@cache
def headings_of_2026_11() -> Mapping[str, Sequence[str]]:
    """The headings of each sheet from left to right."""
    read = tomllib.loads(FILE.read_text(encoding="utf-8"))
    return {name: sheet["headings"] for name, sheet in read.items()}


def as_they_were(headings: Sequence[str]) -> list[str]:
    """The headings in their order."""
    return list(headings)


def turned_round(headings: Sequence[str]) -> list[str]:
    """The headings from right to left, as an owner might move columns."""
    return list(reversed(headings))


def write_older(
    path: Path,
    order: Callable[[Sequence[str]], list[str]] = as_they_were,
    own: bool = False,
    spelt: Callable[[str], str] = str,
) -> Path:
    """A workbook with every column filled; `own` adds columns, comments and a sheet."""
    book = Workbook()
    book.remove(book.worksheets[0])
    for name, headings in headings_of_2026_11().items():
        if name == PRICE_SHEET:
            continue
        fields = {column.heading: column.field for column in sheets()[name].columns}
        page = book.create_sheet(name)
        shown = order(headings)
        page.append([spelt(heading) for heading in shown])
        for row in ROWS.get(name, ()):
            page.append([_in_cell(row.get(fields[heading])) for heading in shown])
        if own:
            number = len(shown) + 2
            page.cell(1, number, OWN_HEADING)
            for line in range(2, len(ROWS.get(name, ())) + 2):
                page.cell(line, number, f"{name} {line}")
                page.cell(line, 1).comment = Comment(f"{NOTE}, {name} {line}", "the owner")
    if own:
        book.create_sheet("My sums").append(["Van", 12.5])
    path.parent.mkdir(parents=True, exist_ok=True)
    book.save(path)
    return path


def _in_cell(value: Any) -> Any:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "; ".join(value) if isinstance(value, tuple) else value
