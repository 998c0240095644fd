"""The site papers of every demo job: their page counts, and no page nearly empty."""

from quotegen.documents.crew.cutting_list import CUTTING_LIST
from quotegen.documents.crew.day_sheet import DAY_SHEET
from quotegen.documents.safety.site_card import SITE_CARD
from quotegen.documents.safety.tenant_notice import TENANT_NOTICE
from quotegen.model.safety import MethodStatement
from tests.documents.conftest import first_issue
from tests.pdfs import last_page_text

SMALL_ROOFS = {"MH-101", "MH-102", "MH-105", "MH-106", "MH-108", "MH-110"}
"""Bays, a porch and a canopy: boards and mat share a page."""


def test_site_card_is_one_sheet_and_the_notice_one_page(
    demo_statements: list[MethodStatement],
) -> None:
    """All mixes are of one size, so two layers of strips too go on one page with the topcoat."""
    longer = []
    for statement in demo_statements:
        for maker, most in ((SITE_CARD, 2), (TENANT_NOTICE, 1)):
            paper = maker.make(statement, first_issue(statement), None)
            assert paper.warnings == (), statement.enquiry.ref
            if paper.pages != most:
                longer.append((maker.title, statement.enquiry.ref, paper.pages))
    assert longer == []


def test_the_last_page_of_the_day_sheet_holds_the_whole_log_of_the_mixes(
    demo_statements: list[MethodStatement],
) -> None:
    for statement in demo_statements:
        paper = DAY_SHEET.make(statement, first_issue(statement), None)
        assert paper.warnings == ()
        assert 2 <= paper.pages <= max(3, len(statement.days.worked)), statement.enquiry.ref
        last = last_page_text(paper.content)
        assert "R1 Resin" in last, statement.enquiry.ref
        assert "T1 Topcoat" in last, statement.enquiry.ref


def test_boards_and_mat_of_a_small_roof_share_a_page(
    demo_statements: list[MethodStatement],
) -> None:
    for statement in demo_statements:
        if statement.enquiry.ref in SMALL_ROOFS:
            paper = CUTTING_LIST.make(statement, first_issue(statement), None)
            assert (paper.pages, paper.warnings) == (2, ()), statement.enquiry.ref
            last = last_page_text(paper.content)
            assert last.index("Boards as laid") < last.index("Strips as laid")
