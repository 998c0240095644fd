"""Plane geometry for drawings: directions, insides, and the space taken by words.

Everything is in millimetres on the paper, x to the right and y down, so an outline that goes
clockwise on the paper has its inside on the right.
"""

import math
from collections.abc import Sequence
from typing import Any

import shapely
from msgspec import Struct
from shapely import affinity
from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry

from quotegen.documents.printing.word_widths import words_width
from quotegen.model.roof import Point

Box = tuple[float, float, float, float]
"""Left, top, right and bottom."""

_EM_PER_LINE = 0.9
_UPRIGHT_DEG, _ALIKE = 0.5, 0.1


class Label(Struct, frozen=True):
    """Words on the drawing, centred on a point and turned clockwise [degrees]."""

    words: str
    at: Point
    size: float
    turn: float = 0.0
    bold: bool = False

    @property
    def half(self) -> tuple[float, float]:
        """Half the width and half the height of the words before turning."""
        wide = words_width(self.words, self.size, bold=self.bold)
        return wide / 2, self.size * _EM_PER_LINE / 2

    @property
    def box(self) -> tuple[Point, ...]:
        """The four corners of the space taken by the words."""
        (x, y), (half_width, half_height) = self.at, self.half
        level = shapely.box(x - half_width, y - half_height, x + half_width, y + half_height)
        turned = affinity.rotate(level, self.turn, origin=self.at) if self.turn else level
        return tuple((x, y) for x, y in turned.exterior.coords[:-1])


def unit(start: Point, end: Point) -> Point:
    """The unit vector from one point to another."""
    length = math.dist(start, end)
    return (end[0] - start[0]) / length, (end[1] - start[1]) / length


def outward(start: Point, end: Point) -> Point:
    """The outward direction at an edge of a clockwise outline.

    >>> outward((0, 0), (10, 0))
    (0.0, -1.0)
    """
    along = unit(start, end)
    return along[1], -along[0]


def shifted(point: Point, direction: Point, distance: float) -> Point:
    """A point moved along a direction."""
    return point[0] + direction[0] * distance, point[1] + direction[1] * distance


def middle(start: Point, end: Point) -> Point:
    """The midpoint."""
    return (start[0] + end[0]) / 2, (start[1] + end[1]) / 2


def reading_turn(direction: Point) -> float:
    """The turn [degrees] that makes words along a line read from the foot or the right.

    A line a hair off vertical, as a measured outline may have, is treated as vertical.

    >>> reading_turn((-1, 0)), reading_turn((0, 1))
    (0.0, -90.0)
    >>> round(reading_turn((0.0001, 1)), 1), round(reading_turn((-0.0001, 1)), 1)
    (-90.0, -90.0)
    """
    turn = math.degrees(math.atan2(direction[1], direction[0]))
    if turn >= 90 - _UPRIGHT_DEG:
        turn -= 180
    elif turn < -90 - _UPRIGHT_DEG:
        turn += 180
    return turn


def inward_bisector(before: Point, corner: Point, after: Point) -> Point:
    """The inward bisector of a corner of a clockwise outline."""
    out_before, out_after = outward(before, corner), outward(corner, after)
    towards = (-(out_before[0] + out_after[0]), -(out_before[1] + out_after[1]))
    length = math.hypot(*towards)
    return (towards[0] / length, towards[1] / length) if length else (-out_before[0], 0.0)


def roomiest(
    free: BaseGeometry, within: Box, block: tuple[float, float], ample: float, steps: int = 14
) -> tuple[Point, float] | None:
    """The place for a block in a free area: one with ample room, or the roomiest.

    The places tried lie on a grid of `steps` over `within`; of equal places the one nearest its
    middle is taken. The place comes with its room, the distance to anything not free. None where
    the block fits nowhere.
    """
    left, top, right, bottom = within
    heart = middle((left, top), (right, bottom))
    grid = [
        (left + (right - left) * column / steps, top + (bottom - top) * row / steps)
        for row in range(1, steps)
        for column in range(1, steps)
    ]
    places = fitting(free, grid, block)
    if not places:
        return None
    border = free.boundary
    shapely.prepare(border)
    rooms: list[float] = shapely.distance(border, blocks_at(places, block)).tolist()
    enough = min(max(rooms) - _ALIKE, ample)
    roomy = [(at, room) for at, room in zip(places, rooms, strict=True) if room >= enough]
    return min(roomy, key=lambda found: math.dist(found[0], heart))


def fitting(free: BaseGeometry, places: Sequence[Point], block: tuple[float, float]) -> list[Point]:
    """The places at which a block of this width and height lies wholly in a free area."""
    shapely.prepare(free)
    fits: list[bool] = shapely.covers(free, blocks_at(places, block)).tolist()
    return [at for at, found in zip(places, fits, strict=True) if found]


def blocks_at(places: Sequence[Point], block: tuple[float, float]) -> Any:
    """The space taken by a block of this width and height about each place, as an array."""
    half, high = block[0] / 2, block[1] / 2
    return shapely.box(
        [x - half for x, _ in places],
        [y - high for _, y in places],
        [x + half for x, _ in places],
        [y + high for _, y in places],
    )


def without(area: BaseGeometry, boxes: Sequence[Box]) -> BaseGeometry:
    """An area with boxes removed."""
    return area.difference(shapely.union_all([shapely.box(*one) for one in boxes]))


def bounds(points: Sequence[Point]) -> Box:
    """Left, top, right and bottom of a set of points."""
    across, down = [p[0] for p in points], [p[1] for p in points]
    return min(across), min(down), max(across), max(down)


def stretches_inside(area: BaseGeometry, at: float, axis: int) -> list[tuple[float, float]]:
    """The stretches of a line inside an area; the line is x = at (axis 0) or y = at (axis 1).

    >>> stretches_inside(shapely.box(0, 0, 4, 2), 1.0, 0)
    [(0.0, 2.0)]
    """
    left, top, right, bottom = area.bounds
    line = LineString(((at, top), (at, bottom)) if axis == 0 else ((left, at), (right, at)))
    across = 1 - axis
    ends = [(one.bounds[across], one.bounds[across + 2]) for one in parts_of(line & area)]
    return sorted(found for found in ends if found[0] < found[1])


def parts_of(geometry: BaseGeometry) -> list[BaseGeometry]:
    """The single geometries that make up a geometry."""
    found: list[BaseGeometry] = shapely.get_parts(geometry).tolist()
    return found
