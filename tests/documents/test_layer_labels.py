"""No words on the plans of boards and mat are crossed by a line or by other words.

Checked by shapely on the drawings as printed.
"""

import math
import re
from itertools import combinations
from typing import Any
from xml.etree import ElementTree

import pytest
from shapely import affinity
from shapely.geometry import LineString, Polygon, box

from quotegen.documents.layers.cut_drawing import SHEET_SCALE, SheetsAlike, draw_sheets
from quotegen.documents.layers.layer_fit import LARGEST_MM, SMALLEST_SCALE
from quotegen.documents.layers.layer_labels import LEAST_SIZE, Ground, labels_in
from quotegen.documents.layers.layer_plan import MEDIUM, board_plan, mat_plan
from quotegen.documents.printing.word_widths import words_width
from quotegen.model.choices import BuildUp, Shape, Side, Size
from quotegen.model.enquiry import Enquiry
from quotegen.takeoff.layers.joists import joist_lines
from quotegen.takeoff.measure import measure
from tests.builders import TODAY, canted_bay, enquiry, given, prices, roof, settings
from tests.documents.test_plan_drawing import FIVE, SKEW, by_corners

CUT_OFF = [(0, 0), (4200, 0), (4200, 3000), (1400, 3000), (0, 1600)]
NOTCHED = {Size.WIDTH: 6000, Size.PROJECTION: 4500, Size.NOTCH_WIDTH: 2400, Size.NOTCH_DEPTH: 1500}
ROOFS: dict[str, Enquiry] = {
    "bay": enquiry(canted_bay()),
    "bow": enquiry(roof(Shape.BOW, sizes={Size.WIDTH: 2600, Size.PROJECTION: 450})),
    "garage": enquiry(roof(sizes={Size.WIDTH: 2600, Size.PROJECTION: 5200})),
    "garage, across": enquiry(roof(sizes={Size.WIDTH: 5200, Size.PROJECTION: 2600})),
    "L": enquiry(roof(Shape.L_SHAPE, sizes=dict(NOTCHED), notch_at=Side.LEFT)),
    "corner cut off": enquiry(
        by_corners(Shape.MEASURED, [(float(x), float(y)) for x, y in CUT_OFF])
    ),
    "five facets": enquiry(
        by_corners(Shape.FIVE_FACET_BAY, [(float(x), float(y)) for x, y in FIVE])
    ),
    "skew": enquiry(by_corners(Shape.MEASURED, [(float(x), float(y)) for x, y in SKEW])),
    "two layers": enquiry(mat_layers=given("layers of mat", 2.0, "layers")),
}
BOXES = ((176.0, LARGEST_MM), (176.0, 80.0), (176.0, 60.0))
"""The largest room a plan has on the page, and smaller ones."""
NOT_ON_BORDERS = re.compile(r"House|Back|Front|[A-Z]")
"""The marks of the sides stand outside, the letters of the edges in a circle of their own."""


@pytest.fixture(scope="module", params=ROOFS)
def plans(request: pytest.FixtureRequest) -> dict[str, ElementTree.Element]:
    """The plans of boards and of mat of one roof, large and small."""
    asked = ROOFS[request.param]
    taken, _ = measure(asked, settings(), prices(), TODAY)
    assert taken is not None
    option = next(one for one in taken.options if one.build_up is BuildUp.NEW_DECK)
    joists = joist_lines(option.boards, 400.0)
    found = {}
    for size in BOXES:
        boards = board_plan(taken.outline, option.boards, joists, size)
        mat = mat_plan(taken.outline, option.mat, size)
        for name, plan in (("boards", boards), ("mat", mat)):
            if plan.scale <= SMALLEST_SCALE:
                found[f"{name} 1:{plan.scale}"] = ElementTree.fromstring(str(plan.drawing))
    assert found
    return found


def points_of(element: ElementTree.Element) -> list[tuple[float, float]]:
    if element.tag.endswith("line") and "x1" in element.attrib:
        at = [float(element.attrib[key]) for key in ("x1", "y1", "x2", "y2")]
        return [(at[0], at[1]), (at[2], at[3])]
    pairs = (pair.split(",") for pair in element.attrib["points"].split())
    return [(float(x), float(y)) for x, y in pairs]


