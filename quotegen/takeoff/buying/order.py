"""The order: packs by supplier, the cost of each delivery, and what is left over."""

from collections.abc import Iterable, Mapping, Sequence
from itertools import combinations

from msgspec import Struct

from quotegen.model.settings import PriceBook
from quotegen.model.takeoff import CutList, Leftover, Order, PackCount, Purchase, SupplierOrder
from quotegen.reference import house_rules
from quotegen.reference.house_rules import Family
from quotegen.takeoff.basis.job import Job, total_length_m
from quotegen.takeoff.basis.packs import cost_of, money_sum, price_of, purchase
from quotegen.takeoff.buying.needs import Lack
from quotegen.takeoff.buying.suppliers import (
    MOST_FREE_SUPPLIERS,
    Choice,
    Lot,
    Way,
    best_choice,
    delivery_price,
)
from quotegen.takeoff.trims.trim_plan import plan_trims
from quotegen.takeoff.trims.trims import TrimWork, cut_trims
from quotegen.units import Unit
from quotegen.working import Figure, chosen, derive


class SourcedTrims(Struct, frozen=True):
    """The trims of a job as cut from one supplier's lengths; from several where nobody has all."""

    source: frozenset[str]
    work: TrimWork


class Bought(Struct, frozen=True):
    """The purchases of a job by item, the order, and families bought from several suppliers.

    `way` is the index of the way chosen among those offered.
    """

    way: int
    purchases: Mapping[str, Purchase]
    order: Order
    split: tuple[str, ...]
    limited: bool


def trim_works(job: Job, prices: PriceBook) -> list[SourcedTrims]:
    """The trims planned from every supplier that has them all.

    Where nobody has them all, from every set of suppliers that does; where nothing is priced, once.
    Corner pieces on the van need not be priced by anyone.
    """
    plan = plan_trims(job)
    stock = job.settings.van_stock
    items = [item for item in plan.needs if prices.of(item)]
    wanted = [
        item
        for item in items
        if item in plan.runs or plan.needs[item].number > _on_van(stock, item)
    ]
    return [
        SourcedTrims(source, cut_trims(job, plan, prices.within(items, source)))
        for source in _sources(wanted, prices)
    ]


def way_of(lacks: Sequence[Lack], sourced: SourcedTrims, prices: PriceBook) -> Way:
    """What one job still has to buy, as lots, besides the trims already cut from their source.

    An item without a price is left out.
    """
    settled = [
        count
        for lack in lacks
        if lack.cut and (found := sourced.work.purchases.get(lack.item))
        for count in found.packs
    ]
    return Way(tuple(lots_of(lacks, sourced.source, prices)), tuple(settled))


def lots_of(lacks: Iterable[Lack], source: frozenset[str], prices: PriceBook) -> list[Lot]:
    """The lots of a job: each family from one supplier that can, other items singly.

    Other parts of the trims, such as corner pieces, come from the trims' source where it can.
    """
    families: dict[Family, list[tuple[str, float]]] = {}
    lots = []
    for lack in lacks:
        if lack.cut or lack.to_cover <= 0 or not prices.of(lack.item):
            continue
        if lack.family and (lack.family is not Family.TRIMS or prices.sellers(lack.item) & source):
            families.setdefault(lack.family, []).append((lack.item, lack.to_cover))
        else:
            lots.append(Lot(((lack.item, lack.to_cover),)))
    for family, members in families.items():
        sellers = source if family is Family.TRIMS else None
        whole = frozenset.intersection(*(prices.sellers(item) for item, _ in members))
        if whole if sellers is None else whole & sellers:
            lots.append(Lot(tuple(members), one_supplier=True, sellers=sellers))
        else:
            lots += [Lot((member,), sellers=sellers) for member in members]
    return lots


def split_families(lots: Iterable[Lot], sourced: SourcedTrims) -> tuple[str, ...]:
    """The families that no single supplier has whole, so that they come from several."""
    split = {
        family
        for lot in lots
        if not lot.one_supplier
        for item, _ in lot.to_cover
        if (family := house_rules.items()[item].family)
    }
    if len(sourced.source) > 1:
        split.add(Family.TRIMS)
    return tuple(sorted(split))


def buy(offered: Sequence[tuple[SourcedTrims, Sequence[Lack]]], prices: PriceBook) -> Bought:
    """The cheapest packs and suppliers for one build-up, over every source of its trims."""
    ways = [way_of(lacks, sourced, prices) for sourced, lacks in offered]
    choice = best_choice(ways, prices)
    if choice is None:
        raise ValueError("every lot is made from items that somebody prices")
    sourced, lacks = offered[choice.way]
    packs: dict[str, list[PackCount]] = {}
    for count in (count for lot in choice.packs for count in lot):
        packs.setdefault(count.pack.item, []).append(count)
    purchases = {
        lack.item: found
        for lack in lacks
        if (found := _purchase(lack, packs, sourced.work.purchases))
    }
    cuts = sourced.work.cuts
    spare = [
        (lack.item, lack.words, found) for lack in lacks if (found := purchases.get(lack.item))
    ]
    order = make_order(choice, ways, prices, leftovers(spare, cuts), cuts)
    split = split_families(ways[choice.way].lots, sourced)
    return Bought(choice.way, purchases, order, split, choice.limited)


