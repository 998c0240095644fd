"""The cutting list: every piece of the take-off once, drawn to the stated scale."""

import math
import re
from collections import Counter
from functools import cache
from itertools import pairwise

import pytest
from msgspec.structs import replace

from quotegen import wording
from quotegen.documents.crew.cutting_list import CUTTING_LIST, LONG_ROWS, CuttingView, cutting_view
from quotegen.documents.layers.cut_drawing import SheetsAlike, draw_bar, draw_sheets, left_words
from quotegen.documents.layers.cut_pieces import KERB_CORNER, LAPPED, WayOfCutting, ways_of_cutting
from quotegen.documents.layers.layer_plan import board_plan, mat_plan
from quotegen.documents.printing.pdf import Rendered
from quotegen.model.choices import (
    BuildUp,
    DeckCondition,
    EdgeKind,
    JoistRun,
    OpeningKind,
    Shape,
    Side,
    Size,
)
from quotegen.model.enquiry import Enquiry, Opening
from quotegen.model.safety import MethodStatement
from quotegen.model.takeoff import CutLength, CutList, Piece
from quotegen.problems import Place
from quotegen.safety.statement.statement import make_statement
from quotegen.takeoff.layers.joists import joist_lines
from quotegen.takeoff.measure import measure
from tests.builders import BOOK, TODAY, canted_bay, enquiry, given, prices, roof, settings
from tests.documents.conftest import ISSUE, squeezed, text_of

NOTCHED = {
    Size.WIDTH: 6000.0, Size.PROJECTION: 4500.0, Size.NOTCH_WIDTH: 2400.0, Size.NOTCH_DEPTH: 1500.0,
}  # fmt: skip
BOW = {Size.WIDTH: 2600.0, Size.PROJECTION: 450.0}
GARAGE = {Size.WIDTH: 2600.0, Size.PROJECTION: 5200.0}
L_EDGES = dict.fromkeys((Side.RIGHT, Side.FRONT, Side.LEFT, Side.NOTCH), EdgeKind.RAISED) | {
    Side.BACK: EdgeKind.WALL
}


@cache
def known(name: str) -> MethodStatement:
    """The statement of a roof of `ROOFS`, made once."""
    return stated(ROOFS[name])


@cache
def known_view(name: str) -> CuttingView:
    """The cutting list of a roof of `ROOFS`, made once."""
    return cutting_view(known(name), ISSUE)


def stated(asked: Enquiry) -> MethodStatement:
    firm = settings()
    take_off, _ = measure(asked, firm, prices(), TODAY)
    assert take_off is not None
    return make_statement(take_off, firm, TODAY)


ROOFS = {
    "bay": enquiry(canted_bay()),
    "bow": enquiry(roof(Shape.BOW, sizes=BOW)),
    "l-shape": enquiry(roof(Shape.L_SHAPE, sizes=NOTCHED, edges=L_EDGES)),
    "garage": enquiry(roof(sizes=GARAGE, joist_run=JoistRun.ALONG)),
    "two layers": enquiry(mat_layers=given("layers of mat", 2.0, "layers")),
    "two decks": replace(
        enquiry(build_ups=(BuildUp.NEW_DECK_INSULATED,)),
        existing=replace(enquiry().existing, condition=DeckCondition.ROTTEN),
        insulation_mm=given("insulation", 100.0, "mm"),
    ),
}


@pytest.fixture(scope="module", params=ROOFS)
def statement(request: pytest.FixtureRequest) -> MethodStatement:
    return known(request.param)


@pytest.fixture(scope="module")
def view(statement: MethodStatement) -> CuttingView:
    """The view of the roof in hand."""
    (name,) = (name for name in ROOFS if known(name) is statement)
    return known_view(name)


@pytest.fixture(scope="module")
def drawn(statement: MethodStatement) -> Rendered:
    return CUTTING_LIST.make(statement, ISSUE, None)


