"""Tax and getting paid: invoices of accepted jobs, what stops them, and what paying late adds."""

import io
from collections.abc import Mapping
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from quotegen.cli.commands import cli
from quotegen.documents.owner.quotes_page import quotes_lines, quotes_view, quotes_workbook
from quotegen.invoicing import Billed, cancel_invoice, issue_invoice, make_accounts
from quotegen.learning.quotes_book import quotes_book
from quotegen.making.noting import note_jobs
from quotegen.making.offered import issued_quote
from quotegen.making.papers import Paper, ready_for
from quotegen.model.choices import BuildUp, CustomerKind
from quotegen.model.enquiry import Customer, PayingFacts
from quotegen.model.issue import Issue
from quotegen.model.own.invoiced import Invoice, PayStage, standing_invoices
from quotegen.model.own.quoted import EnquiryNote, IssuedQuote, Offer
from quotegen.model.quote import Quote
from quotegen.paying.account import account_of
from quotegen.paying.late import fixed_sum, late_interest, late_pct
from quotegen.paying.stages import Accepted, next_invoice
from quotegen.pricing.tax import VatTreatment, cis_deduction, tax_facts_missing, vat_treatment
from quotegen.reference.loader import figure
from quotegen.register.store import Register
from quotegen.units import PENCE_IN_POUND, pence
from quotegen.workbook.writing.blank import starting_rows
from quotegen.working import Scalar
from quotegen.working_out import Batch, work_out
from tests import builders
from tests.builders import TODAY
from tests.documents.conftest import priced
from tests.test_app import PRICE_ROWS, SURVEYED
from tests.workbook.books import FIRM, written, written_prices

DONE = TODAY + timedelta(days=14)
PLAIN: dict[str, Any] = {
    **SURVEYED, "build_ups": "new deck", "accepted": "new deck", "pays_under_cis": "no",
}  # fmt: skip
HALF = {"deposit_pct_business": 50, "vat_number": "GB 000 0000 00"}
BUILDER: dict[str, Any] = {
    **PLAIN, "customer_kind": "trade", "pays_under_cis": "yes", "customer_vat": "yes",
    "end_user": "no",
}  # fmt: skip


def batch_of(
    folder: Path,
    row: dict[str, Any] = PLAIN,
    *,
    done_on: date | None = DONE,
    deposit_on: date | None = None,
    firm: Mapping[str, Any] = HALF,
    quote_it: bool = True,
) -> Batch:
    """A workbook of one job, worked out, with its quote in the register unless told otherwise."""
    rows = starting_rows({**FIRM, **firm})
    rows["Enquiries"] = [row]
    if done_on:
        days: dict[str, Any] = {
            "ref": "T-01",
            "done_on": done_on,
            "what": "days on site",
            "amount": 2,
        }
        rows["Done jobs"] = [days]
    if deposit_on:
        rows["Before the start"] = [{"ref": "T-01", "key": "deposit", "done_on": deposit_on}]
    written_prices(folder / "prices" / "all.xlsx", PRICE_ROWS)
    batch = work_out(written(folder / "jobs.xlsx", rows), (), TODAY)
    ready = ready_for(batch.worked[0], batch.prices)
    if ready and quote_it:
        out = Register(folder / "papers")
        revision = len(out.quotes()) and out.quotes()[0].revision + 1
        quote = issued_quote(ready, Paper.QUOTE, Issue("T-01", revision, TODAY))
        assert quote is not None
        out.remember([quote])
    return batch


def bill(batch: Batch, stage: PayStage, on: date = DONE) -> Billed:
    return issue_invoice(batch, "T-01", stage, batch.folder / "papers", on)


def codes(billed: Billed) -> list[str]:
    return [one.code for one in billed.problems if one.stops]


def issued_in(batch: Batch) -> tuple[Invoice, ...]:
    return Register(batch.folder / "papers").invoices()


