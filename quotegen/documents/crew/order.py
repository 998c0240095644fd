"""The order to the merchants, as a PDF with separate pages for each, and as a workbook.

It says what, how many, for which job, where and when. It has no prices.
"""

from collections.abc import Mapping
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from quotegen import wording
from quotegen.days.days_off import weekday_before
from quotegen.days.first_day import first_day_of
from quotegen.documents.printing.design import Design
from quotegen.documents.printing.paper import PictureBox, mark_of, one_line
from quotegen.documents.shared.before_words import waits_for
from quotegen.documents.shared.first_day_words import standing_of
from quotegen.model.issue import Issue
from quotegen.model.safety import MethodStatement
from quotegen.model.takeoff import PackCount, SupplierOrder
from quotegen.phrases import capital, listed, small
from quotegen.reference import house_rules, rules
from quotegen.reference.item_kinds import ItemKind
from quotegen.safety.facts.day_store import Brought, day_store
from quotegen.safety.facts.store_checks import day_of_job
from quotegen.safety.facts.worn import first_needed
from quotegen.safety.rules.store_words import brought_words
from quotegen.safety.rules.van_kit import phases_of

ORDER_TITLE = "Order"
NOTHING_TO_BUY = "Nothing to buy: it is all on the van"
NOT_YET, STANDS = "do not order yet", "This is a firm order."
COLOURED, CATALYST = "topcoat", "catalyst"
TOWER, SCAFFOLD = "tower_hire", "scaffold_hire"
BY_THE_WEEK, BY_THE_METRE = "week", "m"
ROOMY_LINES = 9
"""An order of so few lines is set larger, if it still goes on one page."""
_MEASURES = {"m": "m", "m2": "m²", "kg": "kg", "l": "l", "ml": "ml"}


class OrderLine(Struct, frozen=True):
    """One line of an order: the merchant's own words, and what the job needs."""

    number: str
    item: str
    wanted: str
    packs: str
    pack: str
    in_all: str


class HireLine(Struct, frozen=True):
    """One thing that is hired, how many of it, and for how long."""

    number: str
    item: str
    wanted: str
    how_many: str
    how_long: str


class DeliveryLine(Struct, frozen=True):
    """A day when dangerous liquids are needed, not sooner, and which."""

    day: str
    what: str


class SupplierView(Struct, frozen=True):
    """What is ordered from one supplier, to be sent on its own.

    `by_day` is empty if it can all come at once, `hire_from` if nothing is hired. `mark` stands at
    the foot of its pages, `density` says how much room there is for each line, `denser` if one of
    the orders would otherwise run on to a second page.
    """

    supplier: str
    mark: str
    lines: tuple[OrderLine, ...]
    hires: tuple[HireLine, ...]
    by_day: tuple[DeliveryLine, ...]
    needed_by: str
    hire_from: str
    count: str
    notes: tuple[str, ...]
    density: str
    denser: str


class OrderView(Struct, frozen=True):
    """Everything the template of the order shows, except the head.

    `hold` says why it must not be ordered yet, and is empty for a firm order (`stands`). Dates are
    empty while nobody knows them; `provisional` marks those that are not agreed.
    """

    reference: str
    revision: str
    dated: str
    hold: str
    stands: str
    phone: str
    ask_for: str
    deliver_to: str
    to_day: str
    provisional: str
    suppliers: tuple[SupplierView, ...]
    nothing: str


def order_view(statement: MethodStatement, issue: Issue) -> OrderView:
    """The order for the statement's build-up, in ready words."""
    settings = statement.settings
    first = first_day_of(statement)
    return OrderView(
        reference=issue.reference,
        revision=str(issue.revision),
        dated=wording.date(issue.issued),
        hold=hold_words(statement),
        stands=STANDS,
        phone=settings.text("firm_phone"),
        ask_for=settings.text("supervisor"),
        deliver_to=one_line(statement.enquiry.site_address),
        to_day=last_day_words(statement),
        provisional="" if first.agreed else standing_of(first),
        suppliers=tuple(
            _supplier(one, statement, issue) for one in statement.option.order.suppliers
        ),
        nothing=NOTHING_TO_BUY,
    )


def hold_words(statement: MethodStatement) -> str:
    """Why nothing may be ordered yet; empty once all is settled and the customer has chosen."""
    if statement.before.settled:
        return ""
    waiting = f"Do not order yet: waiting for {waits_for(statement)}."
    if statement.accepted:
        return waiting
    which = "fullest" if len(statement.take_off.options) > 1 else "only"
    return f"{waiting} For the {which} option, {statement.build_up}."


def last_day_words(statement: MethodStatement) -> str:
    """The last day of the work, with what is hired for it; empty while it is not known."""
    days = statement.days.worked
    known = first_day_of(statement).day is not None and days[-1].day
    return wording.long_day(known) if known else ""


def hire_from_words(one: SupplierOrder, statement: MethodStatement) -> str:
    """The day from which a merchant's things are hired; empty while it is not known.

    A scaffold is up and handed over before the first day, so it comes the working day before.
    """
    first = first_day_of(statement).day
    if first is None:
        return ""
    scaffold = any(count.pack.item == SCAFFOLD for count in one.packs)
    return wording.long_day(weekday_before(first) if scaffold else first)


