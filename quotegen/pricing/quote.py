"""The quote of one enquiry: its options side by side, findings, extras, rates and terms."""

from datetime import date, timedelta

from quotegen import wording
from quotegen.model.choices import BuildUp, CustomerKind
from quotegen.model.enquiry import Enquiry
from quotegen.model.quote import PriceLine, Quote, QuotedOption
from quotegen.model.settings import PriceBook, Settings, Term, TermKind
from quotegen.model.takeoff import OptionTakeOff, Stage, TakeOff
from quotegen.pricing import scope
from quotegen.pricing.costs import cost_lines, line_cost, total_cost
from quotegen.pricing.money import deposit_and_balance, make_up, priced, scrap_credit, totals
from quotegen.pricing.provisional import (
    included_work,
    priced_extras,
    priced_findings,
    provisional_rates,
    rate_figures,
)
from quotegen.pricing.taken_as import taken_as
from quotegen.pricing.tax import check_tax
from quotegen.problems import Place, Problem, problem
from quotegen.reference.remark_keys import Amount
from quotegen.tables import key_of
from quotegen.working import Figure

_GUARANTEE: dict[BuildUp, str] = {
    BuildUp.CAP_OVER: "guarantee_cap_over",
    BuildUp.CAP_OVER_INSULATED: "guarantee_cap_over_insulated",
    BuildUp.NEW_DECK: "guarantee_new_deck",
    BuildUp.NEW_DECK_INSULATED: "guarantee_new_deck_insulated",
}


def make_quote(
    take_off: TakeOff, settings: Settings, prices: PriceBook, on: date
) -> tuple[Quote, list[Problem]]:
    """Price a take-off on a day. With a problem that stops, the quote must not be issued."""
    enquiry = take_off.enquiry
    rates, problems = rate_figures(enquiry, settings, prices)
    problems += check_tax(enquiry, settings)
    problems += _check_insurance(settings, enquiry.place.book, on)
    options = tuple(
        _option(enquiry, option, settings, included_work(enquiry, rates, option.build_up), on)
        for option in take_off.options
    )
    quote = Quote(
        enquiry=enquiry,
        take_off=take_off,
        settings=settings,
        dated=on,
        valid_until=on + timedelta(days=settings.number("validity_days")),
        options=options,
        findings=priced_findings(enquiry, rates, settings, on),
        extras=priced_extras(enquiry, settings, on),
        provisional_rates=provisional_rates(rates, settings, on),
        exclusions=_terms(settings, TermKind.EXCLUSION, enquiry),
        payment_terms=_terms(settings, TermKind.PAYMENT, enquiry),
        guarantee_terms=_terms(settings, TermKind.GUARANTEE, enquiry),
        general_terms=_terms(settings, TermKind.GENERAL, enquiry),
        taken_as=taken_as(take_off, settings),
    )
    return quote, problems


def _option(
    enquiry: Enquiry,
    option: OptionTakeOff,
    settings: Settings,
    extra_work: dict[str, Figure],
    on: date,
) -> QuotedOption:
    costs = cost_lines(option, settings)
    amounts = {
        key_of(line.stage): priced(line.stage, line_cost(line), settings)
        for line in costs
        if line.stage is not Stage.FOUND
    }
    amounts |= extra_work
    lift = make_up(list(amounts.values()), settings)
    if lift:
        amounts[Amount.SMALL_JOB] = lift
    scrap = scrap_credit(option, settings)
    if scrap:
        amounts[Amount.SCRAP] = scrap
    total = totals(list(amounts.values()), settings, on)
    home_owner = enquiry.customer.kind is CustomerKind.HOME_OWNER
    deposit, balance = deposit_and_balance(total.total, settings, home_owner)
    return QuotedOption(
        take_off=option,
        cost_lines=costs,
        cost=total_cost(costs),
        lines=tuple(PriceLine(key, amount.name, amount) for key, amount in amounts.items()),
        totals=total,
        deposit=deposit,
        balance=balance,
        guarantee_years=_guarantee_years(option.build_up, settings),
        includes=scope.includes(enquiry, option, settings),
        leaves_undone=scope.leaves_undone(enquiry, option, settings),
    )


def _check_insurance(settings: Settings, book: str, on: date) -> list[Problem]:
    """An insurance named without its end, or one that is over."""
    until, place = settings.day("insurance_until"), Place(book, "Business")
    if not settings.text("insurance"):
        return []
    if until is None:
        return [problem("insurance-no-end", place)]
    if until < on:
        return [problem("insurance-over", place, seen=wording.date(until))]
    return []


def _guarantee_years(build_up: BuildUp, settings: Settings) -> Figure:
    """The guarantee of a build-up; one with no years of its own has those of a roof capped over."""
    own = settings.get(_GUARANTEE[build_up])
    return own or settings[_GUARANTEE[BuildUp.CAP_OVER]]


def _terms(settings: Settings, kind: TermKind, enquiry: Enquiry) -> tuple[Term, ...]:
    asked = {"", *(str(build_up) for build_up in enquiry.build_ups)}
    return tuple(t for t in settings.terms if t.kind is kind and t.applies_to in asked)