def accepted(net: str, total: str, deposit: str, quote: Quote | None = None) -> Accepted:
    """A job accepted at these sums, whatever it is priced at now."""
    quote = quote or priced(builders.enquiry())
    offer = Offer(BuildUp.NEW_DECK, Decimal(net), Decimal(total), Decimal(1), Decimal(deposit))
    issued = IssuedQuote("T-01", 0, TODAY, TODAY + timedelta(days=30), (offer,))
    return Accepted(quote, issued, offer, done_on=DONE)


def quote_for(kind: CustomerKind, facts: PayingFacts, **firm: Scalar | None) -> Quote:
    customer = Customer("Knot & Plover", kind, "Unit 3, Ropewalk Yard")
    return priced(builders.enquiry(customer=customer, paying=facts), **firm)


REVERSE = PayingFacts(customer_vat=True, pays_under_cis=True, end_user=False)


# Tax


@pytest.mark.parametrize(
    ("kind", "cis", "vat", "end_user", "becomes"),
    [
        (CustomerKind.HOME_OWNER, None, None, None, VatTreatment.CHARGED),
        (CustomerKind.TRADE, None, None, None, VatTreatment.ASK),
        (CustomerKind.TRADE, False, None, None, VatTreatment.CHARGED),
        (CustomerKind.TRADE, True, None, None, VatTreatment.ASK),
        (CustomerKind.TRADE, True, False, None, VatTreatment.CHARGED),
        (CustomerKind.TRADE, True, True, None, VatTreatment.ASK),
        (CustomerKind.TRADE, True, True, True, VatTreatment.CHARGED),
        (CustomerKind.TRADE, True, True, False, VatTreatment.REVERSE),
        (CustomerKind.LANDLORD, True, True, False, VatTreatment.REVERSE),
    ],
)
def test_the_reverse_charge_needs_every_fact(
    kind: CustomerKind,
    cis: bool | None,
    vat: bool | None,
    end_user: bool | None,
    becomes: VatTreatment,
) -> None:
    """As gov.uk lists them: How to use the VAT domestic reverse charge if you supply building and
    construction services.
    """
    facts = PayingFacts(customer_vat=vat, pays_under_cis=cis, end_user=end_user)
    quote = quote_for(kind, facts)
    assert vat_treatment(quote.enquiry, quote.settings) is becomes
    unknown = tax_facts_missing(quote.enquiry, quote.settings) is not None
    assert unknown is (becomes is VatTreatment.ASK)
    free = quote_for(kind, facts, vat_registered=False)
    assert vat_treatment(free.enquiry, free.settings) is VatTreatment.NONE


def test_under_the_reverse_charge_the_vat_is_shown_and_not_charged() -> None:
    """A bookkeeper's published example: work at 10,000 pounds, invoiced at 10,000 with 2,000 of VAT
    for the customer to account for. The wording is HMRC's, VATREVCON37100.
    """
    quote = quote_for(CustomerKind.TRADE, REVERSE, cis_status="gross payment")
    job = accepted("10000.00", "12000.00", "0.00", quote)
    made = next_invoice(job, PayStage.BALANCE, 1, DONE, ())
    assert (made.net, made.vat, made.total, made.to_pay) == (
        Decimal("10000.00"), Decimal("2000.00"), Decimal("10000.00"), Decimal("10000.00")
    )  # fmt: skip


@pytest.mark.parametrize(
    ("net", "materials", "pct", "deduction"),
    [
        # Elmpine Developments v HMRC [2020] UKFTT 351 (TC), paragraphs 1 and 2: 30 % of payments
        # in which no materials were shown.
        ("833820.00", "0.00", 30, "250146.00"),
        ("194050.00", "0.00", 30, "58215.00"),
        ("639770.00", "0.00", 30, "191931.00"),
        # A surveyors' course, Accounting Principles and Procedures: labour 100, materials 50; of
        # the 180 with VAT the subcontractor is paid 160.
        ("150.00", "50.00", 20, "20.00"),
        # gov.uk, CIS subcontractors, Get paid: no deduction with gross payment status.
        ("150.00", "50.00", 0, "0.00"),
    ],
)
def test_the_deduction_of_the_construction_industry_scheme(
    net: str, materials: str, pct: float, deduction: str
) -> None:
    assert cis_deduction(Decimal(net), Decimal(materials), pct) == Decimal(deduction)


