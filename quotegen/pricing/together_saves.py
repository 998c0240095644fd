"""What is saved where several roofs of one customer are done in one visit, one after another.

Each amount is worked out from the quotes alone: the deliveries, the hire and the drive that they
hold. What they cannot tell is not estimated.
"""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from quotegen.model.choices import Access
from quotegen.model.enquiry import Enquiry
from quotegen.model.quote import QuotedOption
from quotegen.model.settings import Settings
from quotegen.model.several import Saving, TogetherKey
from quotegen.model.takeoff import Need
from quotegen.pricing.costs import money_total, task_costs
from quotegen.pricing.money import priced
from quotegen.reference.item_kinds import ItemKind
from quotegen.reference.remark_keys import Task
from quotegen.reference.remarks import remark
from quotegen.takeoff.access.access import hire_weeks
from quotegen.units import Unit, as_decimal, pence, whole_number
from quotegen.working import Figure, alike, chosen, derive, total

Chosen = tuple[Enquiry, QuotedOption]


def savings_of(roofs: Sequence[Chosen], settings: Settings) -> tuple[Saving, ...]:
    """What two or more roofs in these options save if done in one visit."""
    return (
        _deliveries(roofs, settings),
        *_platforms(roofs, settings),
        *_drives(roofs, settings),
    )


def _deliveries(roofs: Sequence[Chosen], settings: Settings) -> Saving:
    """One delivery from each merchant in place of one for each roof."""
    charges: dict[str, list[Figure]] = {}
    for _, option in roofs:
        for supplier in option.take_off.order.suppliers:
            if supplier.delivery:
                charges.setdefault(supplier.supplier, []).append(supplier.delivery)
    shared = [found for found in charges.values() if len(found) > 1]
    if not shared:
        return Saving(remark(TogetherKey.NO_DELIVERY), _nothing())
    saved = [derive("deliveries", Unit.GBP, all_but_dearest, amounts=found) for found in shared]
    fewer = chosen("deliveries", sum(len(found) - 1 for found in shared), Unit.NONE, "the orders")
    cost = derive("deliveries saved", Unit.GBP, money_total, parts=saved)
    return Saving(remark(TogetherKey.ONE_DELIVERY, fewer=fewer), _price(cost, settings))


def _platforms(roofs: Sequence[Chosen], settings: Settings) -> Iterator[Saving]:
    """One tower moved from roof to roof; whether one scaffold does for two is the scaffolder's."""
    towers = [one for one in roofs if one[1].take_off.access.chosen is Access.TOWER]
    hires = [(option, need) for _, option in towers if (need := _hired(option)) is not None]
    scaffolds = [one for one in roofs if one[1].take_off.access.chosen is Access.SCAFFOLD]
    if len(hires) > 1:
        yield _one_tower(hires, settings)
    if any(len(site) > 1 for site in _sites(scaffolds)):
        yield Saving(remark(TogetherKey.SCAFFOLD_SHARED), None)
    elif len(scaffolds) > 1:
        yield Saving(remark(TogetherKey.SCAFFOLD_EACH), _nothing())
    elif len(hires) < 2:
        yield Saving(remark(TogetherKey.REACHED_OTHERWISE), _nothing())


def _hired(option: QuotedOption) -> Need | None:
    """The hire of its towers that an option pays for."""
    needs = option.take_off.needs
    return next((n for n in needs if n.kind is ItemKind.TOWER_HIRE and n.purchase), None)


def _one_tower(hires: Sequence[tuple[QuotedOption, Need]], settings: Settings) -> Saving:
    """The hire of all less that of the most towers any roof needs, for the days of all in a row."""
    stands = [option.take_off.programme.stands for option, _ in hires]
    weeks = derive(
        "weeks of hire in a row",
        Unit.WEEK,
        hire_weeks,
        days=derive("days in a row", Unit.DAYS, total, parts=stands),
        week_days=settings["hire_week_days"],
    )
    towers = max((option.take_off.access.towers for option, _ in hires), key=lambda one: one.number)
    cost = derive(
        "hire saved",
        Unit.GBP,
        hire_saved,
        costs=[need.purchase.cost for _, need in hires if need.purchase],
        tower_weeks=[need.net for _, need in hires],
        towers=towers,
        weeks=weeks,
    )
    apart = sum(need.net.number for _, need in hires)
    fewer = chosen("weeks fewer", apart - towers.number * weeks.number, Unit.WEEK, "the quotes")
    if not cost.money:
        return Saving(remark(TogetherKey.REACHED_OTHERWISE), _nothing())
    return Saving(remark(TogetherKey.ONE_TOWER, weeks=weeks, fewer=fewer), _price(cost, settings))


