"""The acceptance: what the customer answers, ticks, adds up, signs and sends back."""

from collections.abc import Mapping, Sequence

from msgspec import Struct

from quotegen import wording
from quotegen.documents.shared.remark_words import said
from quotegen.model.choices import Answer, BuildUp
from quotegen.model.quote import PricedFinding, Quote, QuotedOption, Totals
from quotegen.phrases import capital, listed, small, without_stop
from quotegen.reference.remark_keys import Undone
from quotegen.reference.rule_keys import BeforeKey, Told

NO_PRICE = "–"
NO_EXTRA_PRICE = "we do this: no extra price"
_CHECK = "I will have the structure checked before the order, at my cost."


class FindingRow(Struct, frozen=True):
    """One finding with its price and where it stands; `ask` is False where there is no choice."""

    number: str
    seen: str
    if_left: str
    advised: str
    price: str
    standing: str
    ask: bool


class OptionBox(Struct, frozen=True):
    """An option to tick, with what whoever ticks it consents to."""

    words: str
    amount: str
    consents: tuple[str, ...]


class ExtraRow(Struct, frozen=True):
    """An extra that may be ordered."""

    words: str
    price: str


class AcceptView(Struct, frozen=True):
    """The acceptance in ready words; `send` says where it goes.

    `accepted` is the option the customer has said yes to: only findings are asked for then.
    """

    accepted: OptionBox | None
    options: tuple[OptionBox, ...]
    findings: tuple[FindingRow, ...]
    extras: tuple[ExtraRow, ...]
    asks: bool
    decide: str
    send: str
    ring: str


def accept_view(quote: Quote, letters: Sequence[str]) -> AcceptView:
    """The acceptance of a quote whose options have these letters, each empty for a single one."""
    findings = tuple(
        _finding(str(number), finding, quote, letters)
        for number, finding in enumerate(quote.findings, 1)
    )
    extras = tuple(
        ExtraRow(small(without_stop(extra.words)), _to_pay(extra.totals))
        for extra in quote.extras
        if not extra.included
    )
    email, phone = (quote.settings.text(f"firm_{by}") for by in ("email", "phone"))
    boxes = {
        option.build_up: _option(option, letter, quote)
        for option, letter in zip(quote.options, letters, strict=True)
    }
    return AcceptView(
        accepted=boxes.get(quote.enquiry.accepted) if quote.enquiry.accepted else None,
        options=tuple(boxes.values()),
        findings=findings,
        extras=extras,
        asks=any(finding.ask for finding in findings),
        decide=_decide(findings),
        send=f"to {email}" if email else "to our address",
        ring=phone,
    )


def _option(option: QuotedOption, letter: str, quote: Quote) -> OptionBox:
    name = capital(option.build_up)
    return OptionBox(
        words=f"Option {letter}: {name}" if letter else name,
        amount=_to_pay(option.totals),
        consents=tuple(_consents(option, quote)),
    )


def _consents(option: QuotedOption, quote: Quote) -> list[str]:
    """What an option needs of the customer: a low upstand accepted, a check of the structure."""
    low = [said(remark) for remark in option.leaves_undone if remark.key is Undone.UPSTAND]
    return [
        *(f"I accept that it {small(words)}." for words in low),
        *([_CHECK] if needs_check(option, quote) else []),
    ]


def needs_check(option: QuotedOption, quote: Quote) -> bool:
    """Whether somebody has still to check the structure for an option."""
    before = quote.start.before.get(option.build_up) if quote.start else None
    if before is None:
        return any(remark.key is Told.HEAVIER for remark in option.leaves_undone)
    return any(item.key is BeforeKey.STRUCTURE for item in before.open_items)


def _finding(
    number: str, finding: PricedFinding, quote: Quote, letters: Sequence[str]
) -> FindingRow:
    open_yet = bool(finding.left_by) or (finding.totals is None and not finding.done_in)
    return FindingRow(
        number=number,
        seen=finding.seen,
        if_left=finding.if_left,
        advised=finding.advised,
        price=_to_pay(finding.totals) if finding.totals else NO_PRICE,
        standing=capital("; ".join(_standing(finding, quote, letters))),
        ask=open_yet and not quote.unknown,
    )


def _standing(finding: PricedFinding, quote: Quote, letters: Sequence[str]) -> list[str]:
    """Where the price of a finding is, and what it is when it is in none."""
    letter_of = {option.build_up: a for option, a in zip(quote.options, letters, strict=True)}
    if finding.totals is not None and finding.done_in and not finding.totals.total.money:
        return [NO_EXTRA_PRICE]
    found = []
    if finding.done_in:
        rests = "" if finding.answer is Answer.DO_IT else ": the roof rests on it"
        found.append(f"in {_totals(finding.done_in, letter_of)}{rests}")
    renewed = [b for b in letter_of if b not in (*finding.done_in, *finding.left_by)]
    if finding.totals is not None and renewed:
        only = "" if len(renewed) == len(letter_of) else f" of {_named(renewed, letter_of)}"
        found.append(f"comes with the new deck{only}")
    if finding.totals is not None and finding.left_by and (finding.done_in or renewed):
        found.append(f"extra with {_named(finding.left_by, letter_of)}")
    if finding.totals is None and not finding.done_in:
        found.append("priced after the visit" if quote.unknown else "yes: please price it")
    elif finding.answer is Answer.DECLINED and finding.left_by:
        found.append("you said no so far")
    return found


def _totals(build_ups: Sequence[BuildUp], letter_of: Mapping[BuildUp, str]) -> str:
    if len(letter_of) == 1:
        return "the total"
    if len(build_ups) == len(letter_of):
        return "every total"
    return f"the total of {_named(build_ups, letter_of)}"


def _named(build_ups: Sequence[BuildUp], letter_of: Mapping[BuildUp, str]) -> str:
    return listed([letter_of[build_up] for build_up in build_ups])


def _decide(findings: Sequence[FindingRow]) -> str:
    """The findings that are still the customer's to decide, as page 1 points to them."""
    asked = [f"{row.number} ({row.price})" for row in findings if row.ask and row.price != NO_PRICE]
    if not asked:
        return ""
    return f"finding {listed(asked)}" if len(asked) == 1 else f"findings {listed(asked)}"


def _to_pay(totals: Totals) -> str:
    return wording.money(totals.total.money)
