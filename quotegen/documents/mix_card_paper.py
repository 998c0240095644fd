"""The mix card as a PDF: for whoever measures the catalyst, to hang up beside the buckets."""

from collections.abc import Mapping
from typing import Any

from quotegen.documents.design import Design
from quotegen.documents.mix_card_view import mix_card_view
from quotegen.documents.paper import PictureBox
from quotegen.documents.wording import Wording
from quotegen.model.issue import Issue
from quotegen.model.safety import MethodStatement


def _fill(
    statement: MethodStatement, issue: Issue, wording: Wording, _box: PictureBox
) -> Mapping[str, Any]:
    return {"card": mix_card_view(statement, issue, wording)}


MIX_CARD = Design(
    "Mix card",
    "mix_card.html",
    lambda statement: (statement.enquiry, statement.settings),
    _fill,
)
