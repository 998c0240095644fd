"""From cost to price and VAT: pure formulas on Decimal pounds."""

from collections.abc import Sequence
from datetime import date
from decimal import ROUND_CEILING, Decimal

from quotegen.model.quote import Totals
from quotegen.model.settings import Settings
from quotegen.model.takeoff import OptionTakeOff
from quotegen.pricing.costs import money_total
from quotegen.reference import loader as reference
from quotegen.reference.firm.house_words import house_words
from quotegen.reference.remark_keys import Amount
from quotegen.takeoff.strip.waste import credits_customer
from quotegen.units import Unit, as_decimal, pence
from quotegen.working import Figure, alike, derive


def priced(name: str, cost: Figure, settings: Settings) -> Figure:
    """The selling price of a cost, without VAT, in whole pence."""
    return derive(
        name,
        Unit.GBP,
        selling_price,
        cost=cost,
        overhead_pct=settings["overhead_pct"],
        profit_pct=settings["profit_pct"],
    )


def totals(parts: Sequence[Figure], settings: Settings, on: date) -> Totals:
    """Net, VAT and total of amounts in whole pence; no VAT from a firm not registered for it."""
    net = derive("net", Unit.GBP, money_total, parts=parts)
    if not settings.yes("vat_registered"):
        return Totals(net, None, None, net.renamed("total"))
    rate = reference.figure("vat.standard_rate_pct", on)
    vat = derive("VAT", Unit.GBP, percentage_of, amount=net, pct=rate)
    total = derive("total with VAT", Unit.GBP, money_total, parts=[net, vat])
    return Totals(net, rate, vat, total)


def deposit_and_balance(
    total: Figure, settings: Settings, home_owner: bool
) -> tuple[Figure, Figure]:
    """Deposit and balance of a total, which add up to it."""
    code = "deposit_pct_home_owner" if home_owner else "deposit_pct_business"
    deposit = derive("deposit", Unit.GBP, percentage_of, amount=total, pct=settings[code])
    balance = derive("balance", Unit.GBP, less, amount=total, paid=deposit)
    return deposit, balance


def make_up(parts: Sequence[Figure], settings: Settings) -> Figure | None:
    """The charge that brings a small job up to the firm's smallest price; None if not needed."""
    smallest = settings.get("smallest_job")
    if smallest is None:
        return None
    net = derive("net before", Unit.GBP, money_total, parts=parts)
    lift = derive(_called(Amount.SMALL_JOB), Unit.GBP, shortfall, amount=net, least=smallest)
    return lift if lift.money else None


def scrap_credit(option: OptionTakeOff, settings: Settings) -> Figure | None:
    """The worth of the old lead as a negative amount, where the firm credits it; else None."""
    value = option.waste.scrap_value
    if value is None or not credits_customer(settings):
        return None
    return derive(_called(Amount.SCRAP), Unit.GBP, credited, value=value)


def _called(amount: Amount) -> str:
    """What an amount is called in the price."""
    return house_words("work.toml", "amount", Amount)[amount]


def selling_price(cost: Decimal, overhead_pct: float, profit_pct: float) -> Decimal:
    """Price without VAT: cost x (1 + overhead) x (1 + profit), in whole pence.

    Inputs [GBP, %, %], result [GBP].

    >>> selling_price(Decimal("100.00"), 15, 20)
    Decimal('138.00')
    """
    factor = (1 + as_decimal(overhead_pct) / 100) * (1 + as_decimal(profit_pct) / 100)
    return pence(cost * factor)


def percentage_of(amount: Decimal, pct: float) -> Decimal:
    """A percentage of an amount, in whole pence: amount x pct / 100.

    Inputs [GBP, %], result [GBP].

    >>> percentage_of(Decimal("2500.00"), 20)
    Decimal('500.00')
    """
    return pence(amount * as_decimal(pct) / 100)


@alike("amount", "paid")
def less(amount: Decimal, paid: Decimal) -> Decimal:
    """What remains of an amount: amount - paid [GBP].

    >>> less(Decimal("3000.00"), Decimal("750.00"))
    Decimal('2250.00')
    """
    return amount - paid


@alike("amount", "least")
def shortfall(amount: Decimal, least: Decimal) -> Decimal:
    """How far an amount falls short of the least, 0 if it does not [GBP].

    >>> shortfall(Decimal("480.00"), Decimal("550.00"))
    Decimal('70.00')
    """
    return max(Decimal("0.00"), pence(least) - amount)


def credited(value: Decimal) -> Decimal:
    """An amount given back to the customer: the same amount, negative [GBP].

    >>> credited(Decimal("135.00"))
    Decimal('-135.00')
    """
    return -value


def times_price(quantity: float, each: Decimal) -> Decimal:
    """A quantity at a price each, in whole pence.

    >>> times_price(2.5, Decimal("41.30"))
    Decimal('103.25')
    """
    return pence(as_decimal(quantity) * each)


@alike("amount", "step")
def round_sum(amount: Decimal, step: Decimal) -> Decimal:
    """An amount rounded up to a multiple of a step [GBP].

    >>> round_sum(Decimal("30.68"), Decimal(1)), round_sum(Decimal("30.00"), Decimal(1))
    (Decimal('31.00'), Decimal('30.00'))
    """
    return pence((amount / step).quantize(Decimal(1), rounding=ROUND_CEILING) * step)
