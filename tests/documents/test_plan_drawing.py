"""The plan against plane geometry worked by shapely on the same shapes."""

import math
from itertools import combinations
from xml.etree import ElementTree

import pytest
from shapely.geometry import LineString, Point, Polygon

from quotegen.documents.drawing.plan_drawing import draw_plan, draw_sample
from quotegen.documents.drawing.plan_layout import (
    BADGE_RADIUS,
    PlanLayout,
    edge_letters,
)
from quotegen.model.choices import EdgeKind, Shape, Side, Size
from quotegen.model.enquiry import SHAPE_NEEDS, MeasuredRoof, OutlineRow
from quotegen.model.roof import Outline
from quotegen.problems import Place
from quotegen.takeoff.shape.outline import build_outline
from tests.builders import BOOK, canted_bay, enquiry, given, roof, settings
from tests.documents.plans import lay_out_plan

BOX = (174.0, 88.0)
SVG = "{http://www.w3.org/2000/svg}"

Corners = list[tuple[float, float]]


def by_corners(shape: Shape, corners: Corners) -> MeasuredRoof:
    """A roof given by its corners, the first edge along the wall."""
    rows = tuple(
        OutlineRow(
            Place(BOOK, "Outline", f"A{n}"),
            EdgeKind.FREE_DRIP if n > 2 else EdgeKind.WALL,
            along_mm=given("along", x, "mm"),
            out_mm=given("out", y, "mm"),
        )
        for n, (x, y) in enumerate(corners, 2)
    )
    return roof(shape, sizes={}, edges={}, outline_rows=rows)


L_SIZES = {Size.WIDTH: 5200, Size.PROJECTION: 4100, Size.NOTCH_WIDTH: 1900, Size.NOTCH_DEPTH: 1300}
FIVE = [(0, 0), (3000, 0), (2700, 600), (2100, 900), (900, 900), (300, 600)]
U_SHAPE = [(0, 0), (6, 0), (6, 3), (4, 3), (4, 1.5), (2, 1.5), (2, 3), (0, 3)]
SKEW = [(0, 0), (3300, 0), (3100, 2000), (200, 2400)]
ROOFS = {
    "small bay": canted_bay(),
    "garage": roof(sizes={Size.WIDTH: 2600, Size.PROJECTION: 5300}),
    "long and shallow": roof(sizes={Size.WIDTH: 7000, Size.PROJECTION: 700}),
    "narrow and deep": roof(sizes={Size.WIDTH: 800, Size.PROJECTION: 5000}),
    "bow": roof(Shape.BOW, sizes={Size.WIDTH: 2100, Size.PROJECTION: 450}),
    "L": roof(Shape.L_SHAPE, sizes=dict(L_SIZES)),
    "L, notch on the left": roof(Shape.L_SHAPE, sizes=dict(L_SIZES), notch_at=Side.LEFT),
    "five facets": by_corners(Shape.FIVE_FACET_BAY, [(float(x), float(y)) for x, y in FIVE]),
    "U": by_corners(Shape.MEASURED, [(x * 1000.0, y * 1000.0) for x, y in U_SHAPE]),
    "skew": by_corners(Shape.MEASURED, [(float(x), float(y)) for x, y in SKEW]),
}


def outline_of(measured: MeasuredRoof) -> Outline:
    outline, problems = build_outline(enquiry(measured), settings())
    assert outline is not None, problems
    return outline


@pytest.fixture(scope="module", params=list(ROOFS))
def plan(request: pytest.FixtureRequest) -> tuple[Outline, PlanLayout]:
    outline = outline_of(ROOFS[request.param])
    return outline, lay_out_plan(outline, Side.FRONT, *BOX)