def make_order(
    choice: Choice,
    ways: Sequence[Way],
    prices: PriceBook,
    over: tuple[Leftover, ...],
    cuts: Sequence[CutList],
) -> Order:
    """A choice as an order with its working, and the cheapest from a single supplier."""
    suppliers = _supplier_orders(choice, ways, prices)
    sellers = {count.pack.supplier for way in ways for count in way.settled}
    for lot in (lot for way in ways for lot in way.lots):
        sellers.update(*(prices.sellers(item) for item, _ in lot.to_cover))
    alone = [
        _supplier_orders(found, ways, prices)[0]
        for supplier in sorted(sellers)
        if (found := best_choice(ways, prices, frozenset({supplier}))) and found.suppliers
    ]
    return Order(
        suppliers=suppliers,
        deliveries=derive(
            "deliveries", Unit.GBP, money_sum, parts=[s.delivery for s in suppliers if s.delivery]
        ),
        total=derive("order", Unit.GBP, money_sum, parts=[s.total for s in suppliers]),
        alone=min(alone, key=lambda order: order.total.money, default=None),
        leftovers=over,
        proved=not choice.limited and all(cut.proved for cut in cuts),
    )


def leftovers(
    spare: Iterable[tuple[str, str, Purchase]], cuts: Sequence[CutList]
) -> tuple[Leftover, ...]:
    """The leftovers of every purchase: for trims the offcuts worth keeping, for hire nothing.

    Inputs: item, words and purchase; and the cutting lists.
    """
    kept = {
        cut.item: [chosen("offcut", mm, Unit.MM, "on the cutting list") for mm in cut.kept]
        for cut in cuts
    }
    found = []
    for item, words, bought in spare:
        if house_rules.items()[item].hired:
            continue
        if item in kept:
            quantity = derive(
                f"{words}, offcuts worth keeping", Unit.M, total_length_m, lengths_mm=kept[item]
            )
            keeps = True
        else:
            quantity = bought.spare.renamed(f"{words}, left over")
            keeps = house_rules.items()[item].keeps
        if quantity.number > _DUST:
            found.append(Leftover(item, words, quantity, keeps))
    return tuple(found)


def _supplier_orders(
    choice: Choice, ways: Sequence[Way], prices: PriceBook
) -> tuple[SupplierOrder, ...]:
    packs = [*ways[choice.way].settled, *(count for lot in choice.packs for count in lot)]
    return tuple(
        _supplier_order(supplier, tuple(c for c in packs if c.pack.supplier == supplier), prices)
        for supplier in choice.suppliers
    )


def _supplier_order(
    supplier: str, packs: tuple[PackCount, ...], prices: PriceBook
) -> SupplierOrder:
    cost = cost_of(packs).renamed(f"packs from {supplier}")
    row = delivery_price(prices, supplier)
    delivery = price_of(row).renamed(f"delivery from {supplier}") if row else None
    parts = [cost, delivery] if delivery else [cost]
    total = derive(f"order from {supplier}", Unit.GBP, money_sum, parts=parts)
    return SupplierOrder(supplier, packs, cost, delivery, row, total)


def _purchase(
    lack: Lack, packs: Mapping[str, Sequence[PackCount]], cut: Mapping[str, Purchase]
) -> Purchase | None:
    if lack.cut:
        return cut.get(lack.item)
    mine = packs.get(lack.item)
    return purchase(lack.to_buy, mine) if mine else None


def _sources(wanted: Sequence[str], prices: PriceBook) -> list[frozenset[str]]:
    """Single suppliers that have everything wanted, or else every set that has."""
    sellers = sorted(frozenset().union(*(prices.sellers(item) for item in wanted)))
    able = [frozenset({s}) for s in sellers if all(s in prices.sellers(item) for item in wanted)]
    if able or not wanted:
        return able or [frozenset()]
    return [
        frozenset(some)
        for size in range(2, min(len(sellers), MOST_FREE_SUPPLIERS) + 1)
        for some in combinations(sellers, size)
        if all(prices.sellers(item) & set(some) for item in wanted)
    ]


def _on_van(stock: Mapping[str, Figure], item: str) -> float:
    return stock[item].number if item in stock else 0.0


_DUST = 1e-9
