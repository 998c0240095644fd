"""The variation slip as a PDF: one page for work found necessary, at the rates agreed.

It is filled in and signed before the work is done.
"""

from collections.abc import Mapping
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from quotegen.documents.customer.cancellation import cancellation_period
from quotegen.documents.customer.quote import PricedRow, rate_rows
from quotegen.documents.customer.quote_notes import reverse_charge_note, vat_words
from quotegen.documents.printing.design import Design
from quotegen.documents.printing.paper import PictureBox, in_lines
from quotegen.model.issue import Issue
from quotegen.model.quote import Quote
from quotegen.phrases import capital

OTHER_LINES = 2
"""Blank lines for work that has no agreed rate."""


class VariationSlipView(Struct, frozen=True):
    """Everything the slip shows except the head; `vat` is the note on VAT in the prices."""

    reference: str
    revision: str
    customer: str
    site_address: str
    rates: tuple[PricedRow, ...]
    other_lines: int
    to_pay: str
    vat: str
    reverse_charge: bool
    cancellation_period: str


def variation_slip_view(quote: Quote, issue: Issue) -> VariationSlipView:
    """The slip in ready words, with the rates of the quote."""
    charges_vat = quote.settings.yes("vat_registered")
    vat = vat_words(quote)
    return VariationSlipView(
        reference=issue.reference,
        revision=str(issue.revision),
        customer=quote.enquiry.customer.name,
        site_address=in_lines(quote.enquiry.site_address),
        rates=tuple(
            replace(row, words=capital(row.words)) for row in rate_rows(quote.provisional_rates)
        ),
        other_lines=OTHER_LINES,
        to_pay="with VAT" if charges_vat else "to pay",
        vat=f"Every price and total here includes {vat}." if charges_vat else vat,
        reverse_charge=bool(reverse_charge_note(quote)),
        cancellation_period=cancellation_period(quote),
    )


def _fill(quote: Quote, issue: Issue, _box: PictureBox) -> Mapping[str, Any]:
    return {"slip": variation_slip_view(quote, issue)}


VARIATION_SLIP = Design(
    "Variation slip",
    "customer/variation_slip.html",
    lambda quote: (quote.enquiry, quote.settings),
    _fill,
)