def test_the_wall_of_2400_is_drawn_at_2400_over_the_scale() -> None:
    layout = lay_out_plan(outline_of(canted_bay()), Side.FRONT, *BOX)
    wall = layout.edges[0]
    assert layout.scale == 20
    assert math.dist(wall.points[0], wall.points[-1]) == pytest.approx(2400 / 20)
    cant = layout.edges[1]
    assert math.dist(cant.points[0], cant.points[-1]) == pytest.approx(848.528 / 20, abs=1e-3)


def test_every_edge_is_to_scale_and_the_area_is_kept(plan: tuple[Outline, PlanLayout]) -> None:
    outline, layout = plan
    for edge in layout.edges:
        drawn_mm = LineString(edge.points).length * layout.scale
        assert drawn_mm == pytest.approx(edge.edge.length.number, rel=1e-3)
    area_m2 = Polygon(layout.ring).area * layout.scale**2 / 1e6
    assert area_m2 == pytest.approx(outline.area_m2.number, rel=2e-3)


def test_it_fits_the_box(plan: tuple[Outline, PlanLayout]) -> None:
    left, top, right, bottom = plan[1].bounds
    assert right - left <= BOX[0]
    assert bottom - top <= BOX[1]


def test_no_words_run_into_other_words(plan: tuple[Outline, PlanLayout]) -> None:
    boxes = [(label.words, Polygon(label.box)) for label in plan[1].labels]
    for (first, a), (second, b) in combinations(boxes, 2):
        assert not a.intersects(b), f"{first} runs into {second}"


def test_words_keep_clear_of_the_letters(plan: tuple[Outline, PlanLayout]) -> None:
    badges = [Point(edge.badge).buffer(BADGE_RADIUS) for edge in plan[1].edges]
    for label in plan[1].labels:
        assert not any(Polygon(label.box).intersects(badge) for badge in badges), label.words


def test_lengths_stand_outside_and_area_and_angles_inside(
    plan: tuple[Outline, PlanLayout],
) -> None:
    layout = plan[1]
    ring = Polygon(layout.ring)
    for dimension in layout.dimensions:
        assert not ring.intersects(Polygon(dimension.label.box)), dimension.label.words
        assert not ring.crosses(LineString([dimension.start, dimension.end]))
    for label in (*layout.angles, *([layout.area] if layout.area else [])):
        assert ring.contains(Polygon(label.box)), label.words


def test_every_edge_has_its_length_once_and_its_letter(plan: tuple[Outline, PlanLayout]) -> None:
    outline, layout = plan
    words = [dimension.label.words.split()[0] for dimension in layout.dimensions]
    for edge in outline.edges:
        assert f"{edge.length.number:.0f}" in words
    assert [edge.letter for edge in layout.edges] == list("ABCDEFGH")[: len(outline.edges)]


def test_depth_of_a_bay_is_given_though_no_edge_has_it() -> None:
    layout = lay_out_plan(outline_of(canted_bay()), Side.FRONT, *BOX)
    assert "600" in [d.label.words for d in layout.dimensions]
    assert [d.label.words for d in layout.dimensions].count("2400") == 1


def test_mitred_corners_carry_their_angle() -> None:
    layout = lay_out_plan(outline_of(canted_bay()), Side.FRONT, *BOX)
    assert sorted(label.words for label in layout.angles) == ["135°", "135°", "45°", "45°"]


@pytest.mark.parametrize(
    ("side", "direction"),
    [(Side.FRONT, (0, 1)), (Side.BACK, (0, -1)), (Side.LEFT, (-1, 0)), (Side.RIGHT, (1, 0))],
)
def test_the_arrow_points_the_way_the_water_runs(side: Side, direction: tuple[int, int]) -> None:
    layout = lay_out_plan(outline_of(roof()), side, *BOX)
    assert layout.fall is not None
    (x1, y1), (x2, y2) = layout.fall
    length = math.hypot(x2 - x1, y2 - y1)
    assert ((x2 - x1) / length, (y2 - y1) / length) == pytest.approx(direction)


