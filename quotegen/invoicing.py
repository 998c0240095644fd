"""Issue invoices, credit notes and statements of account of a workbook's accepted jobs.

An invoice has its number from the register and is made while it holds the register, so that no two
have one number and none is left out. Nothing is printed; results come back as records.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date
from pathlib import Path

from msgspec import Struct

from quotegen import wording
from quotegen.demo.scenario import DemoInvoice
from quotegen.documents.paying.invoice import INVOICE, Bill, billed_words
from quotegen.documents.printing.templates import OwnTemplateError
from quotegen.making.drawing_up import not_usable
from quotegen.making.issuing import Issuer, Outcome
from quotegen.making.made_from import MadeFrom
from quotegen.making.noting import deposit_paid_on, note_jobs
from quotegen.making.papers import PayPaper
from quotegen.making.workers import Workers
from quotegen.model.enquiry import Enquiry
from quotegen.model.issue import Issue
from quotegen.model.own.invoiced import Invoice, PayStage, standing_invoices
from quotegen.model.settings import Settings
from quotegen.paying.account import account_of
from quotegen.paying.stages import (
    Accepted,
    credit_note,
    has_one_payment,
    is_past_tax_point,
    next_invoice,
)
from quotegen.pricing.tax import deducts_cis, tax_facts_missing
from quotegen.problems import Place, Problem, problem
from quotegen.reference.life import on_day
from quotegen.reference.loader import PublishedValue, figure
from quotegen.register.store import FILE_NAME, Numbering, Register, RegisterError
from quotegen.workbook.reading.enquiry_rows import BILL_LATER
from quotegen.working_out import Batch

_BUSINESS = "Business"


class Billed(Struct, frozen=True):
    """An invoice or a credit note that was issued, its file, and what is to be said of it.

    None of either where something stopped it.
    """

    problems: tuple[Problem, ...]
    invoice: Invoice | None = None
    path: Path | None = None
    layout_warnings: tuple[str, ...] = ()


def issue_invoice(batch: Batch, ref: str, stage: PayStage, out: Path, on: date) -> Billed:
    """Issue the invoice of a stage of an accepted job; an issued one is never made again."""
    worked = next((one for one in batch.worked if one.ref == ref), None)
    if worked is None or worked.enquiry is None or worked.quote is None:
        return Billed(())
    enquiry, quote = worked.enquiry, worked.quote
    found = _needed(enquiry, quote.settings)
    if found:
        return Billed(tuple(found))
    noted = note_jobs(out, batch.read.enquiries, batch.read.done)

    def made(numbering: Numbering, register: Register) -> tuple[Bill, list[Problem]] | Problem:
        issued = next((one for one in register.quotes() if one.reference == ref), None)
        offers = {offer.build_up: offer for offer in issued.offers} if issued else {}
        offer = offers.get(enquiry.accepted) if enquiry.accepted else None
        if issued is None or offer is None:
            return problem("invoice-no-quote", enquiry.place, str(enquiry.accepted), ref)
        done = [row.done_on for row in batch.read.done if row.ref.casefold() == ref.casefold()]
        job = Accepted(quote, issued, offer, deposit_paid_on(enquiry), max(done) if done else None)
        mine = [one for one in numbering.issued if one.reference == ref]
        standing = standing_invoices(mine)
        stopped = _stage_stopped(job, stage, standing, on)
        if stopped:
            return stopped
        invoice = next_invoice(job, stage, numbering.number, on, standing)
        if invoice.net <= 0:
            return problem("nothing-to-invoice", enquiry.place, stage, ref)
        paid_on = job.deposit_paid_on if stage is PayStage.DEPOSIT else None
        paid = paid_on if paid_on and paid_on <= on else None
        bill = Bill(invoice, enquiry, quote.settings, offer.net, standing, paid)
        return bill, list(_warned(job, on))

    return _issue(batch, quote.settings, ref, out, on, made, tuple(noted))


def cancel_invoice(batch: Batch, number: int, because: str, out: Path, on: date) -> Billed:
    """Issue the credit note that cancels an invoice; its stage can then be invoiced again."""
    settings = batch.read.settings
    if settings is None:
        return Billed(())

    def made(numbering: Numbering, _register: Register) -> tuple[Bill, list[Problem]] | Problem:
        standing = {one.number: one for one in standing_invoices(numbering.issued)}
        old = standing.get(number)
        rows = {one.ref: one for one in batch.read.enquiries}
        if old is None or old.reference not in rows:
            return problem("credit-not-possible", Place(str(out / FILE_NAME)), str(number))
        note = credit_note(old, numbering.number, on, because)
        return Bill(note, rows[old.reference], settings, credited=old), []

    return _issue(batch, settings, "", out, on, made)


def invoice_demo(batch: Batch, asked: Sequence[DemoInvoice], out: Path) -> list[str]:
    """Issue the demo's invoices, unless it has any, with the account of the last day; as lines."""
    if not asked or not (out / FILE_NAME).is_file() or Register(out).invoices():
        return []
    billed = [issue_invoice(batch, one.ref, one.stage, out, one.on) for one in asked]
    make_accounts(batch, out, asked[-1].on)
    return [billed_words(one.invoice) for one in billed if one.invoice]


