"""Deck boards laid out on the real outline: rows across the joists, pieces, whole sheets.

Rows run with their long edge across the joists. Short joints land on joists and are staggered
from row to row; gaps are kept at walls and between square-edge boards; the last row is ripped. The
pieces are then cut from whole sheets, and offcuts are used again where the board allows it. Laying
and cutting are heuristics that try several ways of starting.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import combinations, groupby, pairwise, product

from msgspec import Struct
from msgspec.structs import replace
from shapely import affinity
from shapely.geometry import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry

from quotegen.model.roof import BoardKind, BoardLayout, BoardPiece, Point, Ring, SheetPiece
from quotegen.takeoff.layers.joists import SLACK_MM, Joists, joists_under
from quotegen.takeoff.layers.sheet_cutting import CutPlace, PieceSize, cut_places
from quotegen.units import mm_to_m, whole_number

_SLIVER_MM = 5.0
_PLACES = 3

Walls = tuple[tuple[Point, Point], ...]
Jointing = tuple[tuple[float, ...], ...]


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
    """One stretch of a row to be boarded: where it starts and ends, and its width."""

    row: int
    start_mm: float
    end_mm: float
    near_mm: float
    far_mm: float


class _Way(Struct, frozen=True):
    """One way of jointing the runs, better with a lower merit: staggered, sheets, pieces."""

    merit: tuple[bool, int, int]
    far_end: bool
    runs: tuple[_Run, ...]
    joints: Jointing
    sizes: tuple[PieceSize, ...]


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
    """The best of the ways of starting: well staggered, fewest sheets, fewest pieces.

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
    cuts: dict[tuple[PieceSize, ...], tuple[CutPlace, ...]] = {}
    ways: list[_Way] = []
    # The same pieces may lie on joists counted from either end: both are tried, as in a mirror.
    for far_end, from_front in product((False, True), (True, False)):
        runs = tuple(_runs(_mirrored(turned) if far_end else turned, kind, from_front, rules))
        for joints, staggered in _jointings(runs, kind, joists, rules):
            sizes = _sizes(runs, joints, kind)
            if sizes not in cuts:
                cuts[sizes] = cut_places(sizes, kind, rules.saw_mm)
            merit = (not staggered, _sheets(cuts[sizes]), len(sizes))
            ways.append(_Way(merit, far_end, runs, joints, sizes))
    best = min(way.merit for way in ways)
    layouts = []
    for way in ways:
        if way.merit == best:
            pieces = _pieces(way, kind)
            if way.far_end:
                pieces = [replace(p, x_mm=low + high - p.x_mm - p.wide_mm) for p in pieces]
            placed = tuple(_placed(piece, along_wall) for piece in pieces)
            cut = _cut(placed, cuts[way.sizes])
            least = _least(placed, kind)
            layouts.append(BoardLayout(kind, placed, cut, least, not best[0], way.far_end))
    return min(layouts, key=lambda layout: _merit(layout, centres_mm))


def _merit(
    layout: BoardLayout, centres_mm: float
) -> tuple[bool, int, int, list[tuple[float, float, int]]]:
    """Better first; the same for a roof and its mirror image, which are laid the same."""
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


def _jointings(
    runs: tuple[_Run, ...], kind: BoardKind, joists: Joists, rules: LayingRules
) -> dict[tuple[Jointing, bool], None]:
    """The ways of jointing the runs, each once, and whether all short joints keep their stagger.

    The first piece of every other row is shorter by so many joists. The same is tried as though the
    roof ran on as far as the next joist but one: boards laid so and cut back to it serve it too,
    where the last of each row stays long enough.
    """
    most_cuts = max(1, int(kind.length_mm // joists.centres_mm))
    begun = [(0, cut) for cut in range(most_cuts)] + [(cut, 0) for cut in range(1, most_cuts)]
    found: dict[tuple[Jointing, bool], None] = {}
    grown_mm = 2 * joists.centres_mm
    on = Joists(joists.first_mm, joists.centres_mm, joists.last_mm + grown_mm)
    larger = [replace(run, end_mm=run.end_mm + grown_mm) for run in runs]
    for cuts in begun:
        found[_jointed(runs, kind, joists, cuts, rules)] = None
        joints, staggered = _jointed(larger, kind, on, cuts, rules)
        if all(
            run.end_mm - max(cut, default=run.start_mm) >= rules.least_piece_mm - SLACK_MM
            for run, cut in zip(runs, joints, strict=True)
        ):
            found[joints, staggered] = None
    return found


def _jointed(
    runs: Sequence[_Run],
    kind: BoardKind,
    joists: Joists,
    first_cuts: tuple[int, int],
    rules: LayingRules,
) -> tuple[Jointing, bool]:
    """The short joints of each run, the first piece of even and odd rows cut by so many joists."""
    jointed: list[tuple[float, ...]] = []
    before: list[float] = []
    in_row: list[float] = []
    row, staggered = -1, True
    for run in runs:
        if run.row != row:
            row, before, in_row = run.row, in_row, []
        cut = first_cuts[run.row % 2]
        joints, kept = _joints(run, kind.length_mm, joists, cut, before, rules)
        staggered &= kept
        in_row += joints
        jointed.append(tuple(joints))
    return tuple(jointed), staggered


def _ends(run: _Run, joints: Sequence[float], kind: BoardKind) -> Iterator[tuple[float, float]]:
    """Where each piece of a run begins and ends [mm]."""
    half_mm = kind.joint_gap_mm / 2
    starts = (run.start_mm, *(joint + half_mm for joint in joints))
    return zip(starts, (*(joint - half_mm for joint in joints), run.end_mm), strict=True)


def _sizes(runs: Sequence[_Run], joints: Jointing, kind: BoardKind) -> tuple[PieceSize, ...]:
    """The pieces by size, in the order in which `_cut` takes them."""
    return tuple(
        sorted(
            (
                (round(run.far_mm - run.near_mm, _PLACES), round(end - start, _PLACES))
                for run, cut in zip(runs, joints, strict=True)
                for start, end in _ends(run, cut, kind)
            ),
            reverse=True,
        )
    )


def _pieces(way: _Way, kind: BoardKind) -> list[BoardPiece]:
    pieces: list[BoardPiece] = []
    for run, joints in zip(way.runs, way.joints, strict=True):
        for start, end in _ends(run, joints, kind):
            size = (end - start, run.far_mm - run.near_mm)
            pieces.append(BoardPiece(len(pieces) + 1, run.row, start, run.near_mm, *size, True))
    return pieces


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


def _cut(
    pieces: Sequence[BoardPiece], places: Sequence[CutPlace]
) -> tuple[tuple[SheetPiece, ...], ...]:
    """The pieces of each sheet, cut at the places found for pieces of their sizes."""
    ordered = sorted(
        pieces,
        key=lambda p: (-round(p.short_mm, _PLACES), -round(p.long_mm, _PLACES), p.number),
    )
    sheets: list[list[SheetPiece]] = [[] for _ in range(_sheets(places))]
    for p, (sheet, x_mm, y_mm) in zip(ordered, places, strict=True):
        sheets[sheet].append(SheetPiece(p.number, x_mm, y_mm, p.long_mm, p.short_mm))
    return tuple(tuple(sheet) for sheet in sheets)


def _sheets(places: Sequence[CutPlace]) -> int:
    return 1 + max(sheet for sheet, _, _ in places)


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
