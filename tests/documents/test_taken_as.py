"""What a price takes for granted stands on the quote and on the owner's cost sheet."""

from html import unescape
from pathlib import Path

from quotegen.documents.customer.quote import QUOTE
from quotegen.documents.owner.cost_sheet import COST_SHEET, CostSubject
from quotegen.model.issue import Issue
from tests.builders import TODAY
from tests.workbook.test_twelve_cells import TWELVE, priced

ISSUE = Issue("P-01", 0, TODAY)


def test_each_line_stands_on_the_quote_and_on_the_cost_sheet(tmp_path: Path) -> None:
    row = {field: value for field, value in TWELVE.items() if field != "height_mm"}
    (one,) = priced(tmp_path, row).worked
    assert one.quote is not None
    quote = unescape(QUOTE.html(one.quote, ISSUE))
    costs = unescape(COST_SHEET.html(CostSubject(one.quote, (), one.problems), ISSUE))
    assert len(one.quote.taken_as) == 12
    for said in one.quote.taken_as:
        assert f"{said.words}; {said.why}." in quote, said.heading
        if said.heading != "Underneath":
            assert said.words in costs, said.heading
    assert "We do not know what is underneath" in costs


def test_a_roof_that_is_measured_takes_nothing_for_granted(tmp_path: Path) -> None:
    row = {
        **TWELVE, "front_width_mm": 1200, "build_ups": "new deck", "wall_joint": "new flashing",
        "below": "garden", "layers": 1, "through_roof": "no", "gutter_mm": 0, "upstand_mm": 180,
        "level_drop_mm": 15, "year_built": 2005, "travel_min": 20,
    }  # fmt: skip
    (one,) = priced(tmp_path, row).worked
    assert one.quote is not None
    assert one.quote.taken_as == ()
    assert "Taken as" not in QUOTE.html(one.quote, ISSUE)
