"""Invoices, credit notes and accounts on paper: what the tax authority asks, and nothing untrue."""

from datetime import timedelta
from decimal import Decimal

import pytest

from quotegen.documents.paying.account import ACCOUNT
from quotegen.documents.paying.invoice import INVOICE, Bill
from quotegen.documents.printing.pdf import Rendered
from quotegen.model.choices import BuildUp, CustomerKind
from quotegen.model.enquiry import Customer, PayingFacts
from quotegen.model.own.invoiced import Invoice, PayStage
from quotegen.model.own.quoted import EnquiryNote, IssuedQuote, Offer
from quotegen.model.quote import Quote
from quotegen.paying.account import account_of
from quotegen.paying.stages import Accepted, credit_note, next_invoice
from quotegen.working import Scalar
from tests import builders
from tests.builders import TODAY
from tests.documents.conftest import HOSTILE, ISSUE, priced, text_of

DONE = TODAY + timedelta(days=14)
USUAL = PayingFacts(pays_under_cis=False)
REVERSE = PayingFacts(customer_vat=True, pays_under_cis=True, end_user=False)
VAT_NUMBER = "GB 000 0000 00"


def job_of(
    kind: CustomerKind = CustomerKind.LANDLORD,
    facts: PayingFacts = USUAL,
    name: str = "Knot & Plover",
    **firm: Scalar | None,
) -> Accepted:
    """A job accepted at 4,000 pounds without VAT, a quarter of it as the deposit."""
    customer = Customer(name, kind, "Unit 3, Ropewalk Yard")
    firm = {"vat_number": VAT_NUMBER, "bank_details": "sort code 00-00-00", **firm}
    quote = priced(builders.enquiry(customer=customer, paying=facts), **firm)
    total = Decimal("4800.00") if quote.settings.yes("vat_registered") else Decimal("4000.00")
    offer = Offer(BuildUp.NEW_DECK, Decimal("4000.00"), total, Decimal(1), total / 4)
    issued = IssuedQuote("T-01", 0, TODAY, TODAY + timedelta(days=30), (offer,))
    return Accepted(quote, issued, offer, done_on=DONE)


def both(job: Accepted) -> tuple[Invoice, Invoice]:
    first = next_invoice(job, PayStage.DEPOSIT, 7, TODAY, ())
    return first, next_invoice(job, PayStage.BALANCE, 8, DONE, (first,))


def bill_of(quote: Quote, one: Invoice, *before: Invoice) -> Rendered:
    whole = Decimal("4000.00")
    return INVOICE.make(Bill(one, quote.enquiry, quote.settings, whole, before), ISSUE, None)


def balance_text(job: Accepted) -> str:
    first, last = both(job)
    paper = bill_of(job.quote, last, first)
    assert (paper.warnings, paper.pages) == ((), 1)
    return text_of(paper)


def test_an_invoice_shows_what_a_vat_invoice_has_to() -> None:
    """VAT Notice 700, section 16.3, as HMRC's manual lists it (VATREC5010): number, time of supply,
    date of issue; name, address and VAT number of the supplier; name and address of the customer;
    description; extent of the service, rate and price without VAT; total without VAT; total VAT.
    """
    text = balance_text(job_of())
    for words in (
        "Invoice 8",
        "Tax point 9 December 2026",
        "Issued 9 December 2026",
        "Tern & Daughter Roofing",
        "1 Quay Lane, Mizzlehaven ZZ1 1ZZ",
        f"VAT number {VAT_NUMBER}",
        "Knot & Plover Unit 3 Ropewalk Yard",
        "New deck, extension roof, as in our quotation T-01, revision 0",
        "1 job, in part £3,000.00",
        "Total before VAT £3,000.00",
        "VAT at 20% £600.00",
        "Total with VAT £3,600.00",
        "To pay by Wednesday 23 December 2026 £3,600.00",
        "Invoice 7, deposit £1,000.00 This invoice, balance £3,000.00",
        "Price accepted before VAT £4,000.00",
    ):
        assert words in text, words
    assert "Construction Industry Scheme" not in text
    assert "everse charge" not in text


def test_a_firm_that_is_not_registered_shows_no_vat() -> None:
    text = balance_text(job_of(vat_registered=False))
    said = "No VAT is charged: the firm is not registered for VAT."
    assert said in text
    rest = text.replace(said, "")
    assert "VAT" not in rest
    assert "Tax point" not in rest
    assert "Total £3,000.00" in rest


