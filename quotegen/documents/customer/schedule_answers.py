"""What the schedule says of all roofs together, and what the customer ticks and sends back."""

from decimal import Decimal

from msgspec import Struct

from quotegen import wording
from quotegen.documents.customer.acceptance import (
    NO_PRICE,
    AcceptView,
    FindingRow,
    OptionBox,
    accept_view,
)
from quotegen.documents.customer.quote import option_letters
from quotegen.documents.customer.quote_start import advice_view
from quotegen.documents.printing.paper import one_line
from quotegen.documents.shared.remark_words import said
from quotegen.model.quote import Quote
from quotegen.model.several import DoneTogether, Schedule, ScheduledRoof
from quotegen.phrases import listed, without_stop

ASK = "ask"


class SavingRow(Struct, frozen=True):
    """One thing saved, by its rule, and its price without VAT."""

    words: str
    amount: str


class TogetherView(Struct, frozen=True):
    """What one visit saves; `lower` and `condition` are empty unless the price is lower for it."""

    savings: tuple[SavingRow, ...]
    saved: str
    lower: str
    condition: str


class LowerPrice(Struct, frozen=True):
    """The price of a single visit: its condition and what is to pay."""

    words: str
    amount: str


class FindingBox(Struct, frozen=True):
    """A finding to say yes or no to, with its price where it has one."""

    number: str
    words: str
    standing: str


class AnswerRow(Struct, frozen=True):
    """What is to be answered for one roof: an option, and each finding with yes or no.

    `settled` says why no option is asked for: one is accepted, or the price is an estimate.
    """

    ref: str
    address: str
    settled: str
    options: tuple[OptionBox, ...]
    findings: tuple[FindingBox, ...]


class AnswersView(Struct, frozen=True):
    """The acceptance in ready words."""

    rows: tuple[AnswerRow, ...]
    together: LowerPrice | None
    send: str
    ring: str


def together_view(together: DoneTogether) -> TogetherView:
    """What doing the roofs in one visit saves."""
    totals, price = together.totals, together.price
    before_vat = " before VAT" if totals and totals.vat else ""
    saved = f"Saved in all: {wording.money(totals.net.money)}{before_vat}." if totals else ""
    return TogetherView(
        savings=tuple(
            SavingRow(said(one.said), _saved(one.amount.money) if one.amount else ASK)
            for one in together.savings
        ),
        saved=saved,
        lower=wording.money(price.total.money) if price else "",
        condition=_condition(together) if price else "",
    )


def _saved(amount: Decimal) -> str:
    return wording.money(amount) if amount else "nothing"


def _condition(together: DoneTogether) -> str:
    return (
        f"If all of {listed(together.refs)} are done in one visit, one straight after the other, "
        "on days agreed for all together"
    )


def advice_for(roof: ScheduledRoof) -> str:
    """What is advised for a roof or has been chosen, and why, as its quotation says it."""
    view = advice_view(roof.quote, option_letters(len(roof.quote.options)))
    return f"{view.choice} {view.because}".strip()


def answers_view(schedule: Schedule) -> AnswersView:
    """The acceptance: a row for each roof, then the lower price where there is one."""
    settings, together = schedule.settings, schedule.together
    price = together.price if together else None
    box = None
    if together and price:
        box = LowerPrice(_condition(together), wording.money(price.total.money))
    email = settings.text("firm_email")
    return AnswersView(
        rows=tuple(_answers(roof.quote) for roof in schedule.roofs),
        together=box,
        send=f"to {email} or to our address" if email else "to our address",
        ring=settings.text("firm_phone"),
    )


def _answers(quote: Quote) -> AnswerRow:
    """What a roof's own quotation asks for: its options, and the findings with a choice."""
    accept = accept_view(quote, option_letters(len(quote.options)))
    return AnswerRow(
        ref=quote.enquiry.ref,
        address=one_line(quote.enquiry.site_address),
        settled=_settled(quote, accept),
        options=accept.options,
        findings=tuple(_finding(finding) for finding in accept.findings if finding.ask),
    )


def _settled(quote: Quote, accept: AcceptView) -> str:
    """Why no option of a roof is asked for; empty where one is."""
    if quote.unknown:
        return "An estimate: ring us for a day to look at the roof first."
    if accept.accepted:
        return f"Accepted: {accept.accepted.words}, {accept.accepted.amount}."
    return ""


def _finding(row: FindingRow) -> FindingBox:
    price = "" if row.price == NO_PRICE else f": {row.price}"
    return FindingBox(row.number, f"{without_stop(row.advised)}{price}.", row.standing)
