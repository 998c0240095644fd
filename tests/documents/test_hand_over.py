"""The hand-over: work done and declined as in the quote; care and guarantee."""

from typing import Any

import pytest
from msgspec.structs import replace

from quotegen.documents.crew.day_sheet import DAY_SHEET
from quotegen.documents.customer.hand_over import HAND_OVER, HandOver, HandOverView, hand_over_view
from quotegen.documents.customer.quote import QUOTE
from quotegen.documents.customer.side_by_side import TICK
from quotegen.documents.printing.pdf import Rendered
from quotegen.documents.shared.remark_words import said
from quotegen.model.choices import Answer, BuildUp, PriceBasis
from quotegen.model.enquiry import SiteFacts
from quotegen.model.settings import Term, TermKind
from quotegen.safety.statement.statement import make_statement
from tests.builders import TODAY, given
from tests.documents.conftest import (
    HOSTILE,
    ISSUE,
    bay_enquiry,
    finding,
    priced,
    squeezed,
    text_of,
)


def handed(**changes: Any) -> HandOver:
    """The hand-over of the bay with these changes."""
    quote = priced(bay_enquiry(**changes))
    return HandOver(quote, make_statement(quote.take_off, quote.settings, TODAY))


def view(**changes: Any) -> HandOverView:
    return hand_over_view(handed(**changes), ISSUE)


@pytest.fixture(scope="module")
def accepted() -> HandOver:
    return handed(accepted=BuildUp.CAP_OVER)


@pytest.fixture(scope="module")
def paper(accepted: HandOver) -> Rendered:
    return HAND_OVER.make(accepted, ISSUE, None)


def test_the_build_up_that_was_accepted_is_the_one_that_was_done(
    accepted: HandOver, paper: Rendered
) -> None:
    option = accepted.quote.option(BuildUp.CAP_OVER)
    text = squeezed(text_of(paper))
    covered = {said(one) for one in option.includes}
    assert [words for words in covered if squeezed(words) not in text] == []
    assert "Tick one" not in text_of(paper)
    only_others = {said(one) for one in accepted.quote.option(BuildUp.NEW_DECK).includes} - covered
    assert only_others
    assert [words for words in only_others if squeezed(words) in text] == []


def test_each_build_up_is_left_to_tick_while_none_is_accepted() -> None:
    made = view()
    assert made.several
    assert [o.name for o in made.options] == [
        "Cap over",
        "Cap over with insulation",
        "New deck",
        "New deck with insulation",
    ]
    text = text_of(HAND_OVER.make(handed(), ISSUE, None))
    assert "Tick one The build-up Guarantee" in text
    assert TICK not in text, "nothing is ticked before the day"


@pytest.mark.parametrize("chosen", list(BuildUp))
def test_the_years_of_the_guarantee_are_those_of_the_quote(chosen: BuildUp) -> None:
    made = handed(accepted=chosen)
    years = f"{made.quote.option(chosen).guarantee_years.number:.0f} years"
    (option,) = hand_over_view(made, ISSUE).options
    assert option.guarantee == years
    assert f'<td class="sum">{years}</td>' in QUOTE.html(made.quote, ISSUE)


def test_what_was_declined_is_named_with_what_may_follow(paper: Rendered) -> None:
    text = text_of(paper)
    part = text[text.index("Declined, and so outside the guarantee") :]
    assert "Fascia soft for the left 600 mm Replace the fascia It drops the gutter" in part
    assert "Renew the joint" not in part
    assert "Declined" not in text.replace("Declined, and so outside the guarantee", "")


def test_nothing_is_said_of_declining_where_nothing_was_declined() -> None:
    made = handed(findings=(finding("Renew the joint", Answer.DO_IT),))
    assert "outside the guarantee" not in HAND_OVER.html(made, ISSUE)


def test_boards_that_were_declined_are_not_excluded_where_the_deck_was_renewed() -> None:
    boards = replace(
        finding("Replace three boards", Answer.DECLINED),
        basis=PriceBasis.BOARD,
        quantity=given("quantity", 3.0, "each"),
        fixed_price=None,
    )
    assert view(findings=(boards,), accepted=BuildUp.NEW_DECK).declined == ()
    (row,) = view(findings=(boards,), accepted=BuildUp.CAP_OVER).declined
    assert (row.number, row.where) == ("1", "")
    (row,) = view(findings=(boards,)).declined
    assert row.where == "Only with cap over or cap over with insulation"


def test_care_of_one_build_up_says_which_until_one_is_accepted() -> None:
    open_yet = handed()
    assert hand_over_view(open_yet, ISSUE).written_for == open_yet.statement.option.build_up
    assert view(accepted=BuildUp.CAP_OVER).written_for == ""