@pytest.mark.parametrize(("status", "pct"), [("registered", 20), ("not registered", 30)])
def test_labour_alone_bears_the_deduction(status: str, pct: int) -> None:
    """CISR13070: the payment without VAT, less what the materials cost the firm without VAT."""
    facts = PayingFacts(customer_vat=False, pays_under_cis=True)
    quote = quote_for(CustomerKind.TRADE, facts, cis_status=status)
    job = accepted("2000.00", "2400.00", "600.00", quote)
    first = next_invoice(job, PayStage.DEPOSIT, 1, TODAY, ())
    last = next_invoice(job, PayStage.BALANCE, 2, DONE, (first,))
    cost = sum((line.material.money for line in quote.options[0].cost_lines), Decimal(0))
    assert first.materials is not None
    assert last.materials is not None
    assert first.materials + last.materials == cost
    for one in (first, last):
        labour = one.net - (one.materials or 0)
        assert one.deduction == pence(labour * pct / 100)
        assert one.to_pay == one.net + one.vat - one.deduction


@pytest.mark.parametrize(
    ("on", "pct"),
    [
        (date(2011, 1, 3), 17.5),
        (date(2011, 1, 4), 20),
        (date(2027, 3, 31), 20),
        (date(2027, 4, 1), 20),
    ],
)
def test_the_rate_of_vat_is_that_of_the_tax_point(on: date, pct: float) -> None:
    """17.5 % until 3 January 2011 and 20 % from the 4th (Finance (No. 2) Act 2010, section 3). The
    relief for insulation, which ends on 31 March 2027 (VAT Notice 708/6), is never applied.
    """
    asked = builders.enquiry(
        build_ups=(BuildUp.NEW_DECK_INSULATED,), insulation_mm=builders.given("i", 100.0, "mm")
    )
    job = replace(accepted("1000.00", "1200.00", "0.00", priced(asked)), done_on=on)
    offer = replace(job.offer, build_up=BuildUp.NEW_DECK_INSULATED)
    made = next_invoice(replace(job, offer=offer), PayStage.BALANCE, 1, on, ())
    assert (made.tax_point, made.vat_pct, made.vat) == (on, pct, Decimal(10) * as_number(pct))


def as_number(pct: float) -> Decimal:
    return Decimal(str(pct)).quantize(Decimal("0.01"))


def test_the_relief_for_insulation_ends_and_is_used_by_no_price() -> None:
    """VAT Notice 708/6: zero until 31 March 2027, then 5 %."""
    for on, pct in ((date(2027, 3, 31), 0), (date(2027, 4, 1), 5)):
        assert figure("vat.insulation_relief_pct", on).number == pct


# Stages


MONEY = st.integers(100, 5_000_000).map(lambda number: Decimal(number) / 100)


@settings(max_examples=60)
@given(net=MONEY, share=st.integers(0, 50), reverse=st.booleans(), registered=st.booleans())
def test_the_stages_add_up_to_the_price_accepted_to_the_penny(
    net: Decimal, share: int, reverse: bool, registered: bool
) -> None:
    facts = REVERSE if reverse else PayingFacts(pays_under_cis=False)
    quote = quote_for(
        CustomerKind.TRADE, facts, vat_registered=registered, cis_status="gross payment"
    )
    vat = pence(net / 5) if registered else Decimal(0)
    total = net + vat
    job = accepted(str(net), str(total), str(pence(total * share / 100)), quote)
    made: list[Invoice] = []
    for stage in PayStage if share else (PayStage.BALANCE,):
        made.append(next_invoice(job, stage, len(made) + 1, DONE, tuple(made)))
    assert sum(one.net for one in made) == net
    assert sum(one.vat for one in made) == vat
    paid = net if reverse and registered else total
    assert sum(one.to_pay for one in made) == paid
    if share and not reverse:
        assert made[0].total == job.deposit, "the deposit is the one the quote states"
    assert all(one.vat >= 0 for one in made)