def test_the_reverse_charge_names_the_sum_and_leaves_it_out() -> None:
    """VATREVCON37100: the words “reverse charge”, the VAT stated, and not in the VAT charged."""
    text = balance_text(job_of(CustomerKind.TRADE, REVERSE, cis_status="gross payment"))
    assert "VAT charged £0.00 Total £3,000.00 VAT at 20% for you to account for £600.00" in text
    assert "Reverse charge: customer to pay the VAT to HMRC." in text
    assert "To pay by Wednesday 23 December 2026 £3,000.00" in text


def test_the_scheme_shows_labour_materials_deduction_and_what_is_paid() -> None:
    job = job_of(CustomerKind.TRADE, REVERSE, cis_status="registered")
    _, last = both(job)
    text = balance_text(job)
    assert last.materials is not None
    labour = last.net - last.materials
    assert (
        f"Payment before VAT £3,000.00 Left out: materials and hire, at cost before VAT "
        f"£{last.materials:,.2f} Labour and everything else £{labour:,.2f} Deduction from that at "
        f"20% £{last.deduction:,.2f} Total above, less the deduction £{last.to_pay:,.2f}"
    ) in text


@pytest.mark.parametrize("kind", CustomerKind)
def test_only_a_business_is_told_what_paying_late_costs(kind: CustomerKind) -> None:
    """And none of it of a deposit, for which the law counts from the end of the work."""
    job = job_of(kind)
    first, last = both(job)
    told = "interest at 11.75% a year and a fixed £70.00"
    in_balance = told in text_of(bill_of(job.quote, last, first))
    assert in_balance is (kind is not CustomerKind.HOME_OWNER)
    assert "interest" not in text_of(bill_of(job.quote, first))


def test_a_credit_note_cancels_all_of_it_and_asks_for_nothing() -> None:
    """The wording of the reverse charge is HMRC's, VATREVCON39200."""
    job = job_of(CustomerKind.TRADE, REVERSE, cis_status="registered")
    _, last = both(job)
    note = credit_note(last, 9, DONE, "The roof at the back.")
    bill = Bill(note, job.quote.enquiry, job.quote.settings, credited=last)
    text = text_of(INVOICE.make(bill, ISSUE, None))
    assert "Credit note 9" in text
    assert "Cancels invoice 8 of 9 December 2026" in text
    assert "Why: The roof at the back." in text
    assert "customer to account for the output tax adjustment of £600.00 to HMRC" in text
    for words in ("To pay", "sort code", "statement of it", "interest"):
        assert words not in text


def test_a_deposit_that_came_before_its_invoice_is_not_asked_for_again() -> None:
    job = job_of()
    first, _ = both(job)
    bill = Bill(first, job.quote.enquiry, job.quote.settings, Decimal("4000.00"), (), TODAY)
    text = text_of(INVOICE.make(bill, ISSUE, None))
    assert "Paid on 25 November 2026 £1,200.00" in text
    assert "sort code" not in text
    assert "Still to be invoiced £3,000.00" in text


def account_text(job: Accepted, days: int, paid: str) -> str:
    enquiry = job.quote.enquiry
    note = EnquiryNote(
        "T-01", "", enquiry.customer.kind, enquiry.roof.kind, TODAY, done_on=DONE,
        deposit_paid_on=TODAY, paid_on=DONE, paid=Decimal(paid),
    )  # fmt: skip
    on = DONE + timedelta(days=days)
    account = account_of(enquiry, job.quote.settings, both(job), note, on)
    paper = ACCOUNT.make(account, ISSUE, None)
    assert paper.warnings == ()
    return text_of(paper)


def test_an_account_says_what_was_asked_paid_and_is_owed() -> None:
    """Of 2,600 at 11.75 % a day is 84p; 10 days are late."""
    text = account_text(job_of(), 24, "1000.00")
    assert "Invoice 7, deposit 25 November 2026 25 November 2026 £1,200.00 £1,200.00" in text
    assert "Owed on the invoices £2,600.00" in text
    assert "Invoice 8 is 10 days late: interest at 11.75% a year £8.40, fixed sum £70.00" in text
    assert "Owed with what paying late adds, £78.40 £2,678.40" in text
    at_home = account_text(job_of(CustomerKind.HOME_OWNER), 24, "1000.00")
    assert "late" in at_home
    assert "£2,600.00" in at_home
    assert "interest" not in at_home


def test_words_of_a_customer_are_only_words() -> None:
    job = job_of(name=HOSTILE)
    first, _ = both(job)
    html = INVOICE.html(Bill(first, job.quote.enquiry, job.quote.settings), ISSUE)
    assert "<script>" not in html
