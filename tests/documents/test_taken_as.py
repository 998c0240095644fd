"""What a price takes for granted stands on the quote and on the owner's cost sheet."""

from email import message_from_bytes
from email.policy import SMTP
from html import unescape
from pathlib import Path

from quotegen.app import make_papers
from quotegen.documents.customer.quote import QUOTE
from quotegen.documents.owner.cost_sheet import COST_SHEET, CostSubject
from quotegen.making.papers import Paper
from quotegen.making.remembered import OWN_CELLS
from quotegen.model.issue import Issue
from quotegen.reference.firm.house_taken import house_taken
from quotegen.reference.remark_keys import TakenKey
from quotegen.workbook.sheets.enquiries import ENQUIRIES
from tests.builders import TODAY
from tests.workbook.test_twelve_cells import TWELVE, priced

ISSUE = Issue("P-01", 0, TODAY)


NEVER_OF_AN_ESTIMATE = (
    "uotation P-01", ": Quotation", "cancel", "The deposit", "hat we found", "what we saw",
    "minutes each way", "things are not known", "this quote",
)  # fmt: skip


def test_each_line_stands_on_the_quote_and_on_the_cost_sheet(tmp_path: Path) -> None:
    row = {field: value for field, value in TWELVE.items() if field != "height_mm"}
    (one,) = priced(tmp_path, row).worked
    assert one.quote is not None
    quote = unescape(QUOTE.html(one.quote, ISSUE))
    costs = unescape(COST_SHEET.html(CostSubject(one.quote, (), one.problems), ISSUE))
    assert len(one.quote.taken_as) == 13
    for said in one.quote.taken_as:
        printed = f"{said.words}; {said.why}." in quote
        assert printed is bool(said.name), said.heading
        if said.heading not in ("Underneath", "Room for a tower?"):
            assert said.words in costs, said.heading
    assert "We do not know what is underneath" in costs


def test_no_cell_that_a_customer_is_never_told_has_a_name_for_one() -> None:
    own = {column.heading for column in ENQUIRIES.columns if column.field in OWN_CELLS}
    rows = house_taken(TakenKey).values()
    assert {row.heading for row in rows if not row.name} == {row.heading for row in rows} & own


def test_an_estimate_calls_itself_one_and_asks_for_no_yes(tmp_path: Path) -> None:
    """Nobody has seen the roof: nothing is found, due or to be cancelled."""
    row = {**TWELVE, "customer_kind": "home-owner", "email": "l.dunlin@example.com"}
    batch = priced(tmp_path, row)
    papers = (Paper.CANCELLATION, Paper.EMAIL)
    outcomes = make_papers(batch, papers, tmp_path / "papers", TODAY)
    made = {outcome.paper: outcome.path for outcome in outcomes}
    assert set(made) == {Paper.QUOTE, Paper.EMAIL}
    letter = made[Paper.EMAIL]
    assert letter is not None
    message = message_from_bytes(letter.read_bytes(), policy=SMTP)
    assert message["Subject"].startswith("Estimate P-01: ")
    body = message.get_body()
    assert body is not None
    (one,) = batch.worked
    assert one.quote is not None
    for words in (body.get_content(), unescape(QUOTE.html(one.quote, ISSUE))):
        assert [one for one in NEVER_OF_AN_ESTIMATE if one in words] == []


def test_a_roof_that_is_measured_takes_nothing_for_granted(tmp_path: Path) -> None:
    row = {
        **TWELVE, "front_width_mm": 1200, "build_ups": "new deck", "wall_joint": "new flashing",
        "below": "garden", "layers": 1, "through_roof": "no", "gutter_mm": 0, "upstand_mm": 180,
        "level_drop_mm": 15, "year_built": 2005, "travel_min": 20, "room_for_tower": "yes",
    }  # fmt: skip
    (one,) = priced(tmp_path, row).worked
    assert one.quote is not None
    assert one.quote.taken_as == ()
    assert "taken for granted" not in QUOTE.html(one.quote, ISSUE)
