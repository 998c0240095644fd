"""The hand-over: what was done, what was declined, how to look after it, and the guarantee."""

from collections.abc import Iterator
from dataclasses import dataclass

from quotegen.documents.paper import capital, in_lines, small, without_stop
from quotegen.documents.quote_notes import building_control_note, term_sentences
from quotegen.documents.quote_view import years_words
from quotegen.documents.side_by_side import APPLIES, TICK, WIDTHS, LineRow, Widths, marked_rows
from quotegen.documents.wording import Wording
from quotegen.model.enquiry import Answer, Finding
from quotegen.model.hand_over import HandOver
from quotegen.model.issue import Issue
from quotegen.model.quote import Quote
from quotegen.pricing.offer import declined, declined_line


@dataclass(frozen=True, slots=True)
class DoneOption:
    """A build-up that was done, or may be ticked as done, and the years of its guarantee."""

    name: str
    guarantee: str


@dataclass(frozen=True, slots=True)
class DeclinedRow:
    """Work that was advised and turned down, with the number of its finding in the quote.

    `where` names the build-ups that leave it undone; it is empty where there is no choice.
    """

    number: str
    seen: str
    advised: str
    if_left: str
    where: str


@dataclass(frozen=True, slots=True)
class CareLine:
    """One thing to know about looking after the roof, under its word."""

    title: str
    text: str


@dataclass(frozen=True, slots=True)
class HandOverView:
    """Everything the hand-over shows but for the head."""

    reference: str
    customer: str
    site_address: str
    roof: str
    several: bool
    options: tuple[DoneOption, ...]
    widths: Widths
    included: tuple[LineRow, ...]
    left_undone: tuple[LineRow, ...]
    done_besides: tuple[str, ...]
    perhaps_done: tuple[str, ...]
    declined: tuple[DeclinedRow, ...]
    care: tuple[CareLine, ...]
    guarantee_terms: tuple[str, ...]
    building_control: bool
    photos: tuple[str, ...]
    firm: str
    contact: str


def hand_over_view(handed: HandOver, issue: Issue, wording: Wording) -> HandOverView:
    """The hand-over in ready words: every line of it stands so in the quote, or is left to tick."""
    quote, settings = handed.quote, handed.quote.settings
    options = handed.options
    turned_down = {declined_line(f) for o in options for f in declined(quote.enquiry, o.take_off)}
    left = [[line for line in o.leaves_undone if line not in turned_down] for o in options]
    build_ups = {"", *(str(option.build_up) for option in options)}
    terms = [term for term in quote.guarantee_terms if term.applies_to in build_ups]
    return HandOverView(
        reference=issue.reference,
        customer=quote.enquiry.customer.name,
        site_address=in_lines(quote.enquiry.site_address),
        roof=str(quote.enquiry.roof.kind),
        several=len(options) > 1,
        options=tuple(
            DoneOption(capital(o.build_up), years_words(o.guarantee_years.number, wording))
            for o in options
        ),
        widths=WIDTHS[len(options)],
        included=marked_rows([option.includes for option in options], TICK),
        left_undone=marked_rows(left, APPLIES),
        done_besides=tuple(_done_besides(quote)),
        perhaps_done=tuple(_perhaps_done(quote)),
        declined=tuple(_declined(handed)),
        care=tuple(CareLine(title, text) for title, text in handed.statement.care),
        guarantee_terms=term_sentences(terms),
        building_control=bool(building_control_note(quote, wording)),
        photos=handed.statement.photos,
        firm=settings.text("firm_name"),
        contact=settings.text("firm_phone"),
    )


def _done_besides(quote: Quote) -> Iterator[str]:
    """The findings and extras that are in every total."""
    for finding in quote.findings:
        if finding.answer is Answer.DO_IT:
            yield without_stop(finding.advised)
    for extra in quote.extras:
        if extra.included:
            yield without_stop(extra.words)


def _perhaps_done(quote: Quote) -> Iterator[str]:
    """What the customer may have ordered besides, to be ticked: as the acceptance offered it."""
    for number, finding in enumerate(quote.findings, 1):
        if finding.totals is not None and finding.answer in (Answer.PRICE_APART, None):
            yield f"finding {number}: {small(without_stop(finding.advised))}"
    for extra in quote.extras:
        if not extra.included:
            yield small(without_stop(extra.words))


def _declined(handed: HandOver) -> Iterator[DeclinedRow]:
    enquiry = handed.quote.enquiry
    for number, finding in enumerate(enquiry.findings, 1):
        left_by = [
            str(option.build_up)
            for option in handed.options
            if _is_among(finding, declined(enquiry, option.take_off))
        ]
        if left_by:
            everywhere = len(left_by) == len(handed.options)
            yield DeclinedRow(
                number=str(number),
                seen=finding.seen,
                advised=finding.advised,
                if_left=finding.if_left,
                where="" if everywhere else f"With {' or '.join(left_by)} only. ",
            )


def _is_among(finding: Finding, findings: tuple[Finding, ...]) -> bool:
    return any(one is finding for one in findings)
