"""The quote as a PDF: page 1 is enough to say yes, the others hold what it rests on.

The view holds every figure and sentence ready for the template. Cost, overheads, profit and hours
never reach it.
"""

from collections.abc import Collection, Mapping, Sequence
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from quotegen import wording
from quotegen.documents.customer.acceptance import AcceptView, accept_view
from quotegen.documents.customer.cancellation import (
    cancellation_days,
    cancellation_period,
    may_cancel,
)
from quotegen.documents.customer.quote_notes import (
    building_control_note,
    insurance_words,
    offer_name,
    payment_sentences,
    provisional_note,
    quoted_vat_words,
    reverse_charge_note,
    term_sentences,
)
from quotegen.documents.customer.quote_start import (
    AdviceView,
    StartView,
    advice_view,
    start_view,
)
from quotegen.documents.customer.side_by_side import (
    FIGURES,
    MARK_WIDTHS,
    TICK,
    WIDTHS,
    LineRow,
    Widths,
    figure_rows,
    marked_rows,
    merged,
    price_rows,
    same_days_note,
    shared_rows,
)
from quotegen.documents.data.quote_data import quote_file
from quotegen.documents.drawing.roof_view import found_facts, plan_within
from quotegen.documents.printing.design import Design
from quotegen.documents.printing.paper import PictureBox, in_lines
from quotegen.documents.shared.remark_words import SaidLine, said, said_lines
from quotegen.model.choices import Answer
from quotegen.model.issue import Issue
from quotegen.model.quote import ProvisionalRate, Quote, QuotedOption, Totals
from quotegen.phrases import capital, small
from quotegen.reference.remark_keys import AdviceKey, Included, Undone
from quotegen.reference.remarks import Remark, RemarkKey


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


class PricedRow(Struct, frozen=True):
    """A description with an amount: an extra or a rate agreed in advance."""

    words: str
    unit: str
    amounts: Amounts


class QuoteView(Struct, frozen=True):
    """Everything the quote's template shows except the head, the plan and the photos.

    A `long` quote takes three pages, others two; `beside` its prices stands what they buy. What all
    options do or leave is in `included` and `left_undone`, what only some do beside them.
    """

    name: str
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
    provisional: str
    to_pay: str
    reverse_charge: str
    advice: AdviceView
    start: StartView
    widths: Widths
    mark_widths: Widths
    lines: tuple[LineRow, ...]
    included: tuple[LineRow, ...]
    left_undone: tuple[LineRow, ...]
    only_included: tuple[LineRow, ...]
    only_left_undone: tuple[LineRow, ...]
    taken_as: tuple[str, ...]
    building_control: str
    options: tuple[OptionView, ...]
    several: bool
    beside: bool
    long: bool
    days_differ: bool
    same_days: str
    deposit_asked: bool
    provisional_rates: tuple[PricedRow, ...]
    exclusions: tuple[str, ...]
    payment: tuple[str, ...]
    guarantee_terms: tuple[str, ...]
    general_terms: tuple[str, ...]
    insurance: str
    notes: str
    cancellation_days: str
    cancellation_period: str
    accept: AcceptView
    accept_declined: bool


def quote_view(quote: Quote, issue: Issue) -> QuoteView:
    """The quote in ready words."""
    enquiry = quote.enquiry
    customer = enquiry.customer
    letters = option_letters(len(quote.options))
    options = tuple(
        _option(letter, option) for letter, option in zip(letters, quote.options, strict=True)
    )
    alone = len(options) == 1
    charges_vat = quote.settings.yes("vat_registered")
    included, only_included = shared_rows(
        marked_rows([_besides(option.includes) for option in quote.options], TICK)
    )
    undone = [option.leaves_undone for option in quote.options]
    left_undone, only_left_undone = shared_rows(
        marked_rows([_besides(remarks, () if alone else FIGURES) for remarks in undone], TICK)
    )
    return QuoteView(
        name=offer_name(quote),
        customer=customer.name,
        bill_address=in_lines(customer.bill_address),
        site_address=in_lines(enquiry.site_address),
        same_address=customer.bill_address == enquiry.site_address,
        reference=issue.reference,
        revision=str(issue.revision),
        dated=wording.date(quote.dated),
        valid_until=wording.date(quote.valid_until),
        charges_vat=charges_vat,
        vat_words=quoted_vat_words(quote),
        provisional=provisional_note(quote),
        to_pay="To pay, with VAT" if charges_vat else "To pay",
        reverse_charge=reverse_charge_note(quote),
        advice=advice_view(quote, letters),
        start=start_view(quote, letters),
        widths=WIDTHS[len(options)],
        mark_widths=MARK_WIDTHS.get(len(options), WIDTHS[len(options)]),
        lines=_priced(quote),
        included=included,
        left_undone=left_undone,
        only_included=only_included,
        only_left_undone=only_left_undone if alone else only_left_undone + figure_rows(undone),
        building_control="" if _control_told(quote) else building_control_note(quote),
        taken_as=tuple(
            f"{one.name}: {one.words}; {one.why}." for one in quote.taken_as if one.name
        ),
        options=options,
        several=not alone,
        beside=len(options) <= _MOST_BESIDE,
        long=len(options) > _MOST_BESIDE or (not alone and may_cancel(quote)),
        same_days=same_days_note(quote.options),
        days_differ=len({option.days for option in options}) > 1,
        deposit_asked=not quote.unknown and any(o.deposit.money for o in quote.options),
        provisional_rates=rate_rows(quote.provisional_rates),
        exclusions=term_sentences(quote.exclusions),
        payment=(*payment_sentences(quote), *term_sentences(quote.payment_terms)),
        guarantee_terms=term_sentences(quote.guarantee_terms),
        general_terms=term_sentences(quote.general_terms),
        insurance=insurance_words(quote),
        notes=enquiry.customer_notes,
        cancellation_days=cancellation_days(quote),
        cancellation_period=cancellation_period(quote, agreed=True),
        accept=accept_view(quote, letters),
        accept_declined=any(f.answer is Answer.DECLINED and f.left_by for f in quote.findings),
    )


