"""The working of every figure, as text for the owner, down to its sources."""

from collections.abc import Iterator
from decimal import Decimal

from msgspec import Struct

from quotegen import wording
from quotegen.documents.shared.remark_words import said
from quotegen.model.access import AccessPlan
from quotegen.model.quote import Quote, QuotedOption
from quotegen.model.settings import Settings
from quotegen.model.takeoff import Need, Order
from quotegen.pricing.costs import (
    DAYS_LINE,
    HOUR_LINE,
    ODD_LINE,
    days_cost,
    hour_worked,
    odd_pence,
)
from quotegen.tables import key_of
from quotegen.takeoff.hours.programme import VISITS_LINE
from quotegen.working import Figure, Origin, Step, Value

_INDENT = "   "
_DIGITS = 4


class Explained(Struct, frozen=True):
    """A line of the quote or the take-off, with the figure behind it."""

    code: str
    words: str
    figure: Figure


def explained(quote: Quote) -> Iterator[tuple[str, list[Explained]]]:
    """Every figure of an enquiry with its working, under its build-up."""
    outline = quote.take_off.outline
    yield (
        "roof",
        [
            Explained("area", "plan area", outline.area_m2),
            Explained("perimeter", "perimeter", outline.perimeter_mm),
            *(Explained(f"edge:{e.name}", e.name, e.length) for e in outline.edges),
        ],
    )
    for option in quote.options:
        yield str(option.build_up), list(_of_option(option, quote.settings))
    others = [
        Explained(f"rate:{words}", words, rate.totals.net)
        for rate in quote.provisional_rates
        for words in (said(rate.said),)
    ]
    others += [
        Explained(f"finding:{n}", f.advised, f.totals.net)
        for n, f in enumerate(quote.findings, 1)
        if f.totals
    ]
    yield "findings and agreed rates", others


def _of_option(option: QuotedOption, settings: Settings) -> Iterator[Explained]:
    take_off = option.take_off
    yield Explained("laminate", "laminated area", take_off.laminate_area_m2)
    yield Explained("topcoat-area", "topcoated area", take_off.topcoat_area_m2)
    for need in take_off.needs:
        yield from _of_need(need)
    yield from of_order(take_off.order)
    for labour in take_off.labour:
        yield Explained(f"hours:{labour.key}", labour.task, labour.hours)
    yield Explained(VISITS_LINE, "visits", take_off.programme.visits)
    yield Explained("days", "days on site", take_off.programme.days)
    yield Explained("paid-days", "days paid", take_off.programme.paid_days)
    yield Explained(DAYS_LINE, "labour of the days paid", days_cost(take_off, settings))
    yield Explained(HOUR_LINE, "cost of an hour worked", hour_worked(take_off, settings))
    yield Explained(ODD_LINE, "odd pence of the labour", odd_pence(take_off, settings))
    for strip in take_off.strip:
        yield Explained(f"strip:{strip.key}", strip.words, strip.mass_kg)
        yield Explained(f"loose:{strip.key}", f"{strip.words}, loose", strip.volume_m3)
    waste = take_off.waste
    for code, figure in (
        ("waste:van", waste.van_cost),
        ("waste:skip", waste.skip_cost),
        ("waste:loads", waste.runs),
        ("waste:scrap", waste.scrap_value),
        ("expansion", take_off.expansion_m),
    ):
        if figure:
            yield Explained(code, figure.name, figure)
    yield from _of_access(take_off.access)
    for lift in take_off.lifts:
        yield Explained(f"lift:{lift.kind}", lift.words, lift.mass_kg)
        yield Explained(f"people:{lift.kind}", f"people for {lift.words}", lift.people)
    yield Explained("mat-mass", "mat off the roll", take_off.mat_kg)
    for part in take_off.resin.parts:
        yield Explained(f"part:{part.name}", part.name, part)
    yield Explained("part:all", "resin, the parts added up", take_off.resin.mixed_l)
    yield Explained("glass", "glass in the laminate", take_off.resin.glass_pct)
    yield Explained("film", "film of topcoat", take_off.resin.film_mm)
    for mixes in take_off.mixes:
        code = f"mix:{mixes.material}:{'hot' if mixes.hot else 'cool'}"
        yield Explained(code, mixes.size.litres.name, mixes.size.mass_kg)
    if take_off.weight_change_pct:
        yield Explained("weight", "change of weight", take_off.weight_change_pct)
    if take_off.load_kn_m2:
        yield Explained("load", "load on the joists", take_off.load_kn_m2)
    for line in option.lines:
        yield Explained(f"price:{line.key}", line.words, line.amount)
    yield Explained("cost", "cost of the job", option.cost)
    yield Explained("deposit", "deposit", option.deposit)
    yield Explained("total", "total", option.totals.total)


