"""Openings on the plans: in place, to the stated scale, described in words, never boarded over."""

from collections.abc import Sequence
from functools import cache
from itertools import combinations
from xml.etree import ElementTree

import pytest
from msgspec import Struct
from shapely.geometry import Polygon

from quotegen.documents.crew.cutting_list import CUTTING_LIST, CuttingView, cutting_view
from quotegen.documents.crew.day_sheet import day_sheet_view
from quotegen.documents.drawing.plan_drawing import draw_plan
from quotegen.model.choices import JoistRun, OpeningKind, Shape, Side, Size
from quotegen.model.enquiry import Enquiry, MeasuredRoof, SiteFacts
from quotegen.model.safety import MethodStatement
from quotegen.safety.statement.statement import make_statement
from quotegen.takeoff.measure import measure
from quotegen.takeoff.shape.openings import placed_openings
from tests.builders import TODAY, canted_bay, enquiry, opening, prices, roof, settings
from tests.documents.conftest import ISSUE, squeezed, text_of
from tests.documents.plans import lay_out_plan

LIGHT, PIPE, OUTLET = OpeningKind.ROOFLIGHT, OpeningKind.PIPE, OpeningKind.OUTLET
SVG = "{http://www.w3.org/2000/svg}"
BOX = (174.0, 88.0)
L_SIZES = {
    Size.WIDTH: 6000.0, Size.PROJECTION: 4500.0, Size.NOTCH_WIDTH: 2400.0, Size.NOTCH_DEPTH: 1500.0,
}  # fmt: skip
GARAGE = {Size.WIDTH: 2600.0, Size.PROJECTION: 5200.0}
Placed = tuple[OpeningKind, tuple[float, float], tuple[float, float] | None]
"""An opening, its middle, and its size along and out [mm]."""

PLACED: dict[str, tuple[MeasuredRoof, list[Placed]]] = {
    "bay": (canted_bay(), [(PIPE, (1000.0, 300.0), (110.0, 110.0))]),
    "l-shape": (
        roof(Shape.L_SHAPE, sizes=L_SIZES),
        [
            (LIGHT, (1850.0, 2100.0), (1200.0, 900.0)),
            (PIPE, (5200.0, 600.0), (110.0, 110.0)),
            (OUTLET, (300.0, 4200.0), None),
        ],
    ),
    "garage": (
        roof(sizes=GARAGE, joist_run=JoistRun.ALONG),
        [
            (LIGHT, (1300.0, 1500.0), (600.0, 900.0)),
            (LIGHT, (1300.0, 3500.0), (900.0, 600.0)),
            (PIPE, (300.0, 200.0), (160.0, 160.0)),
        ],
    ),
}


class Drawn(Struct, frozen=True):
    """What a drawing shows: the corner of its roof, its closed shapes and its circles [mm]."""

    corner: tuple[float, float]
    shapes: tuple[tuple[tuple[float, float], ...], ...]
    circles: tuple[tuple[float, float, float], ...]
    words: tuple[str, ...]
    said: str


def stated(asked: Enquiry) -> MethodStatement:
    firm = settings()
    take_off, _ = measure(asked, firm, prices(), TODAY)
    assert take_off is not None
    return make_statement(take_off, firm, TODAY)


def asked_of(name: str) -> Enquiry:
    measured, given = PLACED[name]
    openings = tuple(opening(kind, at=at, size=size) for kind, at, size in given)
    return enquiry(measured, openings=openings)


@cache
def placed_view(name: str) -> CuttingView:
    """The cutting list of a roof of `PLACED`, made once."""
    return cutting_view(stated(asked_of(name)), ISSUE)


