"""Choosing suppliers and packs for the least cost of packs and deliveries.

Every set of suppliers is tried. Within a set each item is bought in its cheapest packs, and items
that belong together from the one supplier of the set that is cheapest for them all. The best order
of all uses some set of suppliers, and is no cheaper than what is found for that set; so the least
over all sets is the least possible.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from itertools import combinations

from msgspec import Struct

from quotegen.model.settings import PackPrice, PriceBook
from quotegen.model.takeoff import PackCount
from quotegen.takeoff.basis.packs import cheapest_packs
from quotegen.units import as_decimal

DELIVERY = "delivery"
MOST_FREE_SUPPLIERS = 6
_NO_CHARGE = Decimal(0)


class Lot(Struct, frozen=True):
    """Quantities to cover by item: several from one supplier, or one from wherever it is cheapest.

    A lot of several items has `one_supplier`; a single item may come from several. `sellers` limits
    the suppliers it may come from; None does not.
    """

    to_cover: tuple[tuple[str, float], ...]
    one_supplier: bool = False
    sellers: frozenset[str] | None = None


class Way(Struct, frozen=True):
    """One way of doing the work: lots still to be bought, and packs already settled by cutting."""

    lots: tuple[Lot, ...]
    settled: tuple[PackCount, ...] = ()


class Choice(Struct, frozen=True):
    """The way, suppliers and packs that cost least.

    `packs` are those of each lot of the way; the settled ones are extra. `limited` means that there
    were too many suppliers to try every set of them.
    """

    way: int
    packs: tuple[tuple[PackCount, ...], ...]
    suppliers: tuple[str, ...]
    cost: Decimal
    deliveries: Decimal
    limited: bool

    @property
    def total(self) -> Decimal:
        """The cost of packs and deliveries."""
        return self.cost + self.deliveries


def best_choice(
    ways: Sequence[Way], prices: PriceBook, only: frozenset[str] | None = None
) -> Choice | None:
    """The least cost of packs and deliveries, ties to the fewest suppliers, then least left over.

    `only` limits the suppliers; None means all. Leftovers are compared by their cost. None where no
    set of suppliers has everything. Where more than six suppliers are neither the only source of
    something nor needed by all ways, the six that price most are tried together with the
    indispensable ones.
    """
    market = _Market(prices)
    best: tuple[tuple[Decimal, int, Decimal, tuple[str, ...]], Choice] | None = None
    for number, way in enumerate(ways):
        sets, limited = _supplier_sets(way, market, only)
        for suppliers in sets:
            found = _bought(way, suppliers, market)
            if found is None:
                continue
            packs = tuple(lot.packs for lot in found)
            taken = [*way.settled, *(count for lot in packs for count in lot)]
            used = sorted({count.pack.supplier for count in taken})
            cost = sum((_price(count) for count in taken), Decimal(0))
            deliveries = sum((market.delivery(supplier) for supplier in used), Decimal(0))
            left_over = sum((lot.left_over for lot in found), Decimal(0))
            rank = (cost + deliveries, len(used), left_over, tuple(used))
            if best is None or rank < best[0]:
                best = rank, Choice(number, packs, tuple(used), cost, deliveries, limited)
    return best[1] if best else None


def delivery_price(prices: PriceBook, supplier: str) -> PackPrice | None:
    """A supplier's price for one delivery; None where the list has none."""
    rows = [row for row in prices.of(DELIVERY) if row.supplier == supplier]
    return min(rows, key=lambda row: row.pack_price, default=None)


class _Bought(Struct, frozen=True):
    """A lot as bought from a set of suppliers, with the value of its leftovers."""

    cost: Decimal
    left_over: Decimal
    packs: tuple[PackCount, ...]


@dataclass(slots=True)
class _Market:
    """The price lists, remembering every lot already bought from a set of suppliers."""

    prices: PriceBook
    known: dict[tuple[Lot, frozenset[str]], _Bought | None] = field(default_factory=dict)

    def able(self, lot: Lot) -> frozenset[str]:
        """Suppliers that have everything in a lot."""
        able = frozenset.intersection(*(self.prices.sellers(item) for item, _ in lot.to_cover))
        return able if lot.sellers is None else able & lot.sellers

    def delivery(self, supplier: str) -> Decimal:
        """The cost of one delivery; 0 where the price list names no charge."""
        row = delivery_price(self.prices, supplier)
        return row.pack_price if row else _NO_CHARGE

    def buy(self, lot: Lot, suppliers: frozenset[str]) -> _Bought | None:
        """A lot from a set of suppliers at least cost; None where they do not have it."""
        able = self.able(lot) & suppliers
        key = (lot, able)
        if key not in self.known:
            sets = [frozenset({s}) for s in sorted(able)] if lot.one_supplier else [able]
            offers = [found for one in sets if (found := self._from(lot, one))]
            self.known[key] = min(offers, key=lambda o: (o.cost, o.left_over), default=None)
        return self.known[key]

    def _from(self, lot: Lot, suppliers: frozenset[str]) -> _Bought | None:
        cost = left_over = Decimal(0)
        taken: list[PackCount] = []
        for item, to_cover in lot.to_cover:
            packs = [pack for pack in self.prices.of(item) if pack.supplier in suppliers]
            if not packs:
                return None
            counts = cheapest_packs(to_cover, packs)
            mine = [PackCount(packs[i], n) for i, n in sorted(counts.items())]
            paid = sum((_price(count) for count in mine), Decimal(0))
            held = sum(as_decimal(count.pack.pack_size) * count.count for count in mine)
            cost += paid
            left_over += paid * (held - as_decimal(to_cover)) / held
            taken += mine
        return _Bought(cost, left_over, tuple(taken))


def _bought(way: Way, suppliers: frozenset[str], market: _Market) -> list[_Bought] | None:
    """Every lot of a way from a set of suppliers; None where one is unavailable."""
    lots = []
    for lot in way.lots:
        found = market.buy(lot, suppliers)
        if found is None:
            return None
        lots.append(found)
    return lots


def _supplier_sets(
    way: Way, market: _Market, only: frozenset[str] | None
) -> tuple[Iterator[frozenset[str]], bool]:
    """Every set of suppliers worth trying, and whether some were left out.

    All of them include the suppliers of settled packs and the only suppliers of a lot.
    """
    forced = {count.pack.supplier for count in way.settled}
    priced: Counter[str] = Counter()
    for lot in way.lots:
        able = market.able(lot)
        priced.update(able)
        if len(able) == 1:
            forced |= able
    if only is not None and not forced <= only:
        return iter(()), False
    free = [s for s, _ in sorted(priced.items(), key=lambda kept: (-kept[1], kept[0]))]
    free = [s for s in free if s not in forced and (only is None or s in only)]
    limited = len(free) > MOST_FREE_SUPPLIERS
    if limited:
        tried = free[:MOST_FREE_SUPPLIERS]
        for lot in way.lots:
            able = market.able(lot)
            if not able & {*forced, *tried}:
                forced.add(next(s for s in free if s in able))
        free = [s for s in tried if s not in forced]
    sets = (
        frozenset({*forced, *others})
        for size in range(len(free) + 1)
        for others in combinations(free, size)
    )
    return sets, limited


def _price(count: PackCount) -> Decimal:
    return count.pack.pack_price * count.count
