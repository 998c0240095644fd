"""The plan of a roof with a layer laid on it: boards over joists, or strips of mat.

Everything is in millimetres on the paper, the layer and the outline to one stated scale.
"""

from collections.abc import Callable, Sequence

import shapely
from markupsafe import Markup
from msgspec import Struct
from msgspec.structs import replace
from shapely.geometry import Polygon

from quotegen import wording
from quotegen.documents.drawing import svg
from quotegen.documents.drawing.plan_drawing import draw_badges, draw_edges, draw_label, wipe
from quotegen.documents.drawing.plan_geometry import (
    Box,
    Label,
    bounds,
    outward,
    shifted,
    stretches_inside,
)
from quotegen.documents.drawing.plan_layout import (
    BADGE_RADIUS,
    MARK_SIZE,
    SCALES,
    PlanEdge,
    badge_box,
    plan_edges,
    top_mark,
)
from quotegen.documents.drawing.plan_openings import (
    Names,
    PlanOpening,
    corners_of,
    draw_openings,
    openings_on_plan,
)
from quotegen.documents.layers.layer_labels import Ground, labels_in
from quotegen.documents.shared.opening_words import (
    boarding_names,
    boarding_words,
    place_words,
    short_names,
)
from quotegen.model.roof import BoardLayout, BoardPiece, MatLayout, MatStrip, Outline, Point
from quotegen.takeoff.shape.openings import PlacedOpening

LARGEST_SCALE = 20
THIN, MEDIUM = 0.15, 0.35
_AROUND, _MARK_RISE, _GAP, _NUDGE, _LINES = 7.4, 2.4, 0.6, 0.05, 1.7
_JOIST_DASHES, _HIDDEN_DASHES = "3 0.8 0.6 0.8", "1.4 1"
_PALE = "#eef1f1"


class LayerPlan(Struct, frozen=True):
    """A drawing, its scale and its height on the paper."""

    drawing: Markup
    scale: int
    high_mm: float


class Frame(Struct, frozen=True):
    """A roof on the paper: scale, edges, and the mapping of its points."""

    scale: int
    edges: tuple[PlanEdge, ...]
    on_paper: Callable[[Point], Point]
    bounds: Box

    @property
    def ring(self) -> tuple[Point, ...]:
        """The outline on the paper."""
        return tuple(point for edge in self.edges for point in edge.points[:-1])

    @property
    def high_mm(self) -> float:
        """The height of the drawing on the paper, with the marks of its sides."""
        return self.bounds[3] - self.bounds[1] + 2 * (_AROUND + _MARK_RISE)


def board_frame(outline: Outline, layout: BoardLayout, box: tuple[float, float]) -> Frame:
    """The position of the plan of the boards in a box on the paper."""
    return _frame(outline, [corner for piece in layout.pieces for corner in _corners(piece)], box)


def mat_frame(outline: Outline, layout: MatLayout, box: tuple[float, float]) -> Frame:
    """The position of the plan of the mat in a box on the paper."""
    return _frame(outline, [corner for strip in layout.strips for corner in strip.corners], box)


def board_plan(
    outline: Outline,
    layout: BoardLayout,
    joists_mm: Sequence[float],
    box: tuple[float, float],
    placed: Sequence[PlacedOpening] = (),
) -> LayerPlan:
    """The boards as laid, numbered and sized, over the lines of the joists.

    `box` is the space on the paper: width and height [mm]; `placed` are the openings left in the
    boards.
    """
    frame = board_frame(outline, layout, box)
    roof = Polygon(frame.ring)
    along_wall = layout.pieces[0].along_wall
    parts = [svg.polygon(frame.ring, fill=_PALE, stroke="none")]
    parts += _joists(frame, joists_mm, axis=0 if along_wall else 1)
    openings = _openings(frame, placed, boarding_names)
    labels: list[Label] = []
    cleared = []
    said = []
    for piece in layout.pieces:
        ring = [frame.on_paper(corner) for corner in _corners(piece)]
        parts.append(svg.polygon(ring, fill="none", stroke=svg.INK, stroke_width=MEDIUM))
        size = size_words(piece.long_mm, piece.short_mm)
        found = labels_in(_ground(ring, frame, openings), str(piece.number), size)
        laid = shapely.contains_xy(roof, *found[0].at)
        cleared.append(wipe(found, _PALE if laid else svg.PAPER))
        labels += found
        said.append(f"{piece.number}: {size}")
    behind = top_mark(outline).lower()
    said += [boarding_words(one, behind) for one in placed]
    return _finished(frame, outline, [*parts, *cleared], labels, openings, "Boards as laid", said)


def mat_plan(
    outline: Outline,
    layout: MatLayout,
    box: tuple[float, float],
    placed: Sequence[PlacedOpening] = (),
) -> LayerPlan:
    """The strips of mat in laying order, each over the one before; covered edges are dashed."""
    frame = mat_frame(outline, layout, box)
    rings = [[frame.on_paper(corner) for corner in strip.corners] for strip in layout.strips]
    parts = [
        svg.polygon(ring, fill=_fill_of(strip), stroke=svg.INK, stroke_width=MEDIUM)
        for strip, ring in zip(layout.strips, rings, strict=True)
    ]
    hidden: dict[str, str | float] = {
        "stroke_width": THIN,
        "stroke_dasharray": _HIDDEN_DASHES,
    }
    parts += [svg.polygon(ring, fill="none", stroke=svg.INK, **hidden) for ring in rings]
    openings = _openings(frame, placed, short_names)
    labels: list[Label] = []
    said = []
    for place, (strip, ring) in enumerate(zip(layout.strips, rings, strict=True)):
        size = size_words(strip.length_mm, strip.width_mm)
        under, over = rings[:place], rings[place + 1 :]
        ground = _ground(ring, frame, openings, covered=over, faint=under)
        found = labels_in(ground, str(strip.number), size)
        parts.append(wipe(found, _fill_of(strip)))
        labels += found
        said.append(f"{strip.number}: {size}")
    behind = top_mark(outline).lower()
    said += [place_words(one, behind) for one in placed]
    title = "Strips of mat in laying order"
    return _finished(frame, outline, parts, labels, openings, title, said)


