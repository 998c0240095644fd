"""Rows of a sheet: headings found, every declared cell read, every problem with its place."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from operator import itemgetter

from quotegen.problems import Place, Problem, problem
from quotegen.workbook.book import RawSheet
from quotegen.workbook.cells import CellValue, Raw, in_brief, plain_text, read_cell, shown
from quotegen.workbook.coordinates import column_letters
from quotegen.workbook.declaration import EXAMPLE_REF, Column, Sheet
from quotegen.working import Figure, Origin, Source

HEADING_ROW = 1
_RESERVED = r"(?:con|prn|aux|nul|com[0-9]|lpt[0-9])(?:\.|$)"
"""Names that a Windows computer keeps for itself, whatever ending they have."""
_REFERENCE = re.compile(
    rf"(?!{_RESERVED})[a-z0-9](?:[a-z0-9._-]{{0,38}}[a-z0-9_-])?", re.IGNORECASE | re.ASCII
)


@dataclass(frozen=True, slots=True)
class Row:
    """One row with entries: what its cells say, and what is wrong with those that say nothing.

    `letters` holds the column letter of each field whose heading was found, `raw` the cells that
    hold anything, `faulty` the fields with a problem. A row that gives no sound reference goes by
    its place.
    """

    book: str
    sheet: Sheet
    number: int
    ref: str
    letters: Mapping[str, str]
    raw: Mapping[str, Raw]
    values: Mapping[str, CellValue]
    problems: tuple[Problem, ...]
    faulty: frozenset[str]

    @property
    def names_itself(self) -> bool:
        """True when the row gives a reference, sound or not."""
        return self.ref != _stand_in(self.sheet, self.number)

    def place(self, field: str) -> Place:
        """Where the cell of a field is."""
        column = self.sheet.column(field)
        letter = self.letters.get(field)
        cell = f"{letter}{self.number}" if letter else ""
        return Place(self.book, self.sheet.name, cell, column.heading)

    def filled(self, field: str) -> bool:
        """True when the cell holds anything, sound or not, or its column is not there at all."""
        return field in self.values or field in self.faulty or field not in self.letters

    def under(self, ref: str) -> "Row":
        """The same row under its reference as the Enquiries sheet spells it."""
        problems = tuple(replace(found, ref=ref) for found in self.problems)
        return replace(self, ref=ref, problems=problems)

    def problem(self, code: str, field: str, seen: str = "", **details: object) -> Problem:
        """A problem with the cell of a field of this row."""
        return problem(code, self.place(field), in_brief(seen), self.ref, **details)

    def missing(self, field: str) -> list[Problem]:
        """The problem that a cell is blank, if it is."""
        if self.filled(field):
            return []
        return [self.problem("cell-missing", field, needed=self.sheet.column(field).needed)]

    def text(self, field: str) -> str:
        """A text or choice, empty where there is none."""
        value = self.values.get(field)
        return value if isinstance(value, str) else ""

    def texts(self, field: str) -> tuple[str, ...]:
        """The words chosen in a cell of several choices."""
        value = self.values.get(field)
        return value if isinstance(value, tuple) else ()

    def yes(self, field: str) -> bool | None:
        """Yes, no or unknown."""
        value = self.values.get(field)
        return value if isinstance(value, bool) else None

    def day(self, field: str) -> date | None:
        """A date, None where there is none."""
        value = self.values.get(field)
        return value if isinstance(value, date) else None

    def figure(self, field: str, unit: str | None = None) -> Figure | None:
        """A number with its cell as origin, None where there is none."""
        value = self.values.get(field)
        if isinstance(value, bool) or not isinstance(value, float | Decimal):
            return None
        column = self.sheet.column(field)
        place = self.place(field)
        origin = Origin(Source.CELL, f"{place.sheet}!{place.cell}", column.heading)
        return Figure(column.heading, value, column.unit if unit is None else unit, origin)


def read_rows(book: str, raw: RawSheet, sheet: Sheet) -> tuple[list[Row], list[Problem]]:
    """Every row with entries below the headings, and the problems of the headings themselves.

    The problems of cells are in the rows. Example rows are left out, with a warning where one was
    filled in. Where a sheet has lost its
    references nothing below can be placed, so no row is read.
    """
    numbers, problems = _columns(book, raw, sheet)
    if _has_references(sheet) and "ref" not in numbers:
        return [], problems
    letters = {field: column_letters(number) for field, number in numbers.items()}
    lines: dict[int, dict[str, Raw]] = {}
    fields = {number: field for field, number in numbers.items()}
    for (line, number), cell in raw.cells.items():
        if line > HEADING_ROW and number in fields and not cell.blank:
            lines.setdefault(line, {})[fields[number]] = cell
    rows = [_row(book, sheet, line, letters, cells) for line, cells in sorted(lines.items())]
    own: list[Row] = []
    for row in rows:
        if row.ref.casefold() == EXAMPLE_REF.casefold():
            problems += _filled_over(row)
        else:
            own.append(row)
    return own, problems


def same_name(one: str, other: str) -> bool:
    """True when two names differ at most in capitals and spaces."""
    return _squeezed(one) == _squeezed(other)


def _filled_over(example: Row) -> list[Problem]:
    """Whether somebody typed a job over an example without giving it a reference of its own."""
    place = Place(example.book, example.sheet.name)
    for column in example.sheet.columns:
        given = example.values.get(column.field)
        declared = read_cell(Raw(column.example), column, place)
        if column.field != "ref" and given not in (None, declared):
            return [example.problem("example-filled-in", column.field, example.ref)]
    return []


def _columns(book: str, raw: RawSheet, sheet: Sheet) -> tuple[dict[str, int], list[Problem]]:
    """The number of each field's column, and headings missing, twice or unknown."""
    by_heading = {_squeezed(column.heading): column for column in sheet.columns}
    numbers: dict[str, int] = {}
    problems: list[Problem] = []
    in_row = ((number, cell) for (line, number), cell in raw.cells.items() if line == HEADING_ROW)
    for number, cell in sorted(in_row, key=itemgetter(0)):
        if cell.blank or cell.merged:
            continue
        heading = in_brief(shown(cell.value))
        place = Place(book, sheet.name, f"{column_letters(number)}{HEADING_ROW}", heading)
        column = by_heading.get(_squeezed(heading))
        if column is None:
            problems.append(problem("heading-unknown", place, heading))
        elif column.field in numbers:
            problems.append(problem("heading-twice", place, heading))
        else:
            numbers[column.field] = number
    if not numbers:
        return numbers, [problem("headings-missing", Place(book, sheet.name, "A1"))]
    for column in sheet.columns:
        if column.field not in numbers:
            place = Place(book, sheet.name, "", column.heading)
            problems.append(problem("heading-missing", place))
    return numbers, problems


