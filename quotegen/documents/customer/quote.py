"""The quote as a PDF: two to four pages for the customer, the landlord or the agent.

The view holds every figure and sentence ready for the template. Cost, overheads, profit and hours
never reach it.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from msgspec import Struct

from quotegen import wording
from quotegen.documents.customer.cancellation import (
    CancellationForm,
    cancellation_days,
    cancellation_form,
    cancellation_period,
)
from quotegen.documents.customer.quote_notes import (
    about_firm,
    building_control_note,
    payment_sentences,
    reverse_charge_note,
    term_sentences,
    vat_words,
)
from quotegen.documents.customer.quote_start import StartView, start_view
from quotegen.documents.customer.side_by_side import (
    APPLIES,
    TICK,
    WIDTHS,
    LineRow,
    Widths,
    marked_rows,
    price_rows,
)
from quotegen.documents.data.quote_data import quote_file
from quotegen.documents.drawing.roof_view import found_facts, plan_view
from quotegen.documents.printing.design import Design
from quotegen.documents.printing.paper import PictureBox, in_lines
from quotegen.documents.shared.remark_words import said, said_lines
from quotegen.model.choices import Answer
from quotegen.model.issue import Issue
from quotegen.model.quote import (
    PricedExtra,
    PricedFinding,
    ProvisionalRate,
    Quote,
    QuotedOption,
    TakenAs,
    Totals,
)
from quotegen.phrases import capital, listed, small, without_stop
from quotegen.pricing.scope import declined

_NO_PRICE = "–"


class Amounts(Struct, frozen=True):
    """Net, VAT and total as text; net and VAT are empty where no VAT is charged."""

    net: str
    vat: str
    total: str


class OptionView(Struct, frozen=True):
    """One option as a column; `letter` is empty where it is the only one.

    `heading` is its name preceded by its letter.
    """

    letter: str
    name: str
    heading: str
    totals: Amounts
    deposit: str
    balance: str
    guarantee: str
    days: str


class FindingView(Struct, frozen=True):
    """One finding as a row, with its price and the customer's answer."""

    number: str
    seen: str
    if_left: str
    advised: str
    price: str
    answer: str


class PricedRow(Struct, frozen=True):
    """A description with an amount: an extra or a rate agreed in advance."""

    words: str
    unit: str
    amounts: Amounts


class TickBox(Struct, frozen=True):
    """One tick box of the acceptance and its text."""

    words: str
    amount: str


class QuoteView(Struct, frozen=True):
    """Everything the quote's template shows except the head, the plan and the photos."""

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
    to_pay: str
    reverse_charge: str
    start: StartView
    widths: Widths
    lines: tuple[LineRow, ...]
    included: tuple[LineRow, ...]
    left_undone: tuple[LineRow, ...]
    taken_as: tuple[str, ...]
    building_control: str
    options: tuple[OptionView, ...]
    several: bool
    deposit_asked: bool
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
    cancellation_period: str
    cancellation: CancellationForm | None
    accept_options: tuple[TickBox, ...]
    accept_also: tuple[TickBox, ...]
    accept_declined: tuple[TickBox, ...]


def quote_view(quote: Quote, issue: Issue) -> QuoteView:
    """The quote in ready words."""
    enquiry = quote.enquiry
    customer = enquiry.customer
    options = tuple(
        _option(letter, option)
        for letter, option in zip(option_letters(len(quote.options)), quote.options, strict=True)
    )
    several = len(options) > 1
    charges_vat = quote.settings.yes("vat_registered")
    findings = tuple(
        _finding(number, finding, quote) for number, finding in enumerate(quote.findings, 1)
    )
    also, turned_down = _boxes_of_findings(quote, findings)
    extras_apart = tuple(_extra(extra) for extra in quote.extras if not extra.included)
    return QuoteView(
        customer=customer.name,
        bill_address=in_lines(customer.bill_address),
        site_address=in_lines(enquiry.site_address),
        same_address=customer.bill_address == enquiry.site_address,
        reference=issue.reference,
        revision=str(issue.revision),
        dated=wording.date(quote.dated),
        valid_until=wording.date(quote.valid_until),
        charges_vat=charges_vat,
        vat_words=vat_words(quote),
        to_pay="To pay, with VAT" if charges_vat else "To pay",
        reverse_charge=reverse_charge_note(quote),
        start=start_view(quote, option_letters(len(quote.options))),
        widths=WIDTHS[len(options)],
        lines=price_rows(quote.options),
        included=marked_rows([said_lines(option.includes) for option in quote.options], TICK),
        left_undone=marked_rows(
            [said_lines(option.leaves_undone) for option in quote.options], APPLIES
        ),
        taken_as=tuple(map(_taken, quote.taken_as)),
        building_control=building_control_note(quote),
        options=options,
        several=several,
        deposit_asked=any(option.deposit.money for option in quote.options),
        findings=findings,
        extras_apart=extras_apart,
        provisional_rates=rate_rows(quote.provisional_rates),
        exclusions=term_sentences(quote.exclusions),
        payment=(*payment_sentences(quote), *term_sentences(quote.payment_terms)),
        guarantee_terms=term_sentences(quote.guarantee_terms),
        general_terms=term_sentences(quote.general_terms),
        about_firm=about_firm(quote),
        notes=enquiry.customer_notes,
        cancellation_days=cancellation_days(quote),
        cancellation_period=cancellation_period(quote),
        cancellation=cancellation_form(quote, issue),
        accept_options=tuple(
            TickBox(f"Option {o.heading}" if several else o.name, o.totals.total) for o in options
        ),
        accept_also=(
            *also,
            *(TickBox(row.words, row.amounts.total) for row in extras_apart),
        ),
        accept_declined=turned_down,
    )


