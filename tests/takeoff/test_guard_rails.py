"""Guard rails against the Work at Height Regulations 2005, schedule 2, paragraph 3, and HSE."""

from typing import Any

import pytest

from quotegen.takeoff.access.guard_rails import check_rails, largest_gap_mm, planned_rails
from quotegen.working import Step
from tests import builders

BOOK = "jobs.xlsx"


@pytest.mark.parametrize(
    ("top", "middle", "toe", "gap"),
    # By hand, from the heights alone: 950 - 475 = 475, 475 - 150 = 325; 950 - 500 = 450 and so on.
    [
        (950, 475, 150, 475),
        (950, 480, 150, 470),
        (950, 500, 150, 450),
        (1100, 600, 150, 500),
        (950, 0, 150, 800),
        (950, 470, 0, 480),
        (950, 950, 150, 800),
    ],
)
def test_the_largest_gap(top: float, middle: float, toe: float, gap: float) -> None:
    assert largest_gap_mm(top, middle, toe) == gap


@pytest.mark.parametrize(
    ("rails", "short"),
    [
        ({}, set()),
        # The figures of the Regulations themselves: 950 mm and 470 mm pass, and HSE's 100 mm.
        ({"rail_top_mm": 950, "rail_middle_mm": 480, "rail_toe_board_mm": 100}, set()),
        ({"rail_top_mm": 949, "rail_middle_mm": 500}, {"top guard rail"}),
        # A middle rail at 475 leaves 475 to the top rail; at 500 it leaves 450 and 350.
        ({"rail_top_mm": 950, "rail_middle_mm": 475}, {"largest gap between the rails"}),
        ({"rail_top_mm": 950, "rail_middle_mm": 500}, set()),
        ({"rail_toe_board_mm": 99}, {"toe board"}),
        ({"rail_middle_mm": 0}, {"largest gap between the rails"}),
    ],
)
def test_the_planned_rails_are_checked(rails: dict[str, Any], short: set[str]) -> None:
    found = check_rails(builders.settings(**rails), BOOK)
    assert {str(p.details["words"]) for p in found} == short
    assert {p.code for p in found} <= {"guard-rails-short"}
    assert all(p.stops and p.place.sheet == "Rates" for p in found)


def test_the_gap_recomputes_from_its_working() -> None:
    gap = planned_rails(builders.settings()).largest_gap_mm
    assert isinstance(gap.basis, Step)
    assert gap.basis.recompute() == gap.value == 450
