"""The van list as a PDF, to tick before the van leaves.

It has the goods for each day by packs, and the firm's own kit with a box for each day it is needed.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from msgspec import Struct

from quotegen import wording
from quotegen.days.first_day import first_day_of
from quotegen.documents.crew.order import quantity_words
from quotegen.documents.printing.design import Design
from quotegen.documents.printing.paper import PictureBox, one_line
from quotegen.documents.shared.before_words import waits_for
from quotegen.documents.shared.first_day_words import first_day_words
from quotegen.model.choices import PriceBasis
from quotegen.model.days import WorkDay
from quotegen.model.issue import Issue
from quotegen.model.safety import MethodStatement
from quotegen.model.takeoff import Need, PackCount
from quotegen.reference import house_rules, rules
from quotegen.reference.rule_keys import VanPart
from quotegen.safety.facts.day_store import LAID, StoreDay, day_store
from quotegen.safety.facts.worn import WORN, first_needed, needed_on, worn_by_day
from quotegen.safety.rules.store_words import apart_words, litres_words, packs_words
from quotegen.safety.rules.van_kit import phases_of
from quotegen.units import round_up
from quotegen.working import Figure

DAYS_A_PAGE = 6
"""So many boxes go beside a thing; a longer job has a page for each so many days."""
ROOMY_COLUMN = 36
"""Up to so many lines in a column there is room for larger boxes."""
LETTERS = {1: 46, 2: 42, 3: 38, 4: 35, 5: 31, 6: 27}
"""About how many letters of a thing go on one line beside the boxes of so many days."""
_HEAD_LINES, _LONG_LINES = 1.2, 1.5
_STEP, _STEPS = 0.1, {"ml": 5.0}
_PARTS: Mapping[VanPart, str] = {
    VanPart.WRONG: "If it goes wrong",
    VanPart.WEAR: "To wear",
    VanPart.MIXING: "Mixing",
    VanPart.METERS: "Measuring",
    VanPart.CLOSE: "Closing, guarding, reaching",
    VanPart.TOOLS: "Tools and waste",
    VanPart.PAPERS: "Papers",
}


class LoadLine(Struct, frozen=True):
    """One thing that was bought, and how much of it goes on the van."""

    item: str
    much: str


class Load(Struct, frozen=True):
    """The goods that go on the van on one day; `store` says how they are kept apart."""

    day: str
    lines: tuple[LoadLine, ...]
    store: str


class KitRow(Struct, frozen=True):
    """One thing the firm owns, or worn each day: how many, and on which days it is needed."""

    item: str
    many: str
    boxes: tuple[bool, ...]


class KitGroup(Struct, frozen=True):
    """The rows under one heading."""

    title: str
    rows: tuple[KitRow, ...]


class VanPage(Struct, frozen=True):
    """One page: the days it has boxes for, with what goes on the van on them.

    `to_get` is work whose goods nobody counted, on the first page. Groups of kit go `below` the
    goods while there is room, and otherwise `beside` them.
    """

    heads: tuple[str, ...]
    to_get: tuple[str, ...]
    loads: tuple[Load, ...]
    below: tuple[KitGroup, ...]
    beside: tuple[KitGroup, ...]
    roomy: bool

    @property
    def columns(self) -> tuple[tuple[KitGroup, ...], tuple[KitGroup, ...]]:
        """The groups of the two columns, from the left."""
        return self.below, self.beside


class VanListView(Struct, frozen=True):
    """Everything the template of the van list shows."""

    reference: str
    revision: str
    dated: str
    site_address: str
    build_up: str
    waits_for: str
    first_day: str
    crew: str
    pages: tuple[VanPage, ...]


def van_list_view(statement: MethodStatement, issue: Issue) -> VanListView:
    """The van list in ready words."""
    waiting = waits_for(statement)
    return VanListView(
        reference=issue.reference,
        revision=str(issue.revision),
        dated=wording.date(statement.dated),
        site_address=one_line(statement.enquiry.site_address),
        build_up=str(statement.build_up),
        waits_for=f"No start yet: waiting for {waiting}" if waiting else "",
        first_day=first_day_words(first_day_of(statement)),
        crew=wording.count(statement.option.programme.crew.number, "person", "people"),
        pages=tuple(_pages(statement)),
    )


Days = Sequence[WorkDay | None]
"""The days worked, or one that nobody knows yet while none is planned."""
_VanStock = Mapping[str, Figure]
"""What is on the van of each item."""


def _pages(statement: MethodStatement) -> Iterator[VanPage]:
    days: Days = statement.days.worked or (None,)
    heads = [_head(day) for day in days]
    loads = _loads(statement, days)
    rows = [*_kit_rows(statement, days), *_worn_rows(statement)]
    for start in range(0, len(days), DAYS_A_PAGE):
        here = slice(start, start + DAYS_A_PAGE)
        yield _page(
            tuple(heads[here]),
            () if start else _to_get(statement),
            tuple(load for load in loads[here] if load.lines),
            tuple(_groups(rows, here)),
        )


def _to_get(statement: MethodStatement) -> tuple[str, ...]:
    """The work agreed at a price of its own: its goods are on no order."""
    enquiry = statement.enquiry
    found = [
        finding.advised
        for finding in enquiry.findings
        if finding.basis is PriceBasis.FIXED and finding.is_done_in(statement.build_up)
    ]
    return (*found, *(extra.words for extra in enquiry.extras if extra.included))


def _page(
    heads: tuple[str, ...],
    to_get: tuple[str, ...],
    loads: tuple[Load, ...],
    groups: tuple[KitGroup, ...],
) -> VanPage:
    """A page with its two columns about the same length: the last groups go on the left."""
    letters = LETTERS[len(heads)]
    goods = sum(len(load.lines) + _HEAD_LINES + (1 if load.store else 0) for load in loads)
    goods += len(to_get) + (_HEAD_LINES if to_get else 0)
    lines = [
        _HEAD_LINES + sum(_LONG_LINES if len(row.item) > letters else 1 for row in group.rows)
        for group in groups
    ]

    def longer(kept: int) -> float:
        return max(goods + sum(lines[kept:]), sum(lines[:kept]))

    kept = min(range(len(groups) + 1), key=longer)
    return VanPage(heads, to_get, loads, groups[kept:], groups[:kept], longer(kept) <= ROOMY_COLUMN)


def _head(day: WorkDay | None) -> str:
    if day is None:
        return "First day"
    return wording.short_day(day.day) if day.day else f"Day {day.number}"


def _loads(statement: MethodStatement, days: Days) -> list[Load]:
    """What was bought, on the day it is first needed; flammable liquids follow the day store."""
    store = day_store(statement.option, statement.days, statement.settings)
    stock = statement.settings.van_stock
    lines: list[list[LoadLine]] = [[] for _ in days]
    for need in statement.option.needs:
        rule = rules.van_stock_rules().get(need.kind)
        if rule is None or need.kind in WORN:
            continue
        first = first_needed(days, phases_of(rule.phases))
        if need.item in LAID:
            for at, much in _brought(need, store.days, first, stock):
                lines[at].append(LoadLine(_name(need), much))
        else:
            lines[first].append(LoadLine(_name(need), _much(need, stock)))
    return [
        Load(_head(day), tuple(mine), apart_words(one) if one in store.over else "")
        for day, mine, one in zip(days, lines, store.days, strict=True)
    ]


def _name(need: Need) -> str:
    return house_rules.items()[need.item].words


def _brought(
    need: Need, store: Sequence[StoreDay], first: int, stock: _VanStock
) -> Iterator[tuple[int, str]]:
    """The days one liquid is brought and how much; what is on the van comes on the first."""
    mornings = [
        (at, packs_words(one.packs) or litres_words(one.litres))
        for at, day in enumerate(store)
        for one in day.brought
        if one.item == need.item
    ]
    if need.from_stock is not None:
        off_van = _off_van(need, stock)
        if not mornings:
            yield first, off_van
        else:
            mornings[0] = (mornings[0][0], f"{mornings[0][1]}, {off_van}")
    yield from mornings


def _much(need: Need, stock: _VanStock) -> str:
    """The packs ordered of a thing, and how much of what is on the van is taken."""
    parts = []
    if need.purchase is not None:
        parts += [_packs(count) for count in need.purchase.packs]
    elif need.unpriced:
        parts.append(quantity_words(round_up(need.gross.number, _STEP), need.unit))
    if need.from_stock is not None:
        parts.append(_off_van(need, stock))
    return ", ".join(parts)


def _packs(count: PackCount) -> str:
    number, size = wording.number(count.count), count.pack.pack_size
    if size == 1 and quantity_words(size, count.pack.unit) == wording.exact(size):
        return number
    return f"{number} × {quantity_words(size, count.pack.unit)}"


def _off_van(need: Need, stock: _VanStock) -> str:
    """How much is used of what stands on the van, which is what the statement counts on site."""
    assert need.from_stock is not None
    held = stock[need.item].number
    used = round_up(need.from_stock.number, _STEPS.get(need.unit, _STEP))
    whole = quantity_words(held, need.unit)
    if used >= held:
        return f"{whole} off the van"
    return f"{wording.exact(used)} of {whole} on the van"


class _Row(Struct, frozen=True):
    """A row before it is put on its pages: how many on each day, none where it is not needed."""

    part: VanPart
    item: str
    many: tuple[float, ...]
    daily: bool


def _kit_rows(statement: MethodStatement, days: Days) -> Iterator[_Row]:
    """The firm's own kit; what no planned day needs goes on every day."""
    for kit in statement.kit:
        needed = [day is None or needed_on(day, kit.phases) for day in days]
        if not any(needed):
            needed = [True] * len(days)
        many = tuple(float(kit.many) if yes else 0.0 for yes in needed)
        yield _Row(kit.part, kit.words, many, daily=False)


