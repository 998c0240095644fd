"""The sheets of an OpenDocument workbook (.ods), read once as a stream into the same cells.

The format is OASIS OpenDocument 1.3 part 3: 9.1 (tables), 9.1.3 and 9.1.4 (rows and cells, with
their repeats and spans), 19.385 (types of value) and 6.1 (text). Only non-empty cells are kept; a
filled cell that is repeated without end is refused like rows without end.
"""

from collections.abc import Callable
from typing import IO

from msgspec import Struct

from quotegen import wording
from quotegen.workbook.package.coordinates import LAST_COLUMN, LAST_ROW, column_letters
from quotegen.workbook.package.number_formats import iso_moment
from quotegen.workbook.package.raw_cell import ERROR_VALUES, Raw
from quotegen.workbook.package.sheet_cells import (
    LONGEST_TEXT,
    MOST_CELLS,
    MOST_MERGED,
    MOST_ROWS,
    TooManyError,
    stored_number,
)
from quotegen.workbook.package.xml_parts import DamagedError, read_part

_SPACE = "urn:oasis:names:tc:opendocument:xmlns:"
_SPACES = tuple(f"{_SPACE}{name}:1.0" for name in ("table", "text", "office", "drawing"))
_TABLE, _TEXT, _OFFICE = (f"{space} " for space in _SPACES[:3])
_CALC = "urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0 "
_ASIDE = ("annotation", "tracked-changes", "frame", "custom-shape", "g")
"""What is in or beside a cell and no part of its value: remarks, pictures, drawings."""
_WANTED = (
    "spreadsheet", "table", "table-row", "table-row-group", "table-cell", "covered-table-cell",
    "p", "s", "tab", "line-break", *_ASIDE,
)  # fmt: skip
_MOST_SPACES = 1_000
_NUMBERS = ("float", "currency", "percentage")

_At = tuple[int, int]


class OdsSheet(Struct, frozen=True):
    """One sheet: its name, its non-empty cells, the merge that is too large, the hidden rows."""

    name: str
    cells: dict[_At, Raw]
    too_large: str
    hidden: tuple[int, ...]


class TooManyInSheetError(Exception):
    """A sheet with more rows or cells than can be real, by name."""

    def __init__(self, sheet: str, found: TooManyError) -> None:
        super().__init__(sheet)
        self.sheet, self.found = sheet, found


def read_ods(stream: IO[bytes], wanted: Callable[[str], bool]) -> list[OdsSheet]:
    """The sheets of a workbook from left to right; those not `wanted` without their cells.

    Raises DamagedError if it is not one, TooManyInSheetError if a sheet is too large.
    """
    reading = _Reading(wanted)
    try:
        read_part(stream, _WANTED, reading.started, reading.ended, reading.said, _SPACES)
    except TooManyError as error:
        raise TooManyInSheetError(reading.name, error) from error
    if not reading.sheets:
        raise DamagedError("no sheets")
    return reading.sheets


