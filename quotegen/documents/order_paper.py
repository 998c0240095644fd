"""The order to the merchants: as a PDF, pages of its own for each, and as a workbook."""

from collections.abc import Mapping
from typing import Any

from quotegen.documents.design import Design
from quotegen.documents.order_tables import order_tables
from quotegen.documents.order_view import TITLE, order_view
from quotegen.documents.paper import PictureBox
from quotegen.documents.table_book import TableDesign
from quotegen.documents.wording import Wording
from quotegen.model.issue import Issue
from quotegen.model.safety import MethodStatement
from quotegen.model.settings import Settings


def _fill(
    statement: MethodStatement, issue: Issue, wording: Wording, _box: PictureBox
) -> Mapping[str, Any]:
    return {"order": order_view(statement, issue, wording)}


def _settings(statement: MethodStatement) -> Settings:
    return statement.settings


ORDER = Design(
    TITLE,
    "order.html",
    lambda statement: (statement.enquiry, statement.settings),
    _fill,
)

ORDER_BOOK = TableDesign(TITLE, _settings, order_tables)