def make_accounts(batch: Batch, out: Path, on: date) -> list[Outcome]:
    """Make the statement of account of each chosen job that has an invoice."""
    settings = batch.read.settings
    if settings is None or not (out / FILE_NAME).is_file():
        return []
    note_jobs(out, batch.read.enquiries, batch.read.done)
    register = Register(out)
    notes = {note.reference: note for note in register.notes()}
    invoices = register.invoices()
    issuer = Issuer(batch.folder, out, on, Workers(1))
    digest = MadeFrom(batch.folder, settings, batch.prices, on)
    outcomes = []
    for enquiry in (worked.enquiry for worked in batch.worked if worked.enquiry):
        account = account_of(enquiry, settings, invoices, notes.get(enquiry.ref), on)
        if account.lines or account.credited:
            made_from = digest.account(account)
            outcomes.append(issuer.begin(account, PayPaper.ACCOUNT, made_from)())
    return outcomes


_Made = Callable[[Numbering, Register], tuple[Bill, list[Problem]] | Problem]


def _issue(
    batch: Batch,
    settings: Settings,
    ref: str,
    out: Path,
    on: date,
    made: _Made,
    noted: tuple[Problem, ...] = (),
) -> Billed:
    """Have an invoice made under the next number, draw it, and put it in its place."""
    path = out / FILE_NAME
    try:
        register = Register(out)
        with register.invoicing(int(settings.number("first_invoice"))) as numbering:
            with on_day(on) as looked_up:
                found = made(numbering, register)
                if isinstance(found, Problem):
                    return Billed((*noted, found))
                bill, warned = found
                invoice = bill.invoice
                issue = Issue(invoice.reference, 0, invoice.issued)
                drawn = INVOICE.make(bill, issue, batch.folder)
            kind = "invoice" if invoice.credits is None else "credit-note"
            paper = f"{kind}-{invoice.number:04}"
            path = out / invoice.reference / f"{invoice.reference}-{paper}.pdf"
            if path.is_file():
                stray = problem("paper-not-entered", Place(str(path)), ref=invoice.reference)
                return Billed((*noted, stray))
            try:
                numbering.record(invoice, paper, f"{invoice.reference}/{path.name}", drawn.content)
            except OSError as error:
                seen = error.strerror or str(error)
                blocked = problem("output-blocked", Place(str(path)), seen, invoice.reference)
                return Billed((*noted, blocked))
    except OwnTemplateError as error:
        return Billed((*noted, not_usable(error, ref)))
    except RegisterError as error:
        return Billed((*noted, problem("register-blocked", Place(str(path)), str(error), ref)))
    old = _past_review(looked_up.values(), on)
    if old:
        place = bill.enquiry.place
        warned.append(
            problem("values-past-review", place, ", ".join(old), invoice.reference, number=len(old))
        )
    problems = (*noted, *warned, *drawn.problems)
    return Billed(problems, invoice, path, drawn.warnings)


def _needed(enquiry: Enquiry, settings: Settings) -> list[Problem]:
    """What stops an invoice: no yes, a tax fact nobody knows, something it has to show."""
    place, ref = enquiry.place, enquiry.ref
    if enquiry.accepted is None:
        return [problem("invoice-not-accepted", place, ref=ref)]
    found = []
    unknown = tax_facts_missing(enquiry, settings)
    if unknown:
        found.append(problem("tax-status-unknown", unknown, ref=ref))
    if enquiry.customer.bill_address == BILL_LATER:
        found.append(problem("invoice-needs", place, "the customer's address for the bill", ref))
    business = Place(place.book, _BUSINESS)
    if settings.yes("vat_registered") and not settings.text("vat_number"):
        found.append(problem("invoice-needs", business, "your VAT number", ref))
    if deducts_cis(enquiry) and not settings.text("cis_status"):
        words = "how you stand in the Construction Industry Scheme"
        found.append(problem("invoice-needs", business, words, ref))
    return found


def _stage_stopped(
    job: Accepted, stage: PayStage, standing: tuple[Invoice, ...], on: date
) -> Problem | None:
    """Why a stage cannot be invoiced: it is already, nothing is due, or something comes first."""
    enquiry = job.quote.enquiry
    place, ref = enquiry.place, enquiry.ref
    stages = {one.stage: one.number for one in standing}
    if stage in stages:
        return problem("stage-invoiced", place, stage, ref, number=stages[stage])
    if stage is PayStage.DEPOSIT:
        late = PayStage.BALANCE in stages
        return (
            problem("nothing-to-invoice", place, stage, ref)
            if late or has_one_payment(job)
            else None
        )
    if job.done_on is None or job.done_on > on:
        return problem("balance-before-done", place, ref=ref)
    paid_on = job.deposit_paid_on
    if paid_on and not has_one_payment(job) and PayStage.DEPOSIT not in stages:
        return problem("deposit-not-invoiced", place, wording.date(paid_on), ref)
    return None


def _warned(job: Accepted, on: date) -> Iterator[Problem]:
    """What is to be said of an invoice all the same."""
    enquiry, offer = job.quote.enquiry, job.offer
    now = job.quote.option(offer.build_up).totals.total.money
    if now != offer.total:
        yield problem(
            "invoice-not-as-quoted",
            enquiry.place,
            wording.money(now),
            enquiry.ref,
            revision=job.issued.revision,
            quoted=wording.money(offer.total),
        )
    if job.done_on and is_past_tax_point(job, on):
        days = wording.number(figure("vat.invoice_days", on).number)
        seen = wording.date(job.done_on)
        yield problem("tax-point-passed", enquiry.place, seen, enquiry.ref, days=days)


def _past_review(looked_up: Iterable[object], on: date) -> list[str]:
    """What an invoice rests on and was to be read again before it, in words."""
    values = [one for one in looked_up if isinstance(one, PublishedValue)]
    return sorted(
        {one.words for one in values if one.to_be_read_by is not None and one.to_be_read_by < on}
    )
