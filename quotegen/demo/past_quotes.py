"""The quotes of the demo firm's past year: every job done was quoted, and others were lost."""

import random
from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Decimal

from quotegen.demo.past_year import PastYear, done_rows
from quotegen.model.choices import BuildUp, CustomerKind, RoofKind
from quotegen.model.own.quoted import EnquiryNote, IssuedQuote, Offer
from quotegen.units import as_decimal, pence


def past_quotes(year: PastYear) -> tuple[list[IssuedQuote], list[EnquiryNote]]:
    """The quotes and the notes of their jobs; the same from run to run."""
    chance = random.Random(year.seed)
    done = {row["ref"]: row for row in done_rows(year)}
    made = [
        _quoted(year, ref, RoofKind(row["kind"]), row["done_on"], chance)
        for ref, row in done.items()
    ]
    lost = round(len(done) * year.quoted.lost_to_won)
    made += _lost(year, lost, chance)
    return [quote for quote, _ in made], [note for _, note in made]


def _quoted(
    year: PastYear, ref: str, roof: RoofKind, done_on: date, chance: random.Random
) -> tuple[IssuedQuote, EnquiryNote]:
    """The quote of a job that was done."""
    issued = done_on - timedelta(weeks=year.quoted.weeks_ahead)
    note = _note(year, ref, roof, issued, chance)
    answered = issued + timedelta(days=chance.randint(1, year.quoted.valid_days))
    won = EnquiryNote(
        note.reference, note.customer, note.customer_kind, roof, issued,
        accepted=BuildUp.NEW_DECK, answered_on=answered, done_on=done_on,
    )  # fmt: skip
    return _priced(year, ref, roof, issued, 0.0, chance), won


def _lost(
    year: PastYear, many: int, chance: random.Random
) -> Iterator[tuple[IssuedQuote, EnquiryNote]]:
    """Quotes that came to nothing, spread over the year."""
    days = year.jobs * year.days_between
    for number in range(many):
        ref = f"{year.reference}-{year.jobs + number + 1:03}"
        issued = year.first_day + timedelta(
            days=number * days // many - 7 * year.quoted.weeks_ahead
        )
        roof = RoofKind(chance.choice(year.roofs).kind)
        note = _note(year, ref, roof, issued, chance)
        if chance.random() >= year.quoted.ran_out:
            answered = issued + timedelta(days=chance.randint(2, year.quoted.valid_days))
            note = EnquiryNote(
                note.reference, note.customer, note.customer_kind, roof, issued,
                said_no=chance.choice(year.quoted.reasons), answered_on=answered,
            )  # fmt: skip
        yield _priced(year, ref, roof, issued, float(year.quoted.dear_is_lost), chance), note


def _note(
    year: PastYear, ref: str, roof: RoofKind, asked_on: date, chance: random.Random
) -> EnquiryNote:
    kind = chance.choice((CustomerKind.LANDLORD, CustomerKind.HOME_OWNER))
    return EnquiryNote(ref, chance.choice(year.quoted.customers), kind, roof, asked_on)


def _priced(
    year: PastYear, ref: str, roof: RoofKind, issued: date, dearer: float, chance: random.Random
) -> IssuedQuote:
    """A new deck priced by its area, with a margin drawn; `dearer` is added to the margin."""
    quoted = year.quoted
    area = next(one.area_m2 for one in year.roofs if one.kind == roof)
    spread = 1 + chance.uniform(-1, 1) * quoted.price_spread
    net = pence(as_decimal((quoted.call_out + area * quoted.price_per_m2) * spread))
    margin = chance.uniform(float(quoted.margin_low), float(quoted.margin_high)) + dearer
    total = net + pence(net * as_decimal(quoted.vat))
    offer = Offer(BuildUp.NEW_DECK, net, total, pence(net * (1 - Decimal(str(round(margin, 4))))))
    return IssuedQuote(ref, 0, issued, issued + timedelta(days=quoted.valid_days), (offer,))
