"""Card, statement and standing sheet together hold every rule of a job, each under its number."""

import re
from collections.abc import Iterator, Sequence

import pytest
from msgspec.structs import replace

from quotegen.documents.safety.access_view import access_rows
from quotegen.documents.safety.method import METHOD, method_view
from quotegen.documents.safety.standing_sheet import STANDING_SHEET
from quotegen.documents.shared.risk_view import RiskView, risk_view
from quotegen.model.choices import Access
from quotegen.model.issue import Issue
from quotegen.model.safety import MethodStatement, Risk, WorkStep
from quotegen.reference import rules
from quotegen.safety.rules.text import names_only
from quotegen.safety.statement.firm_words import firm_words
from quotegen.safety.statement.standing import NOTES_ON_SHEET, make_sheet
from tests import builders
from tests.documents.conftest import ISSUE
from tests.documents.on_paper import (
    SHEET_ISSUE,
    expanded,
    off_paper,
    sheet_paragraphs,
    squeezed,
)
from tests.documents.said_papers import blocks_of, made_sets
from tests.safety import jobs


def lot(demo_statements: list[MethodStatement]) -> Iterator[MethodStatement]:
    """The demo's ten jobs, fifty drawn by lot, and one made for each fact."""
    assert len(demo_statements) == 10
    yield from demo_statements
    yield from (one.ready.statement for one in made_sets())
    yield from (jobs.made_for([key]) for key in jobs.BRINGS)


def test_every_rule_of_every_job_is_on_the_card_in_the_statement_or_on_the_sheet(
    demo_statements: list[MethodStatement],
) -> None:
    for made in lot(demo_statements):
        assert off_paper(made) == [], made.enquiry.ref


def test_a_rule_whose_number_is_left_out_is_missed(
    demo_statements: list[MethodStatement], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The test above fails where a number is not given."""
    whole = risk_view

    def short(risk: Risk, steps: Sequence[WorkStep]) -> RiskView:
        made = whole(risk, steps)
        return replace(made, sheet=made.sheet.rpartition(", ")[0])

    monkeypatch.setattr("quotegen.documents.safety.method.risk_view", short)
    assert off_paper(demo_statements[0]) != []


def test_the_statement_names_only_what_its_job_calls_for(
    demo_statements: list[MethodStatement],
) -> None:
    for made in lot(demo_statements):
        view = method_view(made, ISSUE)
        for risk, row in zip(made.risks, view.risks, strict=True):
            named = list(expanded(row.sheet))
            on_sheet = [control for control in risk.controls if control.number]
            assert len(named) == len(on_sheet), (made.enquiry.ref, risk.key)
            assert sorted(named) == sorted(control.number for control in on_sheet)


def test_the_sheet_is_the_same_for_every_job_of_a_firm(
    demo_statements: list[MethodStatement],
) -> None:
    said = {
        STANDING_SHEET.html(make_sheet(made.settings, made.enquiry), SHEET_ISSUE)
        for made in demo_statements
    }
    assert len(said) == 1
    (text,) = (" ".join(blocks_of(html)) for html in said)
    for made in demo_statements:
        assert made.enquiry.site_address not in text
        assert made.enquiry.customer.name not in text


def test_the_sheet_changes_with_the_firm() -> None:
    enquiry = jobs.plain_enquiry()
    one, other = (
        STANDING_SHEET.html(make_sheet(firm, enquiry), SHEET_ISSUE)
        for firm in (jobs.SETTINGS, builders.settings(**{**jobs.NAMED, "supervisor": "Gull"}))
    )
    assert one != other
    assert "Gull" in other


def test_nothing_with_a_figure_of_a_job_is_on_the_sheet_and_nothing_else_is_left_off() -> None:
    """Which text stands where follows from its placeholders alone."""
    firm = firm_words(jobs.SETTINGS)
    paragraphs = squeezed(sheet_paragraphs(jobs.statement(jobs.plain_enquiry())).values())

    def on_sheet(text: str) -> bool:
        return all(squeezed([part]) in paragraphs for part in re.split(r"\{\w+\}", text))

    controls = [control.text for rule in rules.hazards() for control in rule.controls]
    notes = [note.text for table in NOTES_ON_SHEET for note in rules.notes(table)]
    assert len(controls) > 100
    for text in (*controls, *notes):
        assert on_sheet(text) or not names_only(text, firm), text
    for rule in rules.steps():
        for line in rule.lines:
            if line.sheet:
                assert names_only(line.text, firm), line.text
    job = [text for text in controls if not names_only(text, firm)]
    assert job
    assert not [text for text in job if on_sheet(text)]


def test_a_statement_filed_alone_covers_access_eyes_and_what_is_mixed(
    demo_statements: list[MethodStatement],
) -> None:
    """Without card or sheet: access and ladder, eye protection, solvent and catalyst handling."""
    for made in lot(demo_statements):
        said = squeezed(blocks_of(METHOD.html(made, ISSUE)))
        wanted = [made.ladder_note, *(row.words for row in access_rows(made))]
        for one in made.substances:
            if one.key in ("resin", "catalyst", "acetone", "adhesive"):
                wanted += [one.amount, one.does, *one.storage, one.mixing, one.never_near]
        wanted += [task.eyes for task in made.protection]
        wanted += [row.words for row in method_view(made, ISSUE).ladder]
        if made.facts["catalyst"].present:
            wanted += ["accelerator neat, acetone (can explode)"[1:], "eye wash"]
        missing = [words for words in wanted if squeezed([words]) not in said]
        assert missing == [], made.enquiry.ref
        if made.option.access.chosen is Access.TOWER:
            assert "Noleaningladderisused" in said


def test_the_statement_names_the_revision_of_the_sheet(bay_statement: MethodStatement) -> None:
    # 2 November 2026 is a day of revision 3, by hand.
    sheet = Issue("The firm", 3, builders.TODAY)
    html = METHOD.html(replace(bay_statement, sheet=sheet), ISSUE)
    assert "our standing safety sheet, revision 3" in html


def test_no_two_paragraphs_of_a_section_say_the_same(bay_statement: MethodStatement) -> None:
    paragraphs = list(sheet_paragraphs(bay_statement).values())
    assert len(paragraphs) > 150
    assert all(paragraphs)
