"""Rooflights, pipes and outlets on a plan, to its scale.

They are distinguished by shape and words: a rooflight is a crossed rectangle, a pipe a circle with
centre lines, an outlet, whose size is unknown, a broken diamond of fixed size with a dot in the
middle.
"""

from collections.abc import Callable, Iterator, Sequence

import shapely
from markupsafe import Markup
from msgspec import Struct
from shapely.geometry import Polygon

from quotegen.documents.drawing import svg
from quotegen.documents.drawing.plan_geometry import Box, Label, bounds
from quotegen.documents.printing.word_widths import words_width
from quotegen.model.choices import OpeningKind
from quotegen.model.roof import Point
from quotegen.takeoff.shape.openings import PlacedOpening

Names = Sequence[Sequence[str]]

OUTLET_REACH = 1.7
_SIZES = (2.5, 2.0)
_LINE, _CROSS, _THIN = 0.5, 0.25, 0.15
_PAST, _DOT, _BROKEN = 1.2, 0.4, "0.9 0.6"
_LEADING, _GAP, _FROM_EDGE = 1.15, 0.8, 1.5


class PlanOpening(Struct, frozen=True):
    """An opening on the paper: the corners of its space there, and its words."""

    kind: OpeningKind
    ring: tuple[Point, ...]
    labels: tuple[Label, ...]

    @property
    def at(self) -> Point:
        """The middle of the opening."""
        left, top, right, bottom = bounds(self.ring)
        return (left + right) / 2, (top + bottom) / 2

    @property
    def boxes(self) -> tuple[Box, ...]:
        """The boxes taken by it and its words."""
        return bounds(self.ring), *(bounds(label.box) for label in self.labels)


def openings_on_plan(
    placed: Sequence[PlacedOpening],
    on_paper: Callable[[Point], Point],
    roof: Polygon,
    names: Callable[[PlacedOpening], Names],
    taken: Sequence[Box],
) -> tuple[PlanOpening, ...]:
    """The openings on the paper, with words where there is room.

    `roof` is the outline on the paper, `taken` the boxes that words must keep clear of.
    """
    rings = [_ring(one, on_paper) for one in placed]
    used = [*taken, *(bounds(ring) for ring in rings)]
    drawn = []
    for one, ring in zip(placed, rings, strict=True):
        labels = _words(ring, roof, names(one), used, within=one.kind is OpeningKind.ROOFLIGHT)
        used += [bounds(label.box) for label in labels]
        drawn.append(PlanOpening(one.kind, ring, labels))
    return tuple(drawn)


def draw_openings(openings: Sequence[PlanOpening]) -> Markup:
    """The openings without their words."""
    return svg.join(_DRAWN[one.kind](one) for one in openings)


def clear_of(box: Box, taken: Sequence[Box]) -> bool:
    """Whether a box touches none of the others.

    >>> clear_of((0, 0, 2, 2), [(3, 0, 4, 2)]), clear_of((0, 0, 2, 2), [(1, 1, 4, 2)])
    (True, False)
    """
    left, top, right, bottom = box
    return all(
        right < other[0] or left > other[2] or bottom < other[1] or top > other[3]
        for other in taken
    )


def corners_of(box: Box) -> tuple[Point, ...]:
    """The corners of a box, in order from the top left."""
    left, top, right, bottom = box
    return (left, top), (right, top), (right, bottom), (left, bottom)


def _ring(placed: PlacedOpening, on_paper: Callable[[Point], Point]) -> tuple[Point, ...]:
    if placed.kind is not OpeningKind.OUTLET:
        return tuple(on_paper(corner) for corner in placed.corners)
    x, y = on_paper(placed.at)
    reach = OUTLET_REACH
    return corners_of((x - reach, y - reach, x + reach, y + reach))