def size_words(long_mm: float, short_mm: float) -> str:
    """A length by a width, in the style of a drawing.

    >>> size_words(2440.0, 599.6)
    '2440 × 600'
    """
    return f"{wording.bare_mm(long_mm)} × {wording.bare_mm(short_mm)}"


def _openings(
    frame: Frame, placed: Sequence[PlacedOpening], names: Callable[[PlacedOpening], Names]
) -> tuple[PlanOpening, ...]:
    badges = [badge_box(edge) for edge in frame.edges]
    return openings_on_plan(placed, frame.on_paper, Polygon(frame.ring), names, badges)


def _ground(
    ring: Sequence[Point],
    frame: Frame,
    openings: Sequence[PlanOpening],
    covered: Sequence[Sequence[Point]] = (),
    faint: Sequence[Sequence[Point]] = (),
) -> Ground:
    """The space for a piece's words: clear of openings, their words and the edge letters."""
    boxes = [box for opening in openings for box in opening.boxes]
    boxes += [badge_box(edge) for edge in frame.edges]
    return Ground(ring, frame.ring, covered, [corners_of(box) for box in boxes], faint)


def _fill_of(strip: MatStrip) -> str:
    return _PALE if strip.number % 2 else svg.PAPER


def _corners(piece: BoardPiece) -> tuple[Point, ...]:
    left, near = piece.x_mm, piece.y_mm
    return corners_of((left, near, left + piece.wide_mm, near + piece.deep_mm))


def _frame(outline: Outline, layer: Sequence[Point], box: tuple[float, float]) -> Frame:
    """The roof and its layer at the largest scale that fits both in the box."""
    left, top, right, bottom = bounds([*outline.points, *layer])
    for scale in (one for one in SCALES if one >= LARGEST_SCALE):
        wide = (right - left) / scale + 2 * _AROUND
        high = (bottom - top) / scale + 2 * (_AROUND + _MARK_RISE)
        if wide <= box[0] and high <= box[1]:
            break

    def on_paper(point: Point) -> Point:
        return (point[0] - left) / scale, (point[1] - top) / scale

    drawn = (0.0, 0.0, (right - left) / scale, (bottom - top) / scale)
    edges = tuple(_outside(edge) for edge in plan_edges(outline, on_paper))
    return Frame(scale, edges, on_paper, drawn)


def _outside(edge: PlanEdge) -> PlanEdge:
    """The edge with its letter moved outside the roof, clear of the layer."""
    before = max(edge.points.index(edge.badge) - 1, 0) if edge.edge.curve else 0
    normal = outward(edge.points[before], edge.points[before + 2 if edge.edge.curve else -1])
    return replace(edge, badge=shifted(edge.badge, normal, BADGE_RADIUS + _GAP + _LINES))


def _joists(frame: Frame, joists_mm: Sequence[float], axis: int) -> list[Markup]:
    """The lines of the joists, within the roof."""
    low, *_, high = joists_mm
    roof = Polygon(frame.ring)
    drawn = []
    for joist_mm in joists_mm:
        nudge = _NUDGE * ((joist_mm == low) - (joist_mm == high))
        at = frame.on_paper((joist_mm, joist_mm))[axis] + nudge
        for start, end in stretches_inside(roof, at, axis):
            ends = ((at, start), (at, end)) if axis == 0 else ((start, at), (end, at))
            drawn.append(
                svg.line(
                    ends[0],
                    ends[1],
                    stroke=svg.INK,
                    stroke_width=THIN,
                    stroke_dasharray=_JOIST_DASHES,
                )
            )
    return drawn


def _finished(
    frame: Frame,
    outline: Outline,
    parts: Sequence[Markup],
    labels: Sequence[Label],
    openings: Sequence[PlanOpening],
    title: str,
    said: Sequence[str],
) -> LayerPlan:
    left, top, right, bottom = frame.bounds
    centre = (left + right) / 2
    rise = _AROUND + _MARK_RISE / 2
    marks = (
        Label(top_mark(outline), (centre, top - rise), MARK_SIZE, bold=True),
        Label("Front", (centre, bottom + rise), MARK_SIZE, bold=True),
    )
    words = (*labels, *(label for opening in openings for label in opening.labels))
    content = [
        *parts,
        draw_openings(openings),
        wipe([label for opening in openings for label in opening.labels]),
        draw_edges(frame.edges, clear_inside=True),
        draw_badges(frame.edges),
        *(draw_label(label) for label in (*words, *marks)),
    ]
    move = f"translate({svg.coordinate(_AROUND)} {svg.coordinate(_AROUND + _MARK_RISE)})"
    drawing = svg.picture(
        right - left + 2 * _AROUND,
        frame.high_mm,
        f"{title}, scale 1:{frame.scale}, {top_mark(outline).lower()} at the top",
        "; ".join(said),
        svg.element("g", svg.join(content), transform=move),
        kind="drawing layer",
    )
    return LayerPlan(drawing, frame.scale, frame.high_mm)
