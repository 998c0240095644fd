"""The landlord's schedule as a PDF: every roof, how urgent it is, what we advise, and the sums."""

from collections.abc import Iterator, Mapping
from typing import Any

from msgspec import Struct

from quotegen import wording
from quotegen.documents.customer.quote import option_letters
from quotegen.documents.customer.quote_notes import offer_name, vat_words
from quotegen.documents.customer.quote_start import WHO_PAYS_EXTRA, start_view
from quotegen.documents.customer.schedule_answers import (
    AnswersView,
    TogetherView,
    advice_for,
    answers_view,
    together_view,
)
from quotegen.documents.drawing.roof_view import FoundKey, found_facts
from quotegen.documents.printing.design import Design
from quotegen.documents.printing.paper import PictureBox, in_lines, one_line
from quotegen.documents.shared.first_day_words import NOT_AGREED
from quotegen.model.choices import Answer
from quotegen.model.enquiry import Enquiry
from quotegen.model.issue import Issue
from quotegen.model.quote import Quote, QuotedOption, Totals
from quotegen.model.settings import Settings
from quotegen.model.several import Schedule, ScheduledRoof, Sums
from quotegen.model.takeoff import TakeOff
from quotegen.phrases import capital, listed, small, without_stop
from quotegen.reference import house_rules

FOUND = (FoundKey.COVERING, FoundKey.DECK)
"""The facts shown of each roof to a landlord with several."""
OUR_RULE = (
    "Our own rule, from what we could see on the visit: it ranks these roofs, and is no survey of "
    "the buildings."
)
EACH_ALONE = "Each start is for its roof alone: one crew does one after another."


class ChoiceRow(Struct, frozen=True):
    """One option of a roof, or one choice over all of them, with its amounts in words."""

    words: str
    of: str
    net: str
    vat: str
    total: str


class BeforeWords(Struct, frozen=True):
    """What a roof waits for and when it starts, as its quotation says it.

    `not_in_total` is what the customer pays besides its price, `perhaps` what may be needed.
    """

    not_in_total: str
    perhaps: str
    settled_first: str
    when: str
    pays_extra: bool


class RoofRow(Struct, frozen=True):
    """One roof of the schedule."""

    ref: str
    quote: str
    holds: str
    address: str
    roof: str
    found: tuple[str, ...]
    band: str
    because: str
    before: BeforeWords
    options: tuple[ChoiceRow, ...]
    advice: str


class UnpricedRow(Struct, frozen=True):
    """A roof of the same customer that has no quote yet."""

    ref: str
    address: str
    roof: str


class ScheduleView(Struct, frozen=True):
    """Everything the schedule's template shows except the head and the photos."""

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
    together: TogetherView | None
    answers: AnswersView
    starts_note: str
    our_rule: str
    urgency: tuple[tuple[str, str], ...]


def schedule_view(schedule: Schedule, issue: Issue) -> ScheduleView:
    """The schedule in ready words, with the amounts of the quotes."""
    quotes = [roof.quote for roof in schedule.roofs]
    return ScheduleView(
        customer=one_line(schedule.customer.name),
        bill_address=in_lines(schedule.customer.bill_address),
        reference=issue.reference,
        revision=str(issue.revision),
        dated=wording.date(issue.issued),
        count=wording.count(len(quotes), "roof", "roofs"),
        charges_vat=schedule.settings.yes("vat_registered"),
        vat_words=vat_words(quotes[0]),
        sums=tuple(sum_row(one, len(quotes)) for one in schedule.sums),
        roofs=tuple(_roof(roof) for roof in schedule.roofs),
        unpriced=tuple(_unpriced(enquiry) for enquiry in schedule.unpriced),
        sums_notes=tuple(sums_notes(schedule)),
        together=together_view(schedule.together) if schedule.together else None,
        answers=answers_view(schedule),
        starts_note=starts_note(schedule),
        our_rule=OUR_RULE,
        urgency=urgency_words(),
    )


def sum_row(one: Sums, roofs: int) -> ChoiceRow:
    """A sum with the roofs it covers."""
    if len(one.refs) == roofs:
        of = "both roofs" if roofs == 2 else f"all {roofs} roofs"
    else:
        of = f"{listed(one.refs)} only"
    return _choice(one.words, of, one)


def sums_notes(schedule: Schedule) -> Iterator[str]:
    """What the totals include and leave out."""
    quotes = [roof.quote for roof in schedule.roofs]
    yield "These are choices, not amounts to add up."
    if not schedule.settings.yes("vat_registered"):
        yield vat_words(quotes[0])
    if refs := _priced_apart(quotes):
        yield f"Work priced separately is in none of them: see the quotations {refs}."
    if schedule.unpriced:
        yield "Roofs with no quotation yet are in none of them."


