"""The construction phase plan as a PDF: for the crew, the customer and whoever asks for it."""

from collections.abc import Mapping
from typing import Any

from quotegen.documents.design import Design
from quotegen.documents.paper import PictureBox
from quotegen.documents.phase_plan_view import phase_plan_view
from quotegen.documents.wording import Wording
from quotegen.model.issue import Issue
from quotegen.model.safety import ConstructionPlan


def _fill(
    plan: ConstructionPlan, issue: Issue, wording: Wording, _box: PictureBox
) -> Mapping[str, Any]:
    return {"plan": phase_plan_view(plan, issue, wording)}


PHASE_PLAN = Design(
    "Construction phase plan",
    "phase_plan.html",
    lambda plan: (plan.statement.enquiry, plan.statement.settings),
    _fill,
)
