"""Where the words of a piece stand on a drawing: clear of every line that is not wiped out.

Everything is in millimetres on the paper.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import shapely
from shapely import affinity
from shapely.geometry import LinearRing, MultiLineString, Polygon
from shapely.geometry.base import BaseGeometry

from quotegen.documents.plan_geometry import (
    Box,
    Label,
    blocks_at,
    fitting,
    middle,
    reading_turn,
    shifted,
    unit,
)
from quotegen.documents.svg import Point

NUMBER_SIZE, SIZE_SIZE, LEAST_SIZE = 4.0, 2.5, 1.9
_CLEAR, _HAIR = 0.62, 1e-6
_STEPS = 16
_FROM_MIDDLE = range(-_STEPS // 2, _STEPS // 2 + 1)

Ring = Sequence[Point]
Block = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Ground:
    """A piece and what its words keep clear of.

    `roof` is the outline the piece is laid on, empty where it lies on none; `covered` are the
    pieces that lie over it. `clear` are further rings nothing may touch, and `faint` those whose
    lines are wiped out under words where nothing else is left.
    """

    piece: Ring
    roof: Ring = ()
    covered: Sequence[Ring] = ()
    clear: Sequence[Ring] = ()
    faint: Sequence[Ring] = ()

    def free(self, *, on_roof: bool) -> BaseGeometry:
        """What words may stand on: the part of the piece on the roof, or the part cut off."""
        roof = Polygon(self.roof or self.piece)
        part = Polygon(self.piece) & roof if on_roof else Polygon(self.piece) - roof
        return part - shapely.union_all([Polygon(ring) for ring in (*self.covered, *self.clear)])

    @property
    def lines(self) -> BaseGeometry:
        """The faint lines."""
        return shapely.union_all([LinearRing(ring) for ring in self.faint])


@dataclass(frozen=True, slots=True)
class _Way:
    """Words as a block: the labels in it, each so far down from its middle, and their turn."""

    lines: tuple[tuple[str, float, float], ...]
    turn: float

    @property
    def block(self) -> Block:
        """Width and height of the block before it is turned."""
        halves = [Label(words, (0.0, 0.0), size).half for words, size, _ in self.lines]
        wide = 2 * max(half[0] for half in halves)
        drops = [drop for _, _, drop in self.lines]
        high = max(drops) - min(drops) + halves[0][1] + halves[-1][1]
        return wide, high

    def at(self, centre: Point) -> list[Label]:
        """The labels with the middle of the block at a point."""
        across = math.radians(self.turn)
        down = (-math.sin(across), math.cos(across))
        return [
            Label(words, shifted(centre, down, drop), size, self.turn, bold=number == 0)
            for number, (words, size, drop) in enumerate(self.lines)
        ]


def labels_in(ground: Ground, number: str, size: str) -> list[Label]:
    """The number of a four-sided piece and its size, where they touch no line.

    On the roof if they fit there, else on what is cut off; one over the other or in one line,
    along the piece or across it. Else smaller, at the last the number alone: its size stands in
    the table.
    """
    full = [*_stacked(ground.piece, number, size), *_in_one(ground.piece, number, size, SIZE_SIZE)]
    less = [
        way
        for share in (0.88, LEAST_SIZE / SIZE_SIZE)
        for way in _in_one(ground.piece, number, size, SIZE_SIZE * share)
    ]
    alone = [_Way(((number, one, 0.0),), 0.0) for one in (NUMBER_SIZE, SIZE_SIZE, LEAST_SIZE)]
    on, off = ground.free(on_roof=True), ground.free(on_roof=False)
    lines, none = ground.lines, MultiLineString()
    tries = [
        (full, on, lines),
        *((ways, free, none) for ways in (full, less) for free in (on, off)),
    ]
    tries += [(alone, on, lines), (alone, on, none), (alone, off, none)]
    for ways, free, faint in tries:
        for way in ways:
            spot = _spot(way, free, faint)
            if spot is not None:
                return way.at(spot)
    return alone[-1].at(middle(ground.piece[0], ground.piece[2]))


def _stacked(piece: Ring, number: str, size: str) -> Iterator[_Way]:
    """The number over the size, along the piece and across it."""
    for turn in _turns(piece):
        lines = ((number, NUMBER_SIZE, -SIZE_SIZE / 2), (size, SIZE_SIZE, NUMBER_SIZE / 2))
        yield _Way(lines, turn)


def _in_one(piece: Ring, number: str, size: str, high: float) -> Iterator[_Way]:
    """Number and size in one line, along the piece and across it."""
    for turn in _turns(piece):
        yield _Way(((f"{number}:  {size}", high, 0.0),), turn)


def _turns(piece: Ring) -> tuple[float, float]:
    """The turns [degrees] of words along the longer sides of a piece and along the others."""
    one, other = (piece[0], piece[1]), (piece[1], piece[2])
    along, across = (one, other) if math.dist(*one) >= math.dist(*other) else (other, one)
    return reading_turn(unit(*along)), reading_turn(unit(*across))


def _spot(way: _Way, free: BaseGeometry, faint: BaseGeometry) -> Point | None:
    """The place nearest the middle of a free area where a block of words touches nothing."""
    wide, high = (size + 2 * _CLEAR for size in way.block)
    free, faint = (affinity.rotate(one, -way.turn, origin=(0, 0)) for one in (free, faint))
    block = (wide - _HAIR, high - _HAIR)
    places = fitting(free, _candidates(free.bounds, wide, high), block)
    struck = shapely.intersects(faint, blocks_at(places, block))
    return next(
        (_turn(at, way.turn) for at, hit in zip(places, struck, strict=True) if not hit), None
    )


def _candidates(within: Box, wide: float, high: float) -> list[Point]:
    """Places for the middle of a block inside some bounds, the most central first."""
    left, top, right, bottom = within
    spare, drop = right - left - wide, bottom - top - high
    if not (spare >= 0 and drop >= 0):
        return []
    heart = middle((left, top), (right, bottom))
    away = [(spare * x / _STEPS, drop * y / _STEPS) for x in _FROM_MIDDLE for y in _FROM_MIDDLE]
    away.sort(key=lambda off: math.hypot(*off))
    return [(heart[0] + x, heart[1] + y) for x, y in away]


def _turn(point: Point, degrees: float) -> Point:
    turn = math.radians(degrees)
    return (
        point[0] * math.cos(turn) - point[1] * math.sin(turn),
        point[0] * math.sin(turn) + point[1] * math.cos(turn),
    )
