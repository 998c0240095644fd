"""The quote as the customer reads it: every figure and sentence ready for the template.

Cost, overheads, profit and hours never come this way.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from quotegen.documents.paper import capital, in_lines, small
from quotegen.documents.side_by_side import WIDTHS, LineRow, Widths, marked_rows, price_rows
from quotegen.documents.wording import Wording
from quotegen.model.enquiry import Answer, CustomerKind
from quotegen.model.issue import Issue
from quotegen.model.quote import (
    PricedExtra,
    PricedFinding,
    ProvisionalRate,
    Quote,
    QuotedOption,
    Totals,
)
from quotegen.model.settings import Term
from quotegen.reference.loader import entry

_ANSWERS = {
    Answer.DO_IT: "Do it: it is in every option",
    Answer.PRICE_APART: "Price it apart",
    Answer.DECLINED: "Declined",
}
_NOT_ANSWERED = "Not answered yet"


@dataclass(frozen=True, slots=True)
class Amounts:
    """Net, VAT and total in words; net and VAT are empty where no VAT is charged."""

    net: str
    vat: str
    total: str


@dataclass(frozen=True, slots=True)
class OptionView:
    """One option as a column."""

    letter: str
    name: str
    totals: Amounts
    deposit: str
    balance: str
    guarantee: str
    days: str


@dataclass(frozen=True, slots=True)
class FindingView:
    """One finding as a row, with its price and the customer's answer."""

    number: str
    seen: str
    if_left: str
    advised: str
    price: str
    answer: str


@dataclass(frozen=True, slots=True)
class PricedRow:
    """Words with an amount: an extra or a rate agreed beforehand."""

    words: str
    unit: str
    amounts: Amounts


@dataclass(frozen=True, slots=True)
class TickBox:
    """One box of the acceptance and what stands beside it."""

    words: str
    amount: str


@dataclass(frozen=True, slots=True)
class QuoteView:
    """Everything the template of the quote shows but for the head, the plan and the photos."""

    customer: str
    bill_address: str
    site_address: str
    same_address: bool
    reference: str
    revision: str
    dated: str
    valid_until: str
    charges_vat: bool
    vat_words: str
    widths: Widths
    lines: tuple[LineRow, ...]
    included: tuple[LineRow, ...]
    left_undone: tuple[LineRow, ...]
    options: tuple[OptionView, ...]
    findings: tuple[FindingView, ...]
    extras_apart: tuple[PricedRow, ...]
    provisional_rates: tuple[PricedRow, ...]
    exclusions: tuple[str, ...]
    payment: tuple[str, ...]
    guarantee_terms: tuple[str, ...]
    general_terms: tuple[str, ...]
    about_firm: tuple[str, ...]
    notes: str
    cancellation_days: str
    accept_options: tuple[TickBox, ...]
    accept_also: tuple[TickBox, ...]
    accept_declined: tuple[TickBox, ...]


def quote_view(quote: Quote, issue: Issue, wording: Wording) -> QuoteView:
    """The quote in ready words."""
    enquiry = quote.enquiry
    customer = enquiry.customer
    options = tuple(
        _option(letter, option, wording)
        for letter, option in zip(option_letters(len(quote.options)), quote.options, strict=True)
    )
    findings = tuple(
        _finding(number, finding, wording) for number, finding in enumerate(quote.findings, 1)
    )
    also, declined = _boxes_of_findings(quote.findings, findings)
    extras_apart = tuple(_extra(extra, wording) for extra in quote.extras if not extra.included)
    return QuoteView(
        customer=customer.name,
        bill_address=in_lines(customer.bill_address),
        site_address=in_lines(enquiry.site_address),
        same_address=customer.bill_address == enquiry.site_address,
        reference=issue.reference,
        revision=str(issue.revision),
        dated=wording.date(quote.dated),
        valid_until=wording.date(quote.valid_until),
        charges_vat=quote.settings.yes("vat_registered"),
        vat_words=_vat_words(quote, wording),
        widths=WIDTHS[len(options)],
        lines=price_rows(quote.options, wording),
        included=marked_rows([option.includes for option in quote.options]),
        left_undone=marked_rows([option.leaves_undone for option in quote.options]),
        options=options,
        findings=findings,
        extras_apart=extras_apart,
        provisional_rates=tuple(_rate(rate, wording) for rate in quote.provisional_rates),
        exclusions=_sentences(quote.exclusions),
        payment=(*_payment_sentences(quote, wording), *_sentences(quote.payment_terms)),
        guarantee_terms=_sentences(quote.guarantee_terms),
        general_terms=_sentences(quote.general_terms),
        about_firm=_about_firm(quote),
        notes=enquiry.customer_notes,
        cancellation_days=_cancellation_days(quote, wording),
        accept_options=tuple(
            TickBox(f"Option {o.letter}: {o.name}", o.totals.total) for o in options
        ),
        accept_also=(
            *also,
            *(TickBox(f"{row.words}, {row.unit}", row.amounts.total) for row in extras_apart),
        ),
        accept_declined=declined,
    )


