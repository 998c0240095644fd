"""Costs of the options side by side: stages, packs, charges, hours, leftovers."""

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal

from msgspec import Struct

from quotegen import wording
from quotegen.documents.customer.side_by_side import NOTHING, LineRow, merged, told_apart
from quotegen.documents.shared.remark_words import said
from quotegen.model.access import AccessPlan, WayCost
from quotegen.model.quote import CostLine, QuotedOption
from quotegen.model.settings import Settings
from quotegen.model.takeoff import Labour, OptionTakeOff, PackCount, Phase, Stage, SupplierOrder
from quotegen.phrases import capital, listed, small, without_stop
from quotegen.pricing.costs import days_cost, line_cost, need_costs, task_costs
from quotegen.reference.remarks import remark
from quotegen.tables import key_of
from quotegen.takeoff.layers.laminate import mass_kg, volume_l
from quotegen.units import as_decimal, round_half_up
from quotegen.working import Figure

HOUR_STEP = 0.01
Cells = tuple[str, ...]
_OptionColumn = Sequence[tuple[str, str, Cells]]
"""The rows of one option: the key that matches rows across options, the words, the cells."""


class OptionTables(Struct, frozen=True):
    """The tables of a single option: costs by stage, hours by stage and phase."""

    name: str
    stages: tuple[LineRow, ...]
    stage_total: LineRow
    phases: tuple[str, ...]
    hours: tuple[LineRow, ...]


class SupplierRows(Struct, frozen=True):
    """An order from one supplier: packs by option, then packs, delivery and both."""

    name: str
    packs: tuple[LineRow, ...]
    totals: tuple[LineRow, ...]


class PaidTime(Struct, frozen=True):
    """How the time of one option is charged: days x people x hours x cost of one, and its steps."""

    name: str
    days: str
    people: str
    day_h: str
    hours: str
    worked: str
    per_hour: str
    cost: str
    step: str


class CostDetail(Struct, frozen=True):
    """The details of all options; every column of amounts adds up to its total.

    `bridge` reconciles the packs paid for with the job's charge for materials and hire. `resin` is
    the laminating resin both ways, in kg and l, `resin_by` the way the firm orders by, and `spare`
    what the packs hold at least beyond the need.
    """

    options: tuple[OptionTables, ...]
    suppliers: tuple[SupplierRows, ...]
    orders: tuple[LineRow, ...]
    bridge: tuple[LineRow, ...]
    resin: tuple[LineRow, ...]
    resin_by: str
    spare: str
    charges: tuple[LineRow, ...]
    edge_ways: tuple[LineRow, ...]
    tasks: tuple[LineRow, ...]
    task_total: LineRow
    paid: tuple[PaidTime, ...]
    left_over: tuple[LineRow, ...]
    off_van: tuple[LineRow, ...]
    notes: tuple[str, ...]


def cost_detail(
    names: Sequence[str], options: Sequence[QuotedOption], settings: Settings
) -> CostDetail:
    """The costs of the options in ready words."""
    taken = [option.take_off for option in options]
    return CostDetail(
        options=tuple(_tables(name, one) for name, one in zip(names, options, strict=True)),
        suppliers=tuple(_suppliers(taken)),
        orders=_rows([list(_order(one)) for one in taken]),
        bridge=_rows([list(_bridge(one, settings)) for one in taken]),
        resin=_rows([list(_resin(one, settings)) for one in taken], 2),
        resin_by=settings.text("resin_by"),
        spare=wording.percent(settings.number("least_spare_pct")),
        charges=_rows([list(_charges(one)) for one in taken]),
        edge_ways=_rows([list(_edge_ways(one)) for one in taken]),
        tasks=_rows([list(_tasks(one, settings)) for one in taken], 2),
        task_total=LineRow(
            "All tasks",
            tuple(cell for one in taken for cell in _labour_total(one, settings)),
        ),
        paid=tuple(_paid(*one, settings) for one in zip(names, taken, strict=True)),
        left_over=_rows([list(_left_over(one)) for one in taken]),
        off_van=_rows([list(_off_van(one)) for one in taken]),
        notes=_notes(names, taken, settings),
    )


def _rows(columns: Sequence[_OptionColumn], width: int = 1) -> tuple[LineRow, ...]:
    """Lists of the options merged into the rows of one table, with `width` cells per option."""
    keyed = [
        dict(zip(told_apart(key for key, _, _ in column), (c for _, _, c in column), strict=True))
        for column in columns
    ]
    words = {key: words for column in columns for key, words, _ in column}
    blank = (NOTHING,) * width
    return tuple(
        LineRow(words[key[0]], tuple(cell for one in keyed for cell in one.get(key, blank)))
        for key in merged(tuple(one) for one in keyed)
    )


