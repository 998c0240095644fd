"""A job's need of every item: with waste, less what the van has, and what is bought."""

from collections.abc import Iterable, Mapping
from decimal import Decimal

from msgspec import Struct
from msgspec.structs import replace

from quotegen.model.choices import StockCost
from quotegen.model.settings import PackPrice, PriceBook, Settings
from quotegen.model.takeoff import Need, Purchase, Stage
from quotegen.reference import house_rules
from quotegen.reference.house_rules import Family
from quotegen.reference.remark_keys import JobNote
from quotegen.reference.remarks import Remark, remark
from quotegen.reference.rule_keys import Told
from quotegen.takeoff.basis.job import Demand
from quotegen.takeoff.basis.packs import price_of, size_of
from quotegen.takeoff.trims.trims import TrimWork
from quotegen.units import Unit, as_decimal, pence, whole_number
from quotegen.working import Figure, alike, chosen, derive, total

_WHOLE_UNITS = frozenset({Unit.SHEET, Unit.EACH, Unit.TUBE, Unit.PAIR, Unit.WEEK})


class Lack(Struct, frozen=True):
    """One item the job takes, before buying.

    `from_stock` is what comes off the van, None where nothing does; `to_buy` the rest. `wanted` is
    the gross quantity with the least spare the firm wants; `to_cover` is what packs have to hold of
    it: all but what the van has. `cut` means that it is cut from whole lengths, for which van stock
    does not count.
    """

    item: str
    words: str
    stage: Stage
    net: Figure
    waste_factor: Figure
    gross: Figure
    from_stock: Figure | None
    to_buy: Figure
    wanted: float
    to_cover: float
    cut: bool

    @property
    def family(self) -> Family | None:
        """The family it belongs to, None without one."""
        return house_rules.items()[self.item].family


def lacks(
    demands: Iterable[Demand],
    work: TrimWork,
    settings: Settings,
    stock: Mapping[str, Figure],
) -> tuple[Lack, ...]:
    """Everything a job takes less what is on the van, its trims last."""
    spare = 1 + settings.number("least_spare_pct") / 100
    found = []
    for demand in _merged(demands):
        factor, gross = _gross(demand)
        wanted = gross.number
        if house_rules.items()[demand.item].family is Family.RESIN:
            wanted = max(wanted, (demand.used or gross).number * spare)
        found.append(
            _lack(demand.item, demand.stage, (demand.net, factor, gross), wanted, stock, cut=False)
        )
    no_waste = chosen("waste", 0.0, Unit.PERCENT, "cut to a list")
    whole = derive("waste factor", Unit.TIMES, waste_factor, waste_pct=no_waste)
    cut = {cut.item for cut in work.cuts}
    for item, net in work.needs.items():
        figures = (net, whole, net)
        wanted = net.number
        found.append(_lack(item, Stage.EDGES, figures, wanted, stock, cut=item in cut))
    return tuple(found)


def stock_after(stock: Mapping[str, Figure], used: Iterable[Lack]) -> dict[str, Figure]:
    """The van's stock after a job has taken its share, including the spare it sets aside."""
    left = dict(stock)
    for lack in used:
        if lack.from_stock is not None:
            on_van = stock[lack.item]
            gone = chosen(
                f"{lack.words} set aside", lack.wanted, on_van.unit, "for a job bought for before"
            )
            left[lack.item] = derive(on_van.name, on_van.unit, left_on_van, stock=on_van, used=gone)
    return left


def needs(
    found: Iterable[Lack], bought: Mapping[str, Purchase], prices: PriceBook, settings: Settings
) -> tuple[Need, ...]:
    """Everything short, with its purchase and the cost to the job of the part from the van."""
    return tuple(
        Need(
            item=lack.item,
            words=lack.words,
            stage=lack.stage,
            unit=house_rules.items()[lack.item].unit,
            net=lack.net,
            waste_factor=lack.waste_factor,
            gross=lack.gross,
            purchase=bought.get(lack.item),
            from_stock=lack.from_stock,
            stock_cost=_stock_cost(lack, prices.of(lack.item), settings),
        )
        for lack in found
    )


def stock_notes(found: Iterable[Lack], bought: Mapping[str, Purchase]) -> tuple[Remark, ...]:
    """Notes on chemicals from van stock: mixed with bought ones, or too little.

    Do not mix makes unless the makers agree. Common practice, no source; the data sheets of the
    products used come first.
    """
    notes = []
    for lack in found:
        if lack.family is not Family.RESIN or lack.from_stock is None:
            continue
        notes.append(remark(Told.OFF_VAN, item=lack.words))
        if lack.to_cover > 0 and lack.item not in bought:
            notes.append(remark(JobNote.VAN_SHORT, item=lack.words))
    return tuple(notes)


