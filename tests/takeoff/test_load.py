"""The load on the joists, and what is said of the weight: of covering and deck alone."""

from typing import Any

import pytest

from quotegen.documents.shared.remark_words import said
from quotegen.model.choices import BuildUp, Covering, Deck, DeckCondition, JoistRun
from quotegen.model.enquiry import Existing
from quotegen.model.takeoff import OptionTakeOff
from quotegen.problems import Problem
from quotegen.reference.rule_keys import Told
from quotegen.takeoff.measure import measure
from tests import builders
from tests.builders import given


def taken_off(**changes: Any) -> tuple[OptionTakeOff, list[Problem]]:
    enquiry = builders.enquiry(**changes)
    found, problems = measure(enquiry, builders.settings(), builders.prices(), builders.TODAY)
    assert found is not None
    return found.options[0], problems


def on_sound_sheets(covering: Covering, **changes: Any) -> tuple[OptionTakeOff, list[Problem]]:
    layers = given("layers", 1.0, "layers")
    existing = Existing(covering, layers, Deck.SHEET, DeckCondition.SOUND)
    return taken_off(existing=existing, **changes)


def load_of(option: OptionTakeOff) -> float:
    assert option.load_kn_m2 is not None
    return option.load_kn_m2.number


def test_the_load_of_a_new_deck_by_hand() -> None:
    """3.0 x 2.0 m: board 6 x 0.018 x 650 = 70.2 kg, mat 9.7 x 0.45 = 4.365 kg, resin 11.0710 x
    1.1 = 12.178 kg, topcoat 3.675 x 1.2 = 4.41 kg; 91.153 kg / 6 m2 x 9.81 / 1000 = 0.149 kN/m2.
    """
    option, _ = taken_off()
    assert load_of(option) == pytest.approx(91.153 / 6 * 9.81 / 1000, abs=0.00005)


def test_what_stays_lies_on_the_joists_with_the_rest() -> None:
    """Over felt that comes off, cap and laminate lie on the old deck of 11.7 kg/m2."""
    option, _ = on_sound_sheets(Covering.FELT, build_ups=(BuildUp.CAP_OVER,))
    cap = 0.011 * 650
    old_deck = builders.settings().number("mass_sheet_deck_kg_m2")
    laminate = load_of(option) * 1000 / 9.81 - cap - old_deck
    new_deck, _ = taken_off()
    assert laminate == pytest.approx(load_of(new_deck) * 1000 / 9.81 - 0.018 * 650, abs=0.3)


def test_insulation_adds_its_own_weight_and_that_of_its_board() -> None:
    """130 mm at the firm's density and a second board of 18 mm at 650 kg/m3."""
    thick = given("insulation", 130.0, "mm")
    insulated, _ = taken_off(build_ups=(BuildUp.NEW_DECK_INSULATED,), insulation_mm=thick)
    more = load_of(insulated) - load_of(taken_off()[0])
    density = builders.settings().number("insulation_kg_m3")
    assert more == pytest.approx((0.130 * density + 0.018 * 650) * 9.81 / 1000)


def test_a_heavier_roof_says_of_what_and_gives_the_load() -> None:
    option, problems = on_sound_sheets(Covering.SINGLE_PLY, build_ups=(BuildUp.CAP_OVER,))
    (found,) = [p for p in problems if p.code == "weight-change"]
    assert "this counts only the covering and deck we take off and put on" in found.message
    assert f"{load_of(option):.2f} kN/m2" in found.message


_MEASURED: dict[str, Any] = {
    "joist_depth_mm": given("depth", 150.0, "mm"),
    "joist_width_mm": given("width", 47.0, "mm"),
    "joist_centres_mm": given("centres", 400.0, "mm"),
    "joist_run": JoistRun.OUT,
}


@pytest.mark.parametrize(("run", "reach"), [(JoistRun.OUT, 2000), (JoistRun.ALONG, 3000)])
def test_the_load_is_given_against_joists_that_were_measured(run: JoistRun, reach: int) -> None:
    """The roof is 3.0 m along the wall and 2.0 m out from it; no span table is copied."""
    option, _ = taken_off(roof=builders.roof(**{**_MEASURED, "joist_run": run}))
    (note,) = [said(n) for n in option.notes if n.key is Told.LOAD_ON_JOISTS]
    assert "0.15 kN/m²" in note
    assert (
        f"150 mm deep and 47 mm wide at 400 mm centres span at most {reach} mm between supports"
        in note
    )
    assert "someone competent checks them against span tables" in note


@pytest.mark.parametrize("blank", _MEASURED)
def test_joists_not_measured_in_full_are_said_to_be_so(blank: str) -> None:
    option, _ = taken_off(roof=builders.roof(**{**_MEASURED, blank: None}))
    (note,) = [said(n) for n in option.notes if n.key in (Told.LOAD, Told.LOAD_ON_JOISTS)]
    assert "the joists are not measured in full" in note
    assert "someone competent" in note


def test_no_load_is_made_up_where_nobody_knows_the_deck() -> None:
    option, _ = taken_off(existing=Existing(Covering.FELT, None, None, None))
    assert option.load_kn_m2 is None
    assert not [n for n in option.notes if n.key in (Told.LOAD, Told.LOAD_ON_JOISTS)]
