"""What the rows of a workbook tell of their jobs, for the memory of the register."""

from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path

from quotegen.model.enquiry import Enquiry
from quotegen.model.own.done import DoneRow
from quotegen.model.own.quoted import EnquiryNote, IssuedQuote
from quotegen.problems import Place, Problem, problem
from quotegen.reference.rule_keys import BeforeKey
from quotegen.register.store import FILE_NAME, Register, RegisterError


def note_jobs(out: Path, enquiries: Sequence[Enquiry], done: Sequence[DoneRow]) -> list[Problem]:
    """Keep in the register of a folder what the rows tell; nothing where nothing was issued."""
    if not (out / FILE_NAME).is_file():
        return []
    try:
        Register(out).note(job_notes(enquiries, done))
    except RegisterError as error:
        return [problem("register-blocked", Place(str(out / FILE_NAME)), str(error))]
    return []


def remember_past(out: Path, quotes: Sequence[IssuedQuote], notes: Sequence[EnquiryNote]) -> None:
    """Keep quotes of before a register, with what became of them; nothing where it has any."""
    try:
        register = Register(out)
        if not register.quotes():
            register.remember(quotes)
            register.note(notes)
    except RegisterError:
        return  # The first paper that is issued reports it.


def job_notes(enquiries: Sequence[Enquiry], done: Sequence[DoneRow]) -> Iterator[EnquiryNote]:
    """Each enquiry as its row tells it, with the last day of work that Done jobs has for it."""
    last: dict[str, date] = {}
    for row in done:
        last[row.ref] = max(last.get(row.ref, row.done_on), row.done_on)
    for enquiry in enquiries:
        yield EnquiryNote(
            reference=enquiry.ref,
            customer=enquiry.customer.name,
            customer_kind=enquiry.customer.kind,
            roof=enquiry.roof.kind,
            asked_on=enquiry.dated,
            accepted=enquiry.accepted,
            said_no=enquiry.said_no,
            answered_on=enquiry.answered_on,
            done_on=last.get(enquiry.ref),
            deposit_paid_on=deposit_paid_on(enquiry),
            paid_on=enquiry.paying.paid_on,
            paid=enquiry.paying.paid.money if enquiry.paying.paid else None,
        )


def deposit_paid_on(enquiry: Enquiry) -> date | None:
    """The day the deposit was paid, as the sheet Before the start says; None until it is."""
    rows = (row.done_on for row in enquiry.before if row.key is BeforeKey.DEPOSIT)
    return next(rows, None)