@pytest.mark.usefixtures("undrawn")
def test_a_price_that_changes_after_the_deposit_moves_the_balance_alone(tmp_path: Path) -> None:
    """The deposit's invoice stays; the balance is the rest of the quote as issued last."""
    batch = batch_of(tmp_path)
    first = bill(batch, PayStage.DEPOSIT, TODAY).invoice
    dearer = batch_of(tmp_path, {**PLAIN, "width_mm": 3000})
    last = bill(dearer, PayStage.BALANCE).invoice
    assert first is not None
    assert last is not None
    (quote,) = Register(tmp_path / "papers").quotes()
    assert quote.revision == last.quote_revision == 1
    assert issued_in(dearer) == (first, last)
    assert first.net + last.net == quote.offers[0].net
    assert first.total + last.total == quote.offers[0].total


@pytest.mark.usefixtures("undrawn")
def test_a_workbook_that_has_moved_on_is_said_and_the_quote_holds(tmp_path: Path) -> None:
    """Two prices never both hold: the invoice goes by the quote as issued."""
    batch_of(tmp_path)
    moved = batch_of(tmp_path, {**PLAIN, "width_mm": 3000}, quote_it=False)
    billed = bill(moved, PayStage.BALANCE)
    assert "invoice-not-as-quoted" in [one.code for one in billed.problems]
    (quote,) = Register(tmp_path / "papers").quotes()
    assert billed.invoice is not None
    assert billed.invoice.total == quote.offers[0].total


# What stops an invoice


@pytest.mark.usefixtures("undrawn")
def test_a_stage_is_invoiced_once_until_a_credit_note_cancels_it(tmp_path: Path) -> None:
    batch = batch_of(tmp_path)
    out = tmp_path / "papers"
    assert bill(batch, PayStage.DEPOSIT, TODAY).invoice
    assert codes(bill(batch, PayStage.DEPOSIT, TODAY)) == ["stage-invoiced"]
    note = cancel_invoice(batch, 1, "wrong address", out, TODAY).invoice
    assert note is not None
    assert (note.number, note.credits, note.to_pay) == (2, 1, -issued_in(batch)[0].to_pay)
    assert codes(cancel_invoice(batch, 1, "again", out, TODAY)) == ["credit-not-possible"]
    assert codes(cancel_invoice(batch, 2, "a note", out, TODAY)) == ["credit-not-possible"]
    assert codes(cancel_invoice(batch, 9, "none", out, TODAY)) == ["credit-not-possible"]
    again = bill(batch, PayStage.DEPOSIT, TODAY).invoice
    assert again is not None
    assert [one.number for one in issued_in(batch)] == [1, 2, 3]
    assert standing_invoices(issued_in(batch)) == (again,)


