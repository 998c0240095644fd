"""The plan of the roof as a vector drawing to a stated scale.

Kinds of edge are distinguished by line style and letter, never by colour: each edge has its letter
in a circle, and the key beside the plan shows a sample of its line.
"""

import math
from collections.abc import Sequence
from functools import cache
from itertools import pairwise
from typing import Any

from markupsafe import Markup
from msgspec import Struct
from msgspec.structs import replace
from shapely.geometry import LineString
from shapely.ops import substring

from quotegen.documents.drawing import svg
from quotegen.documents.drawing.plan_geometry import Label, outward, shifted, unit
from quotegen.documents.drawing.plan_layout import BADGE_RADIUS, Dimension, PlanEdge, PlanLayout
from quotegen.documents.drawing.plan_openings import draw_openings
from quotegen.model.choices import EdgeKind
from quotegen.model.roof import Point

_THIN, _MEDIUM = 0.18, 0.35
_TICK, _ARROW_HEAD, _ANGLE_OF_HATCH = 1.1, 1.6, (0.7071, 0.7071)
_MARGIN = 1.5
_SAMPLE = (20.0, 3.6)


class _Pen(Struct, frozen=True):
    """The line style of a kind of edge: a main line, with an optional second line or fringe.

    `beside` is how far outwards the second line lies; negative is inwards.
    """

    width: float
    dashes: str = ""
    beside: float = 0.0
    fringe: str = ""


_PENS: dict[EdgeKind, _Pen] = {
    EdgeKind.GUTTER_DRIP: _Pen(0.8, beside=1.7),
    EdgeKind.FREE_DRIP: _Pen(0.8, dashes="4 1.6"),
    EdgeKind.RAISED: _Pen(0.45, beside=-1.3),
    EdgeKind.WALL: _Pen(1.2, fringe="hatch"),
    EdgeKind.TILES: _Pen(0.45, fringe="teeth"),
    EdgeKind.KERB: _Pen(1.0, dashes="0.8 1.3"),
}


def draw_plan(layout: PlanLayout, title: str, description: str, *, lettered: bool = True) -> Markup:
    """The plan as one SVG element, sized to its content; no letters where it has no key."""
    left, top, right, bottom = layout.bounds
    width, height = right - left + 2 * _MARGIN, bottom - top + 2 * _MARGIN
    move = f"translate({svg.coordinate(_MARGIN - left)} {svg.coordinate(_MARGIN - top)})"
    parts = [
        svg.polygon(layout.ring, fill="#f4f6f6", stroke="none"),
        draw_openings(layout.openings),
        wipe(layout.opening_labels),
        draw_edges(layout.edges),
        *(_dimension(dimension) for dimension in layout.dimensions),
        draw_badges(layout.edges if lettered else ()),
        *(draw_label(label) for label in layout.labels),
    ]
    if layout.fall:
        parts.append(_arrow(*layout.fall))
    content = svg.element("g", svg.join(parts), transform=move)
    return svg.picture(width, height, title, description, content, kind="drawing plan")


@cache
def draw_sample(kind: EdgeKind) -> Markup:
    """A short sample of the line of a kind of edge, for the key."""
    pen = _PENS[kind]
    width, height = _SAMPLE
    level = height * (0.3 if pen.beside < 0 else 0.78)
    line = ((1.0, level), (width - 1.0, level))
    return svg.picture(width, height, f"Line of a {kind}", "", _edge(line, pen), kind="sample")


def draw_edges(edges: Sequence[PlanEdge], *, clear_inside: bool = False) -> Markup:
    """The edges of a roof, each in the line style of its kind.

    `clear_inside` draws the second line outside the roof, where the inside is full of other lines.
    """
    return svg.join(_edge(edge.points, _pen_of(edge, clear_inside)) for edge in edges)


def draw_badges(edges: Sequence[PlanEdge]) -> Markup:
    """The letters of the edges, each in its circle."""
    return svg.join(_badge(edge) for edge in edges)


def draw_label(label: Label) -> Markup:
    """A label, drawn at its place."""
    return svg.text(label.words, label.at, label.size, turn=label.turn, bold=label.bold)


def wipe(labels: Sequence[Label], ground: str = svg.PAPER) -> Markup:
    """White-out behind words, with a margin on either side, over the lines below.

    `ground` is the background colour.
    """
    spaced = [replace(one, words=f" {one.words} ") for one in labels]
    return svg.join(svg.polygon(one.box, fill=ground, stroke="none") for one in spaced)


