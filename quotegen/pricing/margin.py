"""What a price leaves the owner: margin over cost, overheads, profit, price per m2."""

from decimal import Decimal

from msgspec import Struct

from quotegen.model.choices import PriceBasis
from quotegen.model.enquiry import Enquiry
from quotegen.model.quote import QuotedOption
from quotegen.model.roof import Outline
from quotegen.model.settings import Settings
from quotegen.pricing.costs import money_total
from quotegen.pricing.money import less, percentage_of
from quotegen.pricing.provisional import AgreedRate, included_work
from quotegen.units import Unit, as_decimal, pence
from quotegen.working import Figure, alike, derive

_NO_RATES: dict[PriceBasis, AgreedRate] = {}
"""Without the agreed rates only what has a price of its own is priced."""


class Margin(Struct, frozen=True):
    """What an option leaves, all without VAT.

    `over_cost` is price less cost, of which `overheads` are the firm's share and `profit` the rest;
    the rates are of the price. `uncosted` is the part of the price with no known cost: fixed prices
    for findings and extras.
    """

    over_cost: Figure
    over_cost_pct: Figure
    overheads: Figure
    profit: Figure
    profit_pct: Figure
    per_m2: Figure
    uncosted: Figure


def margin_of(
    option: QuotedOption, enquiry: Enquiry, outline: Outline, settings: Settings
) -> Margin:
    """What an option leaves, out of its price without VAT."""
    net, cost = option.totals.net, option.cost
    over_cost = derive("margin over cost", Unit.GBP, less, amount=net, paid=cost)
    overheads = derive(
        "overheads", Unit.GBP, percentage_of, amount=cost, pct=settings["overhead_pct"]
    )
    profit = derive("profit", Unit.GBP, less, amount=over_cost, paid=overheads)
    return Margin(
        over_cost=over_cost,
        over_cost_pct=derive("margin", Unit.PERCENT, share_pct, part=over_cost, whole=net),
        overheads=overheads,
        profit=profit,
        profit_pct=derive("profit", Unit.PERCENT, share_pct, part=profit, whole=net),
        per_m2=derive("price of 1 m2", Unit.GBP, per_unit, amount=net, units=outline.area_m2),
        uncosted=derive(
            "prices without a cost",
            Unit.GBP,
            money_total,
            parts=[*included_work(enquiry, _NO_RATES, option.build_up).values()],
        ),
    )


@alike("part", "whole", result=False)
def share_pct(part: Decimal, whole: Decimal) -> float:
    """A part of an amount in per cent: part / whole x 100; 0 if the whole is nothing.

    Inputs [GBP], result [%].

    >>> share_pct(Decimal("250.00"), Decimal("1000.00"))
    25.0
    """
    return float(100 * part / whole) if whole else 0.0


def per_unit(amount: Decimal, units: float) -> Decimal:
    """An amount for one of so many units, in whole pence: amount / units.

    >>> per_unit(Decimal("1000.00"), 8.0)
    Decimal('125.00')
    """
    return pence(amount / as_decimal(units))