def test_every_line_the_quote_leaves_undone_is_there_once() -> None:
    made = handed(accepted=BuildUp.CAP_OVER)
    shown = hand_over_view(made, ISSUE)
    (shown_left,) = shown.left_undone
    left = list(shown_left.lines)
    turned_down = [
        f"Declined: {row.advised[:1].lower()}{row.advised[1:]}" for row in shown.declined
    ]
    assert sorted(left + turned_down) == sorted(
        said(one) for one in made.quote.option(BuildUp.CAP_OVER).leaves_undone
    )


def test_each_line_stands_once_under_the_build_ups_it_belongs_to() -> None:
    made = handed()
    shown = hand_over_view(made, ISSUE)
    for option in made.quote.options:
        mine = [
            words.casefold()
            for work in shown.done
            if not work.heading
            or str(option.build_up) in work.heading.removeprefix("Only with ").split(" or ")
            for words in work.lines
        ]
        assert mine.count("renew the joint") == 2
        assert sorted(mine) == sorted(said(one).casefold() for one in option.includes)


def test_the_form_says_its_own_revision_as_its_foot_does(accepted: HandOver) -> None:
    html = HAND_OVER.html(accepted, replace(ISSUE, revision=3))
    assert "T-01, revision 3 of this form" in html
    assert "revision 3 ·" in html


def test_what_was_in_every_price_is_done_and_what_was_offered_is_to_be_ticked() -> None:
    made = view()
    everywhere = made.done[0]
    assert everywhere.heading == ""
    assert everywhere.lines[-2:] == ("Renew the joint", "Renew the joint")
    assert made.perhaps_done == ("finding 4: point three courses", "leaf guard")


def test_the_photographs_are_handed_over_and_are_listed_once_for_the_crew(
    accepted: HandOver, paper: Rendered
) -> None:
    assert "photographs of the work before, open and finished" in text_of(paper)
    day_sheet = squeezed(text_of(DAY_SHEET.make(accepted.statement, ISSUE, None)))
    assert accepted.statement.photos
    assert [words for words in accepted.statement.photos if squeezed(words) not in day_sheet] == []


def test_care_and_conditions_are_printed_whole(accepted: HandOver, paper: Rendered) -> None:
    text = squeezed(text_of(paper))
    care = [note.text for note in accepted.statement.care]
    terms = [term.text for term in accepted.quote.guarantee_terms]
    assert len(care) > 5
    assert terms
    assert [words for words in care + terms if squeezed(words) not in text] == []


def test_a_condition_of_another_build_up_is_left_out() -> None:
    made = handed(accepted=BuildUp.CAP_OVER)
    mine = Term(TermKind.GUARANTEE, "cap over", "The old deck stays sound.")
    other = Term(TermKind.GUARANTEE, "new deck", "The joists stay dry.")
    quote = replace(made.quote, guarantee_terms=(mine, other))
    assert hand_over_view(replace(made, quote=quote), ISSUE).guarantee_terms == (
        "Cap over: the old deck stays sound.",
    )


def test_there_is_room_for_every_date_and_both_signatures(paper: Rendered) -> None:
    text = text_of(paper)
    for words in (
        "Finished on", "May be walked on from", "Guarantee begins", "Guarantee ends", "Customer",
        "For the firm", "variation slips no.",
    ):  # fmt: skip
        assert words in text, words


def test_building_control_is_asked_for_as_in_the_quote() -> None:
    heated = handed(site=SiteFacts(heated_below=True))
    assert "building control: told by" in HAND_OVER.html(heated, ISSUE)
    cold = handed(site=SiteFacts(heated_below=False))
    assert "building control: told by" not in HAND_OVER.html(cold, ISSUE)


def test_no_money_is_on_the_paper_that_goes_with_the_house(paper: Rendered) -> None:
    assert "£" not in text_of(paper)


@pytest.mark.parametrize("chosen", [None, *BuildUp])
def test_it_is_two_pages_at_most(chosen: BuildUp | None) -> None:
    made = HAND_OVER.make(handed(accepted=chosen), ISSUE, None)
    assert made.pages <= 2
    assert made.warnings == ()


def test_nothing_typed_into_the_workbook_is_taken_for_html() -> None:
    made = handed(site_address=HOSTILE, findings=(finding(HOSTILE, Answer.DECLINED, seen=HOSTILE),))
    assert "<script>" not in HAND_OVER.html(made, ISSUE)
    paper = HAND_OVER.make(made, ISSUE, None)
    assert HOSTILE in text_of(paper)
    assert paper.warnings == ()
