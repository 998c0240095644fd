"""The cheapest packs to cover a need, solved exactly."""

from collections import Counter
from collections.abc import Iterable, Sequence
from decimal import ROUND_FLOOR, Decimal
from functools import lru_cache

from quotegen import wording
from quotegen.model.settings import PackPrice
from quotegen.model.takeoff import PackCount, Purchase
from quotegen.units import Unit, as_decimal, whole_number
from quotegen.working import Figure, Origin, Source, alike, derive

_FINEST = Decimal("0.001")


def purchase(needed: Figure, packs: Iterable[PackCount]) -> Purchase:
    """The packs for a need with their contents, cost and leftover, each with its working."""
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
    """The total cost of packs, from each count and price."""
    return derive(
        "cost of packs",
        Unit.GBP,
        packs_cost,
        counts=[pack_count(p) for p in packs],
        prices=[price_of(p.pack) for p in packs],
    )


def cheapest_packs(needed: float, packs: Sequence[PackPrice]) -> dict[int, int]:
    """The number of each pack that covers a need at least cost; ties go to the least left over.

    An unbounded covering knapsack, solved exactly by dynamic programming over the amounts that can
    remain to be covered. Pack sizes count to three decimals; finer ones are rounded down. Result:
    pack index to count, unused packs left out.
    """
    sizes = [as_decimal(p.pack_size).quantize(_FINEST, ROUND_FLOOR) for p in packs]
    grain = _common_grain(sizes)
    steps = tuple(int(size / grain) for size in sizes)
    target = whole_number(needed / float(grain))
    return dict(Counter(_cheapest(target, steps, tuple(p.pack_price for p in packs))))


@lru_cache(maxsize=4096)
def _cheapest(target: int, steps: tuple[int, ...], prices: tuple[Decimal, ...]) -> tuple[int, ...]:
    """The packs chosen, as indices into the packs on offer.

    best(left) = min over packs of (price, size) + best(left - size), compared by cost, then by size
    bought; best of nothing left is zero.
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
    """Every amount that some packs can leave still to cover."""
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
    """The number of a pack bought, as a figure."""
    pack = chosen_pack.pack
    name = f"packs of {wording.exact(pack.pack_size)} {pack.unit} from {pack.supplier}"
    return Figure(
        name,
        chosen_pack.count,
        Unit.PACKS,
        Origin(Source.CHOICE, "the cheapest packs that cover it"),
    )


def size_of(pack: PackPrice) -> Figure:
    """The size of a pack, as a figure with its row."""
    return Figure("pack size", pack.pack_size, pack.unit, _origin(pack))


def price_of(pack: PackPrice) -> Figure:
    """The price of a pack, as a figure with its cell."""
    return Figure("pack price", pack.pack_price, Unit.GBP, _origin(pack))


def _origin(pack: PackPrice) -> Origin:
    return Origin(
        Source.PRICE, f"{pack.place.book}, {pack.place}", f"{pack.supplier}, {pack.dated}"
    )


@alike("sizes")
def bought_quantity(counts: Sequence[int], sizes: Sequence[float]) -> float:
    """Quantity in the packs: sum of count x size, in the unit of the item.

    >>> bought_quantity((1, 2), (20.0, 5.0))
    30.0
    """
    return float(sum(n * size for n, size in zip(counts, sizes, strict=True)))


@alike("prices")
def packs_cost(counts: Sequence[int], prices: Sequence[Decimal]) -> Decimal:
    """Cost of the packs: sum of count x price [GBP].

    >>> packs_cost((1, 2), (Decimal("60.00"), Decimal("18.50")))
    Decimal('97.00')
    """
    return sum((n * price for n, price in zip(counts, prices, strict=True)), Decimal(0))


@alike("bought", "needed")
def spare_quantity(bought: float, needed: float) -> float:
    """Quantity left over: bought - needed, in the unit of the item.

    >>> spare_quantity(30.0, 26.5)
    3.5
    """
    return bought - needed


@alike("parts")
def money_sum(parts: Sequence[Decimal]) -> Decimal:
    """Total of an order: its amounts added up [GBP].

    >>> money_sum((Decimal("97.00"), Decimal("25.00")))
    Decimal('122.00')
    """
    return sum(parts, Decimal("0.00"))
