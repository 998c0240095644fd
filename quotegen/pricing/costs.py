"""What a build-up costs the firm: materials, hours and charges by stage of the work."""

from collections.abc import Sequence
from decimal import Decimal

from quotegen.model.choices import PartPacks
from quotegen.model.quote import CostLine
from quotegen.model.settings import Settings
from quotegen.model.takeoff import Labour, Need, OptionTakeOff, Purchase, Stage
from quotegen.reference import house_rules
from quotegen.units import Unit, as_decimal, pence
from quotegen.working import Figure, alike, derive, from_line, total

DAYS_LINE, HOUR_LINE, ODD_LINE = "labour:days", "labour:hour", "labour:odd"
"""The lines of `explain` that give the working of what all tasks share."""
_FINE = Decimal("0.0001")
"""How finely the cost of an hour worked is written; a task's cost is in pence."""


def cost_lines(option: OptionTakeOff, settings: Settings) -> tuple[CostLine, ...]:
    """One line of cost for each stage that costs anything, in the order of the work."""
    lines = []
    tasks = list(zip(option.labour, task_costs(option, settings), strict=True))
    for stage in Stage:
        line = CostLine(
            stage,
            _material(option, stage, settings),
            _labour(tasks, stage),
            _charges(option, stage),
        )
        if line.material.money or line.labour.money or line.charges.money:
            lines.append(line)
    return tuple(lines)


def line_cost(line: CostLine) -> Figure:
    """The total cost of one stage."""
    parts = [line.material, line.labour, line.charges]
    return derive(f"cost: {line.stage}", Unit.GBP, money_total, parts=parts)


def total_cost(lines: Sequence[CostLine]) -> Figure:
    """The total cost of the build-up."""
    parts = [line_cost(line) for line in lines]
    return derive("cost of the job", Unit.GBP, money_total, parts=parts)


def need_costs(need: Need, settings: Settings) -> tuple[Figure, ...]:
    """The cost of a need to the job: packs bought for it, and what comes off the van."""
    whole = PartPacks(settings.text("part_packs")) is PartPacks.WHOLE
    bought = _borne(need, need.purchase, whole) if need.purchase else None
    return tuple(part for part in (bought, need.stock_cost) if part)


def days_cost(option: OptionTakeOff, settings: Settings) -> Figure:
    """The cost of the crew for the days charged, without what is paid by the hour."""
    programme = option.programme
    return derive(
        "labour of the days paid",
        Unit.GBP,
        paid_time_cost,
        days=programme.paid_days,
        crew=programme.crew,
        day_h=settings["day_hours"],
        per_hour=settings["labour_cost_per_hour"],
    )


def hour_worked(option: OptionTakeOff, settings: Settings) -> Figure:
    """The cost of an hour worked, for tasks that are not paid by the hour."""
    worked = [line.hours for line in option.labour if not line.by_the_hour]
    return derive(
        "cost of an hour worked",
        Unit.GBP_PER_PERSON_HOUR,
        hour_worked_cost,
        cost=days_cost(option, settings),
        worked_hours=derive("hours worked", Unit.PERSON_HOURS, total, parts=worked),
    )


def odd_pence(option: OptionTakeOff, settings: Settings) -> Figure:
    """What is left of the labour for the days charged once each task is in whole pence."""
    per_hour = from_line(hour_worked(option, settings), HOUR_LINE)
    costs = [_task_cost(line, per_hour) for line in option.labour if not line.by_the_hour]
    return derive(
        "odd pence",
        Unit.GBP,
        rest_of_cost,
        cost=from_line(days_cost(option, settings), DAYS_LINE),
        parts=costs,
    )


def task_costs(option: OptionTakeOff, settings: Settings) -> tuple[Figure, ...]:
    """The cost of each task: its hours at the cost of an hour worked.

    Together they make the days charged. The longest task
    takes the odd pence. Extra travel, and work that was found, cost their own hours.
    """
    per_hour = from_line(hour_worked(option, settings), HOUR_LINE)
    odd = from_line(odd_pence(option, settings), ODD_LINE)
    longest = max(option.labour, key=lambda line: (not line.by_the_hour, line.hours.number))
    costs = []
    for line in option.labour:
        rate = settings["labour_cost_per_hour"] if line.by_the_hour else per_hour
        cost = _task_cost(line, rate)
        if line is longest and odd.money:
            cost = derive(line.task, Unit.GBP, money_total, parts=[cost, odd])
        costs.append(cost)
    return tuple(costs)