def _tables(name: str, option: QuotedOption) -> OptionTables:
    lines, labour = option.cost_lines, option.take_off.labour
    phases = tuple(phase for phase in Phase if shown_hours(labour, phase))
    columns = ([x.material for x in lines], [x.labour for x in lines], [x.charges for x in lines])
    sums = tuple(wording.money(_sum(column)) for column in columns)
    return OptionTables(
        name=name,
        stages=tuple(_stage(line) for line in lines),
        stage_total=LineRow("Cost of the job", (*sums, wording.money(option.cost.money))),
        phases=tuple(capital(phase) for phase in phases),
        hours=tuple(_hours_by_phase(labour, phases)),
    )


def _stage(line: CostLine) -> LineRow:
    parts = (line.material, line.labour, line.charges, line_cost(line))
    return LineRow(line.stage, tuple(_money(part.money) for part in parts))


def _hours_by_phase(labour: Sequence[Labour], phases: Sequence[Phase]) -> Iterator[LineRow]:
    """Person-hours by stage (rows) and phase (columns), with totals."""
    groups = [(str(stage), [x for x in labour if x.stage is stage]) for stage in Stage]
    for words, lines in (*groups, ("Person-hours", list(labour))):
        if lines:
            parts = [*(shown_hours(lines, phase) for phase in phases), shown_hours(lines)]
            cells = (wording.number(part, 2) if part else NOTHING for part in parts)
            yield LineRow(words, tuple(cells))


def _suppliers(taken: Sequence[OptionTakeOff]) -> Iterator[SupplierRows]:
    orders = [{one.supplier: one for one in option.order.suppliers} for option in taken]
    for supplier in merged(tuple(one) for one in orders):
        mine = [one.get(supplier) for one in orders]
        yield SupplierRows(
            name=supplier,
            packs=_rows([[_pack(x) for x in one.packs] if one else [] for one in mine]),
            totals=_rows([list(_supplier_total(one)) if one else [] for one in mine]),
        )


def _pack(one: PackCount) -> tuple[str, str, Cells]:
    pack = one.pack
    each = wording.money(pack.pack_price)
    words = f"{pack.words} ({wording.plain(pack.pack_size)} {_squared(pack.unit)}, {each})"
    key = f"{pack.item} {pack.pack_size} {pack.pack_price}"
    return key, words, (f"{one.count} for {wording.money(pack.pack_price * one.count)}",)


def _supplier_total(one: SupplierOrder) -> Iterator[tuple[str, str, Cells]]:
    yield "packs", "Packs", (wording.money(one.cost.money),)
    if one.delivery:
        yield "delivery", "Delivery", (wording.money(one.delivery.money),)
    yield "together", "Together", (wording.money(one.total.money),)


def _order(option: OptionTakeOff) -> Iterator[tuple[str, str, Cells]]:
    order = option.order
    for one in order.suppliers:
        yield f"from {one.supplier}", one.supplier, (wording.money(one.total.money),)
    yield "whole", "The whole order", (wording.money(order.total.money),)
    if order.alone and len(order.suppliers) > 1:
        cost = wording.money(order.alone.total.money)
        words = f"All from {order.alone.supplier} alone"
        yield f"alone {order.alone.supplier}", words, (cost,)


def _bridge(option: OptionTakeOff, settings: Settings) -> Iterator[tuple[str, str, Cells]]:
    paid = _sum(need.purchase.cost for need in option.needs if need.purchase)
    stock = _sum(need.stock_cost for need in option.needs if need.stock_cost)
    charged = _sum(part for need in option.needs for part in need_costs(need, settings))
    yield "bought", "Packs bought and hire", (wording.money(paid),)
    yield "keeps", "Left over, and keeps", (_money(charged - stock - paid),)
    yield "van", "Off the van", (_money(stock),)
    yield "charged", "Materials and hire charged", (wording.money(charged),)


def _resin(option: OptionTakeOff, settings: Settings) -> Iterator[tuple[str, str, Cells]]:
    """Resin by the guide and by the parts, in kg and l, and which of them is mixed or ordered."""
    kg_per_l = settings.number("resin_kg_per_l")
    for key, words, litres in (
        ("guide", "By the all-in guide", option.resin.guide_l),
        ("mixed", "By the parts added up: this is what is mixed", option.resin.mixed_l),
        ("ordered", "To order, before rounding up to packs", option.resin.ordered_l),
    ):
        kilograms = mass_kg(litres.number, kg_per_l)
        yield key, words, (wording.number(kilograms, 2), wording.number(litres.number, 2))
    need = next(one for one in option.needs if one.item == "resin")
    if not need.unpriced:
        there = (need.purchase.bought if need.purchase else None, need.from_stock)
        kilograms = sum(figure.number for figure in there if figure)
        litres_there = volume_l(kilograms, kg_per_l)
        cells = (wording.number(kilograms, 2), wording.number(litres_there, 2))
        yield "packs", "In whole packs, and off the van", cells


def _charges(option: OptionTakeOff) -> Iterator[tuple[str, str, Cells]]:
    for stage, figure in option.charges:
        if figure.money:
            yield (
                f"{key_of(stage)} {figure.name}",
                capital(figure.name),
                (wording.money(figure.money),),
            )
    yield "all", "Charges", (wording.money(_sum(figure for _, figure in option.charges)),)