@pytest.mark.usefixtures("undrawn")
@pytest.mark.parametrize(
    ("row", "how", "stage", "code"),
    [
        ({**PLAIN, "accepted": None}, {}, "balance", "invoice-not-accepted"),
        ({**PLAIN, "pays_under_cis": None}, {}, "balance", "tax-status-unknown"),
        (
            {**BUILDER, "end_user": None},
            {"firm": {**HALF, "cis_status": "registered"}},
            "balance",
            "tax-status-unknown",
        ),
        (BUILDER, {}, "balance", "invoice-needs"),
        (PLAIN, {"firm": {"vat_number": None}}, "balance", "invoice-needs"),
        (PLAIN, {"quote_it": False}, "balance", "invoice-no-quote"),
        (PLAIN, {"done_on": None}, "balance", "balance-before-done"),
        (PLAIN, {"done_on": DONE + timedelta(days=1)}, "balance", "balance-before-done"),
        (PLAIN, {"deposit_on": TODAY}, "balance", "deposit-not-invoiced"),
        (PLAIN, {"firm": {"vat_number": "GB 0"}}, "deposit", "nothing-to-invoice"),
    ],
)
def test_an_invoice_that_must_not_be(
    tmp_path: Path, row: Mapping[str, Any], how: dict[str, Any], stage: str, code: str
) -> None:
    """Nothing is numbered, and no file is left."""
    asked = {field: value for field, value in row.items() if value is not None}
    firm = {code: value for code, value in how.pop("firm", HALF).items() if value is not None}
    batch = batch_of(tmp_path, asked, firm=firm, **how)
    assert codes(bill(batch, PayStage(stage))) == [code]
    assert issued_in(batch) == ()
    assert not list(tmp_path.rglob("*.pdf"))


@pytest.mark.usefixtures("undrawn")
def test_a_deposit_is_not_invoiced_after_the_balance(tmp_path: Path) -> None:
    batch = batch_of(tmp_path)
    whole = bill(batch, PayStage.BALANCE).invoice
    (quote,) = Register(tmp_path / "papers").quotes()
    assert whole is not None
    assert whole.net == quote.offers[0].net, "nobody paid a deposit, so the balance is all of it"
    assert codes(bill(batch, PayStage.DEPOSIT)) == ["nothing-to-invoice"]


# Time of supply


@pytest.mark.usefixtures("undrawn")
def test_a_payment_before_the_invoice_is_the_tax_point(tmp_path: Path) -> None:
    """VAT Regulations 1995, regulation 93 (VATTOS9110): the earlier of payment and invoice."""
    batch = batch_of(tmp_path, deposit_on=TODAY)
    deposit = bill(batch, PayStage.DEPOSIT, TODAY + timedelta(days=3)).invoice
    balance = bill(batch, PayStage.BALANCE, DONE + timedelta(days=40)).invoice
    assert deposit is not None
    assert balance is not None
    assert deposit.tax_point == TODAY
    assert balance.tax_point == DONE + timedelta(days=40), "stages: the invoice, however late"


@pytest.mark.parametrize(("days", "moved"), [(0, 0), (14, 14), (15, 0)])
def test_a_single_payment_invoiced_in_14_days_has_its_tax_point_then(days: int, moved: int) -> None:
    """Value Added Tax Act 1994, section 6(5), from memory: else the day the work was done."""
    job = accepted("1000.00", "1200.00", "0.00")
    made = next_invoice(job, PayStage.BALANCE, 1, DONE + timedelta(days=days), ())
    assert made.tax_point == DONE + timedelta(days=moved)


# Paying late


def test_interest_of_the_worked_example() -> None:
    """gov.uk, Late commercial payments: 1,000 pounds, Bank Rate 0.5 %: 23p a day, 11.50 in 50."""
    assert late_interest(Decimal("1000.00"), 8 + 0.5, 1, 365) == Decimal("0.23")
    assert late_interest(Decimal("1000.00"), 8 + 0.5, 50, 365) == Decimal("11.50")
    # East Sussex's page on court claims: 1,000 pounds at 8 %, 22p a day, 11 pounds in 50 days.
    assert late_interest(Decimal("1000.00"), 8, 50, 365) == Decimal("11.00")


@pytest.mark.parametrize(
    ("in_time", "pct"),
    [
        (date(2024, 12, 30), 13.25),
        (date(2024, 12, 31), 12.75),
        (date(2025, 6, 29), 12.75),
        (date(2025, 6, 30), 12.25),
        (date(2025, 12, 31), 11.75),
        (date(2026, 11, 30), 11.75),
    ],
)
def test_the_rate_is_that_of_the_half_year_in_which_interest_starts(
    in_time: date, pct: float
) -> None:
    """8 % over Bank Rate on 30 June 2024 (5.25 %), 31 December 2024 (4.75 %), 30 June 2025
    (4.25 %) and 31 December 2025 (3.75 %): SI 2002/1675; the Bank's decisions as reported.
    """
    assert late_pct(in_time) == pct


