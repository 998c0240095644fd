"""Deck boards laid out on the real outline: rows across the joists, pieces, whole sheets.

Rows run with their long edge across the joists. Short joints land on joists and are staggered
from row to row; gaps are kept at walls and between square-edge boards; the last row is ripped. The
pieces are then cut from whole sheets, what is cut off serving again where the board allows it.
Laying and cutting are heuristics over several ways of beginning.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations, groupby, pairwise, product

from msgspec import Struct
from msgspec.structs import replace
from shapely import affinity
from shapely.geometry import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry

from quotegen.model.roof import BoardKind, BoardLayout, BoardPiece, Point, Ring, SheetPiece
from quotegen.takeoff.layers.joists import SLACK_MM, Joists, joists_under
from quotegen.units import mm_to_m, whole_number

_SLIVER_MM = 5.0

Walls = tuple[tuple[Point, Point], ...]


class LayingRules(Struct, frozen=True):
    """How boards are laid [mm].

    Gap at walls, stagger of short joints, shortest piece, saw cut, narrowest row, and what is left
    over of a board's cover so that a roof a little larger than measured is still covered.
    """

    wall_gap_mm: float
    stagger_mm: float
    least_piece_mm: float
    saw_mm: float
    least_row_mm: float
    spare_mm: float


class _Run(Struct, frozen=True):
    """One stretch of a row to be boarded: from where to where, and its width."""

    row: int
    start_mm: float
    end_mm: float
    near_mm: float
    far_mm: float


def deck_polygon(points: Ring, walls: Walls, gap_mm: float) -> Polygon:
    """The outline less the gap along its walls [mm]; the largest part where that divides it."""
    shape: BaseGeometry = Polygon(points)
    for start, end in walls:
        shape = shape.difference(LineString([start, end]).buffer(gap_mm, cap_style="square"))
    return max(_polygons(shape), key=lambda part: part.area)


@lru_cache(maxsize=256)
def lay_boards(
    points: Ring,
    walls: Walls,
    centres_mm: float,
    along_wall: bool,
    kind: BoardKind,
    rules: LayingRules,
) -> BoardLayout:
    """The best of the ways of beginning: well staggered, fewest sheets, fewest pieces.

    `points` are the outline, `walls` its edges against walls [mm]; `along_wall` says that the
    boards run along the wall, across joists that run out from it. Boards of one size lie alike,
    however thick they are.
    """
    size = replace(kind, item="")
    return replace(_laid(points, walls, centres_mm, along_wall, size, rules), kind=kind)


@lru_cache(maxsize=256)
def _laid(
    points: Ring,
    walls: Walls,
    centres_mm: float,
    along_wall: bool,
    kind: BoardKind,
    rules: LayingRules,
) -> BoardLayout:
    deck = deck_polygon(points, walls, rules.wall_gap_mm)
    turned = deck if along_wall else _swapped(deck)
    low, _, high, _ = turned.bounds
    joists = Joists(low, centres_mm, high)
    # The same pieces may lie on joists counted from either end: both are tried, as in a mirror.
    tried: dict[tuple[tuple[BoardPiece, ...], bool, bool], None] = {}
    most_cuts = max(1, int(kind.length_mm // centres_mm))
    for far_end, from_front in product((False, True), (True, False)):
        runs = list(_runs(_mirrored(turned) if far_end else turned, kind, from_front, rules))
        for first_cut in range(most_cuts):
            pieces, staggered = _fill(runs, kind, joists, first_cut, rules)
            if far_end:
                pieces = [replace(p, x_mm=low + high - p.x_mm - p.wide_mm) for p in pieces]
            placed = tuple(_placed(piece, along_wall) for piece in pieces)
            tried[placed, staggered, far_end] = None
    well = any(staggered for _, staggered, _ in tried)
    cuts = {placed: _cut(placed, kind, rules.saw_mm) for placed, _, _ in tried}
    layouts = [
        BoardLayout(kind, placed, cuts[placed], _least(placed, kind), staggered, far_end)
        for placed, staggered, far_end in tried
        if staggered is well
    ]
    return min(layouts, key=lambda layout: _merit(layout, centres_mm))


def _merit(
    layout: BoardLayout, centres_mm: float
) -> tuple[bool, int, int, list[tuple[float, float, int]]]:
    """Better first; the same for a roof and its mirror image, which are laid alike."""
    inner = _inner_joists(layout, centres_mm)
    sizes = sorted(
        (round(p.long_mm, 1), round(p.short_mm, 1), joists)
        for p, joists in zip(layout.pieces, inner, strict=True)
    )
    return (not layout.staggered, len(layout.sheets), len(layout.pieces), sizes)


def _inner_joists(layout: BoardLayout, centres_mm: float) -> list[int]:
    """How many joists run under each piece between its two ends."""
    joists, spans = joists_under(layout, centres_mm)
    return [joists.between(start, end) for start, end in spans]


def _mirrored(deck: Polygon) -> Polygon:
    low, _, high, _ = deck.bounds
    return affinity.affine_transform(deck, (-1, 0, 0, 1, low + high, 0))


def fixing_count(layout: BoardLayout, centres_mm: float, edge_mm: float, field_mm: float) -> int:
    """Screws of a laid deck: on the joists under each piece, closer at its two ends.

    For each piece, ceil(width / spacing) + 1 on each joist line, `edge_mm` apart on the joists at
    its ends and `field_mm` on those between. Spacings: PanelGuide, flat roof decks.
    """
    total = 0
    for piece, joists in zip(layout.pieces, _inner_joists(layout, centres_mm), strict=True):
        at_ends = 2 * (whole_number(piece.short_mm / edge_mm) + 1)
        inner = joists * (whole_number(piece.short_mm / field_mm) + 1)
        total += at_ends + inner
    return total


def joint_lengths_m(layout: BoardLayout) -> tuple[float, float]:
    """Length of the long and of the short joints between the pieces of a deck [m].

    A long joint runs as far as two rows lie side by side, through the gaps of their short joints.
    """
    reach_mm = layout.kind.joint_gap_mm + 2 * SLACK_MM
    spans: list[tuple[float, float, float, float]] = []
    short_mm = long_mm = 0.0
    for _, row in groupby(layout.pieces, key=lambda piece: piece.row):
        ordered = sorted(_span(piece) for piece in row)
        for (start, end, near, far), following in pairwise(ordered):
            meets = following[0] - end <= reach_mm
            short_mm += min(far - near, following[3] - following[2]) if meets else 0.0
            spans.append((start, following[0] if meets else end, near, far))
        spans.append(ordered[-1])
    for one, other in combinations(spans, 2):
        apart_mm = max(one[2], other[2]) - min(one[3], other[3])
        if abs(apart_mm) <= reach_mm:
            long_mm += max(0.0, min(one[1], other[1]) - max(one[0], other[0]))
    return mm_to_m(long_mm), mm_to_m(short_mm)


def _span(piece: BoardPiece) -> tuple[float, float, float, float]:
    """Where a piece begins and ends along its row, and its near and far edge [mm]."""
    along, out = (piece.x_mm, piece.y_mm) if piece.along_wall else (piece.y_mm, piece.x_mm)
    return along, along + piece.long_mm, out, out + piece.short_mm


def _runs(deck: Polygon, kind: BoardKind, from_front: bool, rules: LayingRules) -> Iterator[_Run]:
    """The stretches to be boarded, row by row."""
    low, near, high, far = deck.bounds
    at = 0.0
    for row, width in enumerate(row_widths_mm(far - near, kind, rules)):
        top = far - at - width if from_front else near + at
        band = deck.intersection(box(low, top, high, top + width))
        for part in sorted(_polygons(band), key=lambda p: p.bounds[0]):
            start, part_near, end, part_far = part.bounds
            if end - start > _SLIVER_MM and part_far - part_near > _SLIVER_MM:
                yield _Run(row, start, end, part_near, part_far)
        at += width + kind.joint_gap_mm


def row_widths_mm(depth_mm: float, kind: BoardKind, rules: LayingRules) -> tuple[float, ...]:
    """The width of each row: whole boards, and the last ripped to what is left.

    As many rows as cover the depth and the spare. Where the last would be narrower than the least,
    the first is ripped too, and gives it what it lacks.
    """
    pitch = kind.width_mm + kind.joint_gap_mm
    rows = max(1, whole_number((depth_mm + rules.spare_mm + kind.joint_gap_mm) / pitch))
    left = depth_mm - (rows - 1) * pitch
    if rows == 1:
        return (left,)
    last = max(left, rules.least_row_mm)
    first = kind.width_mm - (last - left)
    return (first, *[kind.width_mm] * (rows - 2), last)


def _fill(
    runs: Sequence[_Run],
    kind: BoardKind,
    joists: Joists,
    first_cut: int,
    rules: LayingRules,
) -> tuple[list[BoardPiece], bool]:
    pieces: list[BoardPiece] = []
    before: list[float] = []
    in_row: list[float] = []
    row, staggered = -1, True
    for run in runs:
        if run.row != row:
            row, before, in_row = run.row, in_row, []
        cut = first_cut if run.row % 2 else 0
        joints, kept = _joints(run, kind.length_mm, joists, cut, before, rules)
        staggered &= kept
        in_row += joints
        starts = [run.start_mm, *(joint + kind.joint_gap_mm / 2 for joint in joints)]
        ends = [*(joint - kind.joint_gap_mm / 2 for joint in joints), run.end_mm]
        for start, end in zip(starts, ends, strict=True):
            number = len(pieces) + 1
            size = (end - start, run.far_mm - run.near_mm)
            pieces.append(BoardPiece(number, run.row, start, run.near_mm, *size, True))
    return pieces, staggered


def _joints(
    run: _Run,
    length_mm: float,
    joists: Joists,
    first_cut: int,
    before: Sequence[float],
    rules: LayingRules,
) -> tuple[list[float], bool]:
    """Where the short joints of a run fall, and whether all keep their stagger."""
    joints: list[float] = []
    at, staggered = run.start_mm, True
    while run.end_mm - at > length_mm - rules.spare_mm + SLACK_MM:
        furthest = joists.up_to(at + length_mm)
        if not joints:
            for _ in range(first_cut):
                earlier = joists.before(furthest)
                furthest = earlier if earlier - at >= rules.least_piece_mm else furthest
        if run.end_mm - furthest < rules.least_piece_mm:
            furthest = joists.up_to(run.end_mm - rules.least_piece_mm)
        joint = furthest
        while _close(joint, before, rules.stagger_mm) and (
            joists.before(joint) - at >= rules.least_piece_mm
        ):
            joint = joists.before(joint)
        if _close(joint, before, rules.stagger_mm):
            joint, staggered = furthest, False
        if joint <= at + SLACK_MM:
            joint = at + length_mm
        joints.append(joint)
        at = joint
    return joints, staggered


def _close(joint_mm: float, before: Sequence[float], stagger_mm: float) -> bool:
    return any(abs(joint_mm - other) < stagger_mm - SLACK_MM for other in before)


@dataclass(slots=True)
class _Shelf:
    """A strip ripped from a sheet, filled along its length."""

    sheet: int
    y_mm: float
    width_mm: float
    used_mm: float


def _cut(
    pieces: Sequence[BoardPiece], kind: BoardKind, saw_mm: float
) -> tuple[tuple[SheetPiece, ...], ...]:
    """Cut the pieces from sheets: strips ripped along the sheet, then cross-cut."""
    shelves: list[_Shelf] = []
    ripped: list[float] = []
    sheets: list[list[SheetPiece]] = []
    for minus_short, minus_long, number in sorted(
        (-p.short_mm, -p.long_mm, p.number) for p in pieces
    ):
        short_mm, long_mm = -minus_short, -minus_long
        fitting = [
            shelf
            for shelf in shelves
            if shelf.width_mm + SLACK_MM >= short_mm
            and kind.length_mm - shelf.used_mm + SLACK_MM >= long_mm
        ]
        if fitting:
            shelf = min(fitting, key=lambda s: (s.width_mm, kind.length_mm - s.used_mm))
        else:
            shelf = _new_shelf(short_mm, kind, saw_mm, ripped, shelves)
            if shelf.sheet == len(sheets):
                sheets.append([])
        sheets[shelf.sheet].append(SheetPiece(number, shelf.used_mm, shelf.y_mm, long_mm, short_mm))
        shelf.used_mm += long_mm + saw_mm
    return tuple(tuple(sheet) for sheet in sheets)


def _new_shelf(
    width_mm: float, kind: BoardKind, saw_mm: float, ripped: list[float], shelves: list[_Shelf]
) -> _Shelf:
    """A strip from a sheet already ripped, where there is room, or from a new sheet."""
    room = [
        i
        for i, used in enumerate(ripped)
        if not kind.tongued and kind.width_mm - used + SLACK_MM >= width_mm
    ]
    if room:
        sheet = min(room, key=lambda i: kind.width_mm - ripped[i])
    else:
        sheet = len(ripped)
        ripped.append(0.0)
    shelf = _Shelf(sheet, ripped[sheet], width_mm, 0.0)
    ripped[sheet] += width_mm + saw_mm
    shelves.append(shelf)
    return shelf


def _least(pieces: Sequence[BoardPiece], kind: BoardKind) -> int:
    width = kind.width_mm if kind.tongued else 0.0
    area = sum(piece.long_mm * max(piece.short_mm, width) for piece in pieces)
    return whole_number(area / (kind.length_mm * kind.width_mm))


def _placed(piece: BoardPiece, along_wall: bool) -> BoardPiece:
    if along_wall:
        return piece
    return replace(
        piece,
        x_mm=piece.y_mm,
        y_mm=piece.x_mm,
        wide_mm=piece.deep_mm,
        deep_mm=piece.wide_mm,
        along_wall=False,
    )


def _swapped(deck: Polygon) -> Polygon:
    return affinity.affine_transform(deck, (0, 1, 1, 0, 0, 0))


def _polygons(shape: BaseGeometry) -> list[Polygon]:
    """The polygons of a cut shape; lines and points left by the cut are nothing to board."""
    parts = getattr(shape, "geoms", [shape])
    return [part for part in parts if isinstance(part, Polygon) and not part.is_empty]
