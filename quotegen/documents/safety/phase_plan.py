"""The construction phase plan as a PDF: for the crew, the customer and whoever asks for it.

The construction phase plan as whoever asks for it reads it: every sentence and figure ready.
"""

from collections.abc import Mapping
from typing import Any

from msgspec import Struct

from quotegen import wording
from quotegen.days.first_day import first_day_of
from quotegen.documents.drawing.roof_view import below_words
from quotegen.documents.drawing.signs import SymbolView, sign
from quotegen.documents.printing.design import Design
from quotegen.documents.printing.paper import PictureBox, one_line
from quotegen.documents.shared.before_words import hold_lines
from quotegen.documents.shared.first_day_words import first_day_words, unchosen_words
from quotegen.documents.shared.risk_view import Pair
from quotegen.model.issue import Issue
from quotegen.model.safety import ConstructionPlan, MethodStatement, PlanEntry
from quotegen.phrases import listed
from quotegen.safety.statement.firm_words import BLANK_LINE

TO_AGREE = f"; agreed: {BLANK_LINE}"
SITE_SIGN_MM = 5.0
_WORN = (("eyes", "eyes"), ("hands", "hands"), ("breathing", "breathing"), ("other", "clothing"))


class HoldView(Struct, frozen=True):
    """A hold point by the number and title of its step in the method statement."""

    number: str
    title: str


class PhasePlanView(Struct, frozen=True):
    """Everything the template of the construction phase plan shows but for the firm's head."""

    reference: str
    revision: str
    dated: str
    site_address: str
    customer: str
    build_up: str
    unchosen: str
    project: tuple[Pair, ...]
    notice_due: bool
    notice: tuple[str, ...]
    people: tuple[PlanEntry, ...]
    running: tuple[PlanEntry, ...]
    welfare: tuple[PlanEntry, ...]
    worn: tuple[SymbolView, ...]
    site_rules: tuple[str, ...]
    emergency: tuple[PlanEntry, ...]
    dangers: tuple[Pair, ...]
    lesser_dangers: str
    particular: str
    no_start: tuple[str, ...]
    holds: tuple[HoldView, ...]
    signing: tuple[PlanEntry, ...]
    checked: str


def phase_plan_view(plan: ConstructionPlan, issue: Issue) -> PhasePlanView:
    """The construction phase plan in ready words."""
    statement = plan.statement
    lesser = len(statement.risks) - len(plan.dangers)
    return PhasePlanView(
        reference=issue.reference,
        revision=str(issue.revision),
        dated=wording.date(statement.dated),
        site_address=one_line(statement.enquiry.site_address),
        customer=statement.enquiry.customer.name,
        build_up=str(statement.build_up),
        unchosen=unchosen_words(statement),
        project=_project(statement),
        notice_due=plan.notice.due,
        notice=plan.notice_lines,
        people=plan.people,
        running=plan.running,
        welfare=plan.welfare,
        worn=tuple(SymbolView(sign(key, SITE_SIGN_MM), words) for key, words in _WORN),
        site_rules=plan.site_rules,
        emergency=plan.emergency,
        dangers=tuple(Pair(risk.hazard, risk.who) for risk in plan.dangers),
        lesser_dangers=wording.count(lesser, "more danger", "more dangers") if lesser else "",
        particular=listed(plan.particular) if plan.particular else "",
        no_start=hold_lines(statement.before),
        holds=tuple(
            HoldView(str(number), step.title)
            for number, step in enumerate(statement.steps, 1)
            if step.hold_point
        ),
        signing=plan.signing,
        checked=wording.date(plan.checked),
    )


def _project(statement: MethodStatement) -> tuple[Pair, ...]:
    enquiry, programme = statement.enquiry, statement.option.programme
    area = wording.number(statement.take_off.outline.area_m2.number, 2)
    height, first = enquiry.roof.height_mm, first_day_of(statement)
    to_agree = "" if first.agreed else TO_AGREE
    edge = wording.mm(height.number) if height else "a height not known"
    crew = wording.count(programme.crew.number, "person", "people")
    days = wording.count(programme.days.number, "day", "days")
    return (
        Pair("Work", f"fibreglass on the {enquiry.roof.kind} roof, {area} m²"),
        Pair("First day", f"{first_day_words(first)}{to_agree}"),
        Pair("Time", f"about {days} for {crew}"),
        Pair("Who is there", str(enquiry.occupier or "not known")),
        Pair("Way up", f"{statement.option.access.chosen}; the edge is at {edge}"),
        Pair("Below the edge", below_words(enquiry)),
    )


def _fill(plan: ConstructionPlan, issue: Issue, _box: PictureBox) -> Mapping[str, Any]:
    return {"plan": phase_plan_view(plan, issue)}


PHASE_PLAN = Design(
    "Construction phase plan",
    "safety/phase_plan.html",
    lambda plan: (plan.statement.enquiry, plan.statement.settings),
    _fill,
)
