"""The quote as a PDF: two to four pages for the customer, the landlord or the agent."""

from dataclasses import dataclass
from pathlib import Path

from quotegen.documents import templates
from quotegen.documents.paper import (
    PHOTO_WIDTH_MM,
    PictureBox,
    Sheet,
    letterhead,
    make_paper,
    one_line,
    sheet,
)
from quotegen.documents.pdf import Rendered
from quotegen.documents.quote_view import quote_view
from quotegen.documents.roof_view import found_facts, plan_view
from quotegen.documents.wording import Wording
from quotegen.model.issue import Issue
from quotegen.model.quote import Quote

TEMPLATE = "quote.html"
PLAN_HEIGHT_MM = 90.0


@dataclass(frozen=True, slots=True)
class PhotoView:
    """A photo and what it shows."""

    url: str
    caption: str


def quote_html(quote: Quote, issue: Issue, box: PictureBox | None = None) -> str:
    """The HTML of the quote; without a box of pictures it has neither logo nor photos."""
    wording = Wording.of(quote.settings)
    box = box or PictureBox(None, quote.enquiry.ref)
    return templates.fill(
        TEMPLATE,
        sheet=_sheet(quote, issue, wording),
        head=letterhead(quote.settings, quote.enquiry, box),
        quote=quote_view(quote, issue, wording),
        found=found_facts(quote.enquiry, wording),
        plan=plan_view(quote.take_off, wording, PLAN_HEIGHT_MM),
        photos=_photos(quote, box),
    )


def make_quote_paper(quote: Quote, issue: Issue, folder: Path | None) -> Rendered:
    """The quote as a PDF; its logo and photos are looked for in the folder."""
    box = PictureBox(folder, quote.enquiry.ref)
    return make_paper(quote_html(quote, issue, box), box)


def _sheet(quote: Quote, issue: Issue, wording: Wording) -> Sheet:
    about = f"{quote.enquiry.roof.kind} roof, {one_line(quote.enquiry.site_address)}"
    return sheet("Quotation", about, issue, quote.settings, wording)


def _photos(quote: Quote, box: PictureBox) -> tuple[PhotoView, ...]:
    """The photos of the findings that can be had, each with the number of its finding."""
    photos = []
    for number, finding in enumerate(quote.enquiry.findings, 1):
        url = box.add(finding.photo, PHOTO_WIDTH_MM, finding.place) if finding.photo else ""
        if url:
            photos.append(PhotoView(url, f"Finding {number}: {finding.seen}"))
    return tuple(photos)