def _row(
    book: str, sheet: Sheet, line: int, letters: Mapping[str, str], cells: Mapping[str, Raw]
) -> Row:
    columns = [column for column in sheet.columns if column.field in letters]
    ref, ref_problems = (
        _reference(book, sheet, line, letters, cells) if _has_references(sheet) else ("", [])
    )
    values: dict[str, CellValue] = {}
    problems = list(ref_problems)
    for column in columns:
        if column.field == "ref":
            continue
        cell = cells.get(column.field)
        if cell is None and not column.required:
            continue
        place = Place(book, sheet.name, f"{letters[column.field]}{line}", column.heading)
        value = _read(cell or Raw(None), column, place, ref)
        if isinstance(value, Problem):
            problems.append(value)
        elif value is not None:
            values[column.field] = value
    if ref and not ref_problems:
        values["ref"] = ref
    faulty = frozenset(_fields_of(problems, columns))
    return Row(book, sheet, line, ref, letters, cells, values, tuple(problems), faulty)


def _has_references(sheet: Sheet) -> bool:
    return any(column.field == "ref" for column in sheet.columns)


def _read(cell: Raw, column: Column, place: Place, ref: str) -> CellValue | Problem | None:
    value = read_cell(cell, column, place, ref)
    if value is None and column.required:
        return problem("cell-missing", place, ref=ref, needed=column.needed)
    return value


def _reference(
    book: str, sheet: Sheet, line: int, letters: Mapping[str, str], cells: Mapping[str, Raw]
) -> tuple[str, list[Problem]]:
    """The reference of a row; where there is none, the row's place stands for it.

    So a row without a reference stops no other enquiry.
    """
    column = sheet.column("ref")
    place = Place(book, sheet.name, f"{letters['ref']}{line}", column.heading)
    stand_in = _stand_in(sheet, line)
    value = read_cell(cells.get("ref", Raw(None)), column, place, stand_in)
    if isinstance(value, Problem):
        return stand_in, [value]
    if not isinstance(value, str) or not value:
        return stand_in, [problem("reference-missing", place, ref=stand_in)]
    ref = in_brief(shown(plain_text(value)))
    if not _REFERENCE.fullmatch(ref):
        return ref, [problem("reference-malformed", place, ref, ref)]
    return ref, []


def _stand_in(sheet: Sheet, line: int) -> str:
    return f"{sheet.name} row {line}"


def _fields_of(problems: Iterable[Problem], columns: Iterable[Column]) -> list[str]:
    headings = {found.place.heading for found in problems}
    return [column.field for column in columns if column.heading in headings]


def _squeezed(name: str) -> str:
    return "".join(plain_text(name).casefold().split())