@pytest.mark.parametrize(
    ("debt", "fixed"),
    [("999.99", "40"), ("1000.00", "70"), ("9999.99", "70"), ("10000.00", "100"), ("0.01", "40")],
)
def test_the_fixed_sum_by_the_size_of_the_debt(debt: str, fixed: str) -> None:
    """Late Payment of Commercial Debts (Interest) Act 1998, section 5A (mygov.scot's table)."""
    assert fixed_sum(Decimal(debt), TODAY) == Decimal(fixed)


def invoice(kind: CustomerKind, stage: PayStage) -> Invoice:
    business = kind is not CustomerKind.HOME_OWNER
    return Invoice(
        1, "T-01", stage, "new deck", 0, "Ms E. Example", "", business, TODAY, TODAY, TODAY,
        Decimal("1000.00"),
    )  # fmt: skip


def late_lines(one: Invoice, on: date, **noted: Any) -> list[tuple[str, str, int]]:
    quote = priced(builders.enquiry())
    kind = CustomerKind.LANDLORD
    roof = quote.enquiry.roof.kind
    note = EnquiryNote("T-01", "Ms E. Example", kind, roof, TODAY, BuildUp.NEW_DECK, **noted)
    account = account_of(quote.enquiry, quote.settings, (one,), note, on)
    return [(str(line.interest), str(line.fixed), line.days_late) for line in account.lines]


def test_a_consumer_owes_nothing_for_paying_late() -> None:
    """The Act is for contracts in which both act for a business (section 2)."""
    on = TODAY + timedelta(days=400)
    for stage in PayStage:
        late = late_lines(invoice(CustomerKind.HOME_OWNER, stage), on, done_on=TODAY)
        assert late == [("0.00", "0.00", 400)]


def test_a_business_owes_interest_and_the_fixed_sum_from_the_day_after() -> None:
    """At 11.75 % a day of 1,000 pounds is 32p: 1000 x 0.1175 / 365 = 0.3219."""
    one = invoice(CustomerKind.LANDLORD, PayStage.BALANCE)
    assert late_lines(one, TODAY) == [("0.00", "0.00", 0)]
    assert late_lines(one, TODAY + timedelta(days=1)) == [("0.32", "70.00", 1)]
    ten = TODAY + timedelta(days=10)
    assert late_lines(one, ten) == [("3.20", "70.00", 10)]
    # Half is paid in time: interest and the fixed sum are on the rest alone, 16p a day.
    half = {"paid_on": TODAY, "paid": Decimal("500.00")}
    assert late_lines(one, ten, **half) == [("1.60", "40.00", 10)]
    # All is paid 4 days late: 4 days' interest, and it grows no more.
    assert late_lines(one, ten, paid_on=TODAY + timedelta(days=4)) == [("1.28", "70.00", 0)]
    assert late_lines(one, ten, paid_on=TODAY) == [("0.00", "0.00", 0)]


def test_a_late_deposit_bears_interest_only_from_the_end_of_the_work() -> None:
    """Late Payment of Commercial Debts (Interest) Act 1998, section 11(4): an advance payment."""
    one = invoice(CustomerKind.LANDLORD, PayStage.DEPOSIT)
    on = TODAY + timedelta(days=20)
    assert late_lines(one, on) == [("0.00", "0.00", 20)]
    done = TODAY + timedelta(days=15)
    assert late_lines(one, on, done_on=done) == [("1.60", "70.00", 20)]


# The book and the register