def option_letters(count: int) -> tuple[str, ...]:
    """The letters the options go by.

    >>> option_letters(3)
    ('A', 'B', 'C')
    """
    return tuple(chr(ord("A") + number) for number in range(count))


def _option(letter: str, option: QuotedOption, wording: Wording) -> OptionView:
    programme = option.take_off.programme
    people = wording.count(programme.crew.number, "person", "people")
    days = wording.count(programme.days.number, "day", "days")
    return OptionView(
        letter=letter,
        name=capital(option.build_up),
        totals=_amounts(option.totals, wording),
        deposit=wording.money(option.deposit.money) if option.deposit.money else "none",
        balance=wording.money(option.balance.money),
        guarantee=_years(option.guarantee_years.number, wording),
        days=f"about {days}, {people}",
    )


def _amounts(totals: Totals, wording: Wording) -> Amounts:
    total = wording.money(totals.total.money)
    if totals.vat is None:
        return Amounts("", "", total)
    return Amounts(wording.money(totals.net.money), wording.money(totals.vat.money), total)


def _finding(number: int, finding: PricedFinding, wording: Wording) -> FindingView:
    return FindingView(
        number=str(number),
        seen=finding.seen,
        if_left=finding.if_left,
        advised=finding.advised,
        price=wording.money(finding.totals.total.money) if finding.totals else "no price asked",
        answer=_ANSWERS[finding.answer] if finding.answer else _NOT_ANSWERED,
    )


def _boxes_of_findings(
    findings: Sequence[PricedFinding], views: Sequence[FindingView]
) -> tuple[tuple[TickBox, ...], tuple[TickBox, ...]]:
    """Boxes for the findings that may still be ordered, and for those that were turned down."""
    also, declined = [], []
    for finding, view in zip(findings, views, strict=True):
        words = f"finding {view.number}: {view.advised}"
        if finding.answer is Answer.DECLINED:
            declined.append(TickBox(words, ""))
        elif finding.totals is not None and finding.answer is not Answer.DO_IT:
            also.append(TickBox(words, view.price))
    return tuple(also), tuple(declined)


def _extra(extra: PricedExtra, wording: Wording) -> PricedRow:
    return PricedRow(extra.words, "if you want it", _amounts(extra.totals, wording))


def _rate(rate: ProvisionalRate, wording: Wording) -> PricedRow:
    return PricedRow(small(rate.words), rate.unit, _amounts(rate.totals, wording))


def _vat_words(quote: Quote, wording: Wording) -> str:
    rates = {o.totals.vat_rate.number for o in quote.options if o.totals.vat_rate is not None}
    if not rates:
        return "No VAT is charged: the firm is not registered for VAT."
    (rate,) = rates
    return f"VAT at {wording.percent(rate)}"


def _payment_sentences(quote: Quote, wording: Wording) -> tuple[str, ...]:
    """When the money falls due, from the firm's own settings."""
    consumer = quote.enquiry.customer.kind is CustomerKind.HOME_OWNER
    code = "balance_days" if consumer else "balance_days_business"
    days = wording.count(quote.settings.number(code), "day", "days")
    deposit = any(option.deposit.money for option in quote.options)
    first = (
        "The deposit falls due when you accept, the balance"
        if deposit
        else "No deposit is asked; the whole price falls due"
    )
    return (f"{first} within {days} of the work being finished.",)


def _about_firm(quote: Quote) -> tuple[str, ...]:
    """What the firm says of itself, as far as it has filled it in."""
    told = (
        ("Insurance", quote.settings.text("insurance")),
        ("Scheme under which we certify our own work", quote.settings.text("building_work_scheme")),
    )
    return tuple(f"{words}: {value}." for words, value in told if value)


def _years(years: float, wording: Wording) -> str:
    return wording.count(years, "year", "years") if years else "none"


def _sentences(terms: Sequence[Term]) -> tuple[str, ...]:
    return tuple(
        f"{capital(term.applies_to)}: {term.text}" if term.applies_to else term.text
        for term in terms
    )


def _cancellation_days(quote: Quote, wording: Wording) -> str:
    """How long a consumer may cancel; empty for a business."""
    if quote.enquiry.customer.kind is not CustomerKind.HOME_OWNER:
        return ""
    days = entry("consumer_contracts.cancellation_days", quote.dated).value
    return wording.count(days, "day", "days")