def _pen_of(edge: PlanEdge, clear_inside: bool) -> _Pen:
    pen = _PENS[edge.kind]
    return replace(pen, beside=abs(pen.beside)) if clear_inside else pen


def _edge(points: Sequence[Point], pen: _Pen) -> Markup:
    style: dict[str, str | float] = {"stroke": svg.INK, "stroke_width": pen.width}
    if pen.dashes:
        style["stroke_dasharray"] = pen.dashes
    else:
        style["stroke_linecap"] = "round"
    parts = [svg.polyline(points, **style)]
    if pen.beside:
        beside = _offset(points, pen.beside)
        parts.append(svg.polyline(beside, stroke=svg.INK, stroke_width=_MEDIUM))
    if pen.fringe == "hatch":
        parts.extend(_hatch(points))
    if pen.fringe == "teeth":
        parts.append(svg.polyline(_teeth(points), stroke=svg.INK, stroke_width=_MEDIUM))
    return svg.join(parts)


def _offset(points: Sequence[Point], distance: float) -> list[Point]:
    """A line parallel to a run of points; on the inside it stops short of the corners."""
    beside: Any = LineString(points).offset_curve(-distance, join_style="mitre")
    short = max(0.0, -distance)
    return [(x, y) for x, y in substring(beside, short, beside.length - short).coords]


def _stations(points: Sequence[Point], step: float) -> list[tuple[Point, Point]]:
    """Points along a run at about this step, each with its outward direction."""
    found = []
    for start, end in pairwise(points):
        length = math.dist(start, end)
        parts = max(1, round(length / step))
        along, normal = unit(start, end), outward(start, end)
        found += [(shifted(start, along, length * n / parts), normal) for n in range(parts)]
    found.append((points[-1], found[-1][1]))
    return found


def _hatch(points: Sequence[Point]) -> list[Markup]:
    strokes = []
    for at, normal in _stations(points, step=2.0)[:-1]:
        along = (-normal[1], normal[0])
        tip = shifted(shifted(at, normal, 2.6), along, 2.0)
        strokes.append(svg.line(at, tip, stroke=svg.INK, stroke_width=_THIN))
    return strokes


def _teeth(points: Sequence[Point]) -> list[Point]:
    return [
        shifted(at, normal, 2.0 if n % 2 else 0.4)
        for n, (at, normal) in enumerate(_stations(points, step=1.4))
    ]


def _dimension(dimension: Dimension) -> Markup:
    style: dict[str, str | float] = {"stroke": svg.INK, "stroke_width": _THIN}
    parts = [svg.line(a, b, **style) for a, b in dimension.extensions]
    parts.append(svg.line(dimension.start, dimension.end, **style))
    if dimension.extensions:
        parts.extend(_tick(end, dimension) for end in (dimension.start, dimension.end))
    return svg.join(parts)


def _tick(at: Point, dimension: Dimension) -> Markup:
    """The short slash at the end of a dimension line."""
    along = unit(dimension.start, dimension.end)
    slash = (
        along[0] * _ANGLE_OF_HATCH[0] + along[1] * _ANGLE_OF_HATCH[1],
        along[1] * _ANGLE_OF_HATCH[0] - along[0] * _ANGLE_OF_HATCH[1],
    )
    return svg.line(
        shifted(at, slash, -_TICK), shifted(at, slash, _TICK), stroke=svg.INK, stroke_width=_MEDIUM
    )


def _badge(edge: PlanEdge) -> Markup:
    ring = svg.circle(
        edge.badge, BADGE_RADIUS, fill=svg.PAPER, stroke=svg.INK, stroke_width=_MEDIUM
    )
    return ring + svg.text(edge.letter, edge.badge, 2.6, bold=True)


def _arrow(start: Point, end: Point) -> Markup:
    along = unit(start, end)
    across = (-along[1], along[0])
    neck = shifted(end, along, -2 * _ARROW_HEAD)
    head = (end, shifted(neck, across, _ARROW_HEAD), shifted(neck, across, -_ARROW_HEAD))
    return svg.line(start, neck, stroke=svg.INK, stroke_width=0.6) + svg.polygon(head, fill=svg.INK)