def _task_cost(line: Labour, per_hour: Figure) -> Figure:
    return derive(line.task, Unit.GBP, hours_cost, hours=line.hours, per_hour=per_hour)


def _material(option: OptionTakeOff, stage: Stage, settings: Settings) -> Figure:
    parts = [
        part for need in option.needs if need.stage is stage for part in need_costs(need, settings)
    ]
    return derive(f"materials and hire: {stage}", Unit.GBP, money_total, parts=parts)


def _borne(need: Need, purchase: Purchase, whole: bool) -> Figure:
    """The cost of a need to the job: whole packs, or the part used of packs that keep."""
    if whole or not house_rules.items()[need.item].keeps:
        return purchase.cost.renamed(need.words)
    return derive(
        need.words,
        Unit.GBP,
        used_share,
        cost=purchase.cost,
        used=purchase.needed,
        bought=purchase.bought,
    )


def _labour(tasks: Sequence[tuple[Labour, Figure]], stage: Stage) -> Figure:
    parts = [cost for line, cost in tasks if line.stage is stage]
    return derive(f"labour: {stage}", Unit.GBP, money_total, parts=parts)


def _charges(option: OptionTakeOff, stage: Stage) -> Figure:
    parts = [charge for place, charge in option.charges if place is stage]
    return derive(f"charges: {stage}", Unit.GBP, money_total, parts=parts)


@alike("parts")
def money_total(parts: Sequence[Decimal]) -> Decimal:
    """Amounts added up [GBP].

    >>> money_total((Decimal("1.10"), Decimal("2.20")))
    Decimal('3.30')
    """
    return sum(parts, Decimal("0.00"))


@alike("used", "bought", result=False)
def used_share(cost: Decimal, used: float, bought: float) -> Decimal:
    """The part of the cost of packs that was used: cost x used / bought, in pence.

    Inputs [GBP] and the unit of the item, result [GBP].

    >>> used_share(Decimal("60.00"), 5.0, 20.0)
    Decimal('15.00')
    """
    return pence(cost * as_decimal(used) / as_decimal(bought))


def paid_time_cost(days: float, crew: float, day_h: float, per_hour: Decimal) -> Decimal:
    """Labour for the days charged: days x people x hours in a day x cost of an hour, in pence.

    Inputs [days, people, h, GBP/person-hour], result [GBP].

    >>> paid_time_cost(1.5, 2, 8, Decimal(28))
    Decimal('672.00')
    """
    return pence(as_decimal(days) * as_decimal(crew) * as_decimal(day_h) * per_hour)


def hour_worked_cost(cost: Decimal, worked_hours: float) -> Decimal:
    """Cost of an hour worked: labour for the days charged / hours worked, to 0.0001.

    Inputs [GBP, person-hours], result [GBP/person-hour].

    >>> hour_worked_cost(Decimal(672), 22.4)
    Decimal('30.0000')
    """
    return (cost / as_decimal(worked_hours)).quantize(_FINE)


@alike("cost", "parts")
def rest_of_cost(cost: Decimal, parts: Sequence[Decimal]) -> Decimal:
    """What is left of a cost once its parts, each in whole pence, are taken from it [GBP].

    >>> rest_of_cost(Decimal("672.00"), (Decimal("105.33"), Decimal("566.68")))
    Decimal('-0.01')
    """
    return cost - sum(parts, Decimal("0.00"))


def hours_cost(hours: float, per_hour: Decimal) -> Decimal:
    """Cost of hours: person-hours x cost of one, in pence.

    Inputs [person-hours, GBP/person-hour], result [GBP].

    >>> hours_cost(2.5, Decimal(28))
    Decimal('70.00')
    """
    return pence(as_decimal(hours) * per_hour)
