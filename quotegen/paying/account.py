"""The account of one job: its invoices, what was paid of each, and what is owed on a day."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from msgspec import Struct
from msgspec.structs import replace

from quotegen.model.enquiry import Enquiry
from quotegen.model.own.invoiced import NO_MONEY, Invoice, paid_by, standing_invoices
from quotegen.model.own.quoted import EnquiryNote
from quotegen.model.settings import Settings
from quotegen.paying.late import fixed_sum, interest_owed, last_day_in_time, late_pct
from quotegen.pricing.costs import money_total


class AccountLine(Struct, frozen=True):
    """One invoice on a day; `interest`, at `pct` a year, and `fixed` are what paying late adds."""

    invoice: Invoice
    paid: Decimal
    paid_on: date | None
    days_late: int
    pct: float = 0.0
    interest: Decimal = NO_MONEY
    fixed: Decimal = NO_MONEY

    @property
    def owed(self) -> Decimal:
        """What is unpaid of the invoice itself."""
        return self.invoice.to_pay - self.paid


class Account(Struct, frozen=True):
    """The account of a job on a day; `credited` are the invoices that are cancelled."""

    enquiry: Enquiry
    settings: Settings
    on: date
    lines: tuple[AccountLine, ...]
    credited: tuple[Invoice, ...]

    @property
    def ref(self) -> str:
        """The reference that its paper is filed under."""
        return self.enquiry.ref

    @property
    def owed(self) -> Decimal:
        """What is unpaid of all invoices."""
        return money_total([line.owed for line in self.lines])

    @property
    def late(self) -> Decimal:
        """What paying late adds."""
        return money_total([line.interest + line.fixed for line in self.lines])


def account_of(
    enquiry: Enquiry,
    settings: Settings,
    invoices: Sequence[Invoice],
    note: EnquiryNote | None,
    on: date,
) -> Account:
    """The account of a job on a day, from its invoices and the last note of its row."""
    mine = [one for one in invoices if one.reference == enquiry.ref and one.issued <= on]
    standing = standing_invoices(mine)
    lines = tuple(_line(invoice, note, on) for invoice in standing)
    credited = tuple(one for one in mine if one.credits is not None)
    return Account(enquiry, settings, on, lines, credited)


def _line(invoice: Invoice, note: EnquiryNote | None, on: date) -> AccountLine:
    paid, paid_on = paid_by(invoice, note, on)
    days_late = max((on - invoice.due).days, 0) if paid < invoice.to_pay else 0
    line = AccountLine(invoice, paid, paid_on, days_late)
    in_time = last_day_in_time(invoice, note.done_on if note else None)
    if in_time is None or on <= in_time:
        return line
    late = invoice.to_pay - paid if paid_on and paid_on <= in_time else invoice.to_pay
    if late <= 0:
        return line
    return replace(
        line,
        pct=late_pct(in_time),
        interest=interest_owed(invoice.to_pay, in_time, paid, paid_on, on),
        fixed=fixed_sum(late, on),
    )
