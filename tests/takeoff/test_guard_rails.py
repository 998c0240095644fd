"""Guard rails against the Work at Height Regulations 2005, schedule 2, paragraph 3, and HSE."""

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from quotegen.takeoff.access.guard_rails import (
    check_rails,
    largest_gap_mm,
    planned_rails,
    rails_above,
)
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
    assert largest_gap_mm(top, (middle,), toe) == gap


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


@given(
    rise=st.integers(0, 600),
    top=st.integers(950, 2000),
    toe=st.integers(100, 1000),
)
def test_beside_a_roof_no_gap_is_too_large_and_the_top_rail_is_above_boards_and_edge(
    rise: int, top: int, toe: int
) -> None:
    """Work at Height Regulations 2005, schedule 2, paragraph 3: 950 mm, no gap over 470 mm.

    The settings take any toe board from 0 to 1000 mm, and a platform up to 600 mm below the edge.
    """
    assume(toe < top)
    settings = builders.settings(rail_top_mm=top, rail_toe_board_mm=toe)
    rails = rails_above(builders.given("rise", float(rise), "mm"), settings)
    at = [toe, *(one.number for one in rails.middle_mm), rails.top_mm.number]
    assert at == sorted(at)
    assert max(above - below for below, above in pairwise(at)) <= 470
    assert rails.largest_gap_mm.number == max(b - a for a, b in pairwise(at))
    assert rails.top_mm.number >= 950
    assert rails.top_mm.number - rise >= 950


def test_rails_above_a_roof_three_hundred_over_the_boards_by_hand() -> None:
    """(1300 - 150) / 3 = 383.3, under 470: rails at 533 and 916, put at 530 and 910."""
    rails = rails_above(builders.given("rise", 300.0, "mm"), builders.settings())
    assert [one.number for one in rails.middle_mm] == [530, 910]
    assert (rails.top_mm.number, rails.largest_gap_mm.number) == (1300, 390)


def test_the_gap_recomputes_from_its_working() -> None:
    gap = planned_rails(builders.settings()).largest_gap_mm
    assert isinstance(gap.basis, Step)
    assert gap.basis.recompute() == gap.value == 450
