"""Loads to lift, against the guide figures of the lifting filter and published masses."""

import pytest

from quotegen.model.choices import BuildUp, Covering, Deck, DeckCondition
from quotegen.model.enquiry import Enquiry, Existing
from quotegen.model.takeoff import Lift
from quotegen.reference import loader as reference
from quotegen.takeoff.measure import measure
from quotegen.takeoff.strip.lifting import people_to_lift, rolled_lead_kg, team_kg
from quotegen.working import Scalar
from tests import builders


def lifts(enquiry: Enquiry, **settings: Scalar | None) -> dict[str, Lift]:
    take_off, _ = measure(
        enquiry,
        builders.settings(**settings),
        builders.prices(),
        builders.TODAY,
    )
    assert take_off is not None
    return {lift.words: lift for lift in take_off.options[0].lifts}


@pytest.mark.parametrize(("length_m", "width_mm", "kg"), [(3.0, 150.0, 9.18), (6.0, 240.0, 29.39)])
def test_rolled_lead_by_the_published_table(length_m: float, width_mm: float, kg: float) -> None:
    """Code 4, 1.80 mm, at 20.41 kg/m2 (BS EN 12588 tables): the rolls merchants sell."""
    each = float(reference.entry("sheet_lead.code_4_kg_m2").value)
    assert rolled_lead_kg(length_m, width_mm, each) == pytest.approx(kg, abs=0.01)


def test_the_guide_figures_decide_how_many_lift() -> None:
    """16 kg serves everyone (INDG143, memory), in a pair too: two thirds of 32 (L23, 120).

    HSE L23, paragraph 120, as quoted: the capability of a team of two is two thirds of the sum.
    Two men come to 33.3 kg, two women to 21.3, and nobody knows who the second person will be.
    """
    guide = float(reference.entry("manual_handling.two_people_kg").value)
    assert [people_to_lift(kg, guide) for kg in (16.0, 16.01, 34.8)] == [1, 2, 2]
    share = float(reference.entry("manual_handling.team_of_two_share").value)
    assert team_kg(guide, 2.0, share) == pytest.approx(21.3, abs=0.1)


def test_a_new_deck_by_hand() -> None:
    """2.44 x 1.22 x 0.018 m at 650 kg/m3 is 34.8 kg: two people, and more than their guide.

    Resin comes in 20 kg tins, a roll of 30 m2 of 450 g mat weighs 13.5 kg.
    """
    found = lifts(builders.enquiry(), deck_boards="square-edge")
    board = found["one whole deck board 18 mm"]
    assert board.mass_kg.number == pytest.approx(34.83, abs=0.01)
    assert (board.people.number, board.aid) == (2, True)
    tin = found["one tin of 20 kg of laminating resin"]
    assert (tin.mass_kg.number, tin.people.number, tin.aid) == (20, 2, False)
    roll = found["one roll of 30 m² of glass mat 450 g"]
    assert roll.mass_kg.number == pytest.approx(13.5)
    assert roll.people.number == 1
    assert found["one rubble sack"].people.number == 1


def test_insulation_and_lead_by_hand() -> None:
    """2.4 x 1.2 m of 100 mm insulation at 32 kg/m3 is 9.2 kg; code 5, 600 mm wide, 15.24 kg/m."""
    enquiry = builders.enquiry(
        build_ups=(BuildUp.NEW_DECK_INSULATED,),
        insulation_mm=builders.given("insulation", 100.0, "mm"),
        existing=Existing(Covering.LEAD, None, Deck.BOARDING, DeckCondition.SOUND),
    )
    found = lifts(enquiry)
    assert found["one whole insulation board 100 mm"].mass_kg.number == pytest.approx(9.216)
    rolled = next(lift for words, lift in found.items() if "lead" in words)
    assert rolled.mass_kg.number == pytest.approx(25.40 * 0.6)
    assert "one rubble sack" not in found
