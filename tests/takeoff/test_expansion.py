"""Expansion joints: where a roof is divided, and the pricing of the joints.

50 m2 in one piece and 10 m in one run: common practice, no source.
"""

from itertools import pairwise

import pytest
from hypothesis import given as over
from hypothesis import settings as tuned
from hypothesis import strategies as st

from quotegen.model.choices import EdgeKind, Shape, Side, Size
from quotegen.model.enquiry import Enquiry
from quotegen.model.takeoff import OptionTakeOff
from quotegen.problems import Problem
from quotegen.takeoff.measure import measure
from quotegen.takeoff.shape.expansion_lines import least_joints_mm
from tests import builders


def rectangle(width: float, deep: float) -> tuple[tuple[float, float], ...]:
    return ((0.0, 0.0), (width, 0.0), (width, deep), (0.0, deep))


def joints(width: float, deep: float) -> tuple[float, ...]:
    return least_joints_mm(rectangle(width, deep), 50, 10)


def taken_off(enquiry: Enquiry) -> tuple[OptionTakeOff, list[Problem]]:
    take_off, problems = measure(enquiry, builders.settings(), builders.prices(), builders.TODAY)
    assert take_off is not None
    return take_off.options[0], problems


@pytest.mark.parametrize(
    ("width", "deep", "lengths"),
    [
        (10000, 5000, ()),  # 50 m2 and 10 m: the very limits
        (10001, 4000, (4000,)),  # too long by a hair
        (9000, 6000, (6000,)),  # 54 m2, across the shorter way
        (6000, 9000, (6000,)),  # the same turned
        (24000, 4000, (4000, 4000)),  # 24 m: three runs of 8 m
        (12000, 10000, (10000, 10000)),  # 120 m2: three pieces of 40, two lines of 10 m
        (11000, 11000, (11000, 11000)),  # both ways too long: a cross
    ],
)
def test_lines_by_hand(width: float, deep: float, lengths: tuple[float, ...]) -> None:
    assert joints(width, deep) == pytest.approx(lengths)


def test_an_l_shape_is_parted_where_it_is() -> None:
    """12 x 8 m less 6 x 5 m: 66 m2 and 12 m long, parted in the middle by 8 m or by less.

    The line at 6 m runs along the notch for 5 m, where there is an edge already: 3 m of joint,
    between 48 and 18 m2.
    """
    ring = ((0.0, 0.0), (12000.0, 0.0), (12000.0, 3000.0), (6000.0, 3000.0), (6000.0, 8000.0),
            (0.0, 8000.0))  # fmt: skip
    assert least_joints_mm(ring, 50, 10) == pytest.approx((3000.0,))


@over(st.integers(2000, 26000), st.integers(2000, 26000), st.integers(0, 3000))
@tuned(max_examples=150)
def test_pieces_are_small_enough_and_a_bigger_roof_never_has_less(
    w: int, d: int, more: int
) -> None:
    found = joints(w, d)
    across, along = (sum(1 for mm in found if mm == pytest.approx(side)) for side in (d, w))
    if w == d:
        assert sum(found) % w == pytest.approx(0, abs=1)
    else:
        parts_across, parts_along = across + 1, along + 1
        assert w * d / 1e6 / (parts_across * parts_along) <= 50 + 1e-6
        assert max(w / parts_across, d / parts_along) <= 10_000 + 1e-6
    totals = [sum(joints(w + grown, d + grown)) for grown in (0, more)]
    assert all(before <= after + 1e-6 for before, after in pairwise(totals))


def test_a_joint_is_bought_cut_fitted_and_still_warned_of() -> None:
    """12 x 4 m: one joint of 4 m is two lengths of 3 m once lapped; 0.35 h/m, a house figure."""
    sizes = {Size.WIDTH: 12000.0, Size.PROJECTION: 4000.0}
    option, problems = taken_off(builders.enquiry(builders.roof(sizes=sizes)))
    assert option.expansion_m is not None
    assert option.expansion_m.number == pytest.approx(4.0)
    needs = {need.item: need for need in option.needs}
    bought = needs["trim_expansion"].purchase
    assert bought is not None
    assert bought.bought.number == pytest.approx(6.0)
    (cut,) = [cut for cut in option.cuts if cut.item == "trim_expansion"]
    assert sorted(p.length_mm for c in cut.lengths for p in c.pieces) == [2025, 2025]
    hours = {line.task: line.hours.number for line in option.labour}
    assert hours["Fit the expansion joint"] == pytest.approx(1.4)
    assert [(p.code, p.stops) for p in problems] == [("expansion-joint", False)]
    assert "4.0 m of expansion joint" in problems[0].cure


def test_adhesive_nails_and_bandage_for_both_flanges() -> None:
    """Against the same roof with the limits out of reach: 8 m of flange more of each."""
    sizes = {Size.WIDTH: 12000.0, Size.PROJECTION: 4000.0}
    enquiry = builders.enquiry(builders.roof(sizes=sizes))
    nets = {need.item: need.net.number for need in taken_off(enquiry)[0].needs}
    bare = builders.settings(expansion_flanges=0)
    take_off, _ = measure(enquiry, bare, builders.prices(), builders.TODAY)
    assert take_off is not None
    without = {need.item: need.net.number for need in take_off.options[0].needs}
    more = {item: nets[item] - without[item] for item in ("adhesive", "clout", "bandage")}
    assert more == pytest.approx({"adhesive": 1.0, "clout": 8 / 0.15, "bandage": 8.0})


def test_a_roof_in_one_piece_takes_none() -> None:
    option, problems = taken_off(builders.enquiry())
    assert (option.expansion_m, problems) == (None, [])
    assert "trim_expansion" not in {need.item for need in option.needs}


def test_a_measured_l_shape_is_taken_off_with_its_joint() -> None:
    sizes = {
        Size.WIDTH: 12000.0,
        Size.PROJECTION: 8000.0,
        Size.NOTCH_WIDTH: 6000.0,
        Size.NOTCH_DEPTH: 5000.0,
    }
    edges = dict.fromkeys((Side.RIGHT, Side.LEFT, Side.NOTCH), EdgeKind.RAISED)
    edges |= {Side.BACK: EdgeKind.WALL, Side.FRONT: EdgeKind.GUTTER_DRIP}
    roof = builders.roof(Shape.L_SHAPE, sizes=sizes, edges=edges)
    option, _ = taken_off(builders.enquiry(roof))
    assert option.expansion_m is not None
    assert option.expansion_m.number == pytest.approx(3.0)
