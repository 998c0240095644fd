"""The construction phase plan as printed: short, complete, in step with the method statement."""

from datetime import date
from typing import Any

import pytest
from msgspec.structs import replace

from quotegen.documents.printing.pdf import Rendered
from quotegen.documents.safety.method import METHOD
from quotegen.documents.safety.phase_plan import PHASE_PLAN, TO_AGREE, phase_plan_view
from quotegen.model.choices import Access, BuildUp, CustomerKind, Occupier
from quotegen.model.enquiry import Customer, SiteFacts
from quotegen.model.safety import ConstructionPlan, MethodStatement
from quotegen.reference.rule_keys import BeforeKey
from quotegen.safety.statement.construction_plan import make_plan
from quotegen.safety.statement.statement import make_statement
from tests.builders import TODAY, canted_bay, given
from tests.documents.conftest import (
    HOSTILE,
    ISSUE,
    bay_enquiry,
    first_issue,
    priced,
    squeezed,
    text_of,
)
from tests.safety.test_prestart import row

KINDS = [Customer("Ms R. Petrel", kind, "9 Gull Row, Mizzlehaven ZZ1 2AB") for kind in CustomerKind]


def plan_of(**changes: Any) -> ConstructionPlan:
    """The plan of the bay with these changes."""
    quote = priced(bay_enquiry(**changes))
    return make_plan(make_statement(quote.take_off, quote.settings, TODAY))


def test_it_is_two_pages_at_most(phase_plan_paper: Rendered) -> None:
    # House rule: one page, two at most.
    assert phase_plan_paper.pages <= 2


@pytest.mark.parametrize("customer", KINDS, ids=lambda c: str(c.kind))
def test_the_fullest_plan_is_two_pages_at_most(customer: Customer) -> None:
    made = plan_of(
        customer=customer,
        access=Access.SCAFFOLD,
        occupier=Occupier.TENANT,
        below=(),
        site=SiteFacts(),
        year_built=given("year built", 1896.0, "year"),
        gutter_mm=given("gutter", 3000.0, "mm"),
    )
    paper = PHASE_PLAN.make(made, ISSUE, None)
    assert (paper.pages, paper.warnings) == (2, ())


def test_the_plan_of_every_demo_enquiry_is_short_and_warns_of_nothing(
    demo_statements: list[MethodStatement],
) -> None:
    for statement in demo_statements:
        paper = PHASE_PLAN.make(make_plan(statement), first_issue(statement), None)
        assert (paper.pages, paper.warnings) == (2, ()), statement.enquiry.ref


def test_everything_in_the_record_is_printed(
    phase_plan_paper: Rendered, bay_plan: ConstructionPlan
) -> None:
    parts = (bay_plan.people, bay_plan.running, bay_plan.welfare, bay_plan.emergency)
    entries = [entry for part in (*parts, bay_plan.signing) for entry in part]
    wanted = [text for entry in entries for text in (entry.title, *entry.texts)]
    wanted += [*bay_plan.notice_lines, *bay_plan.site_rules, *bay_plan.particular]
    wanted += [risk.hazard for risk in bay_plan.dangers]
    text = squeezed(text_of(phase_plan_paper))
    assert [words for words in wanted if squeezed(words) not in text] == []


def test_the_hold_points_are_those_of_the_statement_under_its_numbers(
    phase_plan_paper: Rendered, bay_statement: MethodStatement
) -> None:
    text = squeezed(text_of(phase_plan_paper))
    held = [(n, step) for n, step in enumerate(bay_statement.steps, 1) if step.hold_point]
    assert len(held) > 5
    assert [step for n, step in held if squeezed(f"{n} {step.title}") not in text] == []
    statement = squeezed(text_of(METHOD.make(bay_statement, ISSUE, None)))
    said = [f"{n} {step.title}" for n, step in held] + [step.hold_point for _, step in held]
    assert [words for words in said if squeezed(words) not in statement] == []


def test_it_is_read_from_the_project_to_the_signatures(phase_plan_paper: Rendered) -> None:
    text = text_of(phase_plan_paper)
    headings = [
        "Construction phase plan",
        "Who is who",
        "What can hurt someone worst here",
        "If it goes wrong",
        "How the work is run",
        "Toilet, water, rest",
        "Rules of the site",
        "Hold points: wait here until it is so",
        "What the signature says",
    ]
    places = [text.index(heading) for heading in headings]
    assert places == sorted(places)


def test_the_parts_it_points_to_are_in_the_statement(
    phase_plan_paper: Rendered, bay_statement: MethodStatement
) -> None:
    text = text_of(phase_plan_paper)
    statement = METHOD.html(bay_statement, ISSUE)
    for name in ("Risks and what is done about them", "If it goes wrong"):
        assert f"“{name}”" in text
        assert f"<h2>{name}</h2>" in statement


def test_the_first_day_is_agreed_provisional_or_left_to_fill_in() -> None:
    monday = date(2026, 12, 14)
    ticked = tuple(row(key, done=TODAY) for key in (BeforeKey.CONTROL, BeforeKey.CABLES))
    open_still = PHASE_PLAN.html(plan_of(start_on=None), ISSUE)
    assert f"not agreed yet{TO_AGREE}" in open_still
    wished = PHASE_PLAN.html(plan_of(start_on=monday), ISSUE)
    assert f"provisional: Mon 14 Dec{TO_AGREE}" in wished
    chosen = plan_of(start_on=monday, accepted=BuildUp.NEW_DECK, before=ticked)
    agreed = PHASE_PLAN.html(chosen, ISSUE)
    assert "agreed: Mon 14 Dec<" in agreed
    assert "provisional" not in agreed


def test_a_notice_that_is_due_is_said_first(bay_plan: ConstructionPlan) -> None:
    # Regulation 6(2): before the construction phase begins.
    assert "Not due for our part." in PHASE_PLAN.html(bay_plan, ISSUE)
    due = replace(bay_plan, notice=replace(bay_plan.notice, due=True))
    assert "Due before the start." in PHASE_PLAN.html(due, ISSUE)
    assert "Not due" not in PHASE_PLAN.html(due, ISSUE)


def test_it_is_written_for_the_build_up_of_the_statement() -> None:
    made = plan_of(accepted=BuildUp.CAP_OVER)
    html = PHASE_PLAN.html(made, ISSUE)
    assert "Written for cap over." in html
    assert "Nobody has chosen yet" not in html
    assert "Nobody has chosen yet" in PHASE_PLAN.html(plan_of(), ISSUE)
    alone = PHASE_PLAN.html(plan_of(build_ups=(BuildUp.NEW_DECK,)), ISSUE)
    assert "Nobody has accepted it yet." in alone
    assert "fullest" not in alone


def test_what_is_not_known_is_said() -> None:
    bare = plan_of(occupier=None, below=(), roof=canted_bay(height_mm=None))
    project = {pair.name: pair.words for pair in phase_plan_view(bare, ISSUE).project}
    assert project["Who is there"] == "not known"
    assert project["Below the edge"] == "not known"
    assert "a height not known" in project["Way up"]


def test_nothing_typed_into_the_workbook_is_taken_for_html() -> None:
    customer = Customer(HOSTILE, CustomerKind.LANDLORD, HOSTILE)
    html = PHASE_PLAN.html(plan_of(customer=customer, site_address=HOSTILE), ISSUE)
    assert "<script>" not in html
    assert "<b>" not in html
    assert "&lt;script&gt;" in html
