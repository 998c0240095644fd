"""Rates agreed beforehand, and the findings and extras that are priced by them."""

from datetime import date
from decimal import Decimal

from quotegen.model.enquiry import Answer, Enquiry, Finding, PriceBasis
from quotegen.model.quote import PricedExtra, PricedFinding, ProvisionalRate
from quotegen.model.settings import PriceBook, Settings
from quotegen.pricing.costs import hours_cost, money_total
from quotegen.pricing.money import priced, times_price, totals
from quotegen.problems import Problem, problem
from quotegen.reference import house_rules
from quotegen.takeoff.agreed import AGREED_WORK
from quotegen.units import as_decimal, pence
from quotegen.working import Figure, Origin, Source, derive


def rate_figures(
    enquiry: Enquiry, settings: Settings, prices: PriceBook
) -> tuple[dict[PriceBasis, Figure], list[Problem]]:
    """The price of one unit of each kind of extra work, or what is missing for it."""
    rates: dict[PriceBasis, Figure] = {}
    problems = []
    for basis, work in AGREED_WORK.items():
        material = unit_price(prices, work.item)
        if material is None:
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
        labour = derive(
            work.words,
            "GBP",
            hours_cost,
            hours=settings[work.hours_code],
            per_hour=settings["labour_cost_per_hour"],
        )
        cost = derive(f"cost: {work.words}", "GBP", money_total, parts=[labour, material])
        rates[basis] = priced(work.words, cost, settings)
    return rates, problems


def provisional_rates(
    rates: dict[PriceBasis, Figure], settings: Settings, on: date
) -> tuple[ProvisionalRate, ...]:
    """The agreed rates as they stand in the quote."""
    return tuple(
        ProvisionalRate(
            AGREED_WORK[basis].words, AGREED_WORK[basis].unit, totals([rate], settings, on)
        )
        for basis, rate in rates.items()
    )


def unit_price(prices: PriceBook, item: str) -> Figure | None:
    """What one unit of an item costs in its cheapest pack, in whole pence."""
    packs = prices.of(item)
    if not packs:
        return None
    pack = min(packs, key=lambda p: p.pack_price / as_decimal(p.pack_size))
    origin = Origin(Source.PRICE, f"{pack.place.book}, {pack.place}", pack.supplier)
    return derive(
        f"one {pack.unit} of {pack.words}",
        "GBP",
        price_of_one,
        pack_price=Figure("pack price", pack.pack_price, "GBP", origin),
        pack_size=Figure("pack size", pack.pack_size, pack.unit, origin),
    )


def finding_price(finding: Finding, rates: dict[PriceBasis, Figure]) -> Figure | None:
    """The price of the advised work without VAT; None where the row gives no basis for one."""
    if finding.basis is PriceBasis.FIXED:
        if finding.fixed_price is None:
            return None
        return derive(finding.advised, "GBP", whole_pence, amount=finding.fixed_price)
    if finding.basis is None or finding.quantity is None or finding.basis not in rates:
        return None
    return derive(
        finding.advised,
        "GBP",
        times_price,
        quantity=finding.quantity,
        each=rates[finding.basis],
    )


def priced_findings(
    enquiry: Enquiry, rates: dict[PriceBasis, Figure], settings: Settings, on: date
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
                photo=finding.photo,
            )
        )
    return tuple(made)


def priced_extras(enquiry: Enquiry, settings: Settings, on: date) -> tuple[PricedExtra, ...]:
    """Every extra with its price, included or offered."""
    return tuple(
        PricedExtra(extra.words, extra.included, totals([price], settings, on))
        for extra, price in zip(enquiry.extras, extra_prices(enquiry), strict=True)
    )


def extra_prices(enquiry: Enquiry) -> list[Figure]:
    """The price of each extra without VAT, in the order of the sheet."""
    return [
        derive(extra.words, "GBP", times_price, quantity=extra.quantity, each=extra.price_each)
        for extra in enquiry.extras
    ]


def included_work(enquiry: Enquiry, rates: dict[PriceBasis, Figure]) -> list[Figure]:
    """Prices that go into every option: findings to be done, and extras that are included."""
    findings = [
        price
        for finding in enquiry.findings
        if finding.answer is Answer.DO_IT and (price := finding_price(finding, rates))
    ]
    extras = [
        price
        for extra, price in zip(enquiry.extras, extra_prices(enquiry), strict=True)
        if extra.included
    ]
    return [*findings, *extras]


def price_of_one(pack_price: Decimal, pack_size: float) -> Decimal:
    """Price of one unit of a pack, in whole pence: price / size.

    >>> price_of_one(Decimal("30.00"), 5.0)
    Decimal('6.00')
    """
    return pence(pack_price / as_decimal(pack_size))


def whole_pence(amount: Decimal) -> Decimal:
    """An amount given, in whole pence.

    >>> whole_pence(Decimal("85"))
    Decimal('85.00')
    """
    return pence(amount)