def ways(statement: MethodStatement) -> list[tuple[CutList, tuple[WayOfCutting, ...]]]:
    found, first = [], 1
    for cut in statement.option.cuts:
        made = ways_of_cutting(cut, statement.take_off.outline, first)
        first += sum(len(length.pieces) for length in cut.lengths)
        found.append((cut, made))
    return found


def boxes(drawing: str) -> list[tuple[float, float]]:
    """Width and height of every upright four-sided shape of a drawing [mm on the paper]."""
    found = []
    for points in re.findall(r'<polygon points="([^"]*)"', drawing):
        corners = [tuple(map(float, point.split(","))) for point in points.split()]
        across, down = [c[0] for c in corners], [c[1] for c in corners]
        if len(corners) == 4:
            found.append((max(across) - min(across), max(down) - min(down)))
    return found


def test_it_is_short_and_the_engine_warns_of_nothing(drawn: Rendered) -> None:
    assert drawn.warnings == ()
    assert 2 <= drawn.pages <= 4


def test_every_piece_of_trim_is_cut_once_and_stands_in_the_paper(
    statement: MethodStatement, drawn: Rendered
) -> None:
    text = squeezed(text_of(drawn))
    numbers = []
    for cut, found in ways(statement):
        pieces = [piece for way in found for place in way.places for piece in place]
        numbers += [piece.number for piece in pieces]
        assert Counter((piece.length_mm, piece.edge) for piece in pieces) == Counter(
            (piece.length_mm, piece.edge) for length in cut.lengths for piece in length.pieces
        )
        assert sum(way.count for way in found) == len(cut.lengths)
        for piece in pieces:
            assert f"T{piece.number}" in text
            assert f"{wording.bare_mm(piece.length_mm)}mm" in text
        for way in found:
            assert squeezed(left_words(way)) in text
    assert sorted(numbers) == list(range(1, len(numbers) + 1))


def test_the_rows_of_the_paper_say_the_length_and_edge_of_each_piece(
    view: CuttingView, drawn: Rendered
) -> None:
    text = squeezed(text_of(drawn))
    for trim in view.trims:
        for row in trim.rows:
            said = row.numbers + row.length + row.edge + row.one_end + row.other_end
            assert squeezed(said) in text


def test_the_pieces_of_an_edge_make_it_up_with_their_laps(statement: MethodStatement) -> None:
    """Run = pieces less a lap at each joint; the run is that of the take-off's own need [m]."""
    lap = {False: settings().number("trim_lap_mm"), True: settings().number("flashing_lap_mm")}
    for cut, found in ways(statement):
        pieces = [piece for way in found for place in way.places for piece in place]
        joints = sum(end == LAPPED for piece in pieces for end in piece.ends) / 2
        made_mm = sum(piece.length_mm for piece in pieces)
        made_mm -= joints * lap[cut.item == "trim_flashing"]
        need = next(need for need in statement.option.needs if need.item == cut.item)
        assert made_mm == pytest.approx(need.net.number * 1000)


def test_bars_are_as_long_as_the_scale_says(statement: MethodStatement) -> None:
    for cut, found in ways(statement):
        for way in found:
            scale = 20
            drawn_mm = [
                wide * scale
                for wide, high in boxes(str(draw_bar(way, scale, cut.words)))
                if high == pytest.approx(8.0)
            ]
            for place in way.places:
                assert any(mm == pytest.approx(place[0].length_mm, abs=0.1) for mm in drawn_mm)


