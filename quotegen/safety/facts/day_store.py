"""The flammable liquids brought to site and kept there each day, by the plan of the days.

The order, the method statement, the day sheet and the van list all read `day_store`. If it all
comes to no more than the guide for one store, it is brought on the first day. If it is more, it is
brought in whole packs on the morning of the day it is laid; and if even one day needs more than the
guide, it is kept in separate stores.
"""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from itertools import accumulate

from msgspec import Struct

from quotegen.machine.once import once_a_job
from quotegen.model.days import WorkDay, WorkPlan
from quotegen.model.settings import PackPrice, Settings
from quotegen.model.takeoff import Need, OptionTakeOff, PackCount, Phase
from quotegen.safety.facts.stored import guide_l, litres_of, over_guide
from quotegen.takeoff.basis.packs import size_of
from quotegen.working import Figure

LAID: Mapping[str, tuple[Phase, ...]] = {
    "resin": (Phase.LAY,),
    "topcoat": (Phase.COAT,),
    "acetone": (Phase.LAY, Phase.COAT),
}
"""The flammable liquids of the trade, and the parts of the work that take them."""

_SLACK = 1e-9


class Brought(Struct, frozen=True):
    """How much of one item is brought on a morning: the packs, and what they hold [l].

    If nobody prices it there are no packs, and the amount is what the job takes.
    """

    item: str
    packs: tuple[PackCount, ...]
    litres: float


class StoreDay(Struct, frozen=True):
    """One day of the job: what is brought, the most there at once, what is kept overnight [l].

    `number` and `day` are those of the plan, None while nothing is planned. `stores_l` is how it is
    divided into stores, none above the guide unless a single pack is.
    """

    number: int | None
    day: date | None
    brought: tuple[Brought, ...]
    there_l: float
    kept_l: float
    stores_l: tuple[float, ...]


class DayStore(Struct, frozen=True):
    """The flammable liquids of a job, day by day; `split` means that they are brought by day."""

    days: tuple[StoreDay, ...]
    guide_l: Figure
    split: bool

    @property
    def fullest(self) -> StoreDay:
        """The first of the days with the most of it on site."""
        return max(self.days, key=lambda one: one.there_l)

    @property
    def over(self) -> tuple[StoreDay, ...]:
        """The days that need more than one store."""
        return tuple(one for one in self.days if one.there_l > self.guide_l.number + _SLACK)

    @property
    def large_pack_l(self) -> float | None:
        """The fullest store where one pack is larger than the guide, else None [l]."""
        largest = max((litres for one in self.days for litres in one.stores_l), default=0.0)
        return largest if largest > self.guide_l.number + _SLACK else None


@once_a_job
def day_store(option: OptionTakeOff, plan: WorkPlan, settings: Settings) -> DayStore:
    """What is brought and kept on each day worked; all on one day if no days are planned."""
    split = over_guide(option, settings)
    guide = guide_l(option, settings)
    worked = plan.worked or (None,)
    return DayStore(tuple(_days(option, worked, settings, split=split)), guide, split)


def _days(
    option: OptionTakeOff, worked: Sequence[WorkDay | None], settings: Settings, *, split: bool
) -> Iterator[StoreDay]:
    guide = guide_l(option, settings).number
    shares = {item: _shares(worked, phases) for item, phases in LAID.items()}
    mornings = [
        _mornings(need, shares[need.item], settings, split=split) for need in _needs(option)
    ]
    used_l = {"resin": option.resin.mixed_l.number, "topcoat": option.resin.topcoat_l.number}
    tins = {
        need.item: max(_pack_l(count.pack, settings) for count in need.purchase.packs)
        for need in _needs(option)
        if need.purchase is not None
    }
    left = _van(settings)
    for at, day in enumerate(worked):
        today = tuple(one for brought in mornings if (one := brought[at]) is not None)
        fresh = [tin_l for one in today for tin_l in _tins_l(one, settings)]
        before = [part for item, litres in left.items() for part in _parts(litres, tins.get(item))]
        stores = stores_of([*fresh, *before], guide)
        for one in today:
            left[one.item] = left.get(one.item, 0.0) + one.litres
        there = sum(left.values())
        for item in left:
            used = used_l.get(item, 0.0) * _part(shares[item], at)
            left[item] = max(0.0, left[item] - used)
        number, dated = (day.number, day.day) if day else (None, None)
        yield StoreDay(number, dated, today, there, sum(left.values()), stores)