def parsed(drawing: str) -> Drawn:
    picture = ElementTree.fromstring(drawing)
    shapes = [
        tuple((float(x), float(y)) for x, y in (pair.split(",") for pair in points.split()))
        for points in (one.attrib["points"] for one in picture.iter(f"{SVG}polygon"))
    ]
    roof_ring = shapes[0]
    return Drawn(
        corner=(min(x for x, _ in roof_ring), min(y for _, y in roof_ring)),
        shapes=tuple(shapes[1:]),
        circles=tuple(
            (float(one.attrib["cx"]), float(one.attrib["cy"]), float(one.attrib["r"]))
            for one in picture.iter(f"{SVG}circle")
        ),
        words=tuple(one.text or "" for one in picture.iter(f"{SVG}text")),
        said=f"{picture.findtext(f'{SVG}title')} {picture.findtext(f'{SVG}desc')}",
    )


def assert_drawn(drawn: Drawn, scale: float, given: Sequence[Placed]) -> None:
    """Each opening at its place over the scale, in its own shape."""
    for kind, (along, out), size in given:
        x, y = drawn.corner[0] + along / scale, drawn.corner[1] + out / scale
        if kind is PIPE:
            assert size is not None
            wanted = (x, y, size[0] / 2 / scale)
            assert any(circle == pytest.approx(wanted, abs=2e-3) for circle in drawn.circles)
        elif kind is LIGHT:
            assert size is not None
            half, deep = size[0] / 2 / scale, size[1] / 2 / scale
            assert any(
                len(ring) == 4
                and Polygon(ring).bounds
                == pytest.approx((x - half, y - deep, x + half, y + deep), abs=2e-3)
                for ring in drawn.shapes
            )
        else:
            assert any(circle[:2] == pytest.approx((x, y), abs=2e-3) for circle in drawn.circles)


@pytest.mark.parametrize("name", PLACED)
def test_the_plan_of_the_roof_shows_each_opening_at_its_place(name: str) -> None:
    view = placed_view(name).plan
    drawn = parsed(str(view.drawing))
    assert_drawn(drawn, float(view.scale[2:]), PLACED[name][1])
    assert view.not_drawn == ""
    for words in view.openings.split("; "):
        assert words in drawn.said


@pytest.mark.parametrize("name", [name for name in PLACED if name != "bay"])
def test_the_plan_of_the_boards_shows_each_opening_at_its_place(name: str) -> None:
    view = placed_view(name)
    drawn = parsed(str(view.boards.plan))
    assert_drawn(drawn, float(view.boards.scale[2:]), PLACED[name][1])
    lights = sum(kind is LIGHT for kind, _, _ in PLACED[name][1])
    shown = " ".join(drawn.words)
    assert shown.count("rooflight: do not board over") == lights
    assert drawn.said.count("do not board over it") == lights


def test_pipes_and_outlets_carry_their_names() -> None:
    words = parsed(str(placed_view("l-shape").boards.plan)).words
    assert "pipe 110" in words
    assert "outlet" in words


@pytest.mark.parametrize("name", PLACED)
def test_words_of_openings_run_into_no_other_words_and_no_opening(name: str) -> None:
    asked = asked_of(name)
    take_off, _ = measure(asked, settings(), prices(), TODAY)
    assert take_off is not None
    layout = lay_out_plan(
        take_off.outline, Side.FRONT, *BOX, placed_openings(asked, take_off.outline)
    )
    boxes = [(label.words, Polygon(label.box)) for label in layout.labels]
    for (first, a), (second, b) in combinations(boxes, 2):
        assert a.intersection(b).area < 1e-9, f"{first} runs into {second}"
    for one in layout.openings:
        assert one.labels
        for words, box in boxes:
            if words not in {label.words for label in one.labels}:
                assert not Polygon(one.ring).intersects(box), words
    ring = Polygon(layout.ring)
    assert all(ring.contains(Polygon(label.box)) for label in layout.opening_labels)


