"""The next invoice of an accepted job: its stage of the price, VAT by the day, and the deduction.

The accepted price, and the deposit in it, are those of the quote as it was issued.
"""

from datetime import date, timedelta
from decimal import Decimal

from msgspec import Struct
from msgspec.structs import replace

from quotegen.model.choices import CustomerKind
from quotegen.model.own.invoiced import NO_MONEY, Invoice, PayStage
from quotegen.model.own.quoted import IssuedQuote, Offer
from quotegen.model.quote import Quote
from quotegen.pricing.costs import money_total
from quotegen.pricing.money import deposit_and_balance, less, percentage_of
from quotegen.pricing.tax import (
    RATE_OF_STATUS,
    CisStatus,
    VatTreatment,
    cis_deduction,
    deducts_cis,
    net_of,
    vat_treatment,
)
from quotegen.reference.loader import figure
from quotegen.units import Unit
from quotegen.working import chosen


class Accepted(Struct, frozen=True):
    """What an invoice goes by: the quote as priced now, and as it was issued, with its offer.

    `deposit_paid_on` and `done_on` are the days of the payment and of the last work, None where
    unknown.
    """

    quote: Quote
    issued: IssuedQuote
    offer: Offer
    deposit_paid_on: date | None = None
    done_on: date | None = None

    @property
    def deposit(self) -> Decimal:
        """The deposit that the quote states [GBP]."""
        if self.offer.deposit is not None:
            return self.offer.deposit
        home_owner = self.quote.enquiry.customer.kind is CustomerKind.HOME_OWNER
        total = chosen("total", self.offer.total, Unit.GBP, "the quote as issued")
        return deposit_and_balance(total, self.quote.settings, home_owner)[0].money


def next_invoice(
    job: Accepted, stage: PayStage, number: int, on: date, standing: tuple[Invoice, ...]
) -> Invoice:
    """The invoice of a stage; `standing` are those of the job that no credit note has cancelled.

    The balance is what the others leave of the accepted price without VAT, so that all of them add
    up to it to the penny.
    """
    enquiry, settings, offer = job.quote.enquiry, job.quote.settings, job.offer
    business = enquiry.customer.kind is not CustomerKind.HOME_OWNER
    materials = _materials(job)
    if stage is PayStage.DEPOSIT:
        net = net_of(job.deposit, offer.net, offer.total)
        materials = net_of(materials, net, offer.net)
    else:
        net = offer.net - money_total([one.net for one in standing])
        materials -= money_total([one.materials or NO_MONEY for one in standing])
    invoice = Invoice(
        number=number,
        reference=enquiry.ref,
        stage=stage,
        work=f"{offer.build_up}, {enquiry.roof.kind} roof",
        quote_revision=job.issued.revision,
        customer=enquiry.customer.name,
        bill_address=enquiry.customer.bill_address,
        business=business,
        issued=on,
        tax_point=_tax_point(job, stage, on),
        due=_due(job, stage, on),
        net=net,
    )
    invoice = _with_vat(invoice, job, standing)
    if not deducts_cis(enquiry):
        return invoice
    status = CisStatus(settings.text("cis_status"))
    pct = figure(RATE_OF_STATUS[status], on).number
    materials = min(materials, net)
    return replace(
        invoice, materials=materials, cis_pct=pct, deduction=cis_deduction(net, materials, pct)
    )


def credit_note(invoice: Invoice, number: int, on: date, because: str) -> Invoice:
    """The credit note that cancels an invoice whole."""
    return replace(
        invoice,
        number=number,
        issued=on,
        due=on,
        net=-invoice.net,
        vat=-invoice.vat,
        materials=None if invoice.materials is None else -invoice.materials,
        deduction=-invoice.deduction,
        credits=invoice.number,
        because=because,
    )


def has_one_payment(job: Accepted) -> bool:
    """Whether the quote asks for a single payment: no deposit, so no stages."""
    return job.deposit == 0


def is_past_tax_point(job: Accepted, on: date) -> bool:
    """Whether a single payment is invoiced too late for the tax point to move to the invoice."""
    days = timedelta(days=figure("vat.invoice_days", on).number)
    return has_one_payment(job) and job.done_on is not None and on > job.done_on + days


def _tax_point(job: Accepted, stage: PayStage, on: date) -> date:
    """The earlier of the invoice and the payment; of a single payment invoiced late, the work.

    Source: VAT Regulations 1995, regulation 93 (HMRC's manual, VATTOS9110 and 9115); Value Added
    Tax Act 1994, section 6.
    """
    deposit = stage is PayStage.DEPOSIT
    paid_on = job.deposit_paid_on if deposit else job.quote.enquiry.paying.paid_on
    if not deposit and job.done_on is not None and is_past_tax_point(job, on):
        return min(job.done_on, paid_on or job.done_on)
    return min(on, paid_on or on)


def _due(job: Accepted, stage: PayStage, on: date) -> date:
    """A deposit is due at once; the rest within the days that the quote gives."""
    if stage is PayStage.DEPOSIT:
        return on
    home_owner = job.quote.enquiry.customer.kind is CustomerKind.HOME_OWNER
    code = "balance_days" if home_owner else "balance_days_business"
    return on + timedelta(days=job.quote.settings.number(code))


def _with_vat(invoice: Invoice, job: Accepted, standing: tuple[Invoice, ...]) -> Invoice:
    """VAT at the rate of the tax point.

    Where that is the rate of the quote, its VAT too is shared out to the penny.
    """
    treatment = vat_treatment(job.quote.enquiry, job.quote.settings)
    if treatment is VatTreatment.NONE:
        return invoice
    rate = figure("vat.standard_rate_pct", invoice.tax_point).number
    vat = percentage_of(invoice.net, rate)
    as_quoted = percentage_of(job.offer.net, rate) == less(job.offer.total, job.offer.net)
    if as_quoted and invoice.stage is PayStage.DEPOSIT:
        vat = job.deposit - invoice.net
    elif as_quoted and all(one.vat_pct == rate for one in standing):
        others = money_total([one.vat for one in standing])
        vat = job.offer.total - job.offer.net - others
    return replace(invoice, vat_pct=rate, vat=vat, reverse=treatment is VatTreatment.REVERSE)


def _materials(job: Accepted) -> Decimal:
    """What materials and hire of the accepted work cost the firm, without VAT [GBP]."""
    lines = job.quote.option(job.offer.build_up).cost_lines
    return money_total([line.material.money for line in lines])
