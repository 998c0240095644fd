"""The cheapest packs that cover a need, exactly."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal
from functools import lru_cache

from quotegen.model.settings import PackPrice, PriceBook
from quotegen.model.takeoff import PackCount, Purchase
from quotegen.reference import house_rules
from quotegen.takeoff.cutting import Cut, CutRules, Run, Stock, cut_runs
from quotegen.units import as_decimal, m_to_mm, whole_number
from quotegen.working import Figure, Origin, Source, derive

_FINEST = Decimal("0.001")


@dataclass(frozen=True, slots=True)
class Basket:
    """Packs chosen for several items: what was on offer for each, and how many of which.

    `cuts` are the cutting lists of the items that are cut from whole lengths.
    """

    offers: Mapping[str, Sequence[PackPrice]]
    counts: Mapping[str, Mapping[int, int]]
    cuts: Mapping[str, Cut]

    @property
    def cost(self) -> Decimal:
        """What all the packs cost."""
        return sum(
            (
                self.offers[item][i].pack_price * n
                for item, counts in self.counts.items()
                for i, n in counts.items()
            ),
            Decimal(0),
        )


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is to be bought: quantities to cover by item, and runs to be cut from lengths."""

    to_cover: Mapping[str, float]
    runs: Mapping[str, tuple[tuple[Run, ...], CutRules]]


def buy_all(
    needed: Mapping[str, Figure], wanted: Wanted, prices: PriceBook
) -> tuple[dict[str, Purchase], dict[str, Cut], list[str]]:
    """The packs that cover every item at the least cost, and the families that had to be split.

    Items of one family come from one supplier, the cheapest that has them all. Items with runs
    are cut from whole lengths. An item without a price is left out.
    """
    bought: dict[str, Purchase] = {}
    cuts: dict[str, Cut] = {}
    split = []
    for family, members in _families(needed).items():
        priced = [item for item in members if prices.of(item)]
        basket = _from_one_supplier(priced, wanted, prices) if family else None
        if basket is None:
            basket = _filled({item: prices.of(item) for item in priced}, wanted)
            if family and len(priced) > 1:
                split.append(family)
        cuts |= basket.cuts
        for item in priced:
            offer, counts = basket.offers[item], basket.counts[item]
            taken = [PackCount(offer[i], n) for i, n in sorted(counts.items())]
            bought[item] = purchase(needed[item], taken)
    return bought, cuts, split


def _families(items: Iterable[str]) -> dict[str, list[str]]:
    families: dict[str, list[str]] = defaultdict(list)
    for item in items:
        families[house_rules.items()[item].family].append(item)
    return families


def _from_one_supplier(items: Sequence[str], wanted: Wanted, prices: PriceBook) -> Basket | None:
    """The cheapest basket from a supplier that has every item; None where nobody has all."""
    sellers = [{pack.supplier for pack in prices.of(item)} for item in items]
    able = set.intersection(*sellers) if sellers else set()
    baskets = [
        _filled(
            {item: [p for p in prices.of(item) if p.supplier == supplier] for item in items},
            wanted,
        )
        for supplier in sorted(able)
    ]
    return min(baskets, key=lambda basket: basket.cost, default=None)


def _filled(offers: Mapping[str, Sequence[PackPrice]], wanted: Wanted) -> Basket:
    counts: dict[str, dict[int, int]] = {}
    cuts: dict[str, Cut] = {}
    for item, packs in offers.items():
        if item not in wanted.runs:
            counts[item] = cheapest_packs(wanted.to_cover[item], packs)
            continue
        runs, rules = wanted.runs[item]
        stocks = tuple(Stock(m_to_mm(pack.pack_size), pack.pack_price) for pack in packs)
        cuts[item] = cut_runs(runs, stocks, rules)
        counts[item] = {i: n for i in range(len(packs)) if (n := cuts[item].count(i))}
    return Basket(offers, counts, cuts)


def purchase(needed: Figure, packs: Iterable[PackCount]) -> Purchase:
    """The packs for a need with what they hold, cost and leave over, each with its working."""
    taken = tuple(packs)
    counts = [pack_count(p) for p in taken]
    bought = derive(
        "bought",
        needed.unit,
        bought_quantity,
        counts=counts,
        sizes=[size_of(p.pack) for p in taken],
    )
    spare = derive("spare", needed.unit, spare_quantity, bought=bought, needed=needed)
    return Purchase(taken, needed, bought, spare, cost_of(taken))


