"""From the sizes on the row to a closed outline with edges and corners."""

from collections.abc import Sequence

from msgspec import Struct
from shapely.geometry import Polygon

from quotegen import wording
from quotegen.model.choices import EdgeKind, Shape, Side, Size
from quotegen.model.enquiry import Enquiry, MeasuredRoof, OutlineRow
from quotegen.model.roof import Corner, CornerKind, Edge, Outline, Point
from quotegen.model.settings import DefaultedSettings
from quotegen.problems import Problem, problem
from quotegen.reference.firm.house_words import house_words
from quotegen.reference.remark_keys import Impossible
from quotegen.reference.remarks import Remark, remark, written
from quotegen.takeoff.shape import geometry
from quotegen.units import Unit
from quotegen.working import Figure, alike, chosen, derive, total

_ARC_PARTS = 48
_RIGHT_ANGLE = 90.0
_STRAIGHT = 180.0


class _Traced(Struct, frozen=True):
    """An edge with its directions at the start and the end."""

    edge: Edge
    leaves_rad: float
    reaches_rad: float


def build_outline(
    enquiry: Enquiry, settings: DefaultedSettings
) -> tuple[Outline | None, list[Problem]]:
    """The outline of the enquiry's roof, or the problems that prevent it."""
    roof = enquiry.roof
    why = impossible(roof)
    if why:
        found = problem(
            "shape-impossible",
            enquiry.place,
            ref=enquiry.ref,
            shape=str(roof.shape),
            reason=written(why, house_words("notes.toml", "shape", Impossible)),
        )
        return None, [found]
    if roof.shape in (Shape.FIVE_FACET_BAY, Shape.MEASURED):
        return _from_rows(enquiry, settings)
    traced = _SHAPES[roof.shape](roof)
    return _outline(roof.shape, traced, _named_area(roof), settings), []


def impossible(roof: MeasuredRoof) -> Remark | None:
    """The reason the sizes cannot make the shape; None when they can."""
    size = {key: figure.number for key, figure in roof.sizes.items()}
    if roof.shape is Shape.CANTED_BAY:
        left = size.get(Size.LEFT_SET_BACK, (size[Size.WIDTH] - size[Size.FRONT_WIDTH]) / 2)
        front = size[Size.FRONT_WIDTH]
        if front <= 0 or front >= size[Size.WIDTH]:
            return remark(Impossible.NO_FRONT if front <= 0 else Impossible.FRONT_WIDE)
        if left + size[Size.FRONT_WIDTH] > size[Size.WIDTH]:
            return remark(Impossible.SET_BACK_WIDE)
    if roof.shape is Shape.BOW and size[Size.PROJECTION] > size[Size.WIDTH] / 2:
        return remark(Impossible.BOW_DEEP)
    if roof.shape is Shape.L_SHAPE and (
        size[Size.NOTCH_WIDTH] >= size[Size.WIDTH]
        or size[Size.NOTCH_DEPTH] >= size[Size.PROJECTION]
    ):
        return remark(Impossible.NOTCH_LARGE)
    if roof.shape is Shape.FIVE_FACET_BAY and len(roof.outline_rows) != _FIVE_FACET_CORNERS:
        rows = chosen("rows", float(len(roof.outline_rows)), Unit.EACH, "counted on the sheet")
        return remark(Impossible.FIVE_FACETS, rows=rows)
    return None


_FIVE_FACET_CORNERS = 6


def _rectangle(roof: MeasuredRoof) -> list[_Traced]:
    width, out = roof.sizes[Size.WIDTH], roof.sizes[Size.PROJECTION]
    w, p = width.number, out.number
    corners = [(0.0, 0.0), (w, 0.0), (w, p), (0.0, p)]
    names = [Side.BACK, Side.RIGHT, Side.FRONT, Side.LEFT]
    lengths = [width, out, width, out]
    return _straight_edges(corners, [str(n) for n in names], _kinds(roof, names), lengths)


def _canted_bay(roof: MeasuredRoof) -> list[_Traced]:
    width, out = roof.sizes[Size.WIDTH], roof.sizes[Size.PROJECTION]
    front = roof.sizes[Size.FRONT_WIDTH]
    left = roof.sizes.get(Size.LEFT_SET_BACK) or derive(
        "set-back of each cant", Unit.MM, half_difference, larger=width, smaller=front
    )
    right = derive("right set-back", Unit.MM, remaining, whole=width, first=left, second=front)
    w, p, s = width.number, out.number, left.number
    corners = [(0.0, 0.0), (w, 0.0), (w - right.number, p), (s, p)]
    lengths = [
        width,
        derive("right cant", Unit.MM, geometry.cant_mm, projection_mm=out, set_back_mm=right),
        front,
        derive("left cant", Unit.MM, geometry.cant_mm, projection_mm=out, set_back_mm=left),
    ]
    sides = [Side.BACK, Side.RIGHT, Side.FRONT, Side.LEFT]
    return _straight_edges(
        corners, ["back", "right cant", "front", "left cant"], _kinds(roof, sides), lengths
    )


