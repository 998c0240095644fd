"""What a paper is made from, in words by heading: its next revision says what has changed."""

from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal

from msgspec import Struct, structs

from quotegen import wording
from quotegen.machine.once import once_a_job
from quotegen.making.papers import Paper, Ready, Work
from quotegen.model.enquiry import Enquiry
from quotegen.model.issue import Memory
from quotegen.model.prestart.row import BeforeRow
from quotegen.model.quote import QuotedOption
from quotegen.model.settings import PriceBook, Settings
from quotegen.phrases import capital, small
from quotegen.problems import Place
from quotegen.tables import key_of
from quotegen.units import Unit
from quotegen.workbook.sheets.columns import AnyColumn, JobSheet
from quotegen.workbook.sheets.details import BEFORE_START, EXTRAS, FINDINGS, OPENINGS, OUTLINE
from quotegen.workbook.sheets.enquiries import ENQUIRIES
from quotegen.working import Figure

_ROWS: Mapping[str, JobSheet] = {
    "outline_rows": OUTLINE,
    "openings": OPENINGS,
    "findings": FINDINGS,
    "extras": EXTRAS,
}
_NO_CELL = frozenset({"ref", "place", "planned", "taken"})
"""Fields that no cell gives, or that a paper is filed under."""
_NAMED: Mapping[str, str] = {"sizes": "{}_mm", "edges": "edge_{}"}
"""The fields of the cells of a size and of a side, by its key."""
_NAMED_BY_HEADING = frozenset({Unit.EACH, Unit.LAYERS, Unit.COVERINGS, Unit.GBP})
"""Units of counts, which the heading says."""
OWN_CELLS = frozenset({"private_notes", "travel_min", "if_longer", "paid_on", "paid"})
"""Cells that are never told to a customer."""


def memory_of(work: Work, paper: str, prices: PriceBook) -> Memory:
    """What a paper of an enquiry is made from; of one for several, nothing is remembered."""
    if not isinstance(work, Ready):
        return Memory()
    memory = memory_of_enquiry(work.quote.enquiry, work.quote.settings, prices)
    if paper != Paper.QUOTE:
        return memory
    return structs.replace(memory, totals=dict(total_words(o) for o in work.quote.options))


def total_words(option: QuotedOption) -> tuple[str, str]:
    """An option by name, and what it comes to, as a paper remembers them."""
    return capital(option.build_up), wording.money(option.totals.total.money)


@once_a_job
def memory_of_enquiry(enquiry: Enquiry, settings: Settings, prices: PriceBook) -> Memory:
    """The cells of an enquiry, and the figures and price lists of the firm; no totals."""
    cells = dict(_cells(enquiry, ENQUIRIES))
    private = {_heading(column) for column in ENQUIRIES.columns if column.field in OWN_CELLS}
    kept = {where: words for where, words in cells.items() if where in private}
    figures = {capital(one.name): _words(one) for one in settings.figures.values()}
    shown = {where: words for where, words in cells.items() if where not in private}
    return Memory(shown, {**kept, **figures, **_lists(prices)})


def _lists(prices: PriceBook) -> dict[str, str]:
    """The price lists: each supplier's, by the last day of its prices."""
    days: dict[str, date] = {}
    for pack in (one for packs in prices.packs.values() for one in packs):
        days[pack.supplier] = max(days.get(pack.supplier, date.min), pack.dated)
    return {f"Prices of {name}": wording.date(day) for name, day in sorted(days.items())}


def _cells(
    record: Struct, sheet: JobSheet, row: str = "", part: str = ""
) -> Iterator[tuple[str, str]]:
    """Every filled cell of a record under its heading.

    `row` names a row of another sheet, `part` the field of an enquiry that the record is.
    """
    headings = {column.field: _heading(column) for column in sheet.columns}
    for name in record.__struct_fields__:
        value = getattr(record, name)
        if name in _NO_CELL or isinstance(value, Place) or value in (None, "", ()):
            continue
        if name in _ROWS:
            for number, one in enumerate(value, start=1):
                yield from _cells(one, _ROWS[name], f"{_ROWS[name].name} {number}, ")
        elif name == "before":
            for one in value:
                yield from _settled(one)
        elif isinstance(value, Mapping):
            for key, one in value.items():
                yield headings[f"{_NAMED[name]}".format(key_of(key).replace("-", "_"))], _words(one)
        elif isinstance(value, Struct) and not isinstance(value, Figure):
            yield from _cells(value, sheet, row, name)
        else:
            yield f"{row}{headings.get(name) or headings[f'{part}_{name}']}", _words(value)


def _settled(row: BeforeRow) -> Iterator[tuple[str, str]]:
    """What a row ticks off, under its own name: no customer knows the rows of the sheet."""
    name = capital(str(row.key).replace("-", " "))
    yield name, "to be settled first"
    for where, words in _cells(row, BEFORE_START):
        if where != _heading(BEFORE_START.key):
            yield f"{name}, {small(where)}", words


def _heading(column: AnyColumn) -> str:
    """The heading of a column without its unit."""
    return column.heading.partition(" (")[0]


def _words(value: object) -> str:
    """The content of a cell as it is read aloud."""
    if isinstance(value, Figure):
        return _figure(value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, date):
        return wording.date(value)
    if isinstance(value, tuple):
        return "; ".join(map(_words, value))
    return " ".join(str(value).split())


def _figure(figure: Figure) -> str:
    value = figure.value
    if isinstance(value, str | bool):
        return _words(value)
    if isinstance(value, Decimal):
        return wording.money(value)
    if figure.unit is Unit.MM:
        return wording.mm(figure.number)
    if figure.unit is Unit.YEAR:
        return wording.year(figure.number)
    unit = "" if figure.unit in _NAMED_BY_HEADING else figure.unit
    return f"{wording.exact(figure.number)} {unit}".strip()
