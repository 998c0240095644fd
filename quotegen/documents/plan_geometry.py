"""Plane geometry of a drawing: directions, insides, and the room that words take.

Everything is in millimetres on the paper, x to the right and y down, so that an outline that
goes clockwise on the paper has its inside on the right hand.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from quotegen.documents.svg import Point

_EM_PER_LETTER = 0.54
_EM_PER_LINE = 0.9
_UPRIGHT_DEG, _ALIKE = 0.5, 0.1


@dataclass(frozen=True, slots=True)
class Label:
    """Words on the drawing, centred on a point and turned clockwise by so many degrees."""

    words: str
    at: Point
    size: float
    turn: float = 0.0
    bold: bool = False

    @property
    def half(self) -> tuple[float, float]:
        """Half the width and half the height the words take before they are turned."""
        return text_width(self.words, self.size) / 2, self.size * _EM_PER_LINE / 2

    @property
    def box(self) -> tuple[Point, ...]:
        """The four corners of the room the words take."""
        half_width, half_height = self.half
        along = (math.cos(math.radians(self.turn)), math.sin(math.radians(self.turn)))
        down = (-along[1], along[0])
        signs = ((-1, -1), (1, -1), (1, 1), (-1, 1))
        return tuple(
            shifted(shifted(self.at, along, a * half_width), down, b * half_height)
            for a, b in signs
        )


def text_width(words: str, size: float) -> float:
    """Roughly how wide words of this size are, on the generous side."""
    return len(words) * size * _EM_PER_LETTER


def unit(start: Point, end: Point) -> Point:
    """The direction from one point to another, of length one."""
    length = math.dist(start, end)
    return (end[0] - start[0]) / length, (end[1] - start[1]) / length


def outward(start: Point, end: Point) -> Point:
    """The direction that points out of a clockwise outline at this edge.

    >>> outward((0, 0), (10, 0))
    (0.0, -1.0)
    """
    along = unit(start, end)
    return along[1], -along[0]


def shifted(point: Point, direction: Point, distance: float) -> Point:
    """A point moved along a direction."""
    return point[0] + direction[0] * distance, point[1] + direction[1] * distance


def middle(start: Point, end: Point) -> Point:
    """The point half way."""
    return (start[0] + end[0]) / 2, (start[1] + end[1]) / 2


def reading_turn(direction: Point) -> float:
    """The turn [degrees] of words along a line so that they read from the foot or the right.

    A line a hair off the upright, as a measured outline may have, reads like an upright one.

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


def inside(point: Point, ring: Sequence[Point]) -> bool:
    """Whether a point lies inside a ring, by counting crossings to the right."""
    x, y = point
    crossings = 0
    for (x1, y1), (x2, y2) in zip(ring, (*ring[1:], ring[0]), strict=True):
        if (y1 > y) != (y2 > y) and x < x1 + (y - y1) * (x2 - x1) / (y2 - y1):
            crossings += 1
    return crossings % 2 == 1


def along_ring(ring: Sequence[Point], step: float) -> Iterator[Point]:
    """Points along a ring, no further apart than a step."""
    for start, end in zip(ring, (*ring[1:], ring[0]), strict=True):
        parts = max(1, math.ceil(math.dist(start, end) / step))
        for part in range(parts):
            share = part / parts
            yield (
                start[0] + (end[0] - start[0]) * share,
                start[1] + (end[1] - start[1]) * share,
            )


def inward_bisector(before: Point, corner: Point, after: Point) -> Point:
    """The direction that halves a corner of a clockwise outline, pointing inside."""
    out_before, out_after = outward(before, corner), outward(corner, after)
    towards = (-(out_before[0] + out_after[0]), -(out_before[1] + out_after[1]))
    length = math.hypot(*towards)
    return (towards[0] / length, towards[1] / length) if length else (-out_before[0], 0.0)


def roomiest(
    ring: Sequence[Point], block: tuple[float, float], taken: Sequence[Point], steps: int = 14
) -> tuple[Point, float]:
    """Where a block of this width and height has most room inside a ring, and how much.

    `taken` are further points to keep clear of. Of places alike the one nearest the middle is
    taken. The room is negative where the block does not fit anywhere. A place is given up at the
    first obstacle that leaves it less room than the best one so far.
    """
    left, top, right, bottom = bounds(ring)
    obstacles = [*along_ring(ring, step=2.0), *taken]
    heart = middle((left, top), (right, bottom))
    best: tuple[Point, float] = (heart, -math.inf)
    for row in range(1, steps):
        for column in range(1, steps):
            centre = (
                left + (right - left) * column / steps,
                top + (bottom - top) * row / steps,
            )
            if not inside(centre, ring):
                continue
            room = math.inf
            for x, y in obstacles:
                off = max(abs(x - centre[0]) - block[0] / 2, abs(y - centre[1]) - block[1] / 2)
                room = min(room, off)
                if room <= best[1] - _ALIKE:
                    break
            nearer = math.dist(centre, heart) < math.dist(best[0], heart)
            if room > best[1] + _ALIKE or (room > best[1] - _ALIKE and nearer):
                best = (centre, room)
    return best


def bounds(points: Sequence[Point]) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of a set of points."""
    across, down = [p[0] for p in points], [p[1] for p in points]
    return min(across), min(down), max(across), max(down)


def stretches_inside(ring: Sequence[Point], at: float, axis: int) -> list[tuple[float, float]]:
    """Where a line across a ring runs inside it; the line is x = at (axis 0) or y = at (axis 1).

    >>> stretches_inside([(0, 0), (4, 0), (4, 2), (0, 2)], 1.0, 0)
    [(0.0, 2.0)]
    """
    across = 1 - axis
    crossed = sorted(
        a[across] + (at - a[axis]) / (b[axis] - a[axis]) * (b[across] - a[across])
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)
        if (a[axis] > at) != (b[axis] > at)
    )
    return list(zip(crossed[::2], crossed[1::2], strict=True))