def _l_shape(roof: MeasuredRoof) -> list[_Traced]:
    width, out = roof.sizes[Size.WIDTH], roof.sizes[Size.PROJECTION]
    notch_width, notch_depth = roof.sizes[Size.NOTCH_WIDTH], roof.sizes[Size.NOTCH_DEPTH]
    short_side = derive("short side", Unit.MM, difference, whole=out, part=notch_depth)
    short_front = derive("front", Unit.MM, difference, whole=width, part=notch_width)
    w, p = width.number, out.number
    nw, nd = notch_width.number, notch_depth.number
    if roof.notch_at is Side.RIGHT:
        corners = [(0.0, 0.0), (w, 0.0), (w, p - nd), (w - nw, p - nd), (w - nw, p), (0.0, p)]
        names = ["back", "right", "notch front", "notch side", "front", "left"]
        sides = [Side.BACK, Side.RIGHT, Side.NOTCH, Side.NOTCH, Side.FRONT, Side.LEFT]
        lengths = [width, short_side, notch_width, notch_depth, short_front, out]
    else:
        corners = [(0.0, 0.0), (w, 0.0), (w, p), (nw, p), (nw, p - nd), (0.0, p - nd)]
        names = ["back", "right", "front", "notch side", "notch front", "left"]
        sides = [Side.BACK, Side.RIGHT, Side.FRONT, Side.NOTCH, Side.NOTCH, Side.LEFT]
        lengths = [width, out, short_front, notch_depth, notch_width, short_side]
    return _straight_edges(corners, names, _kinds(roof, sides), lengths)


def _bow(roof: MeasuredRoof) -> list[_Traced]:
    chord, rise = roof.sizes[Size.WIDTH], roof.sizes[Size.PROJECTION]
    w, h = chord.number, rise.number
    arc = derive("bow", Unit.MM, geometry.arc_length_mm, chord_mm=chord, rise_mm=rise)
    half = geometry.arc_half_angle_rad(w, h)
    back = _straight_edges(
        [(0.0, 0.0), (w, 0.0)], ["back", ""], [roof.edges[Side.BACK]] * 2, [chord, chord]
    )[0]
    bow = Edge(
        "bow",
        roof.edges[Side.FRONT],
        (w, 0.0),
        (0.0, 0.0),
        arc,
        geometry.arc_points(w, h, _ARC_PARTS),
    )
    straight_back = geometry.heading_rad(bow.start, bow.end)
    return [back, _Traced(bow, straight_back - half, straight_back + half)]


_SHAPES = {
    Shape.RECTANGLE: _rectangle,
    Shape.CANTED_BAY: _canted_bay,
    Shape.L_SHAPE: _l_shape,
    Shape.BOW: _bow,
}


def _named_area(roof: MeasuredRoof) -> Figure:
    width, out = roof.sizes[Size.WIDTH], roof.sizes[Size.PROJECTION]
    if roof.shape is Shape.CANTED_BAY:
        return derive(
            "plan area",
            Unit.M2,
            geometry.trapezium_area_m2,
            wall_mm=width,
            front_mm=roof.sizes[Size.FRONT_WIDTH],
            projection_mm=out,
        )
    if roof.shape is Shape.L_SHAPE:
        return derive(
            "plan area",
            Unit.M2,
            geometry.l_shape_area_m2,
            width_mm=width,
            projection_mm=out,
            notch_width_mm=roof.sizes[Size.NOTCH_WIDTH],
            notch_depth_mm=roof.sizes[Size.NOTCH_DEPTH],
        )
    if roof.shape is Shape.BOW:
        return derive("plan area", Unit.M2, geometry.segment_area_m2, chord_mm=width, rise_mm=out)
    return derive(
        "plan area", Unit.M2, geometry.rectangle_area_m2, width_mm=width, projection_mm=out
    )


def _from_rows(
    enquiry: Enquiry, settings: DefaultedSettings
) -> tuple[Outline | None, list[Problem]]:
    rows = enquiry.roof.outline_rows
    by_offsets = rows[0].along_mm is not None
    corners, lengths = _offset_corners(rows) if by_offsets else _walked_corners(rows)
    if not by_offsets:
        miss = _miss(enquiry, settings)
        if miss:
            return None, [miss]
    points: tuple[Point, ...] = tuple(corners.value)  # type: ignore[arg-type]  # pairs
    if not Polygon(points).is_valid or geometry.polygon_area_m2(points) <= 0:
        return None, [problem("outline-crosses", rows[0].place, ref=enquiry.ref)]
    names = [f"edge {i}" for i in range(1, len(points) + 1)]
    kinds = [row.kind for row in rows if row.kind is not None]
    area = derive("plan area", Unit.M2, geometry.polygon_area_m2, points=corners)
    traced = _straight_edges(points, names, kinds, lengths)
    return _outline(enquiry.roof.shape, traced, area, settings), []


