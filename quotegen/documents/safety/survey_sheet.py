"""The survey sheet as a PDF: one page to take to the visit, in place of the method statement.

Everything that is not known of the job, the worst first: what to look at or ask, a way to test it,
a box to tick, and where in the workbook the answer goes.
"""

from collections.abc import Mapping
from typing import Any

from msgspec import Struct

from quotegen import wording
from quotegen.documents.printing.design import Design
from quotegen.documents.printing.paper import PictureBox, one_line
from quotegen.model.issue import Issue
from quotegen.model.safety import MethodStatement
from quotegen.phrases import capital
from quotegen.reference import rules
from quotegen.safety.statement.survey import Look, looks_for, not_known

_MAIN_SHEET = "Enquiries"


class LookView(Struct, frozen=True):
    """One thing to find out: the question, the test, the facts to tick, the cells to fill in."""

    look: str
    test: str
    facts: tuple[str, ...]
    cells: str


class SurveyView(Struct, frozen=True):
    """Everything the survey sheet shows but for the frame."""

    reference: str
    site_address: str
    customer: str
    roof: str
    why: str
    first: tuple[str, ...]
    looks: tuple[LookView, ...]


def survey_view(statement: MethodStatement, issue: Issue) -> SurveyView:
    """The survey sheet in ready words."""
    enquiry = statement.enquiry
    most = wording.plain(statement.settings.number("most_unknown"))
    return SurveyView(
        reference=issue.reference,
        site_address=one_line(enquiry.site_address),
        customer=one_line(enquiry.customer.name),
        roof=f"{enquiry.roof.kind} roof",
        why=f"{not_known(statement.facts)} things about this job are not known. With more than "
        f"{most} we write no method statement, and nobody works there. The price is provisional.",
        first=tuple(note.text for note in rules.look_first()),
        looks=tuple(map(_look, looks_for(statement))),
    )


def _look(look: Look) -> LookView:
    rule = look.rule
    cells = " or ".join(f"“{cell}”" for cell in rule.cells)
    return LookView(
        look=rule.look,
        test=rule.test,
        facts=tuple(capital(fact.words) for fact in look.facts),
        cells=cells if rule.sheet == _MAIN_SHEET else f"{cells} on {rule.sheet}",
    )


def _fill(statement: MethodStatement, issue: Issue, _box: PictureBox) -> Mapping[str, Any]:
    return {"survey": survey_view(statement, issue)}


SURVEY_SHEET = Design(
    "Survey sheet",
    "safety/survey_sheet.html",
    lambda statement: (statement.enquiry, statement.settings),
    _fill,
)
