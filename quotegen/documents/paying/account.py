"""The statement of account of a job as a PDF: what was invoiced, paid, and is owed."""

from collections.abc import Iterator, Mapping
from typing import Any

from msgspec import Struct

from quotegen import wording
from quotegen.documents.paying.invoice import bill_title
from quotegen.documents.printing.design import Design
from quotegen.documents.printing.paper import PictureBox, in_lines
from quotegen.model.issue import Issue
from quotegen.paying.account import Account, AccountLine


class AccountRow(Struct, frozen=True):
    """One invoice in words; `late` says since when and what that adds, empty if it does not."""

    what: str
    issued: str
    due: str
    asked: str
    paid: str
    paid_on: str
    owed: str
    late: str


class AccountView(Struct, frozen=True):
    """Everything the statement shows except the head."""

    reference: str
    on: str
    customer: str
    bill_address: str
    site_address: str
    rows: tuple[AccountRow, ...]
    owed: str
    adds: str
    together: str
    credited: tuple[str, ...]
    after_deduction: bool


def account_view(account: Account) -> AccountView:
    """The account in ready words."""
    customer = account.enquiry.customer
    return AccountView(
        reference=account.ref,
        on=wording.date(account.on),
        customer=customer.name,
        bill_address=in_lines(customer.bill_address),
        site_address=in_lines(account.enquiry.site_address),
        rows=tuple(map(_row, account.lines)),
        owed=wording.money(account.owed),
        adds=wording.money(account.late) if account.late else "",
        together=wording.money(account.owed + account.late),
        credited=tuple(_credited(account)),
        after_deduction=any(line.invoice.deduction for line in account.lines),
    )


def _row(line: AccountLine) -> AccountRow:
    invoice = line.invoice
    return AccountRow(
        what=f"{bill_title(invoice)}, {invoice.stage}",
        issued=wording.date(invoice.issued),
        due=wording.date(invoice.due),
        asked=wording.money(invoice.to_pay),
        paid=wording.money(line.paid) if line.paid_on else "",
        paid_on=wording.date(line.paid_on) if line.paid_on else "",
        owed=wording.money(line.owed),
        late=_late(line),
    )


def _late(line: AccountLine) -> str:
    """How late an invoice is, and of a business what that adds."""
    days, number = wording.count(line.days_late, "day", "days"), line.invoice.number
    said = f"Invoice {number} is {days} late" if line.days_late else ""
    if not line.fixed:
        return said
    rate = f"{wording.plain(line.pct)}%"
    adds = (
        f"interest at {rate} a year {wording.money(line.interest)}, "
        f"fixed sum {wording.money(line.fixed)}"
    )
    return f"{said or f'Invoice {number} was paid late'}: {adds}"


def _credited(account: Account) -> Iterator[str]:
    for note in account.credited:
        yield f"Credit note {note.number} cancels invoice {note.credits}: {note.because}"


def _fill(account: Account, _issue: Issue, _box: PictureBox) -> Mapping[str, Any]:
    return {"account": account_view(account)}


ACCOUNT = Design(
    "Statement of account",
    "paying/account.html",
    lambda account: (account.enquiry, account.settings),
    _fill,
)
