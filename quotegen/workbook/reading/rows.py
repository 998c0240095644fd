"""Rows of a sheet: headings found, every declared cell read, every problem placed."""

import re
from collections import Counter
from collections.abc import Collection, Mapping
from decimal import Decimal
from operator import itemgetter
from typing import Any, TypeVar

from msgspec import Struct
from msgspec.structs import replace

from quotegen.problems import Place, Problem, problem
from quotegen.units import Unit
from quotegen.workbook.package.book import RawSheet
from quotegen.workbook.package.coordinates import column_letters
from quotegen.workbook.package.raw_cell import Raw, plain_text
from quotegen.workbook.reading.cells import in_brief, read_cell, shown
from quotegen.workbook.sheets.columns import (
    EXAMPLE_REF,
    AnyColumn,
    Column,
    DeclarationError,
    JobSheet,
    Sheet,
)
from quotegen.workbook.typed.words import says_total
from quotegen.working import Figure, Origin, Source

Given = TypeVar("Given")
HEADING_ROW = 1
_ROWS_ABOVE = 10
"""How many rows may stand above the headings: a title, or heads of groups."""
_RESERVED = r"(?:con|prn|aux|nul|com[0-9]|lpt[0-9])(?:\.|$)"
"""Names that Windows reserves, whatever their extension."""
_REFERENCE = re.compile(
    rf"(?!{_RESERVED})[a-z0-9](?:[a-z0-9._-]{{0,38}}[a-z0-9_-])?", re.IGNORECASE | re.ASCII
)


class Row(Struct, frozen=True):
    """One row with entries: the values of its cells, and the problems with the others.

    Values are looked up by the columns of its sheet; a column of another sheet is our own fault
    (`DeclarationError`). `letters` holds the letter of each column whose heading was found, `cells`
    the non-empty cells, `values` the value of each column or None, `wrong` the columns with a
    problem. A row without a sound reference is identified by its place.
    """

    book: str
    sheet: Sheet
    number: int
    ref: str
    letters: Mapping[AnyColumn, str]
    cells: Mapping[AnyColumn, Raw]
    values: Mapping[AnyColumn, Any]
    problems: tuple[Problem, ...]
    wrong: frozenset[AnyColumn]

    @property
    def names_itself(self) -> bool:
        """Whether the row gives a reference, sound or not."""
        return self.ref != _stand_in(self.sheet.name, self.number)

    def get(self, column: Column[Given]) -> Given | None:
        """The value of a cell, None where there is none. A number has its cell as origin."""
        value: Given | None = self.values[self._own(column)]
        return value

    def __getitem__(self, column: Column[Given]) -> Given:
        """The value of a required cell, which an accepted row is sure to have."""
        value = self.get(column)
        if value is None:
            raise TypeError(f"{self.place(column)} holds nothing")
        return value

    def raw(self, column: AnyColumn) -> Raw | None:
        """The cell as stored in the file, None where it is empty."""
        return self.cells.get(self._own(column))

    def typed(self, column: AnyColumn) -> bool:
        """Whether the cell holds anything, sound or not."""
        return self.raw(column) is not None

    def headed(self, column: AnyColumn) -> bool:
        """Whether the column exists at all."""
        return self._own(column) in self.letters

    def faulty(self, column: AnyColumn) -> bool:
        """Whether the cell already has a problem."""
        return self._own(column) in self.wrong

    def filled(self, column: AnyColumn) -> bool:
        """Whether nothing need be asked for: a value, a problem already, or no such heading.

        The heading of a later column may be missing without a problem, so it is asked for.
        """
        known = self.get(column) is not None
        return known or self.faulty(column) or not (self.headed(column) or column.later)

    def place(self, column: AnyColumn) -> Place:
        """The place of a column's cell."""
        letter = self.letters.get(self._own(column))
        cell = f"{letter}{self.number}" if letter else ""
        return Place(self.book, self.sheet.name, cell, column.heading)

    def under(self, ref: str) -> "Row":
        """The same row with its reference as the Enquiries sheet spells it."""
        problems = tuple(replace(found, ref=ref) for found in self.problems)
        return replace(self, ref=ref, problems=problems)

    def problem(self, code: str, column: AnyColumn, seen: str = "", **details: object) -> Problem:
        """A problem with the cell of a column of this row."""
        return problem(code, self.place(column), in_brief(seen), self.ref, **details)

    def missing(self, column: AnyColumn) -> list[Problem]:
        """The problem of a blank cell, if it is blank."""
        if self.filled(column):
            return []
        return [self.problem("cell-missing", column, needed=column.needed)]

    def _own(self, column: Column[Given]) -> Column[Given]:
        if column not in self.values:
            raise DeclarationError(f"{self.sheet.name} has no such column: {column}")
        return column


