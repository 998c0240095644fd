"""The design of a paper that is a workbook: from its subject by way of tables."""

import json
from collections.abc import Callable
from typing import ClassVar, Generic, TypeVar

from msgspec import Struct
from msgspec.structs import asdict

from quotegen.documents.printing.design import Making
from quotegen.documents.printing.paper import PictureBox, mark_of
from quotegen.documents.printing.pdf import Rendered
from quotegen.model.issue import Issue
from quotegen.model.settings import Settings
from quotegen.workbook.writing.tables import BookPage, tables_as_workbook

_Subject = TypeVar("_Subject")


class TableDesign(Struct, Making, Generic[_Subject], frozen=True):
    """One kind of paper that is a workbook.

    `title` is its name, `settings` gives the firm's settings, `tables` gives its pages.
    """

    title: str
    settings: Callable[[_Subject], Settings]
    tables: Callable[[_Subject, Issue], tuple[BookPage, ...]]

    suffix: ClassVar[str] = ".xlsx"
    template: ClassVar[str] = ""

    def said(self, subject: _Subject, issue: Issue, _box: PictureBox) -> str:
        """The content of the workbook, which tells a new revision from the last."""
        tables = self.tables(subject, issue)
        return json.dumps([asdict(table) for table in tables], default=str)

    def drawn(self, _said: str, subject: _Subject, issue: Issue, _box: PictureBox) -> Rendered:
        """The workbook; it has neither pictures nor templates."""
        settings = self.settings(subject)
        tables = self.tables(subject, issue)
        content = tables_as_workbook(
            tables,
            title=f"{self.title} {issue.reference}",
            author=settings.text("firm_name"),
            mark=mark_of(self.title, issue, settings),
        )
        return Rendered(content, (), len(tables))