def starts_note(schedule: Schedule) -> str:
    """What "extra" means, and that starts not agreed ignore one another if there are several."""
    starts = [roof.quote.start for roof in schedule.roofs]
    open_ones = [start for start in starts if start and start.agreed is None]
    notes = [EACH_ALONE] if len(open_ones) > 1 else []
    if any(before_words(roof).pays_extra for roof in schedule.roofs):
        notes.insert(0, WHO_PAYS_EXTRA)
    return " ".join(notes)


def marks_of(roof: ScheduledRoof, option: QuotedOption) -> str:
    """The marks of an option among the others of its roof; empty where it is the only one.

    The accepted option is always marked.
    """
    several = len(roof.quote.options) > 1
    advised = roof.quote.advised
    marks = (
        ("we advise this", advised is not None and option.build_up is advised.build_up),
        ("accepted", option.build_up is roof.quote.enquiry.accepted),
        ("cheapest", several and option is roof.cheapest),
        ("fullest", several and option is roof.fullest),
    )
    return ", ".join(words for words, so in marks if so)


def before_words(roof: ScheduledRoof) -> BeforeWords:
    """What a roof waits for and its start, read from its own quotation."""
    quote = roof.quote
    view = start_view(quote, option_letters(len(quote.options)))
    when = view.when or capital(f"{NOT_AGREED}.")
    return BeforeWords(view.apart, view.perhaps, view.inside, when, bool(view.extra))


def found_words(take_off: TakeOff) -> tuple[str, ...]:
    """The findings on a roof: covering, deck, and each finding with declined advice."""
    facts = [
        f"{fact.name}: {small(fact.words)}" for fact in found_facts(take_off) if fact.key in FOUND
    ]
    seen = [
        without_stop(finding.seen) + (" (declined)" if finding.answer is Answer.DECLINED else "")
        for finding in take_off.enquiry.findings
    ]
    return (*facts, *seen)


def urgency_words() -> tuple[tuple[str, str], ...]:
    """The ranking rule: each band with what puts a roof in it."""
    rules = house_rules.urgency()
    return tuple(
        (band.words, "; or ".join(rule.words for rule in rules if rule.band == band))
        for band in house_rules.urgency_bands()
    )


def _roof(roof: ScheduledRoof) -> RoofRow:
    quote, enquiry = roof.quote, roof.quote.enquiry
    return RoofRow(
        ref=enquiry.ref,
        quote=f"{offer_name(quote)} of {wording.date(quote.dated)}, revision {roof.revision}",
        holds="accepted" if enquiry.accepted else f"valid until {wording.date(quote.valid_until)}",
        address=one_line(enquiry.site_address),
        roof=f"{capital(enquiry.roof.kind)} roof",
        found=found_words(quote.take_off),
        band=roof.band_words,
        because=capital(roof.because),
        before=before_words(roof),
        options=tuple(_options(roof)),
        advice=advice_for(roof),
    )


def _options(roof: ScheduledRoof) -> Iterator[ChoiceRow]:
    for option in roof.quote.options:
        yield _choice(option.build_up, marks_of(roof, option), option.totals)


def _choice(words: str, of: str, amounts: Sums | Totals) -> ChoiceRow:
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
    """The quotes that offer something outside their totals; empty if none."""
    refs = [
        quote.enquiry.ref
        for quote in quotes
        if any(not extra.included for extra in quote.extras)
        or any(f.totals and f.apart for f in quote.findings)
    ]
    return listed(refs) if refs else ""


SCHEDULE_TITLE = "Schedule of roofs"


class RoofPhotos(Struct, frozen=True):
    """The photos of one roof, each with its address and what it shows."""

    heading: str
    photos: tuple[tuple[str, str], ...]


def _fill(schedule: Schedule, issue: Issue, box: PictureBox) -> Mapping[str, Any]:
    return {
        "schedule": schedule_view(schedule, issue),
        "photos": tuple(shown for roof in schedule.roofs if (shown := _photos(roof, box)).photos),
    }


def _line(schedule: Schedule) -> str:
    return f"{len(schedule.roofs)} roofs of {one_line(schedule.customer.name)}"


def _settings(schedule: Schedule) -> Settings:
    return schedule.settings


def _photos(roof: ScheduledRoof, box: PictureBox) -> RoofPhotos:
    enquiry = roof.quote.enquiry
    photos = []
    for finding in enquiry.findings:
        url = box.photo(finding, enquiry.ref)
        if url:
            photos.append((url, finding.seen))
    return RoofPhotos(f"{enquiry.ref}, {one_line(enquiry.site_address)}", tuple(photos))


SCHEDULE = Design(
    SCHEDULE_TITLE,
    "customer/schedule.html",
    lambda schedule: (schedule.roofs[0].quote.enquiry, schedule.settings),
    _fill,
    line=_line,
)
