"""Placing the words of a piece on a drawing, clear of every line not wiped out.

Everything is in millimetres on the paper.
"""

import math
from collections.abc import Iterator, Sequence

import shapely
from msgspec import Struct
from shapely import affinity
from shapely.geometry import LinearRing, MultiLineString, Polygon
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry.base import BaseGeometry

from quotegen.documents.drawing.plan_geometry import (
    Label,
    blocks_at,
    bounds,
    fitting,
    middle,
    reading_turn,
    shifted,
    unit,
)
from quotegen.documents.drawing.plan_openings import clear_of
from quotegen.model.roof import Point

_NUMBER_SIZE, SIZE_SIZE, LEAST_SIZE = 4.0, 2.5, 1.9
_CLEAR, _HAIR = 0.62, 1e-6
_STEPS = 16
_FROM_MIDDLE = range(-_STEPS // 2, _STEPS // 2 + 1)

_Ring = Sequence[Point]
Block = tuple[float, float]


class Ground(Struct, frozen=True):
    """A piece and what its words keep clear of.

    `roof` is the outline the piece is laid on, empty if none; `covered` are the pieces that lie
    over it. `clear` holds further rings nothing may touch; `faint` those whose lines are wiped out
    under words as a last resort.
    """

    piece: _Ring
    roof: _Ring = ()
    covered: Sequence[_Ring] = ()
    clear: Sequence[_Ring] = ()
    faint: Sequence[_Ring] = ()

    @property
    def free(self) -> tuple[BaseGeometry, BaseGeometry]:
        """The areas free for words: the part of the piece on the roof, and the part cut off."""
        piece = Polygon(self.piece)
        off = piece - Polygon(self.roof or self.piece)
        near = [ring for ring in (*self.covered, *self.clear) if self._reaches(ring)]
        taken = shapely.union_all([Polygon(ring) for ring in near])
        return piece - off - taken, off - taken

    @property
    def lines(self) -> BaseGeometry:
        """The faint lines that may cross the piece."""
        return shapely.union_all([LinearRing(ring) for ring in self.faint if self._reaches(ring)])

    def _reaches(self, ring: _Ring) -> bool:
        return not clear_of(bounds(ring), [bounds(self.piece)])


class _Way(Struct, frozen=True):
    """Words as a block: its labels, each with its offset below the middle, and their turn."""

    lines: tuple[tuple[str, float, float], ...]
    turn: float

    @property
    def block(self) -> Block:
        """The width and height of the block before turning."""
        halves = [label.half for label in self.at((0.0, 0.0))]
        wide = 2 * max(half[0] for half in halves)
        drops = [drop for _, _, drop in self.lines]
        high = max(drops) - min(drops) + halves[0][1] + halves[-1][1]
        return wide, high

    def at(self, centre: Point) -> list[Label]:
        """The labels of the block, centred on a point."""
        across = math.radians(self.turn)
        down = (-math.sin(across), math.cos(across))
        return [
            Label(words, shifted(centre, down, drop), size, self.turn, bold=number == 0)
            for number, (words, size, drop) in enumerate(self.lines)
        ]


def labels_in(ground: Ground, number: str, size: str) -> list[Label]:
    """The number of a four-sided piece and its size, where they touch no line.

    They go on the roof if they fit there, else on the part cut off; stacked or in one line, along
    the piece or across it; else smaller, and finally the number alone, with the size only in the
    table.
    """
    full = [*_stacked(ground.piece, number, size), *_in_one(ground.piece, number, size, SIZE_SIZE)]
    less = [
        way
        for share in (0.88, LEAST_SIZE / SIZE_SIZE)
        for way in _in_one(ground.piece, number, size, SIZE_SIZE * share)
    ]
    alone = [_Way(((number, one, 0.0),), 0.0) for one in (_NUMBER_SIZE, SIZE_SIZE, LEAST_SIZE)]
    (on, off), lines, none = ground.free, ground.lines, MultiLineString()
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


def _stacked(piece: _Ring, number: str, size: str) -> Iterator[_Way]:
    """The number over the size, along the piece and across it."""
    for turn in _turns(piece):
        lines = ((number, _NUMBER_SIZE, -SIZE_SIZE / 2), (size, SIZE_SIZE, _NUMBER_SIZE / 2))
        yield _Way(lines, turn)


def _in_one(piece: _Ring, number: str, size: str, high: float) -> Iterator[_Way]:
    """Number and size in one line, along the piece and across it."""
    for turn in _turns(piece):
        yield _Way(((f"{number}:  {size}", high, 0.0),), turn)


def _turns(piece: _Ring) -> tuple[float, float]:
    """The turns [degrees] of words along the longer sides of a piece, and along the shorter."""
    one, other = (piece[0], piece[1]), (piece[1], piece[2])
    along, across = (one, other) if math.dist(*one) >= math.dist(*other) else (other, one)
    return reading_turn(unit(*along)), reading_turn(unit(*across))


def _spot(way: _Way, free: BaseGeometry, faint: BaseGeometry) -> Point | None:
    """The place nearest the middle of a free area where a block of words touches nothing."""
    wide, high = (size + 2 * _CLEAR for size in way.block)
    free, faint = (affinity.rotate(one, -way.turn, origin=(0, 0)) for one in (free, faint))
    left, top, right, bottom = free.bounds
    spare, drop = right - left - wide, bottom - top - high
    if not (spare >= 0 and drop >= 0):
        return None
    heart = middle((left, top), (right, bottom))
    block = (wide - _HAIR, high - _HAIR)
    for places in ([heart], _about(heart, spare, drop)):
        fit = fitting(free, places, block)
        struck = shapely.intersects(faint, blocks_at(fit, block))
        for at, hit in zip(fit, struck, strict=True):
            if not hit:
                spot = affinity.rotate(ShapelyPoint(at), way.turn, origin=(0, 0))
                return spot.x, spot.y
    return None


def _about(heart: Point, spare: float, drop: float) -> list[Point]:
    """Points around the middle within the spare room both ways, nearest first."""
    away = [(spare * x / _STEPS, drop * y / _STEPS) for x in _FROM_MIDDLE for y in _FROM_MIDDLE]
    away.sort(key=lambda off: math.hypot(*off))
    return [(heart[0] + x, heart[1] + y) for x, y in away]
