"""What the schedule says of all roofs together, and what the customer ticks and sends back."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from msgspec import Struct

from quotegen import wording
from quotegen.documents.shared.remark_words import said
from quotegen.model.choices import Answer, Undone
from quotegen.model.quote import PricedFinding, Quote
from quotegen.model.several import DoneTogether, Schedule, ScheduledRoof
from quotegen.phrases import capital, listed, sentence, small, without_stop
from quotegen.reference.remarks import Remark
from quotegen.reference.rule_keys import Told

ASK = "ask"
NOT_PASSED_ON = "It is not taken off the prices here."
NO_ADVICE = "We advise none of these options as things are: see its quotation."
_CHECK = "I have the structure checked before the order, at my cost."


class SavingRow(Struct, frozen=True):
    """One thing saved, by its rule, and its price without VAT."""

    words: str
    amount: str


class TogetherView(Struct, frozen=True):
    """What one visit saves; `lower` and `condition` are empty unless the price is lower for it."""

    savings: tuple[SavingRow, ...]
    saved: str
    passed: str
    lower: str
    condition: str


class AnswerBox(Struct, frozen=True):
    """One box to tick: its words, its price, and what whoever ticks it consents to."""

    words: str
    amount: str
    consents: tuple[str, ...] = ()


class AnswerRow(Struct, frozen=True):
    """What is to be answered for one roof: an option, and each finding with yes or no."""

    ref: str
    address: str
    options: tuple[AnswerBox, ...]
    findings: tuple[AnswerBox, ...]


class AnswersView(Struct, frozen=True):
    """The acceptance in ready words."""

    rows: tuple[AnswerRow, ...]
    together: AnswerBox | None
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
        passed=NOT_PASSED_ON if totals and not price else "",
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
    """Why the advised option of a roof is advised, with what speaks against it."""
    advice = roof.quote.advised
    if advice is None:
        return ""
    reasons = [advice.own_words, *map(said, advice.because), *map(said, advice.against)]
    words = " ".join(sentence(without_stop(reason)) for reason in reasons if reason)
    return words if advice.build_up else f"{NO_ADVICE} {words}".strip()


def answers_view(schedule: Schedule) -> AnswersView:
    """The acceptance: a row for each roof, then the lower price where there is one."""
    settings, together = schedule.settings, schedule.together
    price = together.price if together else None
    box = None
    if together and price:
        box = AnswerBox(_condition(together), wording.money(price.total.money))
    email = settings.text("firm_email")
    return AnswersView(
        rows=tuple(_answers(roof.quote) for roof in schedule.roofs),
        together=box,
        send=f"to {email} or to our address" if email else "to our address",
        ring=settings.text("firm_phone"),
    )


def _answers(quote: Quote) -> AnswerRow:
    return AnswerRow(
        ref=quote.enquiry.ref,
        address=" ".join(quote.enquiry.site_address.split()),
        options=tuple(
            AnswerBox(
                capital(option.build_up),
                wording.money(option.totals.total.money),
                tuple(_consents(option.leaves_undone)),
            )
            for option in quote.options
        ),
        findings=tuple(
            AnswerBox(_advised_words(finding), wording.money(finding.totals.total.money))
            for finding in quote.findings
            if finding.totals and (finding.apart or finding.answer is Answer.DECLINED)
        ),
    )


def _advised_words(finding: PricedFinding) -> str:
    """What is advised, and which options have it in their price already."""
    words = small(without_stop(finding.advised))
    return f"{words} (in the price of {listed(finding.done_in)})" if finding.done_in else words


def _consents(leaves: Sequence[Remark]) -> Iterator[str]:
    """What an option needs of the customer: a low upstand accepted, a check of the structure."""
    for remark in leaves:
        if remark.key is Undone.UPSTAND:
            yield sentence(said(remark))
        elif remark.key is Told.HEAVIER:
            yield _CHECK