def stores_of(amounts_l: Sequence[float], guide_l: float) -> tuple[float, ...]:
    """Amounts put into as few stores as first fit gives, the largest first, none above the guide.

    One amount above the guide gets its own store. Inputs and result [l].

    >>> stores_of([18.0, 18.0, 18.0, 4.0], 50.0), stores_of([60.0], 50.0), stores_of([], 50.0)
    ((40.0, 18.0), (60.0,), ())
    """
    stores: list[float] = []
    for amount in sorted((one for one in amounts_l if one > _SLACK), reverse=True):
        at = next((n for n, held in enumerate(stores) if held + amount <= guide_l + _SLACK), None)
        if at is None:
            stores.append(amount)
        else:
            stores[at] += amount
    return tuple(stores)


def brought_by(tins: Sequence[float], due: Sequence[float]) -> list[list[int]]:
    """Which packs come on which day: each day, as few as cover what is due by then.

    The largest come first, ending with the smallest that will do; the rest come on the last day
    that anything more is due. Inputs: sizes, and the sum due by the end of each day, in one unit;
    result: the indices of the packs for each day.

    >>> brought_by([20.0, 20.0, 5.0], [0.0, 22.0, 41.0])
    [[], [0, 2], [1]]
    """
    left = sorted(range(len(tins)), key=lambda n: -tins[n])
    last = max(
        (n for n, sum_due in enumerate(due) if sum_due > (due[n - 1] if n else 0.0)), default=0
    )
    found: list[list[int]] = []
    held = 0.0
    for day, sum_due in enumerate(due):
        today: list[int] = []
        while left and (held < sum_due - _SLACK or day == last):
            lacking = sum_due - held
            enough = [n for n in left if tins[n] >= lacking - _SLACK]
            tin = enough[-1] if enough and day != last else left[0]
            left.remove(tin)
            today.append(tin)
            held += tins[tin]
        found.append(today)
    return found


def _needs(option: OptionTakeOff) -> list[Need]:
    return [need for need in option.needs if need.item in LAID]


def _van(settings: Settings) -> dict[str, float]:
    """What is always on the van of each item [l]."""
    stock = settings.van_stock
    return {item: litres_of(item, stock[item], settings).number for item in LAID if item in stock}


def _shares(worked: Sequence[WorkDay | None], phases: tuple[Phase, ...]) -> list[float]:
    """How much of the work is done by the end of each day; all on the first if none is planned.

    Counted by the hours of these parts of the work.
    """
    hours = [
        sum(one.span.to_h - one.span.from_h for one in day.spells if one.phase in phases)
        if day
        else 0.0
        for day in worked
    ]
    whole = sum(hours)
    return [done / whole for done in accumulate(hours)] if whole else [1.0] * len(worked)


def _part(shares: Sequence[float], at: int) -> float:
    """How much of the work is done on one day."""
    return shares[at] - (shares[at - 1] if at else 0.0)


def _mornings(
    need: Need, shares: Sequence[float], settings: Settings, *, split: bool
) -> list[Brought | None]:
    """How much of a need is brought each morning: all of it on the first, or what the day takes."""
    purchase = need.purchase
    if purchase is None or not split:
        first = next(n for n, share in enumerate(shares) if share > 0) if split else 0
        found = _all_of(need, settings)
        return [found if n == first else None for n in range(len(shares))]
    tins = [count.pack for count in purchase.packs for _ in range(count.count)]
    due = [share * purchase.needed.number for share in shares]
    days = brought_by([pack.pack_size for pack in tins], due)
    return [_of_tins(need.item, [tins[n] for n in today], settings) for today in days]


def _all_of(need: Need, settings: Settings) -> Brought | None:
    """Everything bought for a need, or what the job takes if nobody prices it."""
    if need.purchase is not None:
        litres = litres_of(need.item, need.purchase.bought, settings)
        return Brought(need.item, need.purchase.packs, litres.number)
    if need.unpriced:
        return Brought(need.item, (), litres_of(need.item, need.gross, settings).number)
    return None


def _of_tins(item: str, tins: Sequence[PackPrice], settings: Settings) -> Brought | None:
    if not tins:
        return None
    packs = tuple(PackCount(pack, tins.count(pack)) for pack in dict.fromkeys(tins))
    return Brought(item, packs, sum(_pack_l(pack, settings) for pack in tins))


def _tins_l(one: Brought, settings: Settings) -> Iterator[float]:
    """The packs brought, one by one [l]; what nobody prices counts as one."""
    if not one.packs:
        yield one.litres
    for count in one.packs:
        yield from [_pack_l(count.pack, settings)] * count.count


def _parts(litres: float, tin_l: float | None) -> list[float]:
    """What is left of an item [l], in tins of the largest size bought; in one if none is."""
    if tin_l is None or litres <= tin_l:
        return [litres]
    whole = int(litres // tin_l)
    return [tin_l] * whole + [litres - whole * tin_l]


def _pack_l(pack: PackPrice, settings: Settings) -> float:
    return litres_of(pack.item, size_of(pack), settings).number
