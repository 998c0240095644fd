"""The take-off as lines of text for a screen."""

from collections.abc import Iterator, Sequence

from quotegen import wording
from quotegen.model.quote import Quote, QuotedOption
from quotegen.model.several import SharedNeed, Together
from quotegen.model.takeoff import Need, Order, PackCount
from quotegen.pricing.sensitivity import Shift
from quotegen.working import Figure


def takeoff_lines(quote: Quote, shifts: Sequence[Shift]) -> Iterator[str]:
    """One enquiry: the outline, then for each build-up what to buy and from whom."""
    outline = quote.take_off.outline
    after = {corner.before: corner for corner in outline.corners}
    yield f"\n{quote.enquiry.ref}: {outline.shape}, {wording.number(outline.area_m2.number, 2)} m2"
    for edge in outline.edges:
        corner = f"{after[edge.name].kind} {wording.number(after[edge.name].interior_deg)}°"
        yield f"   {edge.name:14}{wording.mm(edge.length.number):>11}  {edge.kind:16} then {corner}"
    for option in quote.options:
        yield from _option_lines(option)
    more_mm = quote.settings.number("sensitivity_mm")
    for shift in shifts:
        words = f"{wording.number(more_mm)} mm more on {shift.size}, {shift.build_up}"
        cost, net = wording.change(shift.cost), wording.change(shift.net)
        yield f"  {words}: cost {cost}, price without VAT {net}"


def _option_lines(option: QuotedOption) -> Iterator[str]:
    take_off = option.take_off
    days = wording.count(take_off.programme.days.number, "day", "days")
    yield f"  {take_off.build_up}: {wording.money(option.totals.total.money)}, {days}"
    for need in take_off.needs:
        yield f"     {_need_words(need)}"
    for line in order_lines(take_off.order):
        yield f"     {line}"


def order_lines(order: Order) -> Iterator[str]:
    """An order in words, line by line."""
    for one in order.suppliers:
        delivery = f", delivery {wording.money(one.delivery.money)}" if one.delivery else ""
        packs = f"packs {wording.money(one.cost.money)}{delivery}"
        yield f"order from {one.supplier}: {wording.money(one.total.money)} ({packs})"
    if len(order.suppliers) > 1 and order.alone:
        yield f"all from {order.alone.supplier} alone: {wording.money(order.alone.total.money)}"


def together_lines(together: Together) -> Iterator[str]:
    """Several jobs in one order in words: what to buy and from whom, the cuts, the saving."""
    yield "Bought together: " + ", ".join(f"{ref} ({up})" for ref, up in together.jobs)
    for need in together.needs:
        yield f"   {_need_words(need)}"
    for cut in together.cuts:
        for number, length in enumerate(cut.lengths, start=1):
            pieces = ", ".join(f"{wording.number(p.length_mm)} ({p.edge})" for p in length.pieces)
            yield f"   {cut.words} {number}, {wording.number(length.stock_mm)} mm: {pieces}"
    for line in order_lines(together.order):
        yield f"   {line}"
    total, saves = together.order.total.money, together.saves.money
    yield f"   total {wording.money(total)}; saves {wording.money(saves)} against buying separately"


def _need_words(need: Need | SharedNeed) -> str:
    packs = _pack_words(need.purchase.packs if need.purchase else ())
    gross = wording.number(need.gross.number, 2)
    return f"{need.words:36}{gross:>9} {need.unit:7} {packs}{_van(need.from_stock)}"


def _pack_words(packs: tuple[PackCount, ...]) -> str:
    counted = ", ".join(f"{count.count} x {wording.exact(count.pack.pack_size)}" for count in packs)
    return f"buy {counted or 'nothing'}"


def _van(from_stock: Figure | None) -> str:
    return f"; {wording.exact(from_stock.number)} off the van" if from_stock else ""
