"""Ladder geometry against the one in four rule (HSE INDG455 and Ladder Association LA455)."""

import math

import pytest

from quotegen.model.choices import Access
from quotegen.reference.loader import entry
from quotegen.safety.rules.ladders import foot_distance_m, ladder_for, least_length_m
from quotegen.working import Step
from tests import builders
from tests.builders import given

SETTINGS = builders.settings()


@pytest.mark.parametrize(
    ("height_m", "foot_m", "to_the_edge_m"),
    # The published rule of one out for every four up; the lengths by Pythagoras, by hand.
    [(2.4, 0.60, 2.47), (3.0, 0.75, 3.09), (4.0, 1.00, 4.12), (5.0, 1.25, 5.15), (6.0, 1.5, 6.18)],
)
def test_foot_and_length_follow_the_one_in_four_rule(
    height_m: float, foot_m: float, to_the_edge_m: float
) -> None:
    rise = entry("ladders.rise_for_one_out").value
    assert foot_distance_m(height_m, rise) == pytest.approx(foot_m)
    assert least_length_m(height_m, 0.0, rise) == pytest.approx(to_the_edge_m, abs=0.005)


def test_the_rule_is_the_angle_the_guides_call_75_degrees() -> None:
    # INDG455 and LA455: 75 degrees, which is one in four (75.96 degrees).
    foot_m = foot_distance_m(4.0, entry("ladders.rise_for_one_out").value)
    assert math.degrees(math.atan2(4.0, foot_m)) == pytest.approx(75.96, abs=0.01)


def test_a_ladder_to_eaves_at_2600_is_at_least_3_71_m_long() -> None:
    # 1 m above the step-off (LA455): 3.6 m up at one in four, 3.6 x sqrt(17 / 16) by hand.
    ladder, _ = ladder_for(given("height", 2600.0, "mm"), Access.LADDER, SETTINGS)
    assert ladder is not None
    assert ladder.height_m.number == pytest.approx(2.6)
    assert ladder.foot_out_m.number == pytest.approx(0.65)
    assert ladder.least_length_m.number == pytest.approx(3.6 * math.sqrt(17 / 16))
    assert round(ladder.least_length_m.number, 2) == 3.71


def test_an_unknown_height_gives_no_ladder_but_says_to_measure() -> None:
    ladder, note = ladder_for(None, Access.LADDER, SETTINGS)
    assert ladder is None
    assert "measure it before the ladder is chosen" in note


def test_beside_a_scaffold_the_ladder_is_the_scaffolders_and_only_the_way_up() -> None:
    ladder, note = ladder_for(given("height", 2600.0, "mm"), Access.SCAFFOLD, SETTINGS)
    assert ladder is not None
    assert "The scaffolder's ladder is only the way up" in note


def test_a_tower_is_climbed_inside_and_has_no_leaning_ladder() -> None:
    # HSE CIS10: towers are climbed on the inside by their own ladder.
    ladder, note = ladder_for(given("height", 2600.0, "mm"), Access.TOWER, SETTINGS)
    assert ladder is None
    assert "Climb it inside, by its own ladder" in note
    assert "No leaning ladder is used" in note


def test_from_the_ground_there_is_no_ladder() -> None:
    ladder, note = ladder_for(given("height", 1800.0, "mm"), Access.GROUND, SETTINGS)
    assert ladder is None
    assert "No ladder" in note


def test_the_published_figures_of_the_edge_and_the_load() -> None:
    # HSE's page of questions on work at height; BS EN 131-2; Work at Height Regs 2005 reg. 12.
    assert entry("work_at_height.guard_rail_mm").value == 950
    assert entry("work_at_height.guard_gap_mm").value == 470
    assert entry("work_at_height.toe_board_mm").value == 100
    assert entry("work_at_height.inspection_days").value == 7
    assert entry("ladders.load_kg").value == 150
    assert entry("ladders.short_minutes").value == 30


@pytest.mark.parametrize(("height_mm", "landings"), [(7990.0, False), (8000.0, True)])
def test_a_ladder_that_rises_9_m_has_landings(height_mm: float, landings: bool) -> None:
    # Work at Height Regulations 2005, schedule 6, paragraph 9: 9 m or more above its base, the
    # metre above the step-off counted in.
    ladder, note = ladder_for(given("height", height_mm, "mm"), Access.SCAFFOLD, SETTINGS)
    assert ladder is not None
    assert ladder.landings is landings
    assert ("landings or rest platforms" in note) is landings


def test_the_load_on_a_ladder_is_person_kit_and_what_is_in_hand() -> None:
    # 110 + 15 (house figures) + 10 kg (INDG455), of 150 kg (BS EN 131-2), by hand.
    ladder, _ = ladder_for(given("height", 2400.0, "mm"), Access.LADDER, SETTINGS)
    assert ladder is not None
    assert (ladder.load_kg.number, ladder.rating_kg.number) == (135.0, 150.0)


def test_every_figure_of_the_ladder_recomputes_from_its_working() -> None:
    ladder, _ = ladder_for(given("height", 8500.0, "mm"), Access.LADDER, SETTINGS)
    assert ladder is not None
    for top in (ladder.foot_out_m, ladder.least_length_m, ladder.rise_m, ladder.load_kg):
        assert isinstance(top.basis, Step)
        assert top.basis.recompute() == top.value
