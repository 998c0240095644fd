"""The day sheet as a PDF: for the crew, to work by and to write on."""

from collections.abc import Mapping
from typing import Any

from quotegen.documents.day_sheet_view import day_sheet_view
from quotegen.documents.design import Design
from quotegen.documents.paper import PictureBox
from quotegen.documents.wording import Wording
from quotegen.model.issue import Issue
from quotegen.model.safety import MethodStatement


def _fill(
    statement: MethodStatement, issue: Issue, wording: Wording, _box: PictureBox
) -> Mapping[str, Any]:
    return {"day": day_sheet_view(statement, issue, wording)}


DAY_SHEET = Design(
    "Day sheet",
    "day_sheet.html",
    lambda statement: (statement.enquiry, statement.settings),
    _fill,
)
