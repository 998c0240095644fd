"""An invoice, or the credit note that cancels one, as a PDF of one page."""

from collections.abc import Mapping
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from msgspec import Struct

from quotegen import wording
from quotegen.documents.customer.quote_notes import NO_VAT
from quotegen.documents.printing.design import Design
from quotegen.documents.printing.paper import PaperFrame, PictureBox, in_lines
from quotegen.model.enquiry import Enquiry
from quotegen.model.issue import Issue
from quotegen.model.own.invoiced import Invoice, PayStage
from quotegen.model.settings import Settings
from quotegen.paying.late import fixed_sum, late_pct
from quotegen.phrases import capital
from quotegen.reference.loader import entry


class Bill(Struct, frozen=True):
    """An invoice with what its paper shows besides: the accepted price, and what came before.

    `whole_net` is the accepted price without VAT, None on a credit note; `before` are the invoices
    of the job that stand, without this one. `paid_on` is the day of a payment that came before the
    invoice, `credited` the invoice that a credit note cancels.
    """

    invoice: Invoice
    enquiry: Enquiry
    settings: Settings
    whole_net: Decimal | None = None
    before: tuple[Invoice, ...] = ()
    paid_on: date | None = None
    credited: Invoice | None = None


class BillRow(Struct, frozen=True):
    """A label with an amount; `strong` sums up those above."""

    words: str
    amount: str
    strong: bool = False


class BillView(Struct, frozen=True):
    """Everything the template shows except the frame and the firm's head."""

    title: str
    reference: str
    dates: tuple[str, ...]
    customer: str
    bill_address: str
    site_address: str
    work: str
    extent: str
    priced: str
    net: str
    sums: tuple[BillRow, ...]
    notes: tuple[str, ...]
    scheme: tuple[BillRow, ...]
    stages: tuple[BillRow, ...]
    is_credit: bool
    to_pay: str
    heading: str
    how: str
    late: str
    mistake: str


_NAMES: Mapping[PayStage, str] = {
    PayStage.DEPOSIT: "Deposit, due on acceptance",
    PayStage.BALANCE: "Balance",
}


def bill_view(bill: Bill) -> BillView:
    """The invoice in ready words."""
    invoice, settings = bill.invoice, bill.settings
    is_credit = invoice.credits is not None
    owed = not is_credit and bill.paid_on is None
    bank = settings.text("bank_details")
    return BillView(
        title=bill_title(invoice),
        reference=f"{invoice.reference}, {invoice.stage}",
        dates=_dates(bill),
        customer=invoice.customer,
        bill_address=in_lines(invoice.bill_address),
        site_address=in_lines(bill.enquiry.site_address),
        work=_work(bill),
        extent="1 job" if bill.whole_net == invoice.net else "1 job, in part",
        priced=_before_vat("Price", invoice),
        net=wording.money(invoice.net),
        sums=tuple(_sums(invoice)),
        notes=tuple(_notes(invoice)),
        scheme=tuple(_scheme(invoice)),
        stages=() if is_credit else _stages(bill),
        is_credit=is_credit,
        to_pay=wording.money(abs(invoice.to_pay)),
        heading=_heading(bill),
        how=f"Pay into {bank}. Reference: invoice {invoice.number}." if bank and owed else "",
        late=_late_words(invoice) if owed else "",
        mistake=""
        if is_credit
        else "Is anything wrong? Tell us. An invoice is never changed: we cancel it with a credit "
        "note and send another.",
    )


def bill_title(invoice: Invoice) -> str:
    """What the paper is called, with its number."""
    return f"{'Invoice' if invoice.credits is None else 'Credit note'} {invoice.number}"


def billed_words(invoice: Invoice) -> str:
    """What was issued, in a line.

    >>> from datetime import date
    >>> day, net = date(2026, 11, 25), Decimal("750.00")
    >>> stage, whom = PayStage.DEPOSIT, "Ms E. Example"
    >>> print(billed_words(Invoice(7, "R-1", stage, "", 0, whom, "", False, day, day, day, net)))
    Invoice 7 to Ms E. Example, R-1, deposit: £750.00, due 25 November 2026.
    """
    due = f", due {wording.date(invoice.due)}" if invoice.credits is None else ""
    what = f"{invoice.reference}, {invoice.stage}: {wording.money(invoice.to_pay)}"
    return f"{bill_title(invoice)} to {invoice.customer}, {what}{due}."


def _heading(bill: Bill) -> str:
    """What becomes of the sum: asked for, paid already, or given back."""
    if bill.credited:
        return "Taken off what you owe us, or paid back"
    if bill.paid_on:
        return f"Paid on {wording.date(bill.paid_on)}"
    return f"To pay by {wording.long_day(bill.invoice.due)}"


def _dates(bill: Bill) -> tuple[str, ...]:
    invoice = bill.invoice
    issued = f"Issued {wording.date(invoice.issued)}"
    if bill.credited:
        old = bill.credited
        return (issued, f"Cancels invoice {old.number} of {wording.date(old.issued)}")
    if invoice.vat_pct is None:
        return (issued,)
    return (issued, f"Tax point {wording.date(invoice.tax_point)}")


