"""How VAT and the Construction Industry Scheme stand between the firm and a customer."""

from decimal import Decimal
from enum import StrEnum

from quotegen.model.choices import CustomerKind
from quotegen.model.enquiry import Enquiry
from quotegen.model.settings import DefaultedSettings
from quotegen.pricing.money import percentage_of
from quotegen.problems import Place, Problem, problem
from quotegen.units import pence


class VatTreatment(StrEnum):
    """What becomes of VAT on an invoice."""

    NONE = "no VAT"
    CHARGED = "VAT charged"
    REVERSE = "reverse charge"
    ASK = "ask in writing"


class CisStatus(StrEnum):
    """How the firm stands in the Construction Industry Scheme; the rate is a published value."""

    REGISTERED = "registered"
    NOT_REGISTERED = "not registered"
    GROSS = "gross payment"


RATE_OF_STATUS = {
    CisStatus.REGISTERED: "construction_industry_scheme.registered_pct",
    CisStatus.NOT_REGISTERED: "construction_industry_scheme.not_registered_pct",
    CisStatus.GROSS: "construction_industry_scheme.gross_pct",
}
"""The published rate of deduction of each."""


def tax_facts_missing(enquiry: Enquiry, settings: DefaultedSettings) -> Place | None:
    """The first blank cell that tax depends on, None where enough is known.

    A home-owner is neither a contractor nor asked. A business that does not pay us under the
    Construction Industry Scheme is charged VAT as usual, and so is one that is not registered for
    VAT, or has said in writing that it is an end user. Source: gov.uk, VAT domestic reverse charge
    technical guide.
    """
    facts = enquiry.paying
    if enquiry.customer.kind is CustomerKind.HOME_OWNER:
        return None
    asked = [(facts.pays_under_cis, facts.cis_at)]
    if settings.yes("vat_registered"):
        asked += [(facts.customer_vat, facts.vat_at)]
        # Only an end user's answer of no makes the reverse charge apply, so no is the third yes.
        end_user = None if facts.end_user is None else not facts.end_user
        asked += [(end_user, facts.end_user_at)]
    for answer, place in asked:
        if answer is None:
            return place or enquiry.place
        if not answer:
            return None
    return None


def vat_treatment(enquiry: Enquiry, settings: DefaultedSettings) -> VatTreatment:
    """What becomes of VAT on an invoice to this customer.

    The reverse charge needs all of it: both registered for VAT, the payment under the Construction
    Industry Scheme, and a customer who is no end user.
    """
    facts = enquiry.paying
    if not settings.yes("vat_registered"):
        return VatTreatment.NONE
    if enquiry.customer.kind is CustomerKind.HOME_OWNER:
        return VatTreatment.CHARGED
    if tax_facts_missing(enquiry, settings):
        return VatTreatment.ASK
    reverse = facts.pays_under_cis and facts.customer_vat and not facts.end_user
    return VatTreatment.REVERSE if reverse else VatTreatment.CHARGED


def deducts_cis(enquiry: Enquiry) -> bool:
    """Whether the customer pays us as a contractor pays a subcontractor."""
    business = enquiry.customer.kind is not CustomerKind.HOME_OWNER
    return business and bool(enquiry.paying.pays_under_cis)


def check_tax(enquiry: Enquiry, settings: DefaultedSettings) -> list[Problem]:
    """What is to be asked in writing before an invoice: of the trade at once, of others once the
    work is accepted.
    """
    trade = enquiry.customer.kind is CustomerKind.TRADE and settings.yes("vat_registered")
    missing = tax_facts_missing(enquiry, settings)
    if missing is None or not (trade or enquiry.accepted):
        return []
    return [problem("reverse-charge-possible", missing, ref=enquiry.ref)]


def net_of(total: Decimal, whole_net: Decimal, whole_total: Decimal) -> Decimal:
    """The part without VAT of a part of a total: part x net / total, in whole pence [GBP].

    >>> net_of(Decimal("750.00"), Decimal("2500.00"), Decimal("3000.00"))
    Decimal('625.00')
    """
    return pence(total * whole_net / whole_total)


def cis_deduction(net: Decimal, materials: Decimal, pct: float) -> Decimal:
    """The deduction under the scheme: (payment without VAT - materials) x rate, in whole pence.

    Inputs [GBP, GBP, %], result [GBP]. Source: gov.uk, CISR13070.

    >>> cis_deduction(Decimal("700.00"), Decimal("200.00"), 20)
    Decimal('100.00')
    """
    return percentage_of(net - materials, pct)
