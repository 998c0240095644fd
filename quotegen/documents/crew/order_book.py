"""The order as tables for a workbook: a page for each merchant with what its printed order says."""

from quotegen import wording
from quotegen.days.first_day import first_day_of
from quotegen.documents.crew.order import (
    NOTHING_TO_BUY,
    ORDER_TITLE,
    STANDS,
    deliveries_of,
    hire_from_words,
    hire_words,
    hold_words,
    in_all,
    is_hired,
    last_day_words,
    needed_by_words,
    notes_of_order,
    wanted_words,
)
from quotegen.documents.printing.paper import one_line
from quotegen.documents.printing.table_book import TableDesign
from quotegen.documents.shared.first_day_words import standing_of
from quotegen.model.issue import Issue
from quotegen.model.safety import MethodStatement
from quotegen.model.settings import Settings
from quotegen.model.takeoff import PackCount, SupplierOrder
from quotegen.workbook.sheets.columns import CellKind
from quotegen.workbook.writing.tables import BookPage, TableColumn, WrittenValue

_COLUMNS = (
    TableColumn("No.", 18, CellKind.NUMBER),
    TableColumn("Item", 42),
    TableColumn("What we need", 46),
    TableColumn("Packs", 9, CellKind.NUMBER),
    TableColumn("Pack of", 10, CellKind.NUMBER),
    TableColumn("Unit", 8),
    TableColumn("In all", 10, CellKind.NUMBER),
    TableColumn("For job", 11),
)
_TO_FILL_IN = "____________________"
ONE_PAGE_LINES = 24
"""Up to so many lines an order is still read easily when it is printed on one page."""


def order_tables(statement: MethodStatement, issue: Issue) -> tuple[BookPage, ...]:
    """The order as tables, one for each supplier; one empty table where nothing is bought."""
    suppliers = statement.option.order.suppliers
    if not suppliers:
        lines = _lines(None, statement, issue)
        return (BookPage(ORDER_TITLE, NOTHING_TO_BUY, lines, _COLUMNS, (), landscape=True),)
    return tuple(_table(one, statement, issue) for one in suppliers)


def _table(one: SupplierOrder, statement: MethodStatement, issue: Issue) -> BookPage:
    packs = sorted(one.packs, key=is_hired)
    return BookPage(
        name=one.supplier,
        title=f"{ORDER_TITLE} to {one.supplier}",
        lines=_lines(one, statement, issue),
        columns=_COLUMNS,
        rows=tuple(_row(number, count, statement, issue) for number, count in enumerate(packs, 1)),
        landscape=True,
        notes=notes_of_order(one),
        one_page=len(packs) <= ONE_PAGE_LINES,
    )


def _lines(
    one: SupplierOrder | None, statement: MethodStatement, issue: Issue
) -> tuple[tuple[str, str], ...]:
    firm = [statement.settings.text(code) for code in ("firm_name", "supervisor", "firm_phone")]
    begins = first_day_of(statement)
    last = last_day_words(statement) or _TO_FILL_IN
    standing = f" ({standing_of(begins)})" if begins.day and not begins.agreed else ""
    needed, by_day, hire = _TO_FILL_IN, [], []
    if one is not None:
        needed = needed_by_words(one, statement) or _TO_FILL_IN
        by_day = [
            ("Not before", f"{part.day}: {part.what}") for part in deliveries_of(one, statement)
        ]
    if one is not None and any(map(is_hired, one.packs)):
        hire_from = hire_from_words(one, statement) or _TO_FILL_IN
        hire = [("On hire", f"from {hire_from} to {last}")]
    return (
        ("Standing", hold_words(statement) or STANDS),
        ("From", ", ".join(words for words in firm if words)),
        ("Order", f"{issue.reference}, revision {issue.revision}, {wording.date(issue.issued)}"),
        ("Your order number", _TO_FILL_IN),
        ("Deliver to", one_line(statement.enquiry.site_address)),
        ("Wanted", f"{needed}{standing}, before we start"),
        *by_day,
        *hire,
    )


def _row(
    number: int, count: PackCount, statement: MethodStatement, issue: Issue
) -> tuple[WrittenValue, ...]:
    wanted = [wanted_words(count, statement)]
    if is_hired(count):
        how_many, how_long = hire_words(count, statement)
        wanted.insert(0, f"Hire {how_many}: {how_long}.")
    return (
        number,
        count.pack.words,
        " ".join(words for words in wanted if words),
        count.count,
        count.pack.pack_size,
        count.pack.unit,
        in_all(count),
        issue.reference,
    )


def _settings(statement: MethodStatement) -> Settings:
    return statement.settings


ORDER_BOOK = TableDesign(ORDER_TITLE, _settings, order_tables)
