"""What has to be lifted, and that every kind of deck board brings its step and its hazards."""

import pytest

from quotegen.safety.masses import sheet_kg
from quotegen.safety.statement import make_statement
from quotegen.takeoff.measure import measure
from tests import builders
from tests.safety import jobs


@pytest.mark.parametrize(
    ("kind", "item", "mass_kg"),
    # By hand at 650 kg/m3: 2.44 x 1.22 x 0.018 m; 2.39 x 0.59 x 0.018 m, the part that covers.
    [("square-edge", "deck_board_18", 34.83), ("tongued", "tongued_board_18", 16.50)],
)
def test_either_kind_of_board_is_lifted_by_two_and_has_its_step_and_its_dust(
    kind: str, item: str, mass_kg: float
) -> None:
    firm = builders.settings(deck_boards=kind)
    measured, _ = measure(jobs.plain_enquiry(), firm, builders.prices(), builders.TODAY)
    assert measured is not None
    option = measured.options[0]
    assert item in {need.item for need in option.needs}
    sheet = sheet_kg(measured.enquiry, option, firm)
    assert sheet is not None
    assert sheet.number == pytest.approx(mass_kg, abs=0.01)
    made = make_statement(measured, firm, builders.TODAY)
    assert "Lay the deck" in [step.title for step in made.steps]
    assert {"wood-dust-saw", "lifting"} <= {risk.key for risk in made.risks}
    assert "wood-dust" in {one.key for one in made.substances}
    assert "Sawing and fixing boards" in {worn.task for worn in made.protection}


def test_no_boards_have_no_mass() -> None:
    measured = jobs.take_off(jobs.plain_enquiry())
    boards = [n.item for n in measured.options[0].needs if "_board_" in n.item]
    bare = jobs.without_needs(measured.options[0], *boards)
    assert boards
    assert sheet_kg(measured.enquiry, bare, jobs.SETTINGS) is None
