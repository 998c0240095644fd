"""Falls against the published least and against the edges the water has to leave by.

Least: 1 in 80 finished, BS 6229:2018, read second-hand. Runs and ratios by hand.
"""

from typing import Any

import pytest

from quotegen.model.choices import EdgeKind, OpeningKind, Shape, Side, Size
from quotegen.model.enquiry import MeasuredRoof
from quotegen.problems import Place
from quotegen.takeoff.measure import measure
from quotegen.takeoff.shape.fall import fall_run, low_edges
from quotegen.takeoff.shape.outline import build_outline
from tests import builders

FALLS = {"fall-too-flat", "falls-to-wall", "falls-to-raised-edge", "falls-past-gutter"}
AT, DROP = Place("book.xlsx", "Enquiries", "M2"), Place("book.xlsx", "Enquiries", "N2")


def found(roof: MeasuredRoof, **changes: Any) -> list[tuple[str, Place]]:
    enquiry = builders.enquiry(roof, **changes)
    _, problems = measure(enquiry, builders.settings(), builders.prices(), builders.TODAY)
    return [(one.code, one.place) for one in problems if one.code in FALLS]


def falling(drop_mm: float | None, **changes: Any) -> MeasuredRoof:
    drop = None if drop_mm is None else builders.given("drop", drop_mm, "mm")
    return builders.roof(level_drop_mm=drop, falls_at=AT, drop_at=DROP, **changes)


@pytest.mark.parametrize(
    ("drop_mm", "flat"),
    [(None, False), (0.0, True), (24.9, True), (25.0, False), (50.0, False)],
)
def test_a_roof_of_two_metres_has_to_drop_25_mm(drop_mm: float | None, flat: bool) -> None:
    """2000 / 80 = 25 mm. A drop nobody measured is not known, and is not called flat."""
    assert found(falling(drop_mm)) == ([("fall-too-flat", DROP)] if flat else [])


@pytest.mark.parametrize(
    ("side", "run_mm"), [(Side.FRONT, 600), (Side.BACK, 600), (Side.LEFT, 2400), (Side.RIGHT, 2400)]
)
def test_the_run_is_how_far_the_roof_reaches_down_its_fall(side: Side, run_mm: float) -> None:
    """A bay 2400 wide and 600 out, 12 mm lower at its low edge: 600 / 12 is 1 in 50."""
    roof = builders.canted_bay(falls_to=side, level_drop_mm=builders.given("drop", 12.0, "mm"))
    outline, _ = build_outline(builders.enquiry(roof), builders.settings())
    assert outline is not None
    run = fall_run(builders.enquiry(roof), outline)
    assert run is not None
    assert run.number == pytest.approx(run_mm / 12)


def test_water_runs_to_the_edges_that_face_downhill() -> None:
    """The cants of a bay face 45 degrees from its front, those of a shallow bay 72 degrees."""
    for front, names in ((1200.0, {"front", "left cant", "right cant"}), (2000.0, {"front"})):
        sizes = {Size.WIDTH: 2400.0, Size.FRONT_WIDTH: front, Size.PROJECTION: 600.0}
        roof = builders.roof(Shape.CANTED_BAY, sizes=sizes)
        outline, _ = build_outline(builders.enquiry(roof), builders.settings())
        assert outline is not None
        assert {edge.name for edge in low_edges(outline, Side.FRONT)} == names


def edged(front: EdgeKind, left: EdgeKind = EdgeKind.RAISED) -> dict[Side, EdgeKind]:
    sides = {Side.BACK: EdgeKind.WALL, Side.FRONT: front, Side.RIGHT: EdgeKind.RAISED}
    return {**sides, Side.LEFT: left}


@pytest.mark.parametrize(
    ("edges", "falls_to", "code"),
    [
        (edged(EdgeKind.GUTTER_DRIP), Side.FRONT, None),
        (edged(EdgeKind.GUTTER_DRIP), Side.BACK, "falls-to-wall"),
        (edged(EdgeKind.GUTTER_DRIP), Side.LEFT, "falls-to-raised-edge"),
        (edged(EdgeKind.GUTTER_DRIP, EdgeKind.FREE_DRIP), Side.LEFT, "falls-past-gutter"),
        (edged(EdgeKind.FREE_DRIP), Side.FRONT, None),
        (edged(EdgeKind.GUTTER_DRIP, EdgeKind.TILES), Side.LEFT, "falls-to-wall"),
    ],
)
def test_a_roof_has_to_fall_to_an_edge_that_lets_the_water_go(
    edges: dict[Side, EdgeKind], falls_to: Side, code: str | None
) -> None:
    roof = falling(75.0, edges=edges, falls_to=falls_to)
    assert found(roof) == ([(code, AT)] if code else [])
    outlet = builders.opening(OpeningKind.OUTLET)
    assert found(roof, openings=(outlet,)) == []


def test_an_l_shape_that_falls_to_the_front_leaves_by_both_its_fronts() -> None:
    sizes = {
        Size.WIDTH: 5000.0, Size.PROJECTION: 4000.0, Size.NOTCH_WIDTH: 2000.0,
        Size.NOTCH_DEPTH: 1500.0,
    }  # fmt: skip
    roof = builders.roof(Shape.L_SHAPE, sizes=sizes, level_drop_mm=builders.given("d", 60.0, "mm"))
    assert found(roof) == []