def needed_by_words(one: SupplierOrder, statement: MethodStatement) -> str:
    """The day by which a merchant's goods are needed; if he only hires out, when hire begins."""
    first = first_day_of(statement).day
    if first is None or all(map(is_hired, one.packs)):
        return hire_from_words(one, statement)
    return wording.long_day(first)


def notes_of_order(one: SupplierOrder) -> tuple[str, ...]:
    """What else we ask of this merchant, going only by what we order from him."""
    codes = dict.fromkeys(count.pack.item for count in one.packs)
    items = [house_rules.items()[code] for code in codes]
    found = []
    for note in house_rules.order_notes():
        things = [item for item in items if item.kind in note.kinds] if note.kinds else items
        if things:
            words = listed([small(item.words) for item in things])
            found.append(capital(note.text.format(things=words)))
    return tuple(found)


def wanted_words(count: PackCount, statement: MethodStatement) -> str:
    """What this job needs of the item, if its name does not say it all."""
    item = count.pack.item
    if item == COLOURED:
        return f"Colour: {statement.enquiry.colour}."
    return statement.asked.get(item, "")


def hire_words(count: PackCount, statement: MethodStatement) -> tuple[str, str]:
    """How many of a thing are hired, and for how long each: towers and weeks, metres, or skips."""
    pack = count.pack
    towers = statement.option.access.towers.number if pack.item == TOWER else 1.0
    many = {
        BY_THE_WEEK: wording.plain(towers),
        BY_THE_METRE: quantity_words(in_all(count), pack.unit),
    }
    weeks = wording.count(in_all(count) / towers, "week", "weeks")
    how_long = house_rules.items()[pack.item].hired.format(weeks=weeks)
    return many.get(pack.unit, wording.number(count.count)), how_long


def deliveries_of(order: SupplierOrder, statement: MethodStatement) -> tuple[DeliveryLine, ...]:
    """The days when this merchant's flammable liquids and catalyst are needed, if not all at once.

    Catalyst comes on the day it goes on the van.
    """
    store = day_store(statement.option, statement.days, statement.settings)
    phases = phases_of(rules.van_stock_rules()[ItemKind.CATALYST].phases)
    with_catalyst = first_needed(statement.days.worked, phases)
    bottles = tuple(count for count in order.packs if count.pack.item == CATALYST)
    found = []
    for at, day in enumerate(store.days if store.split else ()):
        parts = []
        for one in day.brought:
            packs = tuple(count for count in one.packs if count.pack.supplier == order.supplier)
            if packs:
                parts.append(brought_words(replace(one, packs=packs)))
        if bottles and at == with_catalyst:
            parts.append(brought_words(Brought(CATALYST, bottles, 0.0)))
        if parts:
            found.append(DeliveryLine(capital(day_of_job(day)), capital("; ".join(parts))))
    return tuple(found)


def in_all(count: PackCount) -> float:
    """What the packs hold in total, in the unit of the item."""
    return count.count * count.pack.pack_size


def is_hired(count: PackCount) -> bool:
    """Whether it goes back when the job is done."""
    return bool(house_rules.items()[count.pack.item].hired)


def _supplier(one: SupplierOrder, statement: MethodStatement, issue: Issue) -> SupplierView:
    bought = [count for count in one.packs if not is_hired(count)]
    hired = [count for count in one.packs if is_hired(count)]
    lines = tuple(_line(n, count, statement) for n, count in enumerate(bought, 1))
    hires = tuple(_hire(n, count, statement) for n, count in enumerate(hired, len(bought) + 1))
    few = len(one.packs) <= ROOMY_LINES
    mark = mark_of(f"{ORDER_TITLE} to {one.supplier},", issue, statement.settings)
    return SupplierView(
        supplier=one.supplier,
        mark=mark if statement.before.settled else f"{mark} · {NOT_YET}",
        lines=lines,
        hires=hires,
        by_day=deliveries_of(one, statement),
        needed_by=needed_by_words(one, statement),
        hire_from=hire_from_words(one, statement) if hires else "",
        count=wording.count(len(one.packs), "line", "lines"),
        notes=notes_of_order(one),
        density="roomy" if few else "",
        denser="" if few else "close",
    )


def _line(number: int, count: PackCount, statement: MethodStatement) -> OrderLine:
    unit = count.pack.unit
    return OrderLine(
        number=str(number),
        item=count.pack.words,
        wanted=wanted_words(count, statement),
        packs=wording.number(count.count),
        pack=quantity_words(count.pack.pack_size, unit),
        in_all=quantity_words(in_all(count), unit),
    )


def _hire(number: int, count: PackCount, statement: MethodStatement) -> HireLine:
    how_many, how_long = hire_words(count, statement)
    wanted = wanted_words(count, statement)
    return HireLine(str(number), count.pack.words, wanted, how_many, how_long)


def quantity_words(amount: float, unit: str) -> str:
    """An amount with its unit; things that are counted need none."""
    words = wording.exact(amount)
    return f"{words} {_MEASURES[unit]}" if unit in _MEASURES else words


def _fill(statement: MethodStatement, issue: Issue, _box: PictureBox) -> Mapping[str, Any]:
    return {"order": order_view(statement, issue)}


ORDER = Design(
    ORDER_TITLE,
    "crew/order.html",
    lambda statement: (statement.enquiry, statement.settings),
    _fill,
)
