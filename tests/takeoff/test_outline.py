"""Outlines against worked cases, closed formulas and the geometry library shapely."""

import math
import tomllib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from quotegen.model.choices import EdgeKind, Shape, Side, Size
from quotegen.model.enquiry import MeasuredRoof, OutlineRow
from quotegen.model.roof import CornerKind, Outline
from quotegen.problems import Place
from quotegen.takeoff.shape import geometry
from quotegen.takeoff.shape.outline import build_outline
from tests import builders

CASES = tomllib.loads((builders.ROOT / "tests/cases/outlines.toml").read_text())["case"]
HERE = Place(builders.BOOK, "Outline", "A2")


def length_row(length: float, turn: float, kind: EdgeKind = EdgeKind.RAISED) -> OutlineRow:
    figure = builders.given
    return OutlineRow(
        HERE,
        kind,
        length_mm=figure("length", length, "mm"),
        turn_deg=figure("turn", turn, "degrees"),
    )


def offset_row(along: float, out: float, kind: EdgeKind = EdgeKind.RAISED) -> OutlineRow:
    figure = builders.given
    return OutlineRow(
        HERE, kind, along_mm=figure("along", along, "mm"), out_mm=figure("out", out, "mm")
    )


def measured(rows: list[OutlineRow], shape: Shape = Shape.MEASURED) -> MeasuredRoof:
    return builders.roof(shape, sizes={}, edges={}, outline_rows=tuple(rows))


def roof_of(case: dict[str, Any]) -> MeasuredRoof:
    shape = Shape(case["shape"])
    if "offsets" in case:
        return measured([offset_row(a, o) for a, o in case["offsets"]], shape)
    if "walk" in case:
        return measured([length_row(length, turn) for length, turn in case["walk"]], shape)
    sizes = {Size(heading): value for heading, value in case["sizes"].items()}
    return builders.roof(shape, sizes=sizes, notch_at=Side(case.get("notch", "right")))


def outline_of(roof: MeasuredRoof) -> Outline:
    outline, problems = build_outline(builders.enquiry(roof), builders.settings())
    assert problems == []
    assert outline is not None
    return outline


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_worked_case(case: dict[str, Any]) -> None:
    outline = outline_of(roof_of(case))
    assert outline.area_m2.number == pytest.approx(case["area_m2"], abs=5e-5)
    lengths = {edge.name: edge.length.number for edge in outline.edges}
    for name, length in case["edges"].items():
        assert lengths[name] == pytest.approx(length, abs=0.01), name
    corners = {f"{corner.before}/{corner.after}": corner for corner in outline.corners}
    for name, angle in case["corners"].items():
        assert corners[name].interior_deg == pytest.approx(angle, abs=0.01), name
    for name, kind in case["kinds"].items():
        assert corners[name].kind is CornerKind(kind), name


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_the_drawn_ring_agrees_with_shapely(case: dict[str, Any]) -> None:
    """Area and length of the drawn points by shapely; a curve drawn in 48 parts is 0.1 % short."""
    outline = outline_of(roof_of(case))
    ring = Polygon(outline.points)
    assert ring.is_valid
    assert ring.area / 1e6 == pytest.approx(outline.area_m2.number, rel=1e-3)
    assert ring.length == pytest.approx(outline.perimeter_mm.number, rel=1e-3)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_interior_angles_close(case: dict[str, Any]) -> None:
    """The interior angles of a polygon of n sides add to (n - 2) x 180 degrees (Euclid I.32).

    On a curved side the tangents turn by the angle of the arc besides.
    """
    outline = outline_of(roof_of(case))
    total = sum(corner.interior_deg for corner in outline.corners)
    turned = 0.0
    if outline.shape is Shape.BOW:
        sizes = case["sizes"]
        chord, rise = sizes["Width along wall (mm)"], sizes["Projection from wall (mm)"]
        turned = 2 * math.degrees(geometry.arc_half_angle_rad(chord, rise))
    assert total == pytest.approx((len(outline.corners) - 2) * 180 + turned, abs=0.01)


@given(st.lists(st.tuples(st.integers(500, 6000), st.integers(500, 6000)), min_size=3, max_size=7))
def test_shoelace_agrees_with_shapely(points: list[tuple[int, int]]) -> None:
    ours = geometry.polygon_area_m2(tuple((float(x), float(y)) for x, y in points))
    ring = Polygon(points)
    theirs = ring.area if ring.is_valid else abs(ours) * 1e6
    assert abs(ours) * 1e6 == pytest.approx(theirs, abs=1e-3)