@pytest.mark.usefixtures("undrawn")
def test_the_book_adds_up_to_what_the_register_owes_to_the_penny(tmp_path: Path) -> None:
    """pandas adds up the book, SQLite the register; on each day, paid and unpaid."""
    row = {**PLAIN, "paid_on": DONE + timedelta(days=10), "paid": 123.45}
    batch = batch_of(tmp_path, row, deposit_on=TODAY)
    bill(batch, PayStage.DEPOSIT, TODAY)
    bill(batch, PayStage.BALANCE)
    cancel_invoice(batch, 2, "wrong roof", tmp_path / "papers", DONE + timedelta(days=2))
    bill(batch, PayStage.BALANCE, DONE + timedelta(days=3))
    note_jobs(tmp_path / "papers", batch.read.enquiries, batch.read.done)
    register = Register(tmp_path / "papers")
    deposit, first, _, second = register.invoices()
    for days, owed in ((-14, 0), (0, first.to_pay), (2, 0), (3, second.to_pay)):
        on = DONE + timedelta(days=days)
        book = quotes_book(register.quotes(), register.notes(), on, register.invoices())
        assert book.owed == register.owed(on) == owed, on
    on = DONE + timedelta(days=60)
    book = quotes_book(register.quotes(), register.notes(), on, register.invoices())
    rest = second.to_pay - Decimal("123.45")
    assert book.owed == book.overdue == register.owed(on) == rest
    paid = Decimal(int(book.invoices["paid_pence"].sum())) / PENCE_IN_POUND
    assert paid == deposit.to_pay + Decimal("123.45")
    content = quotes_workbook(book, "Tern & Daughter")
    sheet = pd.read_excel(io.BytesIO(content), sheet_name="Invoices", header=2)
    assert list(sheet["Number"]) == [1, 2, 3, 4]
    assert Decimal(str(round(sheet["Owed"].sum(), 2))) == rest
    (owed_line,) = quotes_view(book).unpaid
    assert (owed_line.number, owed_line.owed, owed_line.late) == (
        "4",
        f"£{rest:,.2f}",
        "43 days late",
    )
    assert f"{owed_line.owed}  due {owed_line.due}  43 days late" in "\n".join(quotes_lines(book))


def test_the_commands_issue_cancel_and_add_up(tmp_path: Path) -> None:
    batch_of(tmp_path)
    book = str(tmp_path / "jobs.xlsx")
    on = ("--on", DONE.isoformat())
    runner = CliRunner()
    assert "No invoice" in runner.invoke(cli, ["account", book, *on]).stdout
    asked = ["invoice", book, "balance", "--ref", "t-01", *on]
    made = runner.invoke(cli, asked)
    assert made.exit_code == 0, made.output
    assert "Invoice 1 to Ms R. Petrel, T-01, balance: £" in made.stdout
    assert (tmp_path / "papers" / "T-01" / "T-01-invoice-0001.pdf").is_file()
    again = runner.invoke(cli, asked)
    assert again.exit_code == 1
    assert "the balance is invoiced already, on invoice 1" in " ".join(again.stderr.split())
    told = runner.invoke(cli, ["account", book, *on])
    assert told.exit_code == 0, told.output
    credit = runner.invoke(cli, ["credit", book, "1", "--because", "Wrong roof.", *on])
    assert "Credit note 2 to Ms R. Petrel" in credit.stdout
    assert (tmp_path / "papers" / "T-01" / "T-01-credit-note-0002.pdf").is_file()
    assert runner.invoke(cli, ["invoice", book, "balance", *on]).exit_code == 2
    assert runner.invoke(cli, ["credit", book, "7", "--because", "No.", *on]).exit_code == 1


@pytest.mark.usefixtures("undrawn")
def test_an_account_says_the_same_until_something_changes(tmp_path: Path) -> None:
    batch = batch_of(tmp_path)
    out = tmp_path / "papers"
    bill(batch, PayStage.DEPOSIT, TODAY)
    states = [make_accounts(batch, out, TODAY)[0].state for _ in range(2)]
    assert [str(state) for state in states] == ["made", "unchanged"]
