"""The cells of one sheet, read once as a stream: typed content and stored results.

The format is ECMA-376 part 1, 18.3 (sheets) and 18.4 (texts). Only non-empty cells are kept. A cell
that the file stores wrongly is kept as damaged, so that it alone is the problem.
"""

import re
from collections.abc import Sequence
from typing import IO

from msgspec import Struct

from quotegen import wording
from quotegen.workbook.package.coordinates import LAST_ROW, column_number, position
from quotegen.workbook.package.number_formats import PLAIN, Style, iso_moment, moment
from quotegen.workbook.package.raw_cell import ERROR_VALUES, Raw
from quotegen.workbook.package.xml_parts import DamagedError, read_part

MOST_ROWS = 20_000
"""The most non-empty rows in one sheet; a workbook of enquiries has a few hundred."""
MOST_CELLS = 2_200_000
"""The most cells in one sheet, including empty ones: two whole columns with a format."""
MOST_LOOKED_AT = 1_000_000
"""The most cells looked at for those that lie under merged ranges."""
MOST_MERGED = 20_000
"""The most cells of one sheet in merged ranges that hold anything."""
LONGEST_TEXT = 32_767
"""The most characters a spreadsheet program allows in a cell."""

_WANTED = ("row", "c", "v", "f", "is", "t", "rPh", "mergeCell")
_NUMBER = re.compile(r"[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]{1,4})?", re.ASCII)
_MOST_DIGITS = 40
_ADDRESS = re.compile(r"([A-Za-z]{1,3})([0-9]{1,7})", re.ASCII)
# The file format's escape for a character that XML does not allow: a code between `_x` and `_`.
_ESCAPED = re.compile(r"_x00([01][0-9A-Fa-f]|5[Ff])_")

At = tuple[int, int]


class TooManyError(Exception):
    """A sheet with more rows or cells than can be real; `most` gives the limit and of which."""

    def __init__(self, row: int, most: str) -> None:
        super().__init__(row)
        self.row, self.most = row, most


class Shared(Struct, frozen=True):
    """Data shared by all sheets of a workbook: its texts, its styles, and its date system."""

    texts: Sequence[str]
    styles: Sequence[Style]
    from_1904: bool


class SheetCells(Struct, frozen=True):
    """The non-empty cells, and the merged range that is too large to be listed cell by cell.

    `hidden` are the filled rows that are out of sight, but for those folded under a heading.
    """

    cells: dict[At, Raw]
    too_large: str
    hidden: tuple[int, ...] = ()


def read_cells(stream: IO[bytes], shared: Shared) -> SheetCells:
    """The cells of one sheet.

    Raises DamagedError if it is not one, TooManyError if it is too large.
    """
    reading = _Reading(shared)
    read_part(stream, _WANTED, reading.started, reading.ended, reading.said)
    return SheetCells(reading.cells, reading.merge(), tuple(reading.hidden))


def unescaped(text: str) -> str:
    """A text as typed, with escapes undone: a pasted line break is stored as `_x000D_`.

    >>> unescaped("one_x000D_two _x005F_x000D_")
    'one\\rtwo _x000D_'
    """
    if "_x00" not in text:
        return text
    return _ESCAPED.sub(lambda code: chr(int(code.group(1), 16)), text)


def stored_number(text: str) -> int | float | None:
    """A number as a file stores it; None if it is not one.

    >>> stored_number("2.4e3"), stored_number("24x0"), stored_number("9" * 400)
    (2400.0, None, None)
    """
    text = text.strip()
    if len(text) > _MOST_DIGITS or not _NUMBER.fullmatch(text):
        return None
    return float(text) if any(sign in text for sign in ".eE") else int(text)


