"""Rates agreed in advance, and the findings and extras priced by them.

A rate has to cover the cost of its work, so work that takes timber by the length is agreed in two
parts: the work by the metre, and a charge for each length started. Rates are round sums, so that
any number comes out to the penny, with VAT too, and can be multiplied on the day.
"""

from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal

from msgspec import Struct

from quotegen.model.choices import BuildUp, PriceBasis
from quotegen.model.enquiry import Enquiry, Finding
from quotegen.model.quote import PricedExtra, PricedFinding, ProvisionalRate
from quotegen.model.settings import PriceBook, Settings
from quotegen.pricing.costs import hours_cost, money_total
from quotegen.pricing.money import priced, round_sum, times_price, totals
from quotegen.problems import Problem, problem
from quotegen.reference import house_rules
from quotegen.reference.remark_keys import RateFor
from quotegen.reference.remarks import Remark, remark
from quotegen.takeoff.hours.agreed import AGREED_WORK, AgreedWork
from quotegen.units import Unit, as_decimal, pence, whole_number
from quotegen.working import Figure, Origin, Source, alike, derive


class AgreedRate(Struct, frozen=True):
    """The agreed rate for one kind of extra work, without VAT, in round sums.

    `work` is the price of one unit. It includes the material if a pack is one unit, and units are
    then counted whole; otherwise `material` is the price of a pack and `pack_size` what is in it.
    """

    work: Figure
    material: Figure | None = None
    pack_size: Figure | None = None


def rate_figures(
    enquiry: Enquiry, settings: Settings, prices: PriceBook
) -> tuple[dict[PriceBasis, AgreedRate], list[Problem]]:
    """The agreed rate for each kind of extra work, or what is missing for it."""
    rates: dict[PriceBasis, AgreedRate] = {}
    problems = []
    for basis, work in AGREED_WORK.items():
        pack = pack_of(prices, work.item)
        if pack is None:
            catalogue = house_rules.items()[work.item]
            problems.append(
                problem(
                    "price-missing",
                    enquiry.place,
                    seen=work.item,
                    ref=enquiry.ref,
                    words=catalogue.words,
                )
            )
            continue
        rates[basis] = _rate(work, *pack, settings)
    return rates, problems


def _rate(
    work: AgreedWork, pack_price: Figure, pack_size: Figure, settings: Settings
) -> AgreedRate:
    labour = derive(
        work.words,
        Unit.GBP,
        hours_cost,
        hours=settings[work.hours_code],
        per_hour=settings["labour_cost_per_hour"],
    )
    if pack_size.number == 1:
        cost = derive(f"cost: {work.words}", Unit.GBP, money_total, parts=[labour, pack_price])
        return AgreedRate(_agreed(work.words, cost, settings))
    words = house_rules.items()[work.item].words
    return AgreedRate(
        _agreed(work.words, labour, settings), _agreed(words, pack_price, settings), pack_size
    )


def _agreed(words: str, cost: Figure, settings: Settings) -> Figure:
    """The selling price of a cost as a round sum."""
    price = priced(words, cost, settings)
    return derive(words, Unit.GBP, round_sum, amount=price, step=settings["agreed_rate_step"])


def provisional_rates(
    rates: Mapping[PriceBasis, AgreedRate], settings: Settings, on: date
) -> tuple[ProvisionalRate, ...]:
    """The agreed rates as printed in the quote; anything bought whole has its own line."""
    return tuple(
        ProvisionalRate(said, unit, totals([price], settings, on))
        for basis, rate in rates.items()
        for said, unit, price in _rate_lines(AGREED_WORK[basis], rate)
    )


def _rate_lines(work: AgreedWork, rate: AgreedRate) -> Iterator[tuple[Remark, str, Figure]]:
    by_unit = remark(RateFor.WORK, what=work.words)
    material, size = rate.material, rate.pack_size
    if material is None or size is None:
        yield by_unit, work.unit if work.counted else f"{work.unit} begun", rate.work
        return
    yield by_unit, work.unit, rate.work
    if work.counted:
        yield remark(RateFor.PACK, what=material.name, size=size), "pack", material
    else:
        length = remark(RateFor.LENGTH, what=material.name, size=size, unit=str(size.unit))
        yield length, "length", material


def pack_of(prices: PriceBook, item: str) -> tuple[Figure, Figure] | None:
    """The price and contents of the item's cheapest pack by the unit."""
    packs = prices.of(item)
    if not packs:
        return None
    pack = min(packs, key=lambda p: p.pack_price / as_decimal(p.pack_size))
    origin = Origin(Source.PRICE, f"{pack.place.book}, {pack.place}", pack.supplier)
    return (
        Figure("pack price", pack.pack_price, Unit.GBP, origin),
        Figure("pack size", pack.pack_size, pack.unit, origin),
    )