def _words(
    ring: Sequence[Point],
    roof: Polygon,
    names: Names,
    taken: Sequence[Box],
    *,
    within: bool,
) -> tuple[Label, ...]:
    """The fullest words that fit inside the opening or beside it, else none."""
    own = bounds(ring)
    others = [box for box in taken if box != own]
    for lines in names:
        for size in _SIZES:
            wide = max(words_width(line, size, bold=True) for line in lines)
            block = (wide, len(lines) * size * _LEADING)
            if within and block[0] + 2 * _GAP < own[2] - own[0] and block[1] < own[3] - own[1]:
                return _block(lines, size, ((own[0] + own[2]) / 2, (own[1] + own[3]) / 2))
            for middle in _beside(own, block):
                room = _around(middle, block)
                on_roof = roof.contains(shapely.box(*_grown(room, _FROM_EDGE)))
                if on_roof and clear_of(room, [*others, own]):
                    return _block(lines, size, middle)
    return ()


def _beside(own: Box, block: tuple[float, float]) -> Iterator[Point]:
    """The places right, left, below and above a box, then off its corners, in this order."""
    left, top, right, bottom = _grown(own, _PAST + _GAP)
    across, down = (left + right) / 2, (top + bottom) / 2
    half, high = block[0] / 2, block[1] / 2
    sides, ends = (right + half, left - half), (bottom + high, top - high)
    yield from ((side, down) for side in sides)
    yield from ((across, end) for end in ends)
    yield from ((side, end) for end in ends for side in sides)


def _around(middle: Point, block: tuple[float, float]) -> Box:
    half, high = block[0] / 2, block[1] / 2
    return middle[0] - half, middle[1] - high, middle[0] + half, middle[1] + high


def _grown(box: Box, by: float) -> Box:
    left, top, right, bottom = box
    return left - by, top - by, right + by, bottom + by


def _block(lines: Sequence[str], size: float, middle: Point) -> tuple[Label, ...]:
    first = middle[1] - (len(lines) - 1) * size * _LEADING / 2
    return tuple(
        Label(line, (middle[0], first + number * size * _LEADING), size, bold=True)
        for number, line in enumerate(lines)
    )


def _rooflight(opening: PlanOpening) -> Markup:
    one, two, three, four = opening.ring
    cross: dict[str, str | float] = {"stroke": svg.INK, "stroke_width": _CROSS}
    parts = [
        svg.polygon(opening.ring, fill=svg.PAPER, stroke=svg.INK, stroke_width=_LINE),
        svg.line(one, three, **cross),
        svg.line(two, four, **cross),
    ]
    own = bounds(opening.ring)
    within = [
        corner
        for label in opening.labels
        if not clear_of((*label.at, *label.at), [own])
        for corner in label.box
    ]
    if within:
        parts.append(svg.polygon(corners_of(bounds(within)), fill=svg.PAPER, stroke="none"))
    return svg.join(parts)


def _pipe(opening: PlanOpening) -> Markup:
    (x, y), (left, _, right, _) = opening.at, bounds(opening.ring)
    radius = (right - left) / 2
    reach = radius + _PAST
    thin: dict[str, str | float] = {"stroke": svg.INK, "stroke_width": _THIN}
    return svg.join(
        [
            svg.circle((x, y), radius, fill=svg.PAPER, stroke=svg.INK, stroke_width=_LINE),
            svg.line((x - reach, y), (x + reach, y), **thin),
            svg.line((x, y - reach), (x, y + reach), **thin),
        ]
    )


def _outlet(opening: PlanOpening) -> Markup:
    x, y = opening.at
    reach = OUTLET_REACH
    diamond = ((x, y - reach), (x + reach, y), (x, y + reach), (x - reach, y))
    broken: dict[str, str | float] = {"stroke_width": _LINE / 2, "stroke_dasharray": _BROKEN}
    return svg.polygon(diamond, fill=svg.PAPER, stroke=svg.INK, **broken) + svg.circle(
        (x, y), _DOT, fill=svg.INK
    )


_DRAWN: dict[OpeningKind, Callable[[PlanOpening], Markup]] = {
    OpeningKind.ROOFLIGHT: _rooflight,
    OpeningKind.PIPE: _pipe,
    OpeningKind.OUTLET: _outlet,
}