def test_boards_are_drawn_to_the_stated_scale_and_none_is_missing(
    statement: MethodStatement, drawn: Rendered
) -> None:
    layout = statement.option.boards
    lines = joist_lines(layout, 400.0)
    plan = board_plan(statement.take_off.outline, layout, lines, (176.0, 125.0))
    found = boxes(str(plan.drawing))
    for piece in layout.pieces:
        wanted = (piece.wide_mm / plan.scale, piece.deep_mm / plan.scale)
        assert any(size == pytest.approx(wanted, abs=0.01) for size in found), piece
    text = squeezed(text_of(drawn))
    assert f"scale1:{plan.scale}" in text
    sheet_of = {p.number: n for n, sheet in enumerate(layout.sheets, 1) for p in sheet}
    assert sorted(sheet_of) == [piece.number for piece in layout.pieces]
    for piece in layout.pieces:
        size = f"{wording.bare_mm(piece.long_mm)}{wording.bare_mm(piece.short_mm)}"
        row = f"{piece.number}{size}row{piece.row + 1},fromsheet{sheet_of[piece.number]}"
        assert row in text


def test_strips_of_mat_are_listed_in_laying_order_and_drawn_to_scale(
    statement: MethodStatement, drawn: Rendered
) -> None:
    layout = statement.option.mat
    plan = mat_plan(statement.take_off.outline, layout, (176.0, 125.0))
    found = boxes(str(plan.drawing))
    text = squeezed(text_of(drawn)).rpartition("Glassmat")[2]
    at = 0
    for strip in layout.strips:
        across = [corner[0] / plan.scale for corner in strip.corners]
        down = [corner[1] / plan.scale for corner in strip.corners]
        wanted = (max(across) - min(across), max(down) - min(down))
        assert any(size == pytest.approx(wanted, abs=0.01) for size in found)
        words = "cutdownfromtheroll" if strip.filler else "thewholeroll"
        size = wording.bare_mm(strip.length_mm) + wording.bare_mm(strip.width_mm)
        at = text.index(f"{strip.number}{size}{words}", at) + 1


def test_a_bay_is_mitred_at_half_of_what_its_corners_turn() -> None:
    """135 degrees inside: both trims 22.5 off the square. Source: the mitre halves the angle."""
    rows = {
        row.edge: row
        for trim in known_view("bay").trims
        for row in trim.rows
        if trim.words == "Drip trim"
    }
    front = rows["C, front"]
    assert front.one_end == "at B: mitre, 22.5° off the square"
    assert front.other_end == "at D: mitre, 22.5° off the square"
    assert rows["B, right cant"].one_end == "at A: cut to the line, 45° off the square"


def test_a_bow_is_slit_and_cut_to_the_wall() -> None:
    """Its ends meet the wall at asin(w / 2R); a straight trim with square ends does not fit."""
    rows = [row for trim in known_view("bow").trims for row in trim.rows if "bow" in row.edge]
    width, rise = BOW[Size.WIDTH], BOW[Size.PROJECTION]
    radius = width**2 / (8 * rise) + rise / 2
    off = 90 - math.degrees(math.asin(width / 2 / radius))
    assert [row.edge for row in rows] == ["B, bow, slit and bent"] * len(rows)
    ends = {end for row in rows for end in (row.one_end, row.other_end)}
    assert f"at A: cut to the line, {off:.1f}° off the square" in ends
    assert "at A: square" not in ends
    notes = known_view("bow").trim_notes
    assert any("slit the trim every 75 mm" in note for note in notes)
    assert any(note.startswith("Flashing runs 100 mm past each free end") for note in notes)


def test_a_raised_edge_and_a_drip_are_made_up_on_site() -> None:
    view = known_view("garage")
    ends = {row.other_end for trim in view.trims for row in trim.rows} | {
        row.one_end for trim in view.trims for row in trim.rows
    }
    assert any("made up on site, bandaged" in end for end in ends)
    assert any("No corner piece fits" in note for note in view.trim_notes)


def test_square_corners_take_a_corner_piece_and_a_notch_a_mitre() -> None:
    """Common practice, no source: pre-formed corners are right angles out; a re-entrant is cut."""
    rows = {row.edge: row for trim in known_view("l-shape").trims for row in trim.rows}
    assert rows["D, notch side"].one_end == "at C: mitre, 45° off the square"
    assert rows["D, notch side"].other_end == "at E: corner piece"


