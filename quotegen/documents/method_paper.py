"""The method statement as a PDF: for the crew, the landlord and whoever has to be shown it."""

from collections.abc import Mapping
from typing import Any

from quotegen.documents.design import Design
from quotegen.documents.method_view import method_view
from quotegen.documents.paper import PictureBox
from quotegen.documents.roof_view import plan_view
from quotegen.documents.wording import Wording
from quotegen.model.issue import Issue
from quotegen.model.safety import MethodStatement

PLAN_HEIGHT_MM = 58.0


def _fill(
    statement: MethodStatement, issue: Issue, wording: Wording, _box: PictureBox
) -> Mapping[str, Any]:
    return {
        "method": method_view(statement, issue, wording),
        "plan": plan_view(statement.take_off, wording, PLAN_HEIGHT_MM),
    }


METHOD = Design(
    "Method statement",
    "method.html",
    lambda statement: (statement.enquiry, statement.settings),
    _fill,
)