def _work(bill: Bill) -> str:
    """What is invoiced, so that nobody takes it for another job."""
    invoice = bill.invoice
    quoted = f"our quotation {invoice.reference}, revision {invoice.quote_revision}"
    work = f"{capital(invoice.work)}, as in {quoted}"
    if bill.credited:
        return f"{work}: the {invoice.stage}, all of it. Why: {invoice.because}"
    if bill.whole_net == invoice.net:
        return f"{work}: the whole price"
    return f"{_NAMES[invoice.stage]}. {work}"


def _sums(invoice: Invoice) -> list[BillRow]:
    if invoice.vat_pct is None:
        return [BillRow("Total", wording.money(invoice.total), strong=True)]
    rate = wording.percent(invoice.vat_pct)
    net = BillRow("Total before VAT", wording.money(invoice.net))
    if invoice.reverse:
        return [
            net,
            BillRow("VAT charged", wording.money(Decimal("0.00"))),
            BillRow("Total", wording.money(invoice.total), strong=True),
            BillRow(f"VAT at {rate} for you to account for", wording.money(invoice.vat)),
        ]
    return [
        net,
        BillRow(f"VAT at {rate}", wording.money(invoice.vat)),
        BillRow("Total with VAT", wording.money(invoice.total), strong=True),
    ]


def _before_vat(words: str, invoice: Invoice) -> str:
    """A label of a sum without VAT; where none is charged, nothing is said of it."""
    return words if invoice.vat_pct is None else f"{words} before VAT"


def _notes(invoice: Invoice) -> list[str]:
    if invoice.vat_pct is None:
        return [NO_VAT]
    if invoice.reverse and invoice.credits is not None:
        words = entry("vat.reverse_charge_credit_words", invoice.tax_point).value
        return [f"{words.replace('{amount}', wording.money(-invoice.vat))}."]
    if invoice.reverse:
        words = entry("vat.reverse_charge_words", invoice.tax_point).value
        return [f"{words}. It is not in the total."]
    return []


def _scheme(invoice: Invoice) -> list[BillRow]:
    """The sums of the Construction Industry Scheme: both of them, and what lies between."""
    if invoice.materials is None:
        return []
    money, rate = wording.money, wording.percent(invoice.cis_pct)
    return [
        BillRow(_before_vat("Payment", invoice), money(invoice.net)),
        BillRow(
            _before_vat("Left out: materials and hire, at cost", invoice), money(invoice.materials)
        ),
        BillRow("Labour and everything else", money(invoice.net - invoice.materials)),
        BillRow(f"Deduction from that at {rate}", money(invoice.deduction)),
        BillRow("Total above, less the deduction", money(invoice.to_pay), strong=True),
    ]


def _stages(bill: Bill) -> tuple[BillRow, ...]:
    """How the stages make the accepted price, without VAT; empty where there is one stage."""
    invoice = bill.invoice
    if bill.whole_net is None or bill.whole_net == invoice.net:
        return ()
    before = [
        BillRow(f"Invoice {one.number}, {one.stage}", wording.money(one.net)) for one in bill.before
    ]
    done = sum((one.net for one in bill.before), Decimal("0.00"))
    rest = bill.whole_net - done - invoice.net
    after = [BillRow("Still to be invoiced", wording.money(rest))] if rest else []
    return (
        *before,
        BillRow(f"This invoice, {invoice.stage}", wording.money(invoice.net)),
        *after,
        BillRow(_before_vat("Price accepted", invoice), wording.money(bill.whole_net), strong=True),
    )


def _late_words(invoice: Invoice) -> str:
    """What paying late costs a business; nothing of it is said to anybody else, or of a deposit,
    for which the law counts from the end of the work.
    """
    if not invoice.business or invoice.stage is PayStage.DEPOSIT:
        return ""
    late_from = invoice.due + timedelta(days=1)
    pct, fixed = late_pct(invoice.due), fixed_sum(invoice.to_pay, late_from)
    return (
        f"If it is unpaid on {wording.date(late_from)} the law gives us interest at "
        f"{wording.plain(pct)}% a year and a fixed {wording.money(fixed)} (Late Payment of "
        "Commercial Debts (Interest) Act 1998)."
    )


class _BillDesign(Design[Bill], frozen=True):
    """As every paper, but under its number: it has no revisions."""

    def framed(self, subject: Bill, issue: Issue) -> PaperFrame:
        """The title and marks of the paper."""
        invoice, firm = subject.invoice, subject.settings.text("firm_name")
        title = bill_title(invoice)
        return PaperFrame(
            language=wording.LANGUAGE,
            kind=self.title,
            title=f"{title}, {issue.reference}",
            description=f"{title} from {firm} to {invoice.customer}",
            author=firm,
            dated=invoice.issued.isoformat(),
            mark=f"{firm} · {title} · {issue.reference} · {wording.date(invoice.issued)}",
        )


def _fill(bill: Bill, _issue: Issue, _box: PictureBox) -> Mapping[str, Any]:
    return {"bill": bill_view(bill)}


INVOICE = _BillDesign(
    "Invoice",
    "paying/invoice.html",
    lambda bill: (bill.enquiry, bill.settings),
    _fill,
)
