"""Layout of the plan of a roof on paper: scale, dimensions and places for words.

The back, usually the house, is at the top and the front at the foot, seen from above. Everything is
in millimetres on the paper, with the corner of the outline's bounds at the origin; `plan_inside`
places the words inside the roof and `plan_drawing` draws it all.
"""

import math
from collections.abc import Callable, Sequence

import shapely
from msgspec import Struct
from msgspec.structs import replace
from shapely.geometry import LineString, Polygon

from quotegen import wording
from quotegen.documents.drawing.plan_geometry import (
    Box,
    Label,
    bounds,
    middle,
    outward,
    reading_turn,
    shifted,
    unit,
)
from quotegen.documents.drawing.plan_inside import area_and_fall, corner_angles
from quotegen.documents.drawing.plan_openings import PlanOpening, openings_on_plan
from quotegen.documents.printing.word_widths import words_width
from quotegen.documents.shared.opening_words import short_names
from quotegen.model.choices import EdgeKind, Side
from quotegen.model.roof import Edge, Outline, Point
from quotegen.takeoff.shape.openings import PlacedOpening

SCALES = (10, 20, 25, 50, 75, 100, 200)
FIRST_ROW, NEXT_ROW, ALIGNED_ROW = 8.5, 6.5, 6.0
EXTENSION_GAP, EXTENSION_PAST = 3.6, 1.2
DIMENSION_SIZE, MARK_SIZE = 2.9, 2.7
BADGE_RADIUS = 2.2
_LABEL_RISE, _MARK_RISE = 2.2, 4.2
_SQUARE, _NUDGE, _SAME_MM = 1e-3, 0.05, 0.5
_DOWN, _RIGHT = (0.0, 1.0), (1.0, 0.0)


class PlanEdge(Struct, frozen=True):
    """An edge on the paper with its letter in the key."""

    letter: str
    edge: Edge
    points: tuple[Point, ...]
    badge: Point

    @property
    def kind(self) -> EdgeKind:
        """The kind of edge."""
        return self.edge.kind


class Dimension(Struct, frozen=True):
    """A dimension line, its extension lines and its words."""

    start: Point
    end: Point
    extensions: tuple[tuple[Point, Point], ...]
    label: Label


class PlanLayout(Struct, frozen=True):
    """The whole plan, ready to be drawn."""

    scale: int
    edges: tuple[PlanEdge, ...]
    dimensions: tuple[Dimension, ...]
    angles: tuple[Label, ...]
    area: Label | None
    fall: tuple[Point, Point] | None
    marks: tuple[Label, ...]
    openings: tuple[PlanOpening, ...]

    @property
    def ring(self) -> tuple[Point, ...]:
        """The outline on the paper."""
        return tuple(point for edge in self.edges for point in edge.points[:-1])

    @property
    def labels(self) -> tuple[Label, ...]:
        """All words on the plan."""
        area = (self.area,) if self.area else ()
        dimensions = (dimension.label for dimension in self.dimensions)
        return (*dimensions, *self.angles, *area, *self.marks, *self.opening_labels)

    @property
    def opening_labels(self) -> tuple[Label, ...]:
        """The words of the openings."""
        return tuple(label for opening in self.openings for label in opening.labels)

    @property
    def bounds(self) -> Box:
        """Left, top, right and bottom of everything drawn."""
        corners = [corner for label in self.labels for corner in label.box]
        lines = [point for d in self.dimensions for point in (d.start, d.end)]
        return bounds([*self.ring, *corners, *lines])

    @property
    def size(self) -> tuple[float, float]:
        """The width and height of everything drawn."""
        left, top, right, bottom = self.bounds
        return right - left, bottom - top


def scale_within(
    size_at: Callable[[int], tuple[float, float]], width_mm: float, height_mm: float
) -> int:
    """The largest standard scale at which a plan fits a box on the paper.

    A roof too large for the box at the last scale is drawn at that scale all the same.
    """
    fitting = (scale for scale in SCALES if fits(size_at(scale), width_mm, height_mm))
    return next(fitting, SCALES[-1])


def fits(size: tuple[float, float], width_mm: float, height_mm: float) -> bool:
    """Whether a plan of this size fits a box on the paper."""
    return size[0] <= width_mm and size[1] <= height_mm


def bare_plan(outline: Outline, scale: int) -> PlanLayout:
    """The plan at a scale without what lies on the roof; it is no smaller than the whole plan."""
    on_paper = _on_paper(outline, scale)
    edges = plan_edges(outline, on_paper)
    ring = tuple(point for edge in edges for point in edge.points[:-1])
    dimensions = _Dimensions(edges, ring, scale).all()
    angles = corner_angles(outline, ring, on_paper)
    marks = _marks(top_mark(outline), ring, dimensions)
    return PlanLayout(scale, edges, dimensions, angles, None, None, marks, ())