class _Reading:
    """The cells of a sheet read so far, and the cell being read."""

    def __init__(self, shared: Shared) -> None:
        self.shared = shared
        self.cells: dict[At, Raw] = {}
        self.ranges: list[str] = []
        self.masters: dict[str, tuple[str, str]] = {}
        self.rows = self.seen = 0
        self.row = self.column = 0
        self.row_filled = self.row_hidden = False
        self.hidden: list[int] = []
        self._begin({})

    def _begin(self, attributes: dict[str, str]) -> None:
        self.cell = attributes
        self.filled = False
        self.value: str | None = None
        self.typed: str | None = None
        self.formula: str | None = None
        self.formula_kind: dict[str, str] = {}
        self.phonetic = False
        self.open = ""
        self.parts: list[str] = []

    def started(self, name: str, attributes: dict[str, str]) -> None:
        if name == "c":
            self.seen += 1
            if self.seen > MOST_CELLS:
                raise TooManyError(self.row, f"{wording.number(MOST_CELLS)} cells")
            self._begin(attributes)
        elif name == "row":
            self.row = _row_number(attributes.get("r"), self.row + 1)
            self.column, self.row_filled = 0, False
            folded = attributes.get("outlineLevel", "0") != "0"
            self.row_hidden = attributes.get("hidden") in ("1", "true") and not folded
        elif name in ("v", "t", "f"):
            self.filled = True
            self.open, self.parts = name, []
            if name == "f":
                self.formula_kind = attributes
        elif name == "is":
            self.filled, self.typed = True, ""
        elif name == "rPh":
            self.phonetic = True
        elif name == "mergeCell" and "ref" in attributes:
            self.ranges.append(attributes["ref"])

    def said(self, text: str) -> None:
        if self.open:
            self.parts.append(text)

    def ended(self, name: str) -> None:
        if name == "c":
            self._end_cell()
        elif name == self.open:
            text = "".join(self.parts)
            self.open = ""
            if name == "v":
                self.value = text or None
            elif name == "f":
                self.formula = text
            elif not self.phonetic and self.typed is not None:
                self.typed += text
        elif name == "rPh":
            self.phonetic = False

    def _end_cell(self) -> None:
        address = self.cell.get("r")
        if address is None:
            self.column += 1
            at = (self.row, self.column)
        else:
            match = _ADDRESS.fullmatch(address)
            at = (int(match[2]), column_number(match[1])) if match else (0, 0)
            if not at[1] or not 1 <= at[0] <= LAST_ROW:
                raise DamagedError(f"a cell called {address[:20]}")
            self.column = at[1]
        if not self.filled:
            return
        raw = self._raw(address or "")
        if raw is None:
            self.cells.pop(at, None)
            return
        self.cells[at] = raw
        if not self.row_filled:
            self.row_filled = True
            self.rows += 1
            if self.row_hidden:
                self.hidden.append(at[0])
            if self.rows > MOST_ROWS:
                raise TooManyError(at[0], f"{wording.number(MOST_ROWS)} filled rows")

    def _raw(self, address: str) -> Raw | None:
        """The cell just read; None if it is empty."""
        kind = self.cell.get("t", "n")
        style = self._style()
        value: object = self.value
        damaged = False
        error = ""
        if kind == "inlineStr":
            value = self.typed and unescaped(self.typed[: LONGEST_TEXT + 1])
            if self.typed == "":
                value = ""
        elif value is not None:
            value = self._stored(kind, self.value or "", style)
            damaged = value is None
            if damaged:
                value = (self.value or "")[: LONGEST_TEXT + 1]
        if not damaged and value is not None and (kind == "e" or value in ERROR_VALUES):
            error = str(value)
        if self.formula is None:
            return None if value is None else self._made(value, "", error, True, style, damaged)
        calculated = value is not None or kind == "str"
        return self._made(
            value, self._formula(address, calculated), error, calculated, style, damaged
        )

    def _made(
        self,
        value: object,
        formula: str,
        error: str,
        calculated: bool,
        style: Style,
        damaged: bool,
    ) -> Raw:
        percent = style.percent and isinstance(value, int | float)
        return Raw(value, formula, error, calculated, percent, damaged=damaged)

    def _style(self) -> Style:
        number = self.cell.get("s")
        if number is None or not number.isdecimal() or len(number) > 6:
            return PLAIN
        styles = self.shared.styles
        return styles[int(number)] if int(number) < len(styles) else PLAIN

    def _stored(self, kind: str, text: str, style: Style) -> object:
        """The stored value of a cell of this type; None if the text is not one."""
        if kind == "n":
            return self._number(text, style)
        if kind == "s":
            known = text.isdecimal() and len(text) < 9 and int(text) < len(self.shared.texts)
            return self.shared.texts[int(text)] if known else None
        if kind == "b":
            return {"1": True, "0": False, "true": True, "false": False}.get(text)
        if kind == "d":
            return iso_moment(text)
        return unescaped(text[: LONGEST_TEXT + 1])

    def _number(self, text: str, style: Style) -> object:
        number = stored_number(text)
        if number is None or not style.dated:
            return number
        try:
            return moment(number, from_1904=self.shared.from_1904, lasting=style.lasting)
        except (OverflowError, ValueError):
            return "#VALUE!"

    def _formula(self, address: str, calculated: bool) -> str:
        """The formula as displayed; a shared one is moved to its cell only where it will show."""
        kind, text = self.formula_kind.get("t", ""), f"={self.formula}"
        if kind == "dataTable":
            return "of a table"
        if kind != "shared":
            return text
        number = self.formula_kind.get("si", "")
        if text != "=":
            self.masters.setdefault(number, (text, address))
        master, at = self.masters.get(number, (text, address))
        return master if calculated or at == address else _moved(master, at, address)

    def merge(self) -> str:
        """Mark the cells hidden in merged ranges; return the first range too large for that."""
        told = looked = 0
        for ref in self.ranges:
            first, _, last = ref.partition(":")
            top, bottom = position(first), position(last or first)
            if top is None or bottom is None:
                raise DamagedError(f"cells merged as {ref[:20]}")
            size = (bottom[0] - top[0] + 1) * (bottom[1] - top[1] + 1)
            shown = top in self.cells
            told += size if shown else 0
            looked += 0 if shown else min(size, len(self.cells))
            if told > MOST_MERGED or looked > MOST_LOOKED_AT:
                return ref
            self._lay_under(top, bottom, shown=shown)
        return ""

    def _lay_under(self, top: At, bottom: At, *, shown: bool) -> None:
        """Hide the cells under the first of a merged range, whatever the file stores there."""
        lines, columns = range(top[0], bottom[0] + 1), range(top[1], bottom[1] + 1)
        if shown:
            under = [(row, column) for row in lines for column in columns if (row, column) != top]
            self.cells.update(dict.fromkeys(under, Raw(None, merged=True)))
        elif len(lines) * len(columns) > len(self.cells):
            for at in [at for at in self.cells if at[0] in lines and at[1] in columns]:
                del self.cells[at]
        else:
            for row in lines:
                for column in columns:
                    self.cells.pop((row, column), None)


def _row_number(text: str | None, following: int) -> int:
    if text is None:
        return following
    number = float(text) if _NUMBER.fullmatch(text[:_MOST_DIGITS]) else 0.0
    if not number.is_integer() or not 1 <= number <= LAST_ROW:
        raise DamagedError(f"a row called {text[:20]}")
    return int(number)


def _moved(formula: str, from_cell: str, to_cell: str) -> str:
    """A shared formula as it reads in another cell."""
    from openpyxl.formula.translate import (  # noqa: PLC0415 -- a third of a second, seldom needed
        Translator,
        TranslatorError,
    )

    try:
        return str(Translator(formula, from_cell).translate_formula(to_cell))
    except TranslatorError:
        return formula