def _lack(
    item: str,
    stage: Stage,
    figures: tuple[Figure, Figure, Figure],
    wanted: float,
    stock: Mapping[str, Figure],
    *,
    cut: bool,
) -> Lack:
    net, factor, gross = figures
    on_van = None if cut else stock.get(item)
    if on_van is None or not on_van.number:
        return Lack(item, gross.name, stage, net, factor, gross, None, gross, wanted, wanted, cut)
    used = derive(
        f"{gross.name}, off the van", gross.unit, used_of_stock, gross=gross, stock=on_van
    )
    to_buy = derive(f"{gross.name}, to buy", gross.unit, to_buy_quantity, gross=gross, used=used)
    left = max(0.0, wanted - on_van.number)
    return Lack(item, gross.name, stage, net, factor, gross, used, to_buy, wanted, left, cut)


def _stock_cost(lack: Lack, packs: tuple[PackPrice, ...], settings: Settings) -> Figure | None:
    """The cost to the job of what comes off the van: at the lowest price per unit, or nothing."""
    if lack.from_stock is None:
        return None
    name = f"{lack.words}, off the van"
    free = StockCost(settings.text("van_stock_cost")) is StockCost.NOTHING
    if free or not packs:
        why = "no price list has it" if not packs else "the firm's van_stock_cost setting"
        return chosen(name, Decimal("0.00"), Unit.GBP, why)
    cheapest = min(packs, key=lambda pack: pack.pack_price / as_decimal(pack.pack_size))
    return derive(
        name,
        Unit.GBP,
        stock_value,
        used=lack.from_stock,
        pack_price=price_of(cheapest),
        pack_size=size_of(cheapest),
    )


def _merged(demands: Iterable[Demand]) -> list[Demand]:
    """Demands with those for the same item merged; zero quantities are left out."""
    merged: dict[str, Demand] = {}
    for demand in demands:
        before = merged.get(demand.item)
        if before is None:
            merged[demand.item] = demand
        else:
            net = derive(before.net.name, before.net.unit, total, parts=[before.net, demand.net])
            merged[demand.item] = replace(before, net=net)
    return [demand for demand in merged.values() if demand.net.number]


def _gross(demand: Demand) -> tuple[Figure, Figure]:
    item = house_rules.items()[demand.item]
    waste_pct = demand.waste_pct or chosen("waste", 0.0, Unit.PERCENT, "counted whole")
    factor = derive("waste factor", Unit.TIMES, waste_factor, waste_pct=waste_pct)
    formula = whole_gross if item.unit in _WHOLE_UNITS else gross_quantity
    return factor, derive(item.words, item.unit, formula, net=demand.net, factor=factor)


def waste_factor(waste_pct: float) -> float:
    """Waste factor on a net quantity: 1 + waste / 100.

    >>> waste_factor(10)
    1.1
    """
    return 1 + waste_pct / 100


@alike("net")
def gross_quantity(net: float, factor: float) -> float:
    """Quantity needed with waste: net x waste factor, in the unit of the item.

    >>> gross_quantity(20.0, 1.1)
    22.0
    """
    return net * factor


@alike("net")
def whole_gross(net: float, factor: float) -> float:
    """Number needed with waste, in whole ones: net x waste factor, rounded up.

    >>> whole_gross(2.016, 1.1)
    3.0
    """
    return float(whole_number(net * factor))


@alike("gross", "stock")
def used_of_stock(gross: float, stock: float) -> float:
    """Quantity taken off the van: what is needed, or all there is if that is less.

    >>> used_of_stock(22.0, 5.0), used_of_stock(3.0, 5.0)
    (5.0, 3.0)
    """
    return min(gross, stock)


@alike("gross", "used")
def to_buy_quantity(gross: float, used: float) -> float:
    """Quantity to buy: what is needed - what comes off the van.

    >>> to_buy_quantity(22.0, 5.0)
    17.0
    """
    return gross - used


@alike("stock", "used")
def left_on_van(stock: float, used: float) -> float:
    """Stock left on the van: stock - what is used, at least 0.

    >>> left_on_van(5.0, 3.0), left_on_van(5.0, 5.5)
    (2.0, 0.0)
    """
    return max(0.0, stock - used)


@alike("used", "pack_size", result=False)
def stock_value(used: float, pack_price: Decimal, pack_size: float) -> Decimal:
    """Cost of stock used on the job: quantity x price / size of the cheapest pack.

    Stock was paid for once and is replaced at the price of the day, so it is not free. Inputs in
    the unit of the item and [GBP], result [GBP] in pence.

    >>> stock_value(5.0, Decimal("60.00"), 20.0)
    Decimal('15.00')
    """
    return pence(as_decimal(used) * pack_price / as_decimal(pack_size))
