"""Drawings of cuts: a length of trim as a bar, a sheet of board with its pieces.

Each is to a stated scale. A remainder is hatched where it is waste, outlined with dots where it is
kept, and labelled.
"""

from collections.abc import Sequence

import shapely
from markupsafe import Markup
from msgspec import Struct
from shapely.geometry import LineString

from quotegen import wording
from quotegen.documents.drawing import svg
from quotegen.documents.drawing.plan_drawing import draw_label
from quotegen.documents.drawing.plan_geometry import Label
from quotegen.documents.layers.cut_pieces import NumberedPiece, WayOfCutting
from quotegen.documents.layers.layer_labels import LEAST_SIZE, Ground, labels_in
from quotegen.documents.layers.layer_plan import MEDIUM, THIN, size_words
from quotegen.documents.printing.word_widths import size_within, words_width
from quotegen.model.roof import BoardKind, Point, SheetPiece
from quotegen.units import whole_number

BAR_SCALES = (10, 20, 25, 50, 100)
SHEET_SCALE = 50
BAR_ROOM_MM = 150.0
_COUNT_MM, _LEFT_MM, _BAR_HIGH, _UNDER_HIGH = 10.0, 1.5, 8.0, 3.4
_NUMBER_SIZE, _LENGTH_SIZE, _CAPTION_SIZE, _CAPTION_HIGH = 3.1, 2.5, 2.9, 4.6
_HATCH_STEP, _EDGE, _BETWEEN, _BESIDE_WORDS = 2.2, 0.3, 4.0, 1.0
_KEPT_DASHES = "0.6 1"
_PALE = "#dfe4e5"


class SheetsAlike(Struct, frozen=True):
    """Sheets cut the same: their numbers, and the pieces from each."""

    numbers: tuple[int, ...]
    sheets: tuple[tuple[SheetPiece, ...], ...]


def bar_scale(stocks_mm: Sequence[float]) -> int:
    """The largest scale at which the longest of these lengths fits the page."""
    return next(
        (scale for scale in BAR_SCALES if max(stocks_mm) / scale <= BAR_ROOM_MM), BAR_SCALES[-1]
    )


