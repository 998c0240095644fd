"""The working in words, as the owner follows it on paper."""

import pytest

from quotegen.documents.data.explanation import as_text
from quotegen.model.choices import EdgeKind, Side, Size
from quotegen.takeoff.measure import measure
from quotegen.working import Figure
from tests import builders


@pytest.fixture(scope="module")
def resin() -> Figure:
    """The resin of a garage of 2.6 x 5.2 m to have on hand, ordered by the guide."""
    roof = builders.roof(
        sizes={Size.WIDTH: 2600, Size.PROJECTION: 5200},
        edges=dict.fromkeys(Side, EdgeKind.FREE_DRIP),
    )
    enquiry = builders.enquiry(roof=roof, deck_c=builders.given("deck", 15.0, "°C"))
    take_off, _ = measure(enquiry, builders.settings(), builders.prices(), builders.TODAY)
    assert take_off is not None
    return next(need.gross for need in take_off.options[0].needs if need.item == "resin")


def test_a_figure_met_again_is_named_and_not_worked_out_again(resin: Figure) -> None:
    lines = list(as_text(resin))
    laid = [line for line in lines if line.strip().startswith("resin laid = ")]
    assert [line.endswith("(as above)") for line in laid] == [False, True]
    at = lines.index(laid[1])
    # What follows the figure named again stands no deeper: its share comes next.
    assert len(lines[at + 1]) - len(lines[at + 1].lstrip()) == len(laid[1]) - len(laid[1].lstrip())
    worked = [line.strip() for line in lines if " <- " in line]
    assert len(worked) == len(set(worked))


def test_resin_reads_as_on_paper(resin: Figure) -> None:
    """13.52 m2 and 15.6 m x 10 mm of overhang at 2 l/m2: 13.676 x 2 = 27.352 l, by hand."""
    said = [line.split("   ")[0] for line in map(str.strip, as_text(resin))]
    assert "laminated area = 13.676 m2" in said
    assert "resin, all-in guide = 27.352 l" in said
    assert "resin to order = 27.352 l" in said
    assert "resin in the mat, deck = 13.52 l" in said
    assert "resin soaked up by the board, deck = 4.8672 l" in said
    assert f"weight of the resin to order = {27.352 * 1.1:.4f} kg" in said
