"""The hand-over and guarantee as a PDF: for the customer, and for anyone who buys the house.

It lists what was done, what was declined, how to look after the roof, and the guarantee.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from msgspec import Struct

from quotegen.documents.customer.quote import years_words
from quotegen.documents.customer.quote_notes import building_control_note, term_sentences
from quotegen.documents.customer.side_by_side import merged, told_apart
from quotegen.documents.printing.design import Design
from quotegen.documents.printing.paper import PictureBox, in_lines
from quotegen.documents.shared.remark_words import said_lines
from quotegen.model.enquiry import Finding
from quotegen.model.issue import Issue
from quotegen.model.quote import Quote, QuotedOption
from quotegen.model.safety import MethodStatement
from quotegen.phrases import capital, small, without_stop
from quotegen.pricing.scope import declined
from quotegen.reference.remark_keys import Undone


class HandOver(Struct, frozen=True):
    """One roof handed over: its quote and its method statement."""

    quote: Quote
    statement: MethodStatement

    @property
    def options(self) -> tuple[QuotedOption, ...]:
        """The accepted option, or all of them until one is accepted."""
        accepted = self.quote.enquiry.accepted
        chosen = tuple(option for option in self.quote.options if option.build_up is accepted)
        return chosen or self.quote.options


class DoneOption(Struct, frozen=True):
    """A build-up that was done, or may be ticked as done, with its guarantee in years."""

    name: str
    guarantee: str


class WorkList(Struct, frozen=True):
    """Work that belongs to the same build-ups; `heading` names them, empty where it is all."""

    heading: str
    lines: tuple[str, ...]


class WorkLine(Struct, frozen=True):
    """One line of work under the heading of its list, if that has one."""

    heading: str
    words: str


class DeclinedRow(Struct, frozen=True):
    """Work advised and declined, with the number of its finding in the quote.

    `where` names the build-ups that leave it undone, empty where there is no choice.
    """

    number: str
    seen: str
    advised: str
    if_left: str
    where: str


class CareLine(Struct, frozen=True):
    """One point about looking after the roof, under its keyword."""

    title: str
    text: str


class HandOverView(Struct, frozen=True):
    """Everything the hand-over shows except the firm's head.

    `written_for` is the build-up of the care, empty where it is the only one.
    """

    reference: str
    revision: str
    customer: str
    site_address: str
    roof: str
    several: bool
    written_for: str
    options: tuple[DoneOption, ...]
    done: tuple[WorkList, ...]
    left_undone: tuple[WorkList, ...]
    perhaps_done: tuple[str, ...]
    declined: tuple[DeclinedRow, ...]
    care: tuple[CareLine, ...]
    guarantee_terms: tuple[str, ...]
    building_control: bool
    firm: str
    contact: str

    @property
    def done_lines(self) -> tuple[WorkLine, ...]:
        """The work done, line by line."""
        return _lines(self.done)

    @property
    def undone_lines(self) -> tuple[WorkLine, ...]:
        """The work left undone, line by line."""
        return _lines(self.left_undone)


def hand_over_view(handed: HandOver, issue: Issue) -> HandOverView:
    """The hand-over in ready words: every line as in the quote, with ticks for what was done."""
    quote, settings = handed.quote, handed.quote.settings
    options = handed.options
    covered = [[line.words for line in said_lines(option.includes)] for option in options]
    left = [
        [line.words for line in said_lines(option.leaves_undone) if line.key is not Undone.DECLINED]
        for option in options
    ]
    names = [str(option.build_up) for option in options]
    build_ups = {"", *names}
    terms = [term for term in quote.guarantee_terms if term.applies_to in build_ups]
    return HandOverView(
        reference=issue.reference,
        revision=str(issue.revision),
        customer=quote.enquiry.customer.name,
        site_address=in_lines(quote.enquiry.site_address),
        roof=str(quote.enquiry.roof.kind),
        several=len(options) > 1,
        written_for=str(handed.statement.option.build_up) if len(options) > 1 else "",
        options=tuple(
            DoneOption(capital(o.build_up), years_words(o.guarantee_years.number)) for o in options
        ),
        done=tuple(_work_lists(covered, names)),
        left_undone=tuple(_work_lists(left, names)),
        perhaps_done=tuple(_perhaps_done(quote)),
        declined=tuple(_declined(handed)),
        care=tuple(CareLine(note.title, note.text) for note in handed.statement.care),
        guarantee_terms=term_sentences(terms),
        building_control=bool(building_control_note(quote)),
        firm=settings.text("firm_name"),
        contact=settings.text("firm_phone"),
    )


def _lines(lists: Sequence[WorkList]) -> tuple[WorkLine, ...]:
    return tuple(WorkLine(work.heading, words) for work in lists for words in work.lines)


def _work_lists(lists: Sequence[Sequence[str]], names: Sequence[str]) -> Iterator[WorkList]:
    """The lines of all build-ups: first those common to all, then those of only some."""
    groups: dict[tuple[str, ...], list[str]] = {tuple(names): []}
    for key in merged(told_apart(lines) for lines in lists):
        having = tuple(
            name for name, lines in zip(names, lists, strict=True) if key in told_apart(lines)
        )
        groups.setdefault(having, []).append(without_stop(key[0]))
    for having, lines in groups.items():
        if lines:
            if len(having) == len(names):
                yield WorkList("", tuple(lines))
            else:
                yield WorkList(_only_with(having), tuple(small(words) for words in lines))


def _only_with(names: Sequence[str]) -> str:
    return f"Only with {' or '.join(names)}"


def _perhaps_done(quote: Quote) -> Iterator[str]:
    """Extra work the customer may have ordered, to be ticked: as the acceptance offered it."""
    for number, finding in enumerate(quote.findings, 1):
        if finding.totals is not None and finding.apart:
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
                where="" if everywhere else _only_with(left_by),
            )


def _is_among(finding: Finding, findings: tuple[Finding, ...]) -> bool:
    return any(one is finding for one in findings)


def _fill(handed: HandOver, issue: Issue, _box: PictureBox) -> Mapping[str, Any]:
    return {"handed": hand_over_view(handed, issue)}


HAND_OVER = Design(
    "Hand-over and guarantee",
    "customer/hand_over.html",
    lambda handed: (handed.quote.enquiry, handed.quote.settings),
    _fill,
)
