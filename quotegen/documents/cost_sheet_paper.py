"""The cost sheet as a PDF: for the owner alone, and marked so on every page."""

from collections.abc import Mapping
from typing import Any

from quotegen.documents.cost_sheet_view import CostSubject, cost_sheet_view
from quotegen.documents.design import Design
from quotegen.documents.paper import PictureBox
from quotegen.documents.wording import Wording
from quotegen.model.issue import Issue


def _fill(
    subject: CostSubject, issue: Issue, wording: Wording, _box: PictureBox
) -> Mapping[str, Any]:
    return {"cost": cost_sheet_view(subject, issue, wording)}


COST_SHEET = Design(
    "PRIVATE cost sheet",
    "cost_sheet.html",
    lambda subject: (subject.quote.enquiry, subject.quote.settings),
    _fill,
)