def test_a_narrow_roof_has_its_area_above_the_arrow() -> None:
    """26 mm on the paper: five on either side of the arrow and the words, some 18, need more."""
    passage = roof(sizes={Size.WIDTH: 1300, Size.PROJECTION: 5300})
    layout = lay_out_plan(outline_of(passage), Side.FRONT, 92, 115)
    assert layout.area is not None
    assert layout.fall is not None
    lowest_of_area = max(y for _, y in layout.area.box)
    assert lowest_of_area < min(y for _, y in layout.fall)


def test_a_roof_with_room_has_its_area_beside_the_arrow() -> None:
    """52 mm on the paper hold both in one row."""
    layout = lay_out_plan(outline_of(ROOFS["garage"]), Side.FRONT, 92, 115)
    assert layout.area is not None
    assert layout.fall is not None
    assert max(x for x, _ in layout.fall) < min(x for x, _ in layout.area.box)


def test_a_measured_outline_a_hair_off_square_is_dimensioned_once_and_upright() -> None:
    # Walked round by tape: the last corner misses by a few tenths of a millimetre.
    nearly = [(0.0, 0.0), (4200.0, 0.0), (4199.9, 3000.1), (0.1, 3000.0)]
    layout = lay_out_plan(outline_of(by_corners(Shape.MEASURED, nearly)), Side.FRONT, *BOX)
    assert sorted(d.label.words for d in layout.dimensions) == ["3000", "3000", "4200", "4200"]
    assert {round(d.label.turn) for d in layout.dimensions} == {0, -90}


def test_only_a_back_at_a_wall_or_under_tiles_is_marked_as_the_house() -> None:
    for kind, mark in ((EdgeKind.WALL, "House"), (EdgeKind.TILES, "House"),
                       (EdgeKind.RAISED, "Back")):  # fmt: skip
        edges = dict.fromkeys(SHAPE_NEEDS[Shape.RECTANGLE].sides, EdgeKind.RAISED)
        layout = lay_out_plan(outline_of(roof(edges=edges | {Side.BACK: kind})), Side.FRONT, *BOX)
        assert [label.words for label in layout.marks] == [mark, "Front"]


def test_a_roof_too_large_for_the_box_is_drawn_at_the_last_scale() -> None:
    outline = outline_of(roof(sizes={Size.WIDTH: 20000, Size.PROJECTION: 20000}))
    assert lay_out_plan(outline, Side.FRONT, *BOX).scale == 200


def test_the_picture_is_as_large_as_its_coordinates_and_has_title_and_description() -> None:
    layout = lay_out_plan(outline_of(canted_bay()), Side.FRONT, *BOX)
    picture = ElementTree.fromstring(draw_plan(layout, "Plan <1:20>", "A & B"))
    _, _, width, height = picture.attrib["viewBox"].split()
    assert picture.attrib["width"] == f"{width}mm"
    assert picture.attrib["height"] == f"{height}mm"
    assert picture.findtext(f"{SVG}title") == "Plan <1:20>"
    assert picture.findtext(f"{SVG}desc") == "A & B"


def test_each_kind_of_edge_is_drawn_in_its_own_way_without_colour() -> None:
    samples = {str(draw_sample(kind)).split("</title>")[1] for kind in EdgeKind}
    assert len(samples) == len(EdgeKind)
    strokes = {
        element.attrib["stroke"]
        for kind in EdgeKind
        for element in ElementTree.fromstring(draw_sample(kind)).iter()
        if "stroke" in element.attrib
    }
    assert len(strokes) == 1


def test_letters_go_on_after_z() -> None:
    corners = [(1000 + 900 * math.cos(n / 15 * math.pi), 900 * math.sin(n / 15 * math.pi))
               for n in range(30)]  # fmt: skip
    outline = outline_of(by_corners(Shape.MEASURED, corners))
    assert edge_letters(outline)[25:27] == ("Z", "AA")