def test_a_kerb_says_that_its_pieces_go_round_it() -> None:
    light = Opening(
        Place(BOOK, "Openings", "A2"), OpeningKind.ROOFLIGHT, given("count", 1.0, "each"),
        given("length", 1200.0, "mm"), given("width", 900.0, "mm"), given("kerb", 150.0, "mm"),
    )  # fmt: skip
    view = cutting_view(stated(enquiry(openings=(light,))), ISSUE)
    kerb = [row for trim in view.trims for row in trim.rows if row.edge == "rooflight kerb"]
    assert [row.one_end for row in kerb] == [KERB_CORNER.words, KERB_CORNER.words]
    assert [row.numbers.count("T") for row in kerb] == [2, 2]


def test_lengths_cut_alike_are_shown_once_with_their_count() -> None:
    outline = known("bay").take_off.outline
    pieces = (Piece(900.0, "left cant"), Piece(900.0, "right cant"))
    lengths = (*(CutLength(3000.0, (piece,), 2097.0) for piece in pieces),)
    alike = ways_of_cutting(CutList("trim_drip", "", lengths, True, ()), outline, 5)
    (way,) = alike
    assert way.count == 2
    assert [(p.number, p.letter) for p in way.places[0]] == [(5, "D"), (6, "B")]
    assert "2 ×" in draw_bar(way, 20, "Drip trim")


def test_a_piece_too_small_for_its_words_has_them_below() -> None:
    outline = known("bay").take_off.outline
    length = CutLength(3000.0, (Piece(60.0, "front"), Piece(50.0, "front")), 2884.0)
    (way,) = ways_of_cutting(CutList("trim_drip", "", (length,), True, ()), outline, 1)
    drawing = str(draw_bar(way, 20, "Drip trim"))
    below = [float(y) for y in re.findall(r'y="([\d.]+)"[^>]*>T\d: \d+ · C<', drawing)]
    assert len(below) == 2
    assert min(below) > 8.0
    assert below[0] < below[1]


def test_sheets_cut_alike_are_drawn_once() -> None:
    layout = known("garage").option.boards
    alike = SheetsAlike((2, 3), (layout.sheets[1], layout.sheets[1]))
    drawing = str(draw_sheets(alike, layout.kind, 50))
    assert "2 sheets: 2, 3" in drawing
    outer = (layout.kind.length_mm / 50, layout.kind.width_mm / 50)
    assert boxes(drawing)[0] == pytest.approx(outer, abs=0.01)


def test_joists_stand_at_their_centres_and_at_the_far_end(statement: MethodStatement) -> None:
    layout = statement.option.boards
    lines = joist_lines(layout, 400.0)
    gaps = [after - before for before, after in pairwise(lines)]
    inner = gaps[1:] if layout.from_far_end else gaps[:-1]
    assert all(gap == pytest.approx(400.0) for gap in inner)
    along = [piece.x_mm if piece.along_wall else piece.y_mm for piece in layout.pieces]
    assert lines[0] == pytest.approx(min(along))


def test_two_decks_and_two_layers_are_told() -> None:
    decks, view = known("two decks"), known_view("two decks")
    sheets = next(n for n in decks.option.needs if n.item == decks.option.boards.kind.item)
    assert f"{sheets.net.number:.0f} sheets in all" in view.boards.decks
    twice, layers = known("two layers"), known_view("two layers")
    layers_mm = sum(strip.length_mm for strip in twice.option.mat.strips)
    assert layers.mat.layers == (
        f"2 layers: cut every strip 2 times, {2 * layers_mm:.0f} mm in all."
    )


def test_many_boards_stand_in_two_tables_that_hold_every_row_once(
    view: CuttingView,
) -> None:
    boards = view.boards
    many = replace(boards, rows=(boards.rows * LONG_ROWS)[:LONG_ROWS])
    left, right = many.halves
    assert left + right == many.rows
    assert len(left) - len(right) == 1
    assert replace(boards, rows=many.rows[1:]).halves == ()