def read_rows(book: str, raw: RawSheet, sheet: Sheet) -> tuple[list[Row], list[Problem]]:
    """All rows with entries below the headings, and the problems of the headings themselves.

    Problems of cells are kept in the rows. Example rows are left out, with a warning if one was
    filled in, and so are rows of sums. Rows out of sight are read like the others, and told of. If
    a sheet has lost its references nothing below can be placed, so no row is read.
    """
    headings = heading_row(raw, sheet)
    numbers, problems = headed_columns(book, raw, sheet, headings)
    reference = _reference_of(sheet)
    if reference and reference not in numbers:
        return [], problems
    letters = {column: column_letters(number) for column, number in numbers.items()}
    lines: dict[int, dict[AnyColumn, Raw]] = {}
    columns = {number: column for column, number in numbers.items()}
    for (line, number), cell in raw.cells.items():
        if line > headings and number in columns and not cell.blank:
            lines.setdefault(line, {})[columns[number]] = cell
    problems += _out_of_sight(book, raw, lines)
    for line in [line for line, cells in lines.items() if _is_total(sheet, cells)]:
        place = Place(book, sheet.name, f"A{line}")
        problems.append(problem("total-row", place))
        del lines[line]
    rows = [_row(book, sheet, line, letters, cells) for line, cells in sorted(lines.items())]
    own: list[Row] = []
    for row in rows:
        if row.ref.casefold() == EXAMPLE_REF.casefold():
            problems += _filled_over(row)
        else:
            own.append(row)
    return own, problems


def heading_row(raw: RawSheet, sheet: Sheet) -> int:
    """The row of the headings: of the first rows, the one that has most of them.

    It is row 1 unless another has at least two headings more.
    """
    known = {_squeezed(column.heading) for column in sheet.columns}
    found = Counter(
        line
        for (line, _), cell in raw.cells.items()
        if line <= HEADING_ROW + _ROWS_ABOVE
        and isinstance(cell.value, str)
        and _squeezed(in_brief(shown(cell.value))) in known
    )
    best = max(found, key=lambda line: (found[line], -line), default=HEADING_ROW)
    return best if found[best] > found[HEADING_ROW] + 1 else HEADING_ROW


def _out_of_sight(book: str, raw: RawSheet, lines: Collection[int]) -> list[Problem]:
    """A word about the rows that were hidden or filtered out of sight, if any is filled in."""
    hidden = [str(line) for line in raw.hidden if line in lines]
    if not hidden:
        return []
    place = Place(book, raw.name, f"A{hidden[0]}")
    return [problem("rows-hidden", place, in_brief(", ".join(hidden)))]


def _is_total(sheet: Sheet, cells: Mapping[AnyColumn, Raw]) -> bool:
    """Whether a row is a row of sums: one that says so first, or says so and has no reference."""
    first = sheet.columns[0]
    if first in cells:
        return says_total(cells[first].value)
    return any(says_total(cell.value) for cell in cells.values())


def same_name(one: str, other: str) -> bool:
    """Whether two names differ at most in capitals and spaces."""
    return _squeezed(one) == _squeezed(other)


def unit_typed(typed: str) -> Unit:
    """A typed unit, ignoring capitals and allowing m²; empty for none."""
    return _UNITS.get(_squeezed(typed).replace("²", "2"), Unit.NONE)


def _filled_over(example: Row) -> list[Problem]:
    """Whether a job was typed over an example without a reference of its own."""
    for column in example.sheet.columns:
        given = example.get(column)
        declared = _read(Raw(column.example), column, example.place(column), example.ref)
        if column is not _reference_of(example.sheet) and given not in (None, declared):
            return [example.problem("example-filled-in", column, example.ref)]
    return []


