"""Workbooks as given out in November 2026, made from their headings and rows alone."""

import tomllib
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any

from openpyxl import Workbook
from openpyxl.comments import Comment

from quotegen.workbook.sheets.declaration import PRICE_SHEET

FILE = Path(__file__).with_name("sheets_of_2026_11.toml")
OWN_HEADING, NOTE = "Dog's name", "ring first"


@cache
def given_out() -> Mapping[str, Mapping[str, Any]]:
    """Each sheet with its headings from left to right, and its rows by heading."""
    return tomllib.loads(FILE.read_text(encoding="utf-8"))


def rows_of(name: str) -> Sequence[Mapping[str, Any]]:
    """The rows of a sheet."""
    rows: Sequence[Mapping[str, Any]] = given_out()[name].get("rows", ())
    return rows


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
    for name, sheet in given_out().items():
        if name == PRICE_SHEET:
            continue
        page = book.create_sheet(name)
        shown = order(sheet["headings"])
        page.append([spelt(heading) for heading in shown])
        for row in rows_of(name):
            page.append([row.get(heading) for heading in shown])
        if own:
            number = len(shown) + 2
            page.cell(1, number, OWN_HEADING)
            for line in range(2, len(rows_of(name)) + 2):
                page.cell(line, number, f"{name} {line}")
                page.cell(line, 1).comment = Comment(f"{NOTE}, {name} {line}", "the owner")
    if own:
        book.create_sheet("My sums").append(["Van", 12.5])
    path.parent.mkdir(parents=True, exist_ok=True)
    book.save(path)
    return path
