"""The order as a merchant reads it: what, how many, for which job, where and when. No prices."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from quotegen.documents.paper import listed, one_line
from quotegen.documents.wording import Wording
from quotegen.model.issue import Issue
from quotegen.model.safety import MethodStatement
from quotegen.model.takeoff import PackCount, SupplierOrder
from quotegen.reference import house_rules
from quotegen.workbook.declaration import CellKind
from quotegen.workbook.tables import Table, TableColumn

TITLE = "Order"
NOTHING = "Nothing to buy: the van has it all"
COLOURED = "topcoat"
_COLUMNS = (
    TableColumn("No.", 18, CellKind.NUMBER),
    TableColumn("Item", 44),
    TableColumn("What it has to be", 34),
    TableColumn("Packs", 9, CellKind.NUMBER),
    TableColumn("Pack of", 10, CellKind.NUMBER),
    TableColumn("Unit", 9),
    TableColumn("In all", 11, CellKind.NUMBER),
    TableColumn("For job", 13),
)
_MEASURES = {"m": "m", "m2": "m²", "kg": "kg", "l": "l", "ml": "ml"}


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One line of an order: the merchant's own words, and what the job needs the thing to be."""

    number: str
    item: str
    wanted: str
    packs: str
    pack: str
    in_all: str


@dataclass(frozen=True, slots=True)
class SupplierView:
    """What is ordered from one supplier."""

    supplier: str
    lines: tuple[OrderLine, ...]
    count: str


@dataclass(frozen=True, slots=True)
class OrderView:
    """Everything the template of the order shows but for the head."""

    reference: str
    revision: str
    dated: str
    firm: str
    phone: str
    deliver_to: str
    wanted_by: str
    suppliers: tuple[SupplierView, ...]


def order_view(statement: MethodStatement, issue: Issue, wording: Wording) -> OrderView:
    """The order of the build-up the statement is written for, in ready words."""
    return OrderView(
        reference=issue.reference,
        revision=str(issue.revision),
        dated=wording.date(issue.issued),
        firm=statement.settings.text("firm_name"),
        phone=statement.settings.text("firm_phone"),
        deliver_to=one_line(statement.enquiry.site_address),
        wanted_by=_day_words(statement, wording),
        suppliers=tuple(
            SupplierView(
                supplier=one.supplier,
                lines=tuple(_lines(one, statement, wording)),
                count=wording.count(len(one.packs), "line", "lines"),
            )
            for one in statement.option.order.suppliers
        ),
    )


def order_tables(statement: MethodStatement, issue: Issue, wording: Wording) -> tuple[Table, ...]:
    """The same order as tables, one for each supplier; one empty table where nothing is bought."""
    lines = (
        ("From", statement.settings.text("firm_name")),
        ("Telephone", statement.settings.text("firm_phone")),
        ("Order", f"{issue.reference}, revision {issue.revision}, {wording.date(issue.issued)}"),
        ("Deliver to", one_line(statement.enquiry.site_address)),
        ("Wanted by", _day_words(statement, wording)),
    )
    suppliers = statement.option.order.suppliers
    if not suppliers:
        return (Table(TITLE, NOTHING, lines, _COLUMNS, (), landscape=True),)
    return tuple(
        Table(
            name=one.supplier,
            title=f"{TITLE} to {one.supplier}",
            lines=lines,
            columns=_COLUMNS,
            rows=tuple(
                (
                    number,
                    count.pack.words,
                    _wanted(count, statement),
                    count.count,
                    count.pack.pack_size,
                    count.pack.unit,
                    _in_all(count),
                    issue.reference,
                )
                for number, count in enumerate(one.packs, 1)
            ),
            landscape=True,
        )
        for one in suppliers
    )


def wanted_on(statement: MethodStatement) -> date | None:
    """The first day of the work; None while it is not known or the forecast has no room for it."""
    worked = statement.days.worked
    return worked[0].day if worked and statement.days.refused is None else None


def _day_words(statement: MethodStatement, wording: Wording) -> str:
    day = wanted_on(statement)
    if day is None:
        return ""
    return wording.long_day(day) + ("" if statement.accepted else ", provisional")


def _lines(one: SupplierOrder, statement: MethodStatement, wording: Wording) -> Iterator[OrderLine]:
    for number, count in enumerate(one.packs, 1):
        unit = count.pack.unit
        yield OrderLine(
            number=str(number),
            item=count.pack.words,
            wanted=_wanted(count, statement),
            packs=wording.number(count.count),
            pack=_quantity(count.pack.pack_size, unit, wording),
            in_all=_quantity(_in_all(count), unit, wording),
        )


def _wanted(count: PackCount, statement: MethodStatement) -> str:
    """What this job needs the item to be, where that says more than its name: lengths, colour."""
    item = count.pack.item
    usual = house_rules.items()[item].words
    said = [
        need.words for need in statement.option.needs if need.item == item and need.words != usual
    ]
    if item == COLOURED:
        said.append(f"Colour: {statement.enquiry.colour}")
    return listed(list(dict.fromkeys(said))) if said else ""


def _in_all(count: PackCount) -> float:
    return count.count * count.pack.pack_size


def _quantity(amount: float, unit: str, wording: Wording) -> str:
    """An amount with its unit; what is counted needs none."""
    words = wording.plain(amount)
    return f"{words} {_MEASURES[unit]}" if unit in _MEASURES else words