def headed_columns(
    book: str, raw: RawSheet, sheet: Sheet, headings: int
) -> tuple[dict[AnyColumn, int], list[Problem]]:
    """The number of each declared column, and missing, duplicate or unknown headings.

    A later column, which older workbooks do not have, is only told of.
    """
    by_heading = {_squeezed(column.heading): column for column in sheet.columns}
    numbers: dict[AnyColumn, int] = {}
    problems: list[Problem] = []
    in_row = ((number, cell) for (line, number), cell in raw.cells.items() if line == headings)
    for number, cell in sorted(in_row, key=itemgetter(0)):
        if cell.blank or cell.merged:
            continue
        heading = in_brief(shown(cell.value))
        place = Place(book, sheet.name, f"{column_letters(number)}{headings}", heading)
        column = by_heading.get(_squeezed(heading))
        if column is None:
            problems.append(problem("heading-unknown", place, heading))
        elif column in numbers:
            problems.append(problem("heading-twice", place, heading))
        elif not column.worked_out:
            numbers[column] = number
    if not numbers:
        return numbers, [problem("headings-missing", Place(book, sheet.name, "A1"))]
    for column in sheet.columns:
        if column not in numbers and not column.worked_out:
            place = Place(book, sheet.name, "", column.heading)
            code = "heading-later" if column.later else "heading-missing"
            problems.append(problem(code, place))
    return numbers, problems


def _row(
    book: str,
    sheet: Sheet,
    line: int,
    letters: Mapping[AnyColumn, str],
    cells: Mapping[AnyColumn, Raw],
) -> Row:
    values: dict[AnyColumn, Any] = dict.fromkeys(sheet.columns)
    ref = ""
    problems: list[Problem] = []
    reference = _reference_of(sheet)
    if reference:
        place = Place(book, sheet.name, f"{letters[reference]}{line}", reference.heading)
        ref, problems = _reference(cells.get(reference, Raw(None)), reference, place, line)
        values[reference] = None if problems else ref
    for column in sheet.columns:
        cell = cells.get(column)
        if column is reference or column not in letters or (cell is None and not column.required):
            continue
        place = Place(book, sheet.name, f"{letters[column]}{line}", column.heading)
        value = _read(cell or Raw(None), column, place, ref)
        if isinstance(value, Problem):
            problems.append(value)
        else:
            values[column] = value
    headings = {found.place.heading for found in problems}
    wrong = frozenset(column for column in sheet.columns if column.heading in headings)
    return Row(book, sheet, line, ref, letters, cells, values, tuple(problems), wrong)


def _reference_of(sheet: Sheet) -> Column[str] | None:
    """The column of references, if the sheet has one."""
    return sheet.ref if isinstance(sheet, JobSheet) else None


def _read(cell: Raw, column: AnyColumn, place: Place, ref: str) -> object:
    """A row's value for a cell, None if there is none, or the problem with it."""
    value = read_cell(cell, column, place, ref)
    if value is None and column.required:
        return problem("cell-missing", place, ref=ref, needed=column.needed)
    if isinstance(value, float | Decimal):
        origin = Origin(Source.CELL, f"{place.sheet}!{place.cell}", column.heading)
        return Figure(column.heading, value, column.unit, origin)
    return value


def _reference(
    cell: Raw, column: Column[str], place: Place, line: int
) -> tuple[str, list[Problem]]:
    """The reference of a row, or in its absence the row's place.

    A row without a reference thus stops no other enquiry.
    """
    stand_in = _stand_in(place.sheet, line)
    value = read_cell(cell, column, place, stand_in)
    if isinstance(value, Problem):
        return stand_in, [value]
    if not isinstance(value, str) or not value:
        return stand_in, [problem("reference-missing", place, ref=stand_in)]
    ref = in_brief(shown(plain_text(value)))
    if not _REFERENCE.fullmatch(ref):
        return ref, [problem("reference-malformed", place, ref, ref)]
    return ref, []


def _stand_in(sheet: str, line: int) -> str:
    return f"{sheet} row {line}"


def _squeezed(name: str) -> str:
    return "".join(plain_text(name).casefold().split())


_UNITS = {_squeezed(unit): unit for unit in Unit}