@given(st.integers(800, 6000), st.floats(0.05, 0.5))
@settings(max_examples=40)
def test_bow_agrees_with_a_fine_polygon(chord: int, share: float) -> None:
    rise = chord * share
    points = geometry.arc_points(chord, rise, 2000)
    ring = Polygon([(0, 0), (chord, 0), *points])
    assert geometry.segment_area_m2(chord, rise) == pytest.approx(ring.area / 1e6, rel=1e-5)
    arc = ring.length - chord
    assert geometry.arc_length_mm(chord, rise) == pytest.approx(arc, rel=1e-5)


@given(
    st.lists(st.tuples(st.floats(500, 5000), st.floats(0.15, 1.0)), min_size=3, max_size=7),
)
def test_an_outline_walked_exactly_closes_on_itself(spokes: list[tuple[float, float]]) -> None:
    """Any star-shaped ring, measured as lengths and turns, comes back with the area shapely has."""
    step = 2 * math.pi / sum(weight for _, weight in spokes)
    angle, points = 0.0, []
    for radius, weight in spokes:
        points.append((radius * math.cos(angle), radius * math.sin(angle)))
        angle += weight * step
    ring = Polygon(points)
    lengths, headings = [], []
    for start, end in zip(points, points[1:] + points[:1], strict=True):
        lengths.append(geometry.distance_mm(start, end))
        headings.append(math.degrees(geometry.heading_rad(start, end)))
    turns = [
        (b - a + 180) % 360 - 180
        for a, b in zip(headings, headings[1:] + headings[:1], strict=True)
    ]
    walked = geometry.walk(lengths, turns)
    assert geometry.distance_mm(walked[0], walked[-1]) == pytest.approx(0, abs=1e-6)
    closed = geometry.close_traverse(walked)
    assert abs(geometry.polygon_area_m2(closed)) * 1e6 == pytest.approx(ring.area, rel=1e-6)


def test_a_small_miss_is_shared_out_and_a_large_one_is_a_problem() -> None:
    small = measured([length_row(*row) for row in ((3000, 90), (2000, 90), (2990, 90), (2000, 90))])
    assert outline_of(small).area_m2.number == pytest.approx(5.99, abs=0.01)
    large = measured([length_row(*row) for row in ((3000, 90), (2000, 90), (2900, 90), (2000, 90))])
    outline, problems = build_outline(builders.enquiry(large), builders.settings())
    assert outline is None
    assert [(p.code, p.place.cell, p.seen) for p in problems] == [
        ("outline-not-closed", "A2", "100 mm")
    ]
    assert "100 mm" in problems[0].message
    assert "15 mm" in problems[0].message


def test_a_bow_tie_is_a_problem() -> None:
    rows = [offset_row(0, 0), offset_row(2000, 0), offset_row(0, 1000), offset_row(2000, 1000)]
    outline, problems = build_outline(builders.enquiry(measured(rows)), builders.settings())
    assert outline is None
    assert [p.code for p in problems] == ["outline-crosses"]


def test_an_outline_the_wrong_way_round_is_a_problem() -> None:
    rows = [length_row(*row) for row in ((3000, -90), (2000, -90), (3000, -90), (2000, -90))]
    _, problems = build_outline(builders.enquiry(measured(rows)), builders.settings())
    assert [p.code for p in problems] == ["outline-crosses"]


@pytest.mark.parametrize(
    ("shape", "sizes"),
    [
        (
            Shape.CANTED_BAY,
            {Size.WIDTH: 1200, Size.FRONT_WIDTH: 1400, Size.PROJECTION: 600},
        ),
        (
            Shape.CANTED_BAY,
            {
                Size.WIDTH: 2400,
                Size.FRONT_WIDTH: 1200,
                Size.PROJECTION: 600,
                Size.LEFT_SET_BACK: 1500,
            },
        ),
        (Shape.BOW, {Size.WIDTH: 2000, Size.PROJECTION: 1100}),
        (
            Shape.L_SHAPE,
            {
                Size.WIDTH: 3000,
                Size.PROJECTION: 2000,
                Size.NOTCH_WIDTH: 3000,
                Size.NOTCH_DEPTH: 500,
            },
        ),
    ],
)
def test_impossible_sizes_are_a_problem(shape: Shape, sizes: dict[Size, float]) -> None:
    roof = builders.roof(shape, sizes=sizes)
    outline, problems = build_outline(builders.enquiry(roof), builders.settings())
    assert outline is None
    assert [(p.code, p.ref) for p in problems] == [("shape-impossible", "T-01")]


def test_a_five_facet_bay_needs_six_corners() -> None:
    rows = [offset_row(0, 0), offset_row(2400, 0), offset_row(1200, 700)]
    roof = measured(rows, Shape.FIVE_FACET_BAY)
    _, problems = build_outline(builders.enquiry(roof), builders.settings())
    assert [p.code for p in problems] == ["shape-impossible"]
