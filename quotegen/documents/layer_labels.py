"""Where the words of a piece stand on a drawing: clear of every line that is not wiped out.

Everything is in millimetres on the paper.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from quotegen.documents.plan_geometry import (
    Label,
    bounds,
    inside,
    middle,
    reading_turn,
    shifted,
    unit,
)
from quotegen.documents.svg import Point

NUMBER_SIZE, SIZE_SIZE, LEAST_SIZE = 4.0, 2.5, 1.9
_CLEAR = 0.62
_STEPS = 16

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
    bare = Ground(ground.piece, ground.roof, ground.covered, ground.clear)
    tries = [(full, ground, True), *((ways, bare, on) for ways in (full, less) for on in _BOTH)]
    tries += [(alone, ground, True), *((alone, bare, on) for on in _BOTH)]
    for ways, where, on_roof in tries:
        for way in ways:
            spot = _spot(way, where, on_roof=on_roof)
            if spot is not None:
                return way.at(spot)
    return alone[-1].at(middle(ground.piece[0], ground.piece[2]))


_BOTH = (True, False)


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


def _spot(way: _Way, ground: Ground, *, on_roof: bool) -> Point | None:
    """The place nearest the middle of a piece where a block of words touches nothing."""
    if not ground.roof and not on_roof:
        return None
    within = [ground.piece, *([ground.roof] if ground.roof and on_roof else [])]
    out_of = [*ground.covered, *ground.clear, *([] if on_roof else [ground.roof])]
    half = (way.block[0] / 2 + _CLEAR, way.block[1] / 2 + _CLEAR)
    turned = [[_turn(p, -way.turn) for p in ring] for ring in (*within, *out_of, *ground.faint)]
    inner, outer = turned[: len(within)], turned[len(within) : len(within) + len(out_of)]
    sides = [side for ring in turned for side in zip(ring, (*ring[1:], ring[0]), strict=True)]
    for centre in _candidates(inner, half):
        if (
            all(inside(centre, ring) for ring in inner)
            and not any(inside(centre, ring) for ring in outer)
            and not any(_enters(side, centre, half) for side in sides)
        ):
            return _turn(centre, way.turn)
    return None


def _candidates(rings: Sequence[Ring], half: Block) -> list[Point]:
    """Places for the middle of a block inside the bounds of all rings, the most central first."""
    all_bounds = [bounds(ring) for ring in rings]
    left, top = (max(b[n] for b in all_bounds) + half[n] for n in (0, 1))
    right, bottom = (min(b[n + 2] for b in all_bounds) - half[n] for n in (0, 1))
    if left > right or top > bottom:
        return []
    heart = middle((left, top), (right, bottom))
    grid = [
        (left + (right - left) * across / _STEPS, top + (bottom - top) * down / _STEPS)
        for across in range(_STEPS + 1)
        for down in range(_STEPS + 1)
    ]
    return sorted(grid, key=lambda at: math.dist(at, heart))


def _turn(point: Point, degrees: float) -> Point:
    turn = math.radians(degrees)
    return (
        point[0] * math.cos(turn) - point[1] * math.sin(turn),
        point[0] * math.sin(turn) + point[1] * math.cos(turn),
    )


def _enters(side: tuple[Point, Point], centre: Point, half: Block) -> bool:
    """Whether a straight line comes into a block, by clipping it to the block's four sides.

    >>> _enters(((0, 0), (4, 0)), (2, 1), (1, 1.5)), _enters(((0, 0), (4, 0)), (2, 2), (1, 1.5))
    (True, False)
    """
    start, end = 0.0, 1.0
    for axis in (0, 1):
        run = side[1][axis] - side[0][axis]
        low, high = centre[axis] - half[axis], centre[axis] + half[axis]
        if run == 0:
            if not low < side[0][axis] < high:
                return False
            continue
        ends = sorted(((low - side[0][axis]) / run, (high - side[0][axis]) / run))
        start, end = max(start, ends[0]), min(end, ends[1])
        if start >= end:
            return False
    return True