def _taken(one: TakenAs) -> str:
    """What a blank cell is taken as, and why it matters."""
    return f"{one.heading.partition(' (')[0].rstrip('?')}: {one.words}; {one.why}."


def option_letters(count: int) -> tuple[str, ...]:
    """The letters of the options; a single option needs none.

    >>> option_letters(3), option_letters(1)
    (('A', 'B', 'C'), ('',))
    """
    if count == 1:
        return ("",)
    return tuple(chr(ord("A") + number) for number in range(count))


def _option(letter: str, option: QuotedOption) -> OptionView:
    programme = option.take_off.programme
    people = wording.count(programme.crew.number, "person", "people")
    days = wording.count(programme.days.number, "day", "days")
    name = capital(option.build_up)
    return OptionView(
        letter=letter,
        name=name,
        heading=f"{letter}: {name}" if letter else name,
        totals=_amounts(option.totals),
        deposit=wording.money(option.deposit.money) if option.deposit.money else "none",
        balance=wording.money(option.balance.money),
        guarantee=years_words(option.guarantee_years.number),
        days=f"about {days}, {people}",
    )


def _amounts(totals: Totals) -> Amounts:
    total = wording.money(totals.total.money)
    if totals.vat is None:
        return Amounts("", "", total)
    return Amounts(wording.money(totals.net.money), wording.money(totals.vat.money), total)


def _finding(number: int, finding: PricedFinding, quote: Quote) -> FindingView:
    return FindingView(
        number=str(number),
        seen=finding.seen,
        if_left=finding.if_left,
        advised=finding.advised,
        price=wording.money(finding.totals.total.money) if finding.totals else _NO_PRICE,
        answer=_answer(finding, quote),
    )


def _answer(finding: PricedFinding, quote: Quote) -> str:
    """The customer's answer, and where the price of the work is shown."""
    if finding.answer is Answer.DECLINED:
        return "Declined"
    if finding.done_in:
        why = "Do it" if finding.answer is Answer.DO_IT else "The roof rests on it"
        return f"{why}: it is in {_totals_with(finding, quote)}"
    if finding.totals is None:
        return "Advice only"
    if not finding.apart:
        return "Comes with the new deck"
    if finding.answer is Answer.PRICE_APART:
        return "Priced separately: see acceptance"
    return "Not answered yet: see acceptance"


def _totals_with(finding: PricedFinding, quote: Quote) -> str:
    """The totals that hold a finding, as `every total` or `the total of A and B`."""
    if len(quote.options) == 1:
        return "the total"
    if len(finding.done_in) == len(quote.options):
        return "every total"
    letters = zip(option_letters(len(quote.options)), quote.options, strict=True)
    return f"the total of {listed([a for a, o in letters if o.build_up in finding.done_in])}"


def _boxes_of_findings(
    quote: Quote, views: Sequence[FindingView]
) -> tuple[tuple[TickBox, ...], tuple[TickBox, ...]]:
    """Tick boxes for findings that may still be ordered, and for those declined."""
    also, turned_down = [], []
    for number, (finding, view) in enumerate(zip(quote.findings, views, strict=True)):
        advised = small(without_stop(view.advised))
        if finding.answer is Answer.DECLINED:
            letters = _left_by(quote, number)
            if letters:
                only = f"; only with option {' or '.join(letters)}" if all(letters) else ""
                words = f"finding {view.number} ({advised}{only})"
                turned_down.append(TickBox(words, view.price))
        elif finding.totals is not None and finding.apart:
            also.append(TickBox(f"finding {view.number}: {advised}", view.price))
    return tuple(also), tuple(turned_down)


def _left_by(quote: Quote, number: int) -> tuple[str, ...]:
    """The letters of the options that leave a finding undone; one empty letter for all."""
    finding = quote.enquiry.findings[number]
    letters = tuple(
        letter
        for letter, option in zip(option_letters(len(quote.options)), quote.options, strict=True)
        if any(one is finding for one in declined(quote.enquiry, option.take_off))
    )
    return letters if len(letters) < len(quote.options) else ("",)


def _extra(extra: PricedExtra) -> PricedRow:
    return PricedRow(small(without_stop(extra.words)), "in all", _amounts(extra.totals))


def rate_rows(rates: Sequence[ProvisionalRate]) -> tuple[PricedRow, ...]:
    """The rates agreed in advance, as the quote and the variation slip print them."""
    return tuple(
        PricedRow(small(said(rate.said)), rate.unit, _amounts(rate.totals)) for rate in rates
    )


def years_words(years: float) -> str:
    """The term of a guarantee in words, or that there is none."""
    return wording.count(years, "year", "years") if years else "none"


_PLAN_HEIGHT_MM = 64.0


class PhotoView(Struct, frozen=True):
    """A photo and what it shows."""

    url: str
    caption: str


def _fill(quote: Quote, issue: Issue, box: PictureBox) -> Mapping[str, Any]:
    return {
        "quote": quote_view(quote, issue),
        "found": found_facts(quote.take_off),
        "plan": plan_view(quote.take_off, _PLAN_HEIGHT_MM),
        "photos": _photos(quote, box),
    }


def _photos(quote: Quote, box: PictureBox) -> tuple[PhotoView, ...]:
    """The usable photos of the findings, each with the number of its finding."""
    photos = []
    for number, finding in enumerate(quote.enquiry.findings, 1):
        url = box.photo(finding)
        if url:
            photos.append(PhotoView(url, f"Finding {number}: {finding.seen}"))
    return tuple(photos)


QUOTE = Design(
    "Quotation",
    "customer/quote.html",
    lambda quote: (quote.enquiry, quote.settings),
    _fill,
    lambda quote, issue: (quote_file(quote, issue),),
)
