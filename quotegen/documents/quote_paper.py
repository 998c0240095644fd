"""The quote as a PDF: two to four pages for the customer, the landlord or the agent."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from quotegen.documents.design import Design
from quotegen.documents.paper import PictureBox
from quotegen.documents.quote_data import quote_file
from quotegen.documents.quote_view import quote_view
from quotegen.documents.roof_view import found_facts, plan_view
from quotegen.documents.wording import Wording
from quotegen.model.issue import Issue
from quotegen.model.quote import Quote

PLAN_HEIGHT_MM = 90.0


@dataclass(frozen=True, slots=True)
class PhotoView:
    """A photo and what it shows."""

    url: str
    caption: str


def _fill(quote: Quote, issue: Issue, wording: Wording, box: PictureBox) -> Mapping[str, Any]:
    return {
        "quote": quote_view(quote, issue, wording),
        "found": found_facts(quote.enquiry, wording),
        "plan": plan_view(quote.take_off, wording, PLAN_HEIGHT_MM),
        "photos": _photos(quote, box),
    }


def _photos(quote: Quote, box: PictureBox) -> tuple[PhotoView, ...]:
    """The photos of the findings that can be had, each with the number of its finding."""
    photos = []
    for number, finding in enumerate(quote.enquiry.findings, 1):
        url = box.photo(finding)
        if url:
            photos.append(PhotoView(url, f"Finding {number}: {finding.seen}"))
    return tuple(photos)


QUOTE = Design(
    "Quotation",
    "quote.html",
    lambda quote: (quote.enquiry, quote.settings),
    _fill,
    lambda quote, issue: (quote_file(quote, issue),),
)
