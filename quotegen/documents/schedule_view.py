"""The landlord's schedule in ready words: every roof, how urgent it is, and the sums."""

from collections.abc import Iterator
from dataclasses import dataclass

from quotegen.documents.first_day_words import first_day_words
from quotegen.documents.paper import in_lines, one_line
from quotegen.documents.quote_notes import vat_words
from quotegen.documents.roof_view import FoundKey, found_facts
from quotegen.documents.wording import Wording
from quotegen.model.choices import Answer
from quotegen.model.enquiry import Enquiry
from quotegen.model.issue import Issue
from quotegen.model.quote import Quote, QuotedOption, Totals
from quotegen.model.schedule import Schedule, ScheduledRoof, Sums
from quotegen.phrases import capital, listed, small, without_stop
from quotegen.reference import house_rules

FOUND = (FoundKey.COVERING, FoundKey.DECK)
"""The facts of a roof that a landlord with several of them wants to see."""
OUR_RULE = (
    "Our own rule, from what could be seen on the visit. It ranks these roofs beside one another "
    "and is not a survey of the buildings."
)
EACH_ALONE = "Each start is for its roof alone: one crew does one after another."


@dataclass(frozen=True, slots=True)
class ChoiceRow:
    """One option of a roof, or one way to choose over all of them, with its amounts in words."""

    words: str
    of: str
    net: str
    vat: str
    total: str


@dataclass(frozen=True, slots=True)
class RoofRow:
    """One roof of the schedule."""

    ref: str
    quote: str
    holds: str
    address: str
    roof: str
    found: tuple[str, ...]
    band: str
    because: str
    start: str
    options: tuple[ChoiceRow, ...]


@dataclass(frozen=True, slots=True)
class UnpricedRow:
    """A roof of the same customer that has no quote yet."""

    ref: str
    address: str
    roof: str


@dataclass(frozen=True, slots=True)
class ScheduleView:
    """Everything the template of the schedule shows but for the head and the photos."""

    customer: str
    bill_address: str
    reference: str
    revision: str
    dated: str
    count: str
    charges_vat: bool
    vat_words: str
    sums: tuple[ChoiceRow, ...]
    roofs: tuple[RoofRow, ...]
    unpriced: tuple[UnpricedRow, ...]
    sums_notes: tuple[str, ...]
    starts_note: str
    our_rule: str
    urgency: tuple[tuple[str, str], ...]


def schedule_view(schedule: Schedule, issue: Issue, wording: Wording) -> ScheduleView:
    """The schedule in ready words, its amounts those of the quotes."""
    quotes = [roof.quote for roof in schedule.roofs]
    return ScheduleView(
        customer=one_line(schedule.customer.name),
        bill_address=in_lines(schedule.customer.bill_address),
        reference=issue.reference,
        revision=str(issue.revision),
        dated=wording.date(issue.issued),
        count=wording.count(len(quotes), "roof", "roofs"),
        charges_vat=schedule.settings.yes("vat_registered"),
        vat_words=vat_words(quotes[0], wording),
        sums=tuple(sum_row(one, len(quotes), wording) for one in schedule.sums),
        roofs=tuple(_roof(roof, wording) for roof in schedule.roofs),
        unpriced=tuple(_unpriced(enquiry) for enquiry in schedule.unpriced),
        sums_notes=tuple(sums_notes(schedule, wording)),
        starts_note=starts_note(schedule),
        our_rule=OUR_RULE,
        urgency=urgency_words(),
    )


def sum_row(one: Sums, roofs: int, wording: Wording) -> ChoiceRow:
    """A sum with the roofs it is over."""
    if len(one.refs) == roofs:
        of = "both roofs" if roofs == 2 else f"all {roofs} roofs"
    else:
        of = f"{listed(one.refs)} only"
    return _choice(one.words, of, one, wording)