def filled_plan(
    layout: PlanLayout,
    outline: Outline,
    falls_to: Side,
    placed: Sequence[PlacedOpening],
) -> PlanLayout:
    """A bare plan with its openings, its area and the direction of fall added."""
    roof = Polygon(layout.ring)
    badges = [badge_box(edge) for edge in layout.edges]
    boxes = [bounds(label.box) for label in layout.angles]
    on_paper = _on_paper(outline, layout.scale)
    openings = openings_on_plan(placed, on_paper, roof, short_names, [*badges, *boxes])
    boxes += [box for opening in openings for box in opening.boxes]
    area, fall = area_and_fall(outline, falls_to, roof, boxes, badges)
    return replace(layout, area=area, fall=fall, openings=openings)


def edge_letters(outline: Outline) -> tuple[str, ...]:
    """A, B, C ... round the outline; after Z comes AA.

    >>> from types import SimpleNamespace
    >>> edge_letters(SimpleNamespace(edges=range(28)))[24:]
    ('Y', 'Z', 'AA', 'AB')
    """
    first = ord("A")
    letters = 26
    return tuple(
        (chr(first + n // letters - 1) if n >= letters else "") + chr(first + n % letters)
        for n, _ in enumerate(outline.edges)
    )


def plan_edges(outline: Outline, on_paper: Callable[[Point], Point]) -> tuple[PlanEdge, ...]:
    """The edges on the paper, each with its letter."""
    return tuple(
        _plan_edge(letter, edge, tuple(on_paper(p) for p in (edge.start, *edge.curve, edge.end)))
        for letter, edge in zip(edge_letters(outline), outline.edges, strict=True)
    )


def badge_box(edge: PlanEdge) -> Box:
    """The space taken by the letter of an edge."""
    x, y = edge.badge
    return x - BADGE_RADIUS, y - BADGE_RADIUS, x + BADGE_RADIUS, y + BADGE_RADIUS


def _on_paper(outline: Outline, scale: int) -> Callable[[Point], Point]:
    """A mapping from points of the roof to the paper."""
    left, top, _, _ = bounds(outline.points)
    return lambda point: ((point[0] - left) / scale, (point[1] - top) / scale)


def _plan_edge(letter: str, edge: Edge, points: tuple[Point, ...]) -> PlanEdge:
    badge = points[len(points) // 2] if edge.curve else middle(points[0], points[-1])
    return PlanEdge(letter, edge, points, badge)


class _Dimensions:
    """Collects the dimensions: rows beside the bounds for square edges, aligned for the rest.

    `_rows` holds, for each side of the bounds, the stretches already taken in each row.
    """

    def __init__(self, edges: Sequence[PlanEdge], ring: Sequence[Point], scale: int) -> None:
        self._edges = edges
        self._roof = Polygon(ring)
        shapely.prepare(self._roof)
        self._scale = scale
        self._bounds = bounds(ring)
        self._rows: dict[Point, list[list[tuple[float, float]]]] = {}

    def all(self) -> tuple[Dimension, ...]:
        """A dimension for each edge, and the overall width and depth where no edge gives them."""
        found = [self._of_edge(edge) for edge in self._edges]
        return (*found, *self._overall(found))

    def _of_edge(self, edge: PlanEdge) -> Dimension:
        words = wording.bare_mm(edge.edge.length.number)
        if edge.edge.curve:
            return self._round_curve(edge, words)
        start, end = edge.points[0], edge.points[-1]
        normal = outward(start, end)
        square = min(abs(normal[0]), abs(normal[1])) < _SQUARE
        if square:
            side = (float(round(normal[0])), float(round(normal[1])))
            within = unit(start, end)
            if self._free_way(shifted(start, within, _NUDGE), side) and self._free_way(
                shifted(end, within, -_NUDGE), side
            ):
                return self._in_row(start, end, side, words)
        return self._aligned(start, end, normal, words)

    def _round_curve(self, edge: PlanEdge, words: str) -> Dimension:
        """Place the length of a bowed edge by its middle, on a leader line."""
        half = len(edge.points) // 2
        normal = outward(edge.points[half - 1], edge.points[half + 1])
        foot = shifted(edge.badge, normal, BADGE_RADIUS)
        head = shifted(edge.badge, normal, ALIGNED_ROW)
        label = Label(f"{words} round the bow", shifted(head, normal, _LABEL_RISE), DIMENSION_SIZE)
        return Dimension(foot, head, (), label)

    def _aligned(self, start: Point, end: Point, normal: Point, words: str) -> Dimension:
        line = shifted(start, normal, ALIGNED_ROW), shifted(end, normal, ALIGNED_ROW)
        extensions = tuple(
            (shifted(p, normal, EXTENSION_GAP), shifted(p, normal, ALIGNED_ROW + EXTENSION_PAST))
            for p in (start, end)
        )
        return Dimension(*line, extensions, self._label(line, normal, words))

    def _in_row(self, start: Point, end: Point, side: Point, words: str) -> Dimension:
        axis = 0 if side[1] else 1
        stretch = (min(start[axis], end[axis]), max(start[axis], end[axis]))
        distance = FIRST_ROW + NEXT_ROW * self._row_for(side, stretch)
        return self._at_distance(start, end, side, distance, words)

    def _at_distance(
        self, start: Point, end: Point, side: Point, distance: float, words: str
    ) -> Dimension:
        line = self._beside(start, side, distance), self._beside(end, side, distance)
        extensions = tuple(
            (shifted(point, side, EXTENSION_GAP), shifted(reached, side, EXTENSION_PAST))
            for point, reached in zip((start, end), line, strict=True)
        )
        return Dimension(*line, extensions, self._label(line, side, words))

    def _label(self, line: tuple[Point, Point], normal: Point, words: str) -> Label:
        """The words beyond the line, a row further out where the line is too short for them."""
        short = math.dist(*line) < words_width(words, DIMENSION_SIZE) + 1
        rise = _LABEL_RISE + (DIMENSION_SIZE if short else 0)
        at = shifted(middle(*line), normal, rise)
        return Label(words, at, DIMENSION_SIZE, reading_turn(unit(*line)))

    def _row_for(self, side: Point, stretch: tuple[float, float]) -> int:
        rows = self._rows.setdefault(side, [])
        for number, taken in enumerate(rows):
            if all(stretch[1] <= a + _SQUARE or stretch[0] >= b - _SQUARE for a, b in taken):
                taken.append(stretch)
                return number
        rows.append([stretch])
        return len(rows) - 1

    def _beside(self, point: Point, side: Point, distance: float) -> Point:
        left, top, right, bottom = self._bounds
        if side[0]:
            return (right if side[0] > 0 else left) + side[0] * distance, point[1]
        return point[0], (bottom if side[1] > 0 else top) + side[1] * distance

    def _free_way(self, point: Point, side: Point) -> bool:
        """Whether a line from a corner to the bounds stays outside the roof."""
        end = shifted(self._beside(point, side, 0.0), side, _NUDGE)
        return not self._roof.intersects(LineString((shifted(point, side, _NUDGE), end)))

    def _overall(self, found: Sequence[Dimension]) -> list[Dimension]:
        """The overall depth on the right and width at the foot, unless already given."""
        left, top, right, bottom = self._bounds
        reached = [p for d in found for p in (*d.label.box, d.start, d.end)]
        _, _, reached_right, reached_bottom = bounds([*reached, (right, bottom)])
        made = []
        if not self._given((1.0, 0.0), (-1.0, 0.0), whole=bottom - top):
            away = max(FIRST_ROW, reached_right - right + _LABEL_RISE)
            made.append(self._whole((right, top), (right, bottom), _RIGHT, away))
        if not self._given((0.0, 1.0), (0.0, -1.0), whole=right - left):
            away = max(FIRST_ROW, reached_bottom - bottom + _LABEL_RISE)
            made.append(self._whole((right, bottom), (left, bottom), _DOWN, away))
        return made

    def _whole(self, start: Point, end: Point, side: Point, away: float) -> Dimension:
        words = wording.bare_mm(math.dist(start, end) * self._scale)
        return self._at_distance(start, end, side, away, words)

    def _given(self, *sides: Point, whole: float) -> bool:
        stretches = [s for side in sides for row in self._rows.get(side, []) for s in row]
        return any(abs((b - a) - whole) * self._scale < _SAME_MM for a, b in stretches)


def top_mark(outline: Outline) -> str:
    """The words behind the roof: the house, where its back edge meets a wall or tiles."""
    back = outline.edges[0]
    return "House" if back.kind in (EdgeKind.WALL, EdgeKind.TILES) else "Back"


def _marks(
    behind: str, ring: Sequence[Point], dimensions: Sequence[Dimension]
) -> tuple[Label, ...]:
    """The words for the back and the front, above and below everything else."""
    left, top, right, bottom = bounds(ring)
    reached = [corner for d in dimensions for corner in (*d.label.box, d.start, d.end)]
    _, highest, _, lowest = bounds([*reached, (left, top), (right, bottom)])
    centre = (left + right) / 2
    return (
        Label(behind, (centre, highest - _MARK_RISE), MARK_SIZE, bold=True),
        Label("Front", (centre, lowest + _MARK_RISE), MARK_SIZE, bold=True),
    )