def finding_price(finding: Finding, rates: Mapping[PriceBasis, AgreedRate]) -> Figure | None:
    """The price of the advised work without VAT; None where the row gives no basis for one."""
    if finding.basis is PriceBasis.FIXED:
        if finding.fixed_price is None:
            return None
        return derive(finding.advised, Unit.GBP, whole_pence, amount=finding.fixed_price)
    if finding.basis is None or finding.quantity is None or finding.basis not in rates:
        return None
    rate, quantity = rates[finding.basis], finding.quantity
    if rate.material is None or rate.pack_size is None:
        return derive(finding.advised, Unit.GBP, by_whole_units, quantity=quantity, each=rate.work)
    return derive(
        finding.advised,
        Unit.GBP,
        with_whole_packs,
        quantity=quantity,
        each=rate.work,
        pack_price=rate.material,
        pack_size=rate.pack_size,
    )


def priced_findings(
    enquiry: Enquiry, rates: Mapping[PriceBasis, AgreedRate], settings: Settings, on: date
) -> tuple[PricedFinding, ...]:
    """Every finding with its price and the customer's answer."""
    made = []
    for finding in enquiry.findings:
        price = finding_price(finding, rates)
        made.append(
            PricedFinding(
                seen=finding.seen,
                if_left=finding.if_left,
                advised=finding.advised,
                answer=finding.answer,
                totals=totals([price], settings, on) if price else None,
                done_in=tuple(b for b in enquiry.build_ups if finding.is_done_in(b)),
                left_by=tuple(b for b in enquiry.build_ups if _leaves(b, finding)),
                photo=finding.photo,
            )
        )
    return tuple(made)


def _leaves(build_up: BuildUp, finding: Finding) -> bool:
    """Whether a build-up neither does the advised work nor makes it needless."""
    return not finding.is_done_in(build_up) and not finding.is_renewed_in(build_up)


def priced_extras(enquiry: Enquiry, settings: Settings, on: date) -> tuple[PricedExtra, ...]:
    """Every extra with its price, included or offered."""
    return tuple(
        PricedExtra(extra.words, extra.included, totals([price], settings, on))
        for extra, price in zip(enquiry.extras, extra_prices(enquiry), strict=True)
    )


def extra_prices(enquiry: Enquiry) -> list[Figure]:
    """The price of each extra without VAT, in the order of the sheet."""
    return [
        derive(extra.words, Unit.GBP, times_price, quantity=extra.quantity, each=extra.price_each)
        for extra in enquiry.extras
    ]


def included_work(
    enquiry: Enquiry, rates: Mapping[PriceBasis, AgreedRate], build_up: BuildUp
) -> dict[str, Figure]:
    """Prices that are part of a build-up: findings it puts right, and extras that are included.

    The keys are those of their lines, the same in every build-up.
    """
    findings = {
        f"finding-{number}": price
        for number, finding in enumerate(enquiry.findings, 1)
        if finding.is_done_in(build_up) and (price := finding_price(finding, rates))
    }
    prices = zip(enquiry.extras, extra_prices(enquiry), strict=True)
    extras = {f"extra-{n}": price for n, (extra, price) in enumerate(prices, 1) if extra.included}
    return findings | extras


def by_whole_units(quantity: float, each: Decimal) -> Decimal:
    """Work counted by units started: whole units x each.

    Inputs [m or each, GBP], result [GBP].

    >>> by_whole_units(2.5, Decimal("14.00"))
    Decimal('42.00')
    """
    return whole_number(quantity) * each


@alike("quantity", "pack_size", result=False)
def with_whole_packs(
    quantity: float, each: Decimal, pack_price: Decimal, pack_size: float
) -> Decimal:
    """Work by the unit, plus each pack started: quantity x each + packs x pack price.

    Inputs [m or each, GBP, GBP, the unit of the quantity], result [GBP], in pence.

    >>> with_whole_packs(1.2, Decimal(19), Decimal(31), 3.6)
    Decimal('53.80')
    >>> with_whole_packs(3.7, Decimal(19), Decimal(31), 3.6)
    Decimal('132.30')
    """
    return times_price(quantity, each) + whole_number(quantity / pack_size) * pack_price


def whole_pence(amount: Decimal) -> Decimal:
    """An amount given, in whole pence.

    >>> whole_pence(Decimal("85"))
    Decimal('85.00')
    """
    return pence(amount)
