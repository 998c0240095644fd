"""What the firm offered, and what became of it: the memory of its register."""

from datetime import date
from decimal import Decimal
from enum import StrEnum

from msgspec import Struct

from quotegen.model.choices import BuildUp, CustomerKind, RoofKind


class Offer(Struct, frozen=True):
    """One option of an issued quote: its price and what the job was reckoned to cost [GBP].

    `net` is the price and `cost` the firm's own, both without VAT; `total` is what is paid, and
    `deposit` the part of it that is due on acceptance, None where an older register kept none.
    """

    build_up: BuildUp
    net: Decimal
    total: Decimal
    cost: Decimal
    deposit: Decimal | None = None


class IssuedQuote(Struct, frozen=True):
    """The last revision of a quote, its options, and the day to which its prices hold."""

    reference: str
    revision: int
    issued: date
    valid_until: date
    offers: tuple[Offer, ...]


class EnquiryNote(Struct, frozen=True):
    """An enquiry as its row last told: who asked for what, and the answer, as far as it came.

    `said_no` is the reason given, `done_on` the last day of work on record. `paid` is what was paid
    of the balance, None where all of it was.
    """

    reference: str
    customer: str
    customer_kind: CustomerKind
    roof: RoofKind
    asked_on: date | None
    accepted: BuildUp | None = None
    said_no: str = ""
    answered_on: date | None = None
    done_on: date | None = None
    deposit_paid_on: date | None = None
    paid_on: date | None = None
    paid: Decimal | None = None


class Standing(StrEnum):
    """What has become of a quote."""

    WAITS = "waits for an answer"
    YES = "said yes"
    NO = "said no"
    RAN_OUT = "ran out"


def became_of(quote: IssuedQuote, note: EnquiryNote | None, on: date) -> Standing:
    """What has become of a quote by a day; nothing noted counts as no answer.

    A quote is good on the last day it is valid.
    """
    if note and note.accepted:
        return Standing.YES
    if note and note.said_no:
        return Standing.NO
    return Standing.RAN_OUT if on > quote.valid_until else Standing.WAITS
