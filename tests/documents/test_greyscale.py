"""Nothing is lost in greyscale: only signs have colour, and lines differ in more than colour."""

import re
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree

import pytest

import quotegen.documents
from quotegen.documents.drawing import signs
from quotegen.documents.drawing.day_chart import day_chart
from quotegen.documents.drawing.roof_view import plan_view
from quotegen.documents.layers.cut_drawing import draw_bar
from quotegen.documents.layers.cut_pieces import ways_of_cutting
from quotegen.documents.layers.layer_plan import board_plan, mat_plan
from quotegen.machine.resources import templates_folder
from quotegen.model.safety import MethodStatement
from quotegen.takeoff.layers.joists import joist_lines
from tests.documents.test_day_sheet import planned
from tests.safety.forecasts import FAIR, WET

COLOUR = re.compile(r"(?<!&)#(?:[0-9a-f]{6}|[0-9a-f]{3})\b", re.IGNORECASE)
GREY = 20
"""As far as the parts of a colour may differ, of 255, and still look grey: common practice."""
APART = 0.25
"""As much lightness, of 1, between words and their ground as can be read: common practice."""
MODULES = sorted(Path(quotegen.documents.__file__).parent.rglob("*.py"))
SHEETS = sorted(p for p in templates_folder().rglob("*") if p.suffix in {".css", ".html"})


def channels(colour: str) -> tuple[int, int, int]:
    digits = colour.lstrip("#")
    if len(digits) == 3:
        digits = "".join(digit * 2 for digit in digits)
    red, green, blue = (int(digits[n : n + 2], 16) for n in (0, 2, 4))
    return red, green, blue


def lightness(colour: str) -> float:
    """The grey a colour prints as, 0 to 1. Source: ITU-R BT.601 luma weights (from memory)."""
    red, green, blue = channels(colour)
    return (0.299 * red + 0.587 * green + 0.114 * blue) / 255


def test_only_signs_have_colour() -> None:
    coloured = {
        (path.name, colour)
        for path in (*MODULES, *SHEETS)
        for colour in COLOUR.findall(path.read_text())
        if max(channels(colour)) - min(channels(colour)) > GREY
    }
    on_signs = {one for one in coloured if one[0] == Path(signs.__file__).name}
    assert on_signs, "the blue of ISO 7010 and the red of GHS"
    assert coloured - on_signs == set()


def test_the_colours_of_the_signs_can_be_told_from_their_ground_in_grey() -> None:
    text = Path(signs.__file__).read_text()
    for colour in COLOUR.findall(text):
        if max(channels(colour)) - min(channels(colour)) > GREY:
            assert abs(lightness(colour) - 1.0) > APART, colour


@pytest.fixture(scope="module")
def drawings(bay_statement: MethodStatement) -> dict[str, str]:
    option, outline = bay_statement.option, bay_statement.take_off.outline
    room = (176.0, 125.0)
    joists = joist_lines(option.boards, 400.0)
    week = planned(bay_statement, [*WET], [*FAIR], [*FAIR])
    (way, *_) = ways_of_cutting(option.cuts[0], outline, 1)
    return {
        "plan": str(plan_view(bay_statement.take_off, 78.0).drawing),
        "boards": str(board_plan(outline, option.boards, joists, room).drawing),
        "mat": str(mat_plan(outline, option.mat, room).drawing),
        "bar": str(draw_bar(way, 20, "trim")),
        "days": str(day_chart(week.days)),
    }


def test_no_two_kinds_of_line_differ_by_colour_alone(drawings: dict[str, str]) -> None:
    for name, drawing in drawings.items():
        styles = {
            (
                one.attrib["stroke"],
                one.attrib.get("stroke-width"),
                one.attrib.get("stroke-dasharray"),
            )
            for one in ElementTree.fromstring(drawing).iter()
            if one.attrib.get("stroke", "none") != "none"
        }
        assert styles
        for first, second in combinations(styles, 2):
            assert first[1:] != second[1:], f"{name}: {first} and {second}"
