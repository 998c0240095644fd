"""The whole workbook: every sound enquiry, the firm's settings, and all problems at once."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from quotegen.model.enquiry import Enquiry
from quotegen.model.own.done import DoneRow
from quotegen.model.settings import DefaultedSettings, Settings
from quotegen.phrases import listed
from quotegen.problems import Place, Problem, problem
from quotegen.workbook.package.book import Book, RawSheet, open_book
from quotegen.workbook.package.coordinates import position
from quotegen.workbook.reading.done_jobs import read_done_jobs
from quotegen.workbook.reading.enquiry_rows import Details, check_row, enquiry
from quotegen.workbook.reading.forecast import read_forecast
from quotegen.workbook.reading.rows import Row, read_rows, same_name
from quotegen.workbook.reading.settings_sheets import read_settings
from quotegen.workbook.reading.van_stock import read_van_stock
from quotegen.workbook.sheets.declaration import (
    BOOK_SHEETS,
    DETAILS,
    DONE_SHEET,
    FORECAST_SHEET,
    JOB_SHEETS,
    MAY_LACK,
    OUR_SHEETS,
    STOCK_SHEET,
    TABLE_SHEETS,
    sheets,
)
from quotegen.workbook.sheets.enquiries import ENQUIRIES


class WorkbookRead(Struct, frozen=True):
    """The content of a workbook.

    `enquiries` are the rows with no stop problem of their own, `refs` all references on the
    Enquiries sheet in order, `left_out` those whose row says to make no documents. A problem of the
    whole book has an empty `ref`; a row without a reference is identified by its place, so that it
    stops no other enquiry. `settings` is None where they were not read whole; `defaulted` then
    serves for checks that need no more. `done` is what jobs really took, in the order of the sheet.
    """

    enquiries: tuple[Enquiry, ...]
    refs: tuple[str, ...]
    settings: Settings | None
    defaulted: DefaultedSettings
    problems: tuple[Problem, ...]
    left_out: frozenset[str] = frozenset()
    done: tuple[DoneRow, ...] = ()


def read_workbook(path: Path) -> WorkbookRead:
    """Read a workbook of enquiries: its content and all its problems.

    The file is only ever read. Only our own faults raise.
    """
    book = open_book(path, lambda name: _declared_name(name) is not None)
    if isinstance(book, Problem):
        return WorkbookRead((), (), None, read_settings(path.name, {}).defaulted, (book,))
    return read_book(book)


def read_book(book: Book) -> WorkbookRead:
    """The content of an opened workbook and all its problems."""
    found, problems = _known_sheets(book)
    firm = read_settings(book.name, found)
    van_stock, wrong_stock = read_van_stock(book.name, found.get(STOCK_SHEET))
    forecast, wrong_forecast = read_forecast(book.name, found.get(FORECAST_SHEET))
    done, wrong_done = read_done_jobs(book.name, found.get(DONE_SHEET))
    settings = firm.whole and replace(firm.whole, van_stock=van_stock, forecast=forecast)
    rows: dict[str, list[Row]] = {}
    for name in JOB_SHEETS:
        rows[name], in_headings = (
            read_rows(book.name, found[name], sheets()[name]) if name in found else ([], [])
        )
        problems += in_headings
    enquiry_rows = rows[ENQUIRIES.name]
    details, unknown = _details(enquiry_rows, rows)
    problems += _repeated(enquiry_rows)
    enquiries: list[Enquiry] = []
    for row in enquiry_rows:
        problems += check_row(row, details[row.ref.casefold()])
    stopped = {found.ref.casefold() for found in problems if found.stops}
    lost_columns = any(p.place.sheet in JOB_SHEETS for p in problems if p.stops and not p.ref)
    for row in enquiry_rows:
        if not lost_columns and row.ref.casefold() not in stopped:
            enquiries.append(enquiry(row, details[row.ref.casefold()], firm.defaulted))
    refs = tuple(dict.fromkeys(row.ref for row in enquiry_rows if row.names_itself))
    left_out = frozenset(
        row.ref for row in enquiry_rows if row.get(ENQUIRIES.make_documents) is False
    )
    in_order = _in_order(
        [*problems, *unknown, *firm.problems, *wrong_stock, *wrong_forecast, *wrong_done]
    )
    return WorkbookRead(tuple(enquiries), refs, settings, firm.defaulted, in_order, left_out, done)


def _declared_name(name: str) -> str | None:
    """The declared sheet of this name, ignoring capitals and spaces."""
    return next((known for known in BOOK_SHEETS if same_name(known, name)), None)


def _known_sheets(book: Book) -> tuple[dict[str, RawSheet], list[Problem]]:
    """The sheets by declared name, and the problems of missing, duplicate or unknown ones."""
    found: dict[str, RawSheet] = {}
    problems = list(book.problems)
    for raw in book.sheets:
        name = _declared_name(raw.name)
        if name is None:
            if raw.name not in OUR_SHEETS:
                problems.append(problem("sheet-unknown", Place(book.name, raw.name), raw.name))
        elif name in found:
            problems.append(problem("sheet-twice", Place(book.name, raw.name), name))
        else:
            found[name] = raw
    if not found:
        return found, [problem("sheets-missing", Place(book.name))]
    for name in BOOK_SHEETS:
        if name not in (*found, *MAY_LACK):
            code = "sheet-defaulted" if name in TABLE_SHEETS else "sheet-missing"
            problems.append(problem(code, Place(book.name, name), name))
    return found, problems


def _details(
    enquiry_rows: Iterable[Row], rows: Mapping[str, list[Row]]
) -> tuple[Mapping[str, Details], list[Problem]]:
    """The rows of the other job sheets by reference, and problems with rows of no enquiry."""
    known = {row.ref.casefold(): row.ref for row in enquiry_rows}
    by_ref: defaultdict[str, dict[str, list[Row]]] = defaultdict(lambda: defaultdict(list))
    problems: list[Problem] = []
    for sheet in DETAILS:
        for row in rows[sheet.name]:
            if row.ref.casefold() in known:
                spelt_alike = row.under(known[row.ref.casefold()])
                by_ref[row.ref.casefold()][sheet.field].append(spelt_alike)
                continue
            problems += row.problems
            if row.get(sheet.ref):
                problems.append(row.problem("reference-unknown", sheet.ref, row.ref))
    return defaultdict(
        Details,
        {
            ref: Details(**{name: tuple(group) for name, group in groups.items()})
            for ref, groups in by_ref.items()
        },
    ), problems


def _repeated(rows: Sequence[Row]) -> list[Problem]:
    """All rows whose reference another row has too, ignoring capitals, each naming all of them."""
    alike: defaultdict[str, list[Row]] = defaultdict(list)
    for row in rows:
        alike[row.ref.casefold()].append(row)
    return [
        row.problem(
            "reference-twice",
            ENQUIRIES.ref,
            same[0].ref,
            cells=listed([one.place(ENQUIRIES.ref).cell for one in same]),
        )
        for same in alike.values()
        if len(same) > 1
        for row in same
    ]


def _in_order(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Problems without duplicates, in order of sheet, row and column."""
    once = {(found.code, found.place, found.ref, found.seen): found for found in problems}
    return tuple(sorted(once.values(), key=_position))


def _position(found: Problem) -> tuple[int, tuple[int, int]]:
    place = found.place
    sheet = BOOK_SHEETS.index(place.sheet) if place.sheet in BOOK_SHEETS else -1
    return sheet, position(place.cell) or (0, 0)
