"""What a build-up costs the firm: materials, hours and charges by stage of the work."""

from collections.abc import Sequence
from decimal import Decimal

from quotegen.model.choices import PartPacks
from quotegen.model.quote import CostLine
from quotegen.model.settings import Settings
from quotegen.model.takeoff import Labour, Need, OptionTakeOff, Purchase, Stage
from quotegen.reference import house_rules
from quotegen.units import Unit, as_decimal, pence
from quotegen.working import Figure, alike, derive


def cost_lines(option: OptionTakeOff, settings: Settings) -> tuple[CostLine, ...]:
    """One line of cost for each stage that costs anything, in the order of the work."""
    lines = []
    for stage in Stage:
        line = CostLine(
            stage,
            _material(option, stage, settings),
            _labour(option, stage, settings),
            _charges(option, stage),
        )
        if line.material.money or line.labour.money or line.charges.money:
            lines.append(line)
    return tuple(lines)


def line_cost(line: CostLine) -> Figure:
    """What one stage costs altogether."""
    parts = [line.material, line.labour, line.charges]
    return derive(f"cost: {line.stage}", Unit.GBP, money_total, parts=parts)


def total_cost(lines: Sequence[CostLine]) -> Figure:
    """What the build-up costs altogether."""
    parts = [line_cost(line) for line in lines]
    return derive("cost of the job", Unit.GBP, money_total, parts=parts)


def need_costs(need: Need, settings: Settings) -> tuple[Figure, ...]:
    """What a need costs the job: of the packs bought for it, and of what comes off the van."""
    whole = PartPacks(settings.text("part_packs")) is PartPacks.WHOLE
    bought = _borne(need, need.purchase, whole) if need.purchase else None
    return tuple(part for part in (bought, need.stock_cost) if part)


def task_cost(line: Labour, settings: Settings) -> Figure:
    """What the hours of one task cost."""
    rate = settings["labour_cost_per_hour"]
    return derive(line.task, Unit.GBP, hours_cost, hours=line.hours, per_hour=rate)


def _material(option: OptionTakeOff, stage: Stage, settings: Settings) -> Figure:
    parts = [
        part for need in option.needs if need.stage is stage for part in need_costs(need, settings)
    ]
    return derive(f"materials and hire: {stage}", Unit.GBP, money_total, parts=parts)


def _borne(need: Need, purchase: Purchase, whole: bool) -> Figure:
    """What a need costs the job: whole packs, or what is used of packs that keep."""
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


def _labour(option: OptionTakeOff, stage: Stage, settings: Settings) -> Figure:
    parts = [task_cost(line, settings) for line in option.labour if line.stage is stage]
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


def hours_cost(hours: float, per_hour: Decimal) -> Decimal:
    """Cost of hours: person-hours x cost of one, in pence.

    Inputs [person-hours, GBP/person-hour], result [GBP].

    >>> hours_cost(2.5, Decimal(28))
    Decimal('70.00')
    """
    return pence(as_decimal(hours) * per_hour)