class _Reading:
    """The sheets read so far, and the row and cell being read."""

    def __init__(self, wanted: Callable[[str], bool]) -> None:
        self.wanted = wanted
        self.sheets: list[OdsSheet] = []
        self.tables = self.aside = self.groups = 0
        self.taken = False
        self._new_sheet("")

    def _new_sheet(self, name: str) -> None:
        self.name = name
        self.cells: dict[_At, Raw] = {}
        self.hidden: list[int] = []
        self.too_large = ""
        self.row = self.next_row = self.next_column = 1
        self.rows = self.merged = self.seen = self.row_repeats = 0
        self.row_hidden = self.row_filled = False
        self._new_cell({})

    def _new_cell(self, attributes: dict[str, str]) -> None:
        self.cell = attributes
        self.in_cell = bool(attributes)
        self.paragraphs: list[list[str]] = []

    def started(self, name: str, attributes: dict[str, str]) -> None:
        if name in _ASIDE:
            self.aside += 1
        elif self.aside:
            return
        elif name == "table":
            self.tables += 1
            if self.tables == 1:
                self._new_sheet(attributes.get(f"{_TABLE}name", ""))
                self.taken = self.wanted(self.name)
        elif self.tables != 1 or not self.taken:
            return
        elif name == "table-row-group":
            self.groups += 1
        elif name == "table-row":
            self._start_row(attributes)
        elif name in ("table-cell", "covered-table-cell"):
            self._new_cell({**attributes, "": name})
        elif self.in_cell:
            self._start_text(name, attributes)

    def _start_row(self, attributes: dict[str, str]) -> None:
        self.row = self.next_row
        self.row_repeats = _repeats(attributes.get(f"{_TABLE}number-rows-repeated"), LAST_ROW)
        self.next_row = self.row + self.row_repeats
        self.next_column, self.row_filled = 1, False
        seen = attributes.get(f"{_TABLE}visibility", "visible") == "visible"
        self.row_hidden = not seen and not self.groups

    def _start_text(self, name: str, attributes: dict[str, str]) -> None:
        if name == "p":
            self.paragraphs.append([])
        elif self.paragraphs:
            count = min(_repeats(attributes.get(f"{_TEXT}c"), LAST_ROW), _MOST_SPACES)
            self.paragraphs[-1].append({"s": " " * count, "tab": "\t"}.get(name, "\n"))

    def said(self, text: str) -> None:
        if self.in_cell and not self.aside and self.paragraphs:
            self.paragraphs[-1].append(text)

    def ended(self, name: str) -> None:
        if name in _ASIDE:
            self.aside -= 1
        elif self.aside:
            return
        elif name == "table":
            self.tables -= 1
            if self.tables == 0:
                self.sheets.append(
                    OdsSheet(self.name, self.cells, self.too_large, tuple(self.hidden))
                )
        elif self.tables != 1 or not self.taken:
            return
        elif name == "table-row-group":
            self.groups -= 1
        elif name in ("table-cell", "covered-table-cell") and self.in_cell:
            self._end_cell()
            self._new_cell({})

    def _end_cell(self) -> None:
        """Keep the cell as often as it is repeated, if it holds anything."""
        across = _repeats(self.cell.get(f"{_TABLE}number-columns-repeated"), LAST_COLUMN)
        first = self.next_column
        self.next_column += across
        self.seen += 1
        if self.seen > MOST_CELLS:
            raise TooManyError(self.row, f"{wording.number(MOST_CELLS)} cells")
        covered = self.cell[""] == "covered-table-cell"
        raw = Raw(None, merged=True) if covered else self._raw()
        if raw is None:
            return
        if covered:
            self._cover(raw, first, across)
            return
        self._fill_row()
        if len(self.cells) + across * self.row_repeats > MOST_CELLS:
            raise TooManyError(self.row, f"{wording.number(MOST_CELLS)} cells")
        for row in range(self.row, self.row + self.row_repeats):
            for column in range(first, first + across):
                self.cells[row, column] = raw

    def _fill_row(self) -> None:
        if self.row_filled:
            return
        self.row_filled = True
        self.rows += self.row_repeats
        if self.rows > MOST_ROWS:
            raise TooManyError(self.row, f"{wording.number(MOST_ROWS)} filled rows")
        if self.next_column > LAST_COLUMN + 1 or self.next_row > LAST_ROW + 1:
            raise DamagedError(f"a cell in row {self.row} that no sheet has")
        if self.row_hidden:
            self.hidden += range(self.row, self.row + self.row_repeats)

    def _cover(self, raw: Raw, first: int, across: int) -> None:
        """Mark the cells under a merged one; a range too large for that is told of by its row."""
        self.merged += across * self.row_repeats
        if self.merged > MOST_MERGED:
            self.too_large = (
                self.too_large or f"{column_letters(min(first, LAST_COLUMN))}{self.row}"
            )
            return
        for row in range(self.row, self.row + self.row_repeats):
            for column in range(first, first + across):
                self.cells[row, column] = raw

    def _raw(self) -> Raw | None:
        """The cell just read; None if it is empty."""
        kind = self.cell.get(f"{_OFFICE}value-type", "")
        text = "\n".join("".join(parts) for parts in self.paragraphs)[: LONGEST_TEXT + 1]
        formula = self.cell.get(f"{_TABLE}formula", "").partition(":")[2]
        if self.cell.get(f"{_CALC}value-type") == "error" or text in ERROR_VALUES:
            return Raw(text, formula, error=text or "#VALUE!")
        if not kind:
            if formula:
                return Raw(None, formula, calculated=False)
            return Raw(text) if text else None
        value = self._value(kind, text)
        if value is None:
            return Raw(text, formula, damaged=True)
        return Raw(value, formula, percent=kind == "percentage")

    def _value(self, kind: str, text: str) -> object:
        """The stored value of a cell of this type; None if the file's words are not one."""
        if kind in _NUMBERS:
            return stored_number(self.cell.get(f"{_OFFICE}value", ""))
        if kind == "boolean":
            stored = self.cell.get(f"{_OFFICE}boolean-value", "")
            return {"true": True, "false": False}.get(stored)
        if kind == "date":
            return iso_moment(self.cell.get(f"{_OFFICE}date-value", ""))
        return self.cell.get(f"{_OFFICE}string-value", text)[: LONGEST_TEXT + 1]


def _repeats(text: str | None, most: int) -> int:
    """How often a row, a cell or a space stands there; more than a sheet has is a fault."""
    if text is None:
        return 1
    if not text.isdecimal() or len(text) > 9 or int(text) == 0:
        raise DamagedError(f"something repeated {text[:20]} times")
    return min(int(text), most)
