"""The notice to the occupier as a PDF: one page to put through the door."""

from collections.abc import Mapping
from typing import Any

from quotegen.documents.design import Design
from quotegen.documents.paper import PictureBox
from quotegen.documents.tenant_notice_view import tenant_notice_view
from quotegen.documents.wording import Wording
from quotegen.model.issue import Issue
from quotegen.model.safety import MethodStatement


def _fill(
    statement: MethodStatement, issue: Issue, wording: Wording, _box: PictureBox
) -> Mapping[str, Any]:
    return {"notice": tenant_notice_view(statement, issue, wording)}


TENANT_NOTICE = Design(
    "Notice of roof work",
    "tenant_notice.html",
    lambda statement: (statement.enquiry, statement.settings),
    _fill,
)
