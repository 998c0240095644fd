"""The account of one job: its invoices, what was paid of each, and what is owed on a day."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from msgspec import Struct

from quotegen.model.enquiry import Enquiry
from quotegen.model.own.invoiced import Invoice, paid_by, standing_invoices
from quotegen.model.own.quoted import EnquiryNote
from quotegen.model.settings import Settings
from quotegen.paying.late import fixed_sum, interest_owed
from quotegen.pricing.costs import money_total


class AccountLine(Struct, frozen=True):
    """One invoice on a day; `interest` and `fixed` are what paying late adds, of a business."""

    invoice: Invoice
    paid: Decimal
    paid_on: date | None
    interest: Decimal
    fixed: Decimal
    days_late: int

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
    late = (on - invoice.due).days if paid < invoice.to_pay else 0
    return AccountLine(
        invoice=invoice,
        paid=paid,
        paid_on=paid_on,
        interest=interest_owed(invoice, paid, paid_on, on),
        fixed=fixed_sum(invoice, paid, paid_on, on),
        days_late=max(late, 0),
    )