def words_of(drawing: ElementTree.Element) -> list[tuple[str, Any]]:
    """The words of a drawing with the room they take; half a line above and below their middle."""
    found = []
    for element in drawing.iter():
        if not element.tag.endswith("text"):
            continue
        words, size = element.text or "", float(element.attrib["font-size"])
        x, y = float(element.attrib["x"]), float(element.attrib["y"]) - size * 0.34
        wide, high = (
            words_width(words, size, bold=element.attrib.get("font-weight") == "600"),
            size * 0.8,
        )
        room = box(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)
        turn = re.search(r"rotate\(([-\d.]+)", element.attrib.get("transform", ""))
        found.append((words, affinity.rotate(room, float(turn[1]), (x, y)) if turn else room))
    return found


def edges_of(drawing: ElementTree.Element) -> list[Any]:
    """The lines of the edges as wide as they are drawn."""
    return [
        LineString(points_of(element)).buffer(float(element.attrib["stroke-width"]) / 2)
        for element in drawing.iter()
        if element.tag.endswith("polyline")
    ]


def pieces_of(drawing: ElementTree.Element) -> list[Any]:
    """The borders of boards and strips."""
    return [
        Polygon(points_of(element)).exterior.buffer(MEDIUM / 2)
        for element in drawing.iter()
        if element.tag.endswith("polygon") and element.attrib.get("stroke-width") == f"{MEDIUM:g}"
    ]


def test_no_words_run_into_other_words(plans: dict[str, ElementTree.Element]) -> None:
    for name, drawing in plans.items():
        for (first, a), (second, b) in combinations(words_of(drawing), 2):
            assert not a.intersects(b), f"{name}: {first} runs into {second}"


def test_no_words_are_struck_by_an_edge(plans: dict[str, ElementTree.Element]) -> None:
    for name, drawing in plans.items():
        edges = edges_of(drawing)
        assert len(edges) >= 2
        for words, room in words_of(drawing):
            assert not any(room.intersects(edge) for edge in edges), f"{name}: {words}"


def test_no_words_are_struck_by_the_border_of_a_board(
    plans: dict[str, ElementTree.Element],
) -> None:
    for name, drawing in plans.items():
        if not name.startswith("boards"):
            continue
        borders = pieces_of(drawing)
        assert borders
        for words, room in words_of(drawing):
            if not NOT_ON_BORDERS.fullmatch(words):
                assert not any(room.intersects(border) for border in borders), f"{name}: {words}"


def test_small_pieces_of_a_sheet_have_their_words_inside() -> None:
    taken, _ = measure(ROOFS["garage"], settings(), prices(), TODAY)
    assert taken is not None
    layout = taken.options[0].boards
    for number, sheet in enumerate(layout.sheets, 1):
        svg = str(draw_sheets(SheetsAlike((number,), (sheet,)), layout.kind, SHEET_SCALE))
        drawing = ElementTree.fromstring(svg)
        borders = pieces_of(drawing)
        caption, *inside = words_of(drawing)
        assert caption[0].startswith("Sheet")
        for words, room in inside:
            assert not any(room.intersects(border) for border in borders), words


def test_words_stand_beside_what_covers_a_piece_and_beside_openings() -> None:
    """A strip 60 by 20 mm on the paper, its right half under the next, a pipe in the left."""
    piece = ((0.0, 0.0), (60.0, 0.0), (60.0, 20.0), (0.0, 20.0))
    over = ((30.0, -1.0), (70.0, -1.0), (70.0, 21.0), (30.0, 21.0))
    pipe = ((12.0, 2.0), (18.0, 2.0), (18.0, 8.0), (12.0, 8.0))
    found = labels_in(Ground(piece, covered=[over], clear=[pipe]), "7", "600 × 200")
    assert [label.words for label in found] == ["7", "600 × 200"]
    for label in found:
        room = Polygon(label.box)
        assert Polygon(piece).contains(room)
        assert not room.intersects(Polygon(over))
        assert not room.intersects(Polygon(pipe))


def test_a_piece_too_small_for_its_size_has_its_number_alone() -> None:
    tiny = ((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0))
    (label,) = labels_in(Ground(tiny), "12", "40 × 40")
    assert label.words == "12"
    assert label.size >= LEAST_SIZE
    assert math.dist(label.at, (2.0, 2.0)) < 1
