"""The cost of each safe way of guarding the edge for the planned days; the cheapest is taken."""

from collections.abc import Sequence
from decimal import Decimal

from msgspec import Struct
from msgspec.structs import replace

from quotegen.model.access import AccessPlan
from quotegen.model.settings import PriceBook
from quotegen.model.takeoff import Labour, PackCount, Programme
from quotegen.reference.remark_keys import Task
from quotegen.takeoff.access.access import access_demands
from quotegen.takeoff.basis.job import Demand, Job
from quotegen.takeoff.basis.packs import cheapest_packs, cost_of
from quotegen.units import Unit, as_decimal, pence
from quotegen.working import Figure, derive, total

_TOWER_TASKS = (Task.TOWER, Task.MOVE_TOWER)
_HIRED = frozenset({"tower_hire", "scaffold_hire"})


class Tried(Struct, frozen=True):
    """A way of working at the edge, with the hours and days the job then takes."""

    plan: AccessPlan
    labour: tuple[Labour, ...]
    programme: Programme


def cheapest(job: Job, tried: Sequence[Tried], prices: PriceBook) -> Tried:
    """The cheapest way, of those the row asks for if any of them is safe here.

    At the same price, the way that guards more. If nobody prices the hire of the first, it is
    taken, so that the missing price is reported. The plan that is taken carries what every way
    costs.
    """
    costs = {one.plan.way: _cost(job, one, prices) for one in tried}
    meant = [one for one in tried if one.plan.chosen is job.enquiry.access] or tried
    priced = [
        (cost.money, -place, one)
        for place, one in enumerate(meant)
        if (cost := costs[one.plan.way])
    ]
    first_priced = costs[meant[0].plan.way] is not None
    taken = min(priced, key=lambda found: found[:2])[2] if first_priced else meant[0]
    ways = tuple(replace(one, cost=costs.get(one.way)) for one in taken.plan.ways)
    return replace(taken, plan=replace(taken.plan, ways=ways))


def _cost(job: Job, tried: Tried, prices: PriceBook) -> Figure | None:
    """Hire for the weeks of the plan and hours to put up, move and strike; None without a price."""
    if tried.plan.way is None:
        return None
    hires = [
        _hire(demand, prices)
        for demand in access_demands(job, tried.plan, tried.programme.stands)
        if demand.item in _HIRED
    ]
    known = [hire for hire in hires if hire]
    if len(known) < len(hires):
        return None
    hours = derive(
        "hours to put up, move and strike",
        Unit.PERSON_HOURS,
        total,
        parts=[line.hours for line in tried.labour if line.key in _TOWER_TASKS],
    )
    return derive(
        f"cost of {tried.plan.way}",
        Unit.GBP,
        way_cost,
        hires=known,
        hours=hours,
        per_hour=job.settings["labour_cost_per_hour"],
    )


def _hire(demand: Demand, prices: PriceBook) -> Figure | None:
    packs = prices.of(demand.item)
    if not packs:
        return None
    taken = cheapest_packs(demand.net.number, packs)
    return cost_of([PackCount(packs[n], count) for n, count in taken.items()]).renamed("hire")


def way_cost(hires: Sequence[Decimal], hours: float, per_hour: Decimal) -> Decimal:
    """What a way costs: hire + hours to put up, move and strike x cost of an hour, in pence.

    Inputs [GBP, person-hours, GBP/person-hour], result [GBP].

    >>> way_cost((Decimal("95.00"),), 1.5, Decimal(28))
    Decimal('137.00')
    """
    return pence(sum(hires, Decimal(0)) + as_decimal(hours) * per_hour)