def _of_access(plan: AccessPlan) -> Iterator[Explained]:
    """What each way of guarding the edge costs, and the figures of the platform."""
    for one in plan.ways:
        if one.cost:
            yield Explained(f"access:{key_of(one.way)}", one.cost.name, one.cost)
    platform = plan.platform
    if platform:
        parts = (platform.up_m, platform.top_rail_m, platform.load_kg)
        for code, figure in zip(("height", "rail", "load"), parts, strict=True):
            if figure:
                yield Explained(f"platform:{code}", figure.name, figure)


def _of_need(need: Need) -> Iterator[Explained]:
    yield Explained(need.item, need.words, need.gross)
    if need.from_stock:
        yield Explained(f"{need.item}:stock", f"{need.words}, off the van", need.from_stock)
    if need.stock_cost:
        words = f"{need.words}, cost of what is off the van"
        yield Explained(f"{need.item}:stock-cost", words, need.stock_cost)
    if need.purchase:
        yield Explained(f"{need.item}:cost", f"{need.words}, cost", need.purchase.cost)


def of_order(order: Order) -> Iterator[Explained]:
    """Every figure of an order: suppliers, deliveries, total and leftovers."""
    for one in order.suppliers:
        yield Explained(f"order:{one.supplier}", f"order from {one.supplier}", one.total)
    yield Explained("deliveries", "deliveries", order.deliveries)
    yield Explained("order", "the whole order", order.total)
    if order.alone:
        words = f"the whole order from {order.alone.supplier} alone"
        yield Explained("order-alone", words, order.alone.total)
    for left in order.leftovers:
        yield Explained(f"left:{left.item}", left.quantity.name, left.quantity)


def as_text(figure: Figure, depth: int = 0) -> Iterator[str]:
    """The tree of a figure, a line each: value and unit, then formula or source.

    A figure already worked out above is only named again, with nothing below it.
    """
    yield from _lines(figure, depth, {})


def _lines(figure: Figure, depth: int, met: dict[str, list[Figure]]) -> Iterator[str]:
    said = f"{_INDENT * depth}{figure.name} = {amount_of(figure)}"
    if not isinstance(figure.basis, Step):
        yield f"{said}{_why(figure)}"
        return
    alike = met.setdefault(figure.name, [])
    if figure in alike:
        yield f"{said}   (as above)"
        return
    alike.append(figure)
    yield f"{said}{_why(figure)}"
    for below in _inputs(figure.basis):
        yield from _lines(below, depth + 1, met)


def tree(figure: Figure, depth: int, deepest: int) -> Iterator[tuple[int, Figure]]:
    """A figure and every figure below it with its depth, down to `deepest`."""
    yield depth, figure
    if isinstance(figure.basis, Step) and depth < deepest:
        for below in _inputs(figure.basis):
            yield from tree(below, depth + 1, deepest)


def _inputs(step: Step) -> Iterator[Figure]:
    """The figures that go into a step, in order."""
    for given in step.inputs.values():
        yield from given if isinstance(given, tuple) else (given,)


def amount_of(figure: Figure) -> str:
    """A figure as a person would write it: money in pounds, otherwise value and unit."""
    if figure.unit == wording.CURRENCY and isinstance(figure.value, Decimal):
        return wording.money(figure.value)
    return f"{_value(figure.value)} {figure.unit}".rstrip()


def _value(value: Value) -> str:
    """A value to four decimals at most.

    >>> _value(1.0800000001), _value(3.0), _value((1.5, 2.0)), _value(False)
    ('1.08', '3', '(1.5, 2)', 'no')
    """
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return f"({', '.join(_value(part) for part in value)})"
    return wording.exact(round(value, _DIGITS)) if isinstance(value, float) else str(value)


def _why(figure: Figure) -> str:
    if isinstance(figure.basis, Origin):
        note = f"; {figure.basis.note}" if figure.basis.note else ""
        return f"   [{figure.basis.source}: {figure.basis.place}{note}]"
    return f"   <- {figure.basis.meaning}"