def _offset_corners(rows: Sequence[OutlineRow]) -> tuple[Figure, list[Figure]]:
    corners = [
        derive(f"corner {i}", Unit.MM, geometry.point, along_mm=row.along_mm, out_mm=row.out_mm)
        for i, row in enumerate(rows, 1)
        if row.along_mm and row.out_mm
    ]
    lengths = [
        derive(f"edge {i}", Unit.MM, geometry.distance_mm, start=start, end=end)
        for i, (start, end) in enumerate(zip(corners, (*corners[1:], corners[0]), strict=True), 1)
    ]
    return derive("corners", Unit.MM, ring, points=corners), lengths


def _walked_corners(rows: Sequence[OutlineRow]) -> tuple[Figure, list[Figure]]:
    lengths = [row.length_mm for row in rows if row.length_mm]
    turns = [_turn(row) for row in rows]
    corners = derive("corners", Unit.MM, geometry.closed_walk, lengths_mm=lengths, turns_deg=turns)
    return corners, lengths


def _turn(row: OutlineRow) -> Figure:
    return row.turn_deg or chosen(
        "turn at the end", 0.0, Unit.DEGREES, "the last turn is not needed"
    )


def _miss(enquiry: Enquiry, settings: DefaultedSettings) -> Problem | None:
    rows = enquiry.roof.outline_rows
    lengths = [row.length_mm.number for row in rows if row.length_mm]
    walked = geometry.walk(lengths, [_turn(row).number for row in rows])
    miss_mm = geometry.distance_mm(walked[0], walked[-1])
    tolerance_mm = settings.number("outline_tolerance_mm")
    if miss_mm <= tolerance_mm:
        return None
    return problem(
        "outline-not-closed",
        rows[0].place,
        seen=f"{wording.mm(miss_mm)}",
        ref=enquiry.ref,
        miss_mm=miss_mm,
        tolerance_mm=tolerance_mm,
    )


def _kinds(roof: MeasuredRoof, sides: Sequence[Side]) -> list[EdgeKind]:
    return [roof.edges[side] for side in sides]


def _straight_edges(
    corners: Sequence[Point],
    names: Sequence[str],
    kinds: Sequence[EdgeKind],
    lengths: Sequence[Figure],
) -> list[_Traced]:
    ends = (*corners[1:], corners[0])
    traced = []
    for start, end, name, kind, length in zip(corners, ends, names, kinds, lengths, strict=True):
        heading = geometry.heading_rad(start, end)
        edge = Edge(name, kind, start, end, length.renamed(name))
        traced.append(_Traced(edge, heading, heading))
    return traced


def _outline(
    shape: Shape, traced: Sequence[_Traced], area: Figure, settings: DefaultedSettings
) -> Outline:
    within_deg = settings.number("square_corner_within_deg")
    corners = []
    for here, following in zip(traced, (*traced[1:], traced[0]), strict=True):
        interior = geometry.interior_angle_deg(here.reaches_rad, following.leaves_rad)
        corners.append(
            Corner(
                at=here.edge.end,
                before=here.edge.name,
                after=following.edge.name,
                interior_deg=interior,
                kind=corner_kind(interior, within_deg),
            )
        )
    edges = tuple(t.edge for t in traced)
    perimeter = derive("perimeter", Unit.MM, total, parts=[edge.length for edge in edges])
    return Outline(shape, edges, tuple(corners), area, perimeter)


def corner_kind(interior_deg: float, within_deg: float) -> CornerKind:
    """The kind of a corner with this angle inside the roof.

    >>> corner_kind(135, 2), corner_kind(90.5, 2)
    (<CornerKind.MITRED: 'mitred'>, <CornerKind.EXTERNAL: 'external'>)
    """
    if interior_deg > _STRAIGHT:
        return CornerKind.INTERNAL
    if abs(interior_deg - _RIGHT_ANGLE) <= within_deg:
        return CornerKind.EXTERNAL
    return CornerKind.MITRED


def ring(points: Sequence[Point]) -> tuple[Point, ...]:
    """Corners in order as one closed ring, in mm."""
    return tuple(points)


@alike("larger", "smaller")
def half_difference(larger: float, smaller: float) -> float:
    """Half of what one length exceeds another: (larger - smaller) / 2, in their unit."""
    return (larger - smaller) / 2


@alike("whole", "part")
def difference(whole: float, part: float) -> float:
    """The whole - the part, in their unit."""
    return whole - part


@alike("whole", "first", "second")
def remaining(whole: float, first: float, second: float) -> float:
    """The whole - both parts, in their unit."""
    return whole - first - second