def _worn_rows(statement: MethodStatement) -> Iterator[_Row]:
    """The gloves and filters for each day; all of them on the one day if none is planned."""
    option, worked = statement.option, statement.days.worked
    for need in option.needs:
        if need.kind not in WORN:
            continue
        many = worn_by_day(need, statement.enquiry, option, worked, statement.settings)
        unit = house_rules.items()[need.item].unit
        words = f"{_name(need)}, {unit}s"
        if need.from_stock is not None:
            words += f", {wording.exact(need.from_stock.number)} on the van"
        yield _Row(VanPart.WEAR, words, many or (need.gross.number,), daily=bool(many))


def _groups(rows: Sequence[_Row], here: slice) -> Iterator[KitGroup]:
    """The rows that the days of one page need, by their part."""
    for part in VanPart:
        found = tuple(
            KitRow(row.item, _many(row, row.many[here]), tuple(n > 0 for n in row.many[here]))
            for row in rows
            if row.part is part and any(row.many[here])
        )
        if found:
            yield KitGroup(_PARTS[part], found)


def _many(row: _Row, many: Sequence[float]) -> str:
    """How many of a thing: for gear used up, so many a day, or day by day where they differ."""
    unlike = list(dict.fromkeys(n for n in many if n))
    if row.daily and len(unlike) > 1:
        return " + ".join(wording.exact(n) for n in many if n)
    if row.daily:
        return f"{wording.exact(unlike[0])} a day"
    return wording.exact(unlike[0]) if unlike[0] > 1 else ""


def _fill(statement: MethodStatement, issue: Issue, _box: PictureBox) -> Mapping[str, Any]:
    return {"van": van_list_view(statement, issue)}


VAN_LIST = Design(
    "Van list",
    "crew/van_list.html",
    lambda statement: (statement.enquiry, statement.settings),
    _fill,
)
