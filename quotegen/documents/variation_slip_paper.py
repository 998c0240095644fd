"""The variation slip as a PDF: one page to fill in and have signed before the work."""

from collections.abc import Mapping
from typing import Any

from quotegen.documents.design import Design
from quotegen.documents.paper import PictureBox
from quotegen.documents.variation_slip_view import variation_slip_view
from quotegen.documents.wording import Wording
from quotegen.model.issue import Issue
from quotegen.model.quote import Quote


def _fill(quote: Quote, issue: Issue, wording: Wording, _box: PictureBox) -> Mapping[str, Any]:
    return {"slip": variation_slip_view(quote, issue, wording)}


VARIATION_SLIP = Design(
    "Variation slip",
    "variation_slip.html",
    lambda quote: (quote.enquiry, quote.settings),
    _fill,
)