def cost_of(packs: Sequence[PackCount]) -> Figure:
    """What packs cost together, with every count and price."""
    return derive(
        "cost of packs",
        "GBP",
        packs_cost,
        counts=[pack_count(p) for p in packs],
        prices=[price_of(p.pack) for p in packs],
    )


def cheapest_packs(needed: float, packs: Sequence[PackPrice]) -> dict[int, int]:
    """How many of each pack cover a need at the least cost, ties to the least left over.

    An unbounded covering knapsack, solved exactly by dynamic programming over the amounts that
    can be left to cover. Pack sizes count to three decimals, finer ones rounded down. Result:
    pack index to count, packs not bought left out.
    """
    sizes = [as_decimal(p.pack_size).quantize(_FINEST, ROUND_FLOOR) for p in packs]
    grain = _common_grain(sizes)
    steps = tuple(int(size / grain) for size in sizes)
    target = whole_number(needed / float(grain))
    return dict(Counter(_cheapest(target, steps, tuple(p.pack_price for p in packs))))


@lru_cache(maxsize=4096)
def _cheapest(target: int, steps: tuple[int, ...], prices: tuple[Decimal, ...]) -> tuple[int, ...]:
    """The packs taken, one by one, by their place in the offer.

    best(left) = min over packs of (price, size) + best(left - size), compared by cost, then by
    size bought; best of nothing left is nothing.
    """
    best: dict[int, tuple[Decimal, int, int]] = {}
    for left in sorted(_amounts_left(target, steps)):
        options = []
        for i, (step, price) in enumerate(zip(steps, prices, strict=True)):
            before = best.get(left - step, _NOTHING)
            options.append((before[0] + price, before[1] + step, i))
        best[left] = min(options)
    taken = []
    while target > 0:
        taken.append(best[target][2])
        target -= steps[taken[-1]]
    return tuple(taken)


_NOTHING = (Decimal(0), 0, -1)


def _amounts_left(target: int, steps: Sequence[int]) -> set[int]:
    """Every amount that some packs leave still to cover."""
    found = {target} if target > 0 else set()
    waiting = list(found)
    while waiting:
        left = waiting.pop()
        for step in set(steps):
            if left > step and left - step not in found:
                found.add(left - step)
                waiting.append(left - step)
    return found


def _common_grain(sizes: Sequence[Decimal]) -> Decimal:
    grain = sizes[0]
    for size in sizes[1:]:
        while size:
            grain, size = size, grain % size  # noqa: PLW2901 - Euclid's algorithm
    return grain


def pack_count(chosen_pack: PackCount) -> Figure:
    """How many of a pack are bought, as a figure."""
    pack = chosen_pack.pack
    name = f"packs of {pack.pack_size:g} {pack.unit} from {pack.supplier}"
    return Figure(
        name, chosen_pack.count, "packs", Origin(Source.CHOICE, "the cheapest packs that cover it")
    )


def size_of(pack: PackPrice) -> Figure:
    """What a pack holds, as a figure with its row."""
    return Figure("pack size", pack.pack_size, pack.unit, _origin(pack))


def price_of(pack: PackPrice) -> Figure:
    """The price of a pack, as a figure with its cell."""
    return Figure("pack price", pack.pack_price, "GBP", _origin(pack))


def _origin(pack: PackPrice) -> Origin:
    return Origin(
        Source.PRICE, f"{pack.place.book}, {pack.place}", f"{pack.supplier}, {pack.dated}"
    )


def bought_quantity(counts: Sequence[int], sizes: Sequence[float]) -> float:
    """What the packs hold: sum of count x size, in the unit of the item.

    >>> bought_quantity((1, 2), (20.0, 5.0))
    30.0
    """
    return float(sum(n * size for n, size in zip(counts, sizes, strict=True)))


def packs_cost(counts: Sequence[int], prices: Sequence[Decimal]) -> Decimal:
    """What the packs cost: sum of count x price [GBP].

    >>> packs_cost((1, 2), (Decimal("60.00"), Decimal("18.50")))
    Decimal('97.00')
    """
    return sum((n * price for n, price in zip(counts, prices, strict=True)), Decimal(0))


def spare_quantity(bought: float, needed: float) -> float:
    """What the packs leave over: bought - needed, in the unit of the item.

    >>> spare_quantity(30.0, 26.5)
    3.5
    """
    return bought - needed