def sums_notes(schedule: Schedule, wording: Wording) -> Iterator[str]:
    """What the sums hold and what they leave out."""
    quotes = [roof.quote for roof in schedule.roofs]
    yield "The choices stand beside one another; they are not added together."
    if not schedule.settings.yes("vat_registered"):
        yield vat_words(quotes[0], wording)
    if refs := _priced_apart(quotes):
        yield f"What is priced apart is in none of them: see the quotations {refs}."
    if schedule.unpriced:
        yield "Roofs without a quotation yet are in none of them."


def starts_note(schedule: Schedule) -> str:
    """That the starts do not heed one another, where there are several provisional ones."""
    provisional = [one for one in schedule.roofs if one.first_day.day and not one.first_day.agreed]
    return EACH_ALONE if len(provisional) > 1 else ""


def marks_of(roof: ScheduledRoof, option: QuotedOption) -> str:
    """What an option is beside the others of its roof; nothing where it is the only one.

    The accepted one is marked in any case.
    """
    several = len(roof.quote.options) > 1
    marks = (
        ("accepted", option.build_up is roof.quote.enquiry.accepted),
        ("cheapest", several and option is roof.cheapest),
        ("fullest", several and option is roof.fullest),
    )
    return ", ".join(words for words, so in marks if so)


def found_words(enquiry: Enquiry, wording: Wording) -> tuple[str, ...]:
    """What was found on a roof: covering, deck, and each finding with an advice turned down."""
    facts = [
        f"{fact.name}: {small(fact.words)}"
        for fact in found_facts(enquiry, wording)
        if fact.key in FOUND
    ]
    seen = [
        without_stop(finding.seen) + (" (declined)" if finding.answer is Answer.DECLINED else "")
        for finding in enquiry.findings
    ]
    return (*facts, *seen)


def urgency_words() -> tuple[tuple[str, str], ...]:
    """The rule by which roofs are ranked: each band with what puts a roof in it."""
    rules = house_rules.urgency()
    return tuple(
        (band.words, "; or ".join(rule.words for rule in rules if rule.band == band))
        for band in house_rules.urgency_bands()
    )


def _roof(roof: ScheduledRoof, wording: Wording) -> RoofRow:
    quote, enquiry = roof.quote, roof.quote.enquiry
    return RoofRow(
        ref=enquiry.ref,
        quote=f"Quotation of {wording.date(quote.dated)}, revision {roof.revision}",
        holds=f"holds until {wording.date(quote.valid_until)}",
        address=one_line(enquiry.site_address),
        roof=f"{capital(enquiry.roof.kind)} roof",
        found=found_words(enquiry, wording),
        band=roof.band_words,
        because=capital(roof.because),
        start=first_day_words(roof.first_day, wording),
        options=tuple(_options(roof, wording)),
    )


def _options(roof: ScheduledRoof, wording: Wording) -> Iterator[ChoiceRow]:
    for option in roof.quote.options:
        yield _choice(option.build_up, marks_of(roof, option), option.totals, wording)


def _choice(words: str, of: str, amounts: Sums | Totals, wording: Wording) -> ChoiceRow:
    return ChoiceRow(
        words=capital(words),
        of=of,
        net=wording.money(amounts.net.money),
        vat=wording.money(amounts.vat.money) if amounts.vat else "",
        total=wording.money(amounts.total.money),
    )


def _unpriced(enquiry: Enquiry) -> UnpricedRow:
    return UnpricedRow(
        enquiry.ref, one_line(enquiry.site_address), f"{capital(enquiry.roof.kind)} roof"
    )


def _priced_apart(quotes: list[Quote]) -> str:
    """Which quotes offer something besides what is in their totals; empty for none."""
    refs = [
        quote.enquiry.ref
        for quote in quotes
        if any(not extra.included for extra in quote.extras)
        or any(f.totals and f.answer in (None, Answer.PRICE_APART) for f in quote.findings)
    ]
    return listed(refs) if refs else ""