def _drives(roofs: Sequence[Chosen], settings: Settings) -> Iterator[Saving]:
    """The drives to one address on fewer days; the way between two addresses is not known."""
    sites = _sites(roofs)
    for site in sites:
        if len(site) > 1:
            yield _fewer_drives(site, settings)
    if len(sites) > 1:
        yield Saving(remark(TogetherKey.WAY_BETWEEN), None)


def _fewer_drives(site: Sequence[Chosen], settings: Settings) -> Saving:
    options = [option for _, option in site]
    days = [option.take_off.programme.priced_days for option in options]
    together = derive(
        "days in one visit",
        Unit.DAYS,
        days_in_one_visit,
        days=days,
        visits_h=[option.take_off.programme.visit_h for option in options],
        day_h=settings["day_hours"],
    )
    costs = [_drive_cost(option, settings) for option in options]
    cost = derive("drives saved", Unit.GBP, drives_saved, costs=costs, days=days, together=together)
    if not cost.money:
        return Saving(remark(TogetherKey.SHORT_WAY), _nothing())
    apart = sum(one.number for one in days)
    fewer = chosen("days fewer", apart - together.number, Unit.DAYS, "the quotes")
    return Saving(
        remark(TogetherKey.FEWER_DAYS, days=together, fewer=fewer), _price(cost, settings)
    )


def _drive_cost(option: QuotedOption, settings: Settings) -> Figure:
    """What the drives of an option cost beyond what setting up allows for them."""
    costs = zip(option.take_off.labour, task_costs(option.take_off, settings), strict=True)
    parts = [cost for line, cost in costs if line.key is Task.TRAVEL]
    return derive("drives", Unit.GBP, money_total, parts=parts)


def _sites(roofs: Sequence[Chosen]) -> list[list[Chosen]]:
    """The roofs by address, as it is written but for capitals, spaces and stops."""
    sites: dict[str, list[Chosen]] = {}
    for roof in roofs:
        address = "".join(mark for mark in roof[0].site_address.casefold() if mark.isalnum())
        sites.setdefault(address, []).append(roof)
    return list(sites.values())


def _price(cost: Figure, settings: Settings) -> Figure:
    """What is saved as it stands in the prices: with the firm's overhead and profit on it."""
    return priced(cost.name, cost, settings)


def _nothing() -> Figure:
    return chosen("saved", Decimal("0.00"), Unit.GBP, "nothing shared")


@alike("amounts")
def all_but_dearest(amounts: Sequence[Decimal]) -> Decimal:
    """What is saved where only the dearest of some charges is paid: sum - greatest [GBP].

    >>> all_but_dearest((Decimal("25.00"), Decimal("30.00"), Decimal("30.00")))
    Decimal('55.00')
    """
    return sum(amounts, Decimal("0.00")) - max(amounts)


@alike("costs", result=True)
def hire_saved(
    costs: Sequence[Decimal], tower_weeks: Sequence[float], towers: float, weeks: float
) -> Decimal:
    """Hire of each roof added up, less towers x weeks at the dearest rate paid; never below 0.

    Inputs [GBP, tower-weeks, towers, weeks], result [GBP] in pence.

    >>> hire_saved((Decimal("80.00"), Decimal("80.00")), (1.0, 1.0), 1.0, 1.0)
    Decimal('80.00')
    """
    each = max(cost / as_decimal(hired) for cost, hired in zip(costs, tower_weeks, strict=True))
    one_hire = pence(each * as_decimal(towers) * as_decimal(weeks))
    return max(Decimal("0.00"), sum(costs, Decimal("0.00")) - one_hire)


def days_in_one_visit(
    days: Sequence[float], visits_h: Sequence[tuple[float, ...]], day_h: float
) -> float:
    """Days of several roofs at one address: their hours in whole days, at least the most of one.

    Inputs [days, h, h], result [days]. The hours are those of the clock for each visit.

    >>> days_in_one_visit((2.0, 2.0), ((5.0, 2.0, 0.5), (4.0, 2.0, 0.5)), 8.0)
    2.0
    """
    hours = sum(sum(visit) for visit in visits_h)
    return float(max(*days, whole_number(hours / day_h)))


def drives_saved(costs: Sequence[Decimal], days: Sequence[float], together: float) -> Decimal:
    """Drives of each roof added up, less the dearest day's drive x days in one visit, at least 0.

    Inputs [GBP, days, days], result [GBP] in pence.

    >>> drives_saved((Decimal("60.00"), Decimal("40.00")), (2.0, 2.0), 3.0)
    Decimal('10.00')
    """
    each = max(cost / as_decimal(number) for cost, number in zip(costs, days, strict=True))
    whole = sum(costs, Decimal("0.00"))
    return max(Decimal("0.00"), whole - pence(each * as_decimal(together)))
