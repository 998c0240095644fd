"""The screw for a deck: long enough to hold in the joist, not so long that it comes through.

By hand: 2.5 times the board and at least 50 mm (PanelGuide, Wood Panel Industries Federation, read
second-hand), and 40 mm into the joist past everything on it (common practice, no source).
"""

from itertools import pairwise

import pytest

from quotegen.model.choices import BuildUp
from quotegen.reference import house_rules
from quotegen.reference.item_kinds import ItemKind
from quotegen.takeoff.measure import measure
from quotegen.workbook.sheets.enquiries import ENQUIRIES
from tests import builders

SCREWS = (ItemKind.DECK_SCREW, ItemKind.LONG_SCREW)
LONGER_MOST_MM = 20
"""A joist of 100 mm with 40 mm of screw in it has no point come out at 20 mm more."""


def screws(
    build_up: BuildUp, board_mm: float, insulation_mm: float = 0.0, **firm: float
) -> set[str]:
    enquiry = builders.enquiry(
        build_ups=(build_up,),
        board_mm=builders.given("board", board_mm, "mm"),
        insulation_mm=builders.given("insulation", insulation_mm, "mm") if insulation_mm else None,
    )
    take_off, _ = measure(enquiry, builders.settings(**firm), builders.prices(), builders.TODAY)
    assert take_off is not None
    needs = take_off.options[0].needs
    return {need.item for need in needs if need.kind in SCREWS}


@pytest.mark.parametrize(("board_mm", "item"), [(9, 50), (11, 60), (15, 60), (18, 60), (22, 70)])
def test_a_deck_on_joists(board_mm: float, item: int) -> None:
    """9 + 40 = 49, 11 + 40 = 51, 15 + 40 = 55, 18 + 40 = 58, 22 + 40 = 62 mm."""
    assert screws(BuildUp.NEW_DECK, board_mm) == {f"deck_screw_{item}"}


def test_a_cap_goes_through_the_old_deck_too() -> None:
    """11 + 18 + 40 = 69 mm."""
    assert screws(BuildUp.CAP_OVER, 18) == {"deck_screw_70"}


@pytest.mark.parametrize(
    ("insulation_mm", "item"),
    [(25, 120), (50, 140), (80, 160), (100, 180), (120, 200), (130, 220), (140, 220), (150, 240)],
)
def test_through_insulation(insulation_mm: float, item: int) -> None:
    """Insulation + 18 + 18 + 40 mm: 101, 126, 156, 176, 196, 206, 216 and 226 mm."""
    found = screws(BuildUp.NEW_DECK_INSULATED, 18, insulation_mm)
    assert f"long_screw_{item}" in found


@pytest.mark.parametrize("screw", SCREWS)
def test_the_next_longer_one_does_not_come_out_of_the_joist(screw: ItemKind) -> None:
    sizes = house_rules.sizes(screw)
    assert all(b - a <= LONGER_MOST_MM for a, b in pairwise(sizes))


def test_the_longest_is_long_enough_for_whatever_may_be_set() -> None:
    """The thickest board, insulation and grip the workbook lets anyone fill in.

    By hand: 200 + 22 + 22 + 80 = 324 mm, and in two layers 300 + 22 + 22 + 80 = 424 mm.
    """
    grip = house_rules.settings()["fixing_joist_grip_mm"].most
    board = max(house_rules.sizes(ItemKind.DECK_BOARD))
    firm = {"new_board_mm": board, "cap_board_mm": board, "fixing_joist_grip_mm": grip}
    assert screws(BuildUp.CAP_OVER, board, **firm) == {"deck_screw_140"}
    thickest = max(house_rules.sizes(ItemKind.INSULATION))
    two_layers = ENQUIRIES.insulation_mm.most
    assert two_layers is not None
    assert "long_screw_440" in screws(BuildUp.NEW_DECK_INSULATED, board, two_layers, **firm)
    assert "long_screw_340" in screws(BuildUp.NEW_DECK_INSULATED, board, thickest, **firm)
