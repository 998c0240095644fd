"""Invoices and credit notes as the register keeps them: each is issued once and never changed."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from enum import StrEnum

from msgspec import Struct

from quotegen.model.own.quoted import EnquiryNote

NO_MONEY = Decimal("0.00")


class PayStage(StrEnum):
    """What an invoice asks for: a stage of payment, as the quote states it."""

    DEPOSIT = "deposit"
    BALANCE = "balance"


class Invoice(Struct, frozen=True):
    """One invoice, or the credit note that cancels one, in whole pence [GBP].

    Both are numbered in one series. `vat_pct` is None where the firm is not registered for VAT;
    under the reverse charge (`reverse`) the customer accounts for the `vat` and does not pay it to
    us. `materials` is what the Construction Industry Scheme leaves out of the `deduction`, None
    where the scheme does not come in. A credit note names the invoice it `credits` and why; its
    sums are negative.
    """

    number: int
    reference: str
    stage: PayStage
    work: str
    quote_revision: int
    customer: str
    bill_address: str
    business: bool
    issued: date
    tax_point: date
    due: date
    net: Decimal
    vat_pct: float | None = None
    vat: Decimal = NO_MONEY
    reverse: bool = False
    materials: Decimal | None = None
    cis_pct: float = 0.0
    deduction: Decimal = NO_MONEY
    credits: int | None = None
    because: str = ""

    @property
    def total(self) -> Decimal:
        """The total with the VAT that is charged."""
        return self.net if self.reverse else self.net + self.vat

    @property
    def to_pay(self) -> Decimal:
        """What the customer pays us: the total without what is deducted."""
        return self.total - self.deduction


def standing_invoices(invoices: Sequence[Invoice]) -> tuple[Invoice, ...]:
    """The invoices that no credit note has cancelled."""
    credited = {one.credits for one in invoices if one.credits is not None}
    return tuple(one for one in invoices if one.credits is None and one.number not in credited)


def paid_by(invoice: Invoice, note: EnquiryNote | None, on: date) -> tuple[Decimal, date | None]:
    """What has been paid of an invoice by a day, and when; all of it where no sum is noted."""
    deposit = invoice.stage is PayStage.DEPOSIT
    paid_on = (note.deposit_paid_on if deposit else note.paid_on) if note else None
    if note is None or paid_on is None or paid_on > on:
        return NO_MONEY, None
    some = None if deposit else note.paid
    return (invoice.to_pay if some is None else some), paid_on