def sheets_high_mm(kind: BoardKind, ways: int, wide_mm: float) -> float:
    """The total height of the sheet drawings on a page this wide [mm]."""
    beside = max(1, int((wide_mm + _BETWEEN) // (kind.length_mm / SHEET_SCALE + _BETWEEN)))
    return whole_number(ways / beside) * (kind.width_mm / SHEET_SCALE + _CAPTION_HIGH + _BETWEEN)


def draw_bar(way: WayOfCutting, scale: int, what: str) -> Markup:
    """A length with its pieces: number cut alike, piece numbers, lengths, edges, remainder."""
    parts: list[Markup] = []
    labels: list[Label] = []
    under: list[Label] = []
    at = _COUNT_MM
    for place in way.places:
        wide = place[0].length_mm / scale
        parts.append(_box(at, 0.0, wide, _BAR_HIGH, svg.PAPER))
        inside = _in_bar(place, at + wide / 2, wide)
        labels += inside
        if not inside:
            words = f"{numbers_of(place)}: {_length(place)}"
            row = len(under)
            under.append(
                Label(words, (at + wide / 2, _BAR_HIGH + (row + 0.5) * _UNDER_HIGH), _LENGTH_SIZE)
            )
            foot = (at + wide / 2, _BAR_HIGH + row * _UNDER_HIGH + _EDGE)
            parts.append(
                svg.line((foot[0], _BAR_HIGH / 2), foot, stroke=svg.INK, stroke_width=THIN)
            )
        at += wide
    end = _COUNT_MM + way.stock_mm / scale
    if end - at > _EDGE:
        parts.append(_left_over(at, end, keeps=way.keeps))
    labels.append(Label(f"{way.count} ×", (_COUNT_MM / 2 - 1, _BAR_HIGH / 2), 3.4, bold=True))
    said_left = left_words(way)
    parts.append(svg.text(said_left, (end + _LEFT_MM, _BAR_HIGH / 2), _LENGTH_SIZE, anchor="start"))
    width = end + _LEFT_MM + words_width(said_left, _LENGTH_SIZE) + _EDGE
    height = _BAR_HIGH + len(under) * _UNDER_HIGH + 2 * _EDGE
    move = f"translate(0 {svg.coordinate(_EDGE)})"
    content = svg.join([*parts, *(draw_label(label) for label in (*labels, *under))])
    said = ", ".join(f"{numbers_of(place)} {_length(place)}" for place in way.places)
    return svg.picture(
        width,
        height,
        f"{what}: {way.count} × {wording.mm(way.stock_mm)}, scale 1:{scale}",
        f"{said}; {said_left}",
        svg.element("g", content, transform=move),
        kind="drawing bar",
    )


def draw_sheets(alike: SheetsAlike, kind: BoardKind, scale: int) -> Markup:
    """A sheet with its pieces, numbered and sized, under the numbers of all sheets cut alike."""
    wide, high = kind.length_mm / scale, kind.width_mm / scale
    parts = [_box(0.0, 0.0, wide, high, _PALE)]
    labels: list[Label] = []
    said = []
    for place, piece in enumerate(alike.sheets[0]):
        numbers = ", ".join(str(sheet[place].number) for sheet in alike.sheets)
        left, top = piece.x_mm / scale, piece.y_mm / scale
        size = (piece.long_mm / scale, piece.short_mm / scale)
        parts.append(_box(left, top, *size, svg.PAPER))
        words = size_words(piece.long_mm, piece.short_mm)
        labels += labels_in(Ground(_ring(left, top, *size)), numbers, words)
        said.append(f"{numbers}: {words}")
    caption = sheets_words(alike)
    body = svg.element(
        "g",
        svg.join([*parts, *(draw_label(label) for label in labels)]),
        transform=f"translate({svg.coordinate(_EDGE)} {svg.coordinate(_CAPTION_HIGH)})",
    )
    head = svg.text(
        caption, (_EDGE, _CAPTION_HIGH / 2 - _EDGE), _CAPTION_SIZE, bold=True, anchor="start"
    )
    return svg.picture(
        max(wide, words_width(caption, _CAPTION_SIZE, bold=True)) + 2 * _EDGE,
        high + _CAPTION_HIGH + _EDGE,
        f"{caption}, scale 1:{scale}",
        "; ".join(said),
        head + body,
        kind="drawing sheet",
    )


def numbers_of(place: Sequence[NumberedPiece]) -> str:
    """The numbers of pieces cut alike, marked as trims."""
    return ", ".join(f"T{piece.number}" for piece in place)


def left_words(way: WayOfCutting) -> str:
    """The remainder of a length and what becomes of it."""
    rest = wording.bare_mm(way.left_mm)
    if rest == wording.bare_mm(0.0):
        return "nothing left"
    return f"{'keep' if way.keeps else 'waste'} {rest}"


def sheets_words(alike: SheetsAlike) -> str:
    """The numbers and count of these sheets."""
    numbers = ", ".join(str(number) for number in alike.numbers)
    count = len(alike.numbers)
    return f"Sheet {numbers}" if count == 1 else f"{wording.number(count)} sheets: {numbers}"


def _in_bar(place: Sequence[NumberedPiece], middle: float, wide: float) -> list[Label]:
    """The numbers above length and edge, smaller in a narrow piece, omitted if too small."""
    numbers, length = numbers_of(place), _length(place)
    room = wide - _BESIDE_WORDS
    number_size = size_within(numbers, _NUMBER_SIZE, room, bold=True)
    length_size = size_within(length, _LENGTH_SIZE, room)
    if min(number_size, length_size) < LEAST_SIZE:
        return []
    return [
        Label(numbers, (middle, _BAR_HIGH * 0.3), number_size, bold=True),
        Label(length, (middle, _BAR_HIGH * 0.72), length_size),
    ]


def _length(place: Sequence[NumberedPiece]) -> str:
    letters = ", ".join(dict.fromkeys(piece.letter for piece in place if piece.letter))
    words = wording.bare_mm(place[0].length_mm)
    return f"{words} · {letters}" if letters else words


def _left_over(start: float, end: float, *, keeps: bool) -> Markup:
    if keeps:
        return svg.polygon(
            _ring(start, 0.0, end - start, _BAR_HIGH),
            fill="none",
            stroke=svg.INK,
            stroke_width=MEDIUM,
            stroke_dasharray=_KEPT_DASHES,
        )
    strokes = [_box(start, 0.0, end - start, _BAR_HIGH, svg.PAPER)]
    ground = shapely.box(start, 0.0, end, _BAR_HIGH)
    foot = start - _BAR_HIGH + _HATCH_STEP
    while foot < end:
        stroke = LineString(((foot, _BAR_HIGH), (foot + _BAR_HIGH, 0.0))) & ground
        ends = [(x, y) for x, y in stroke.coords]
        strokes.append(svg.polyline(ends, stroke=svg.INK, stroke_width=THIN))
        foot += _HATCH_STEP
    return svg.join(strokes)


def _box(left: float, top: float, wide: float, high: float, fill: str) -> Markup:
    ring = _ring(left, top, wide, high)
    return svg.polygon(ring, fill=fill, stroke=svg.INK, stroke_width=MEDIUM)


def _ring(left: float, top: float, wide: float, high: float) -> tuple[Point, ...]:
    return (left, top), (left + wide, top), (left + wide, top + high), (left, top + high)
