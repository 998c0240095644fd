"""The cutting list and board plan as a PDF: pictures to scale for whoever holds the snips."""

from collections.abc import Mapping
from typing import Any

from quotegen.documents.cutting_view import cutting_view
from quotegen.documents.design import Design
from quotegen.documents.paper import PictureBox
from quotegen.documents.wording import Wording
from quotegen.model.issue import Issue
from quotegen.model.safety import MethodStatement


def _fill(
    statement: MethodStatement, issue: Issue, wording: Wording, _box: PictureBox
) -> Mapping[str, Any]:
    return {"cutting": cutting_view(statement, issue, wording)}


CUTTING_LIST = Design(
    "Cutting list",
    "cutting_list.html",
    lambda statement: (statement.enquiry, statement.settings),
    _fill,
)