def _priced(quote: Quote) -> tuple[LineRow, ...]:
    """The lines of the price; a finding is named by its number, its words are with it."""
    keys = merged([line.key for line in option.lines] for option in quote.options)
    return tuple(
        replace(row, words=capital(key.replace("-", " "))) if key.startswith("finding-") else row
        for key, row in zip(keys, price_rows(quote.options), strict=True)
    )


def _control_told(quote: Quote) -> bool:
    """Whether page 1 says that building control has been told, so that the duty is not repeated."""
    advised = quote.advised.because if quote.advised and quote.enquiry.accepted is None else ()
    return any(remark.key is AdviceKey.SETTLED for remark in advised)


_TOLD_ELSEWHERE = (Included.FOUND, Included.RESTED_ON, Included.EXTRA, Undone.DECLINED)
"""What the lines of the price and the findings say already."""


def _besides(
    remarks: Sequence[Remark], elsewhere: Collection[RemarkKey] = ()
) -> tuple[SaidLine, ...]:
    """What an option does or leaves, without what stands in another table of the quote."""
    elsewhere = {*_TOLD_ELSEWHERE, *elsewhere}
    return said_lines(remark for remark in remarks if remark.key not in elsewhere)


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
        days=f"{days}, {people}",
    )


def _amounts(totals: Totals) -> Amounts:
    total = wording.money(totals.total.money)
    if totals.vat is None:
        return Amounts("", "", total)
    return Amounts(wording.money(totals.net.money), wording.money(totals.vat.money), total)


def rate_rows(rates: Sequence[ProvisionalRate]) -> tuple[PricedRow, ...]:
    """The rates agreed in advance, as the quote and the variation slip print them."""
    return tuple(
        PricedRow(small(said(rate.said)), rate.unit, _amounts(rate.totals)) for rate in rates
    )


def years_words(years: float) -> str:
    """The term of a guarantee in words, or that there is none."""
    return wording.count(years, "year", "years") if years else "none"


_MOST_BESIDE = 2
"""So many options stand beside what else belongs to them; more have the width of the page."""
_PLAN_WIDTH_MM, _PLAN_HEIGHT_MM = 76.0, 42.0


class PhotoView(Struct, frozen=True):
    """A photo and what it shows."""

    url: str
    caption: str


def _fill(quote: Quote, issue: Issue, box: PictureBox) -> Mapping[str, Any]:
    whole = box.photo(quote.enquiry)
    plan = plan_within(quote.take_off, _PLAN_WIDTH_MM, _PLAN_HEIGHT_MM)
    roof, *facts = found_facts(quote.take_off)
    return {
        "quote": quote_view(quote, issue),
        "found": (replace(roof, words=f"{plan.area} {small(roof.words)}"), *facts),
        "plan": plan,
        "whole": PhotoView(whole, "The roof") if whole else None,
        "photos": _photos(quote, box),
    }


def _photos(quote: Quote, box: PictureBox) -> tuple[PhotoView, ...]:
    """The usable photos of the findings, each with its number."""
    urls = [(number, box.photo(one)) for number, one in enumerate(quote.enquiry.findings, 1)]
    return tuple(PhotoView(url, f"Finding {number}") for number, url in urls if url)


QUOTE = Design(
    "Quotation",
    "customer/quote.html",
    lambda quote: (quote.enquiry, quote.settings),
    _fill,
    lambda quote, issue: (quote_file(quote, issue),),
    accepted=lambda quote: quote.enquiry.accepted is not None,
    named=offer_name,
)