def _tasks(option: OptionTakeOff, settings: Settings) -> Iterator[tuple[str, str, Cells]]:
    for line, cost in zip(option.labour, task_costs(option, settings), strict=True):
        hours = wording.number(shown_hours([line]), 2)
        yield f"{line.key} {line.task}", line.task, (hours, wording.money(cost.money))


def _edge_ways(option: OptionTakeOff) -> Iterator[tuple[str, str, Cells]]:
    """The ways of guarding the edge: what each costs, or why it is not safe here."""
    plan = option.access
    for one in plan.ways:
        why = " ".join(said(refusal) for refusal in one.refusals)
        words = f"{_way_words(one, plan)}. Not safe here: {why}" if why else _way_words(one, plan)
        cost = wording.money(one.cost.money) if one.cost else NOTHING
        yield key_of(one.way), words, (f"{cost}, taken" if one.way is plan.way else cost,)


def _way_words(one: WayCost, plan: AccessPlan) -> str:
    moved = one.way is plan.way and len(plan.places) > 1
    return capital(f"{one.way}, moved along" if moved else one.way)


def _labour_total(option: OptionTakeOff, settings: Settings) -> Cells:
    cost = _sum(task_costs(option, settings))
    return wording.number(shown_hours(option.labour), 2), wording.money(cost)


def _paid(name: str, option: OptionTakeOff, settings: Settings) -> PaidTime:
    """The sum for the days charged, set out as on paper, with the hours worked in them."""
    programme, day_h = option.programme, settings.number("day_hours")
    hours = programme.paid_days.number * programme.crew.number * day_h
    return PaidTime(
        name=name,
        days=wording.count(programme.paid_days.number, "day", "days"),
        people=wording.count(programme.crew.number, "person", "people"),
        day_h=wording.plain(day_h),
        hours=wording.plain(hours),
        worked=wording.number(shown_hours(x for x in option.labour if not x.by_the_hour), 2),
        per_hour=wording.money(settings["labour_cost_per_hour"].money),
        cost=wording.money(days_cost(option, settings).money),
        step=wording.plain(settings.number("day_step")),
    )


def _left_over(option: OptionTakeOff) -> Iterator[tuple[str, str, Cells]]:
    for left in option.order.leftovers:
        words = f"{left.words}, {'for the van' if left.keeps else 'does not keep'}"
        yield f"{left.item} {left.keeps}", words, (_quantity(left.quantity),)


def _off_van(option: OptionTakeOff) -> Iterator[tuple[str, str, Cells]]:
    for need in option.needs:
        if need.from_stock:
            cost = f" for {wording.money(need.stock_cost.money)}" if need.stock_cost else ""
            yield need.item, need.words, (f"{_quantity(need.from_stock)}{cost}",)


def _notes(
    names: Sequence[str], taken: Sequence[OptionTakeOff], settings: Settings
) -> tuple[str, ...]:
    """Notes on the options, each given once with the options it applies to."""
    lists = [
        (*_waste(one, settings), *(capital(without_stop(said(note))) for note in one.notes))
        for one in taken
    ]
    lines = []
    for words in merged(lists):
        of = [name for name, notes in zip(names, lists, strict=True) if words in notes]
        lines.append(words if len(of) == len(names) else f"{listed(of)}: {words}")
    return tuple(lines)


def _waste(option: OptionTakeOff, settings: Settings) -> Iterator[str]:
    plan = option.waste
    if option.strip:
        ways = (("by van", plan.van_cost), ("by skip", plan.skip_cost))
        costs = [f"{way} {wording.money(cost.money)}" for way, cost in ways if cost]
        chosen = "in a skip" if plan.skip else "by van"
        all_in = f" ({', '.join(costs)} all in)" if costs else ""
        yield f"Waste goes {chosen}: {small(without_stop(said(remark(plan.reason))))}{all_in}"
    if plan.scrap_value and plan.scrap_kg:
        worth = wording.money(plan.scrap_value.money)
        kilograms = wording.number(plan.scrap_kg.number)
        to = settings.text("lead_scrap")
        yield f"Old lead, {kilograms} kg, is worth {worth} as scrap; your setting: {to}"


def shown_hours(labour: Iterable[Labour], phase: Phase | None = None) -> float:
    """Person-hours as shown on the sheet: the sum over tasks, each rounded to 0.01 [h]."""
    shown = (round_half_up(x.hours.number, HOUR_STEP) for x in labour if phase in (None, x.phase))
    return float(sum(map(as_decimal, shown), Decimal(0)))


def _quantity(figure: Figure) -> str:
    return f"{wording.plain(figure.number)} {_squared(figure.unit)}"


def _squared(unit: str) -> str:
    return unit.replace("m2", "m²")


def _money(amount: Decimal) -> str:
    return wording.money(amount) if amount else NOTHING


def _sum(figures: Iterable[Figure]) -> Decimal:
    return sum((figure.money for figure in figures), Decimal("0.00"))