def test_the_kinds_differ_in_their_lines_and_not_in_colour() -> None:
    def lines(kind: OpeningKind) -> tuple[list[tuple[str, str]], set[str]]:
        size = None if kind is OUTLET else (500.0, 500.0)
        asked = enquiry(openings=(opening(kind, at=(1500.0, 1000.0), size=size),))
        take_off, _ = measure(asked, settings(), prices(), TODAY)
        assert take_off is not None
        with_it, without = (
            lay_out_plan(take_off.outline, Side.FRONT, *BOX, placed)
            for placed in (placed_openings(asked, take_off.outline), ())
        )
        pictures = [ElementTree.fromstring(draw_plan(one, "", "")) for one in (with_it, without)]
        strokes = {e.attrib["stroke"] for e in pictures[0].iter() if "stroke" in e.attrib}
        elements = [
            sorted((e.tag, e.attrib.get("stroke-dasharray", "")) for e in one.iter())
            for one in pictures
        ]
        for element in elements[1]:
            elements[0].remove(element)
        return elements[0], strokes

    found = {kind: lines(kind) for kind in OpeningKind}
    kinds = [str([e for e in found[kind][0] if not e[0].endswith("text")]) for kind in found]
    assert len(set(kinds)) == len(OpeningKind)
    assert all(strokes == {"#1c2326", "none"} for _, strokes in found.values())


def view_of(*openings: object, through_roof: bool | None = True) -> CuttingView:
    site = SiteFacts(through_roof=through_roof)
    return cutting_view(stated(enquiry(openings=openings, site=site)), ISSUE)


def test_an_opening_without_a_place_is_said_beside_the_drawing() -> None:
    view = view_of(
        opening(LIGHT, size=(900.0, 600.0)), opening(PIPE, size=(110.0, 110.0), count=2.0)
    )
    assert view.boards.openings == (
        "1 rooflight 900 × 600 mm: its place was not given: mark it here before boarding.",
        "2 pipes 110 mm across: not placed: mark each here before boarding.",
    )
    assert view.plan.not_drawn == "1 rooflight 900 × 600 mm; 2 pipes 110 mm across"
    assert view.plan.openings == ""
    assert "rooflight" not in parsed(str(view.boards.plan)).said


def test_nothing_known_of_openings_is_said_and_a_plain_no_is_not() -> None:
    (words,) = view_of(through_roof=None).boards.openings
    assert "Nobody has said whether anything comes through" in words
    assert view_of(through_roof=False).boards.openings == ()


def test_the_paper_of_the_cutting_list_says_it_without_a_warning() -> None:
    asked = asked_of("l-shape")
    unplaced = opening(PIPE, size=(160.0, 160.0))
    drawn = CUTTING_LIST.make(
        stated(enquiry(asked.roof, openings=(*asked.openings, unplaced))), ISSUE, None
    )
    assert drawn.warnings == ()
    text = squeezed(text_of(drawn))
    for words in (
        "1 rooflight 1200 × 900 mm, middle 1850 from the left, 2100 mm from the house: cut the "
        "hole in place to the plan, do not board over it.",
        "1 pipe 160 mm across: its place was not given: mark it here before boarding.",
        "Never board over anything that comes through the roof",
    ):
        assert squeezed(words) in text


@pytest.mark.parametrize(
    ("through_roof", "kind", "held"),
    [(False, None, False), (None, None, True), (True, PIPE, True), (True, OUTLET, True)],
)
def test_the_first_board_waits_until_every_opening_is_found(
    through_roof: bool | None, kind: OpeningKind | None, held: bool
) -> None:
    openings = (opening(kind, size=None if kind is OUTLET else (110.0, 110.0)),) if kind else ()
    statement = stated(enquiry(openings=openings, site=SiteFacts(through_roof=through_roof)))
    keys = [step.key for step in statement.steps]
    check, deck = (keys.index(key) for key in ("check", "deck"))
    assert check < deck
    assert ("found from below" in statement.steps[check].hold_point) is held
    assert ("guard the hole" in " ".join(statement.steps[deck].lines)) is held
    day = day_sheet_view(statement, ISSUE)
    told = " ".join(hold for one in day.days for spell in one.spells for hold in spell.holds)
    assert ("found from below" in told) is held
