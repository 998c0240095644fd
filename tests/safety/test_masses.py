"""Loads to be lifted, and the step and hazards that every kind of deck board brings."""

import pytest

from quotegen.takeoff.strip.lifting import BOARD
from tests import builders
from tests.safety import jobs


@pytest.mark.parametrize(
    ("kind", "item", "mass_kg", "aid"),
    # By hand at 650 kg/m3: 2.44 x 1.22 x 0.018 m; 2.39 x 0.59 x 0.018 m, the part that covers.
    # HSE L23: two people lift two thirds of what each could, 2/3 x 32 = 21.3 kg.
    [("square-edge", "deck_board_18", 34.83, True), ("tongued", "tongued_board_18", 16.50, False)],
)
def test_either_kind_of_board_is_in_the_lifts_and_has_its_step_and_its_dust(
    kind: str, item: str, mass_kg: float, aid: bool
) -> None:
    firm = builders.settings(**jobs.NAMED, deck_boards=kind)
    made = jobs.statement(jobs.plain_enquiry(), firm)
    assert item in {need.item for need in made.option.needs}
    (board,) = [lift for lift in made.option.lifts if lift.kind == BOARD]
    assert board.mass_kg.number == pytest.approx(mass_kg, abs=0.01)
    assert board.people.number == 2
    assert board.aid is aid
    assert made.facts["aid_lift"].present is aid
    assert "Lay the deck" in [step.title for step in made.steps]
    assert {"wood-dust-saw", "lifting"} <= {risk.key for risk in made.risks}
    assert "wood-dust" in {one.key for one in made.substances}
    assert "boards" in {worn.key for worn in made.protection}


def test_what_two_people_cannot_lift_whole_is_never_left_to_two_people() -> None:
    text = jobs.all_text(jobs.statement(jobs.plain_enquiry()))
    assert "Two people do not lift it whole" in text
    assert "Two people lift a whole board" not in text
    tongued = builders.settings(**jobs.NAMED, deck_boards="tongued")
    assert "give to an aid" not in jobs.all_text(jobs.statement(jobs.plain_enquiry(), tongued))
