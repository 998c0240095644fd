"""The hand-over and guarantee as a PDF: for the customer, and for whoever buys the house."""

from collections.abc import Mapping
from typing import Any

from quotegen.documents.design import Design
from quotegen.documents.hand_over_view import hand_over_view
from quotegen.documents.paper import PictureBox
from quotegen.documents.wording import Wording
from quotegen.model.hand_over import HandOver
from quotegen.model.issue import Issue


def _fill(handed: HandOver, issue: Issue, wording: Wording, _box: PictureBox) -> Mapping[str, Any]:
    return {"handed": hand_over_view(handed, issue, wording)}


HAND_OVER = Design(
    "Hand-over and guarantee",
    "hand_over.html",
    lambda handed: (handed.quote.enquiry, handed.quote.settings),
    _fill,
)
