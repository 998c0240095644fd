"""Where one tower has to stand for the whole roof to be in reach from its platform."""

from collections.abc import Mapping, Sequence

from shapely.geometry import LineString, Polygon
from shapely.geometry import Point as Spot
from shapely.ops import substring

from quotegen.machine.once import once_a_job
from quotegen.model.access import TowerPlace
from quotegen.model.roof import Edge, Outline, Point
from quotegen.takeoff.shape.edge_zone import OPEN_EDGES, all_within, beyond_m2
from quotegen.units import m_to_mm, mm_to_m, whole_number

_Face = tuple[Point, Point]
_SKIN_MM = 1.0


@once_a_job
def tower_places(
    outline: Outline, *, reach_mm: float, tower_edge_m: float
) -> tuple[TowerPlace, ...]:
    """The places of one tower, in turn round the roof; none where part of it is out of reach.

    Edge by edge, the one first that leaves least out of reach, until nothing is.
    """
    if not all_within(outline, reach_mm):
        return ()
    parts = {edge.name: _parts(outline, edge, tower_edge_m) for edge in _open(outline)}
    taken: list[str] = []
    left_m2 = outline.area_m2.number
    while left_m2:
        beyond = {
            name: _beyond(outline, parts, [*taken, name], reach_mm)
            for name in parts
            if name not in taken
        }
        if not beyond:
            return ()
        taken.append(min(beyond, key=beyond.__getitem__))
        left_m2 = beyond[taken[-1]]
    return tuple(place for name in parts if name in taken for place in parts[name])


def towers_at_once(edge_mm: Sequence[float], edge_each_m: float) -> float:
    """Towers that guard every open edge at once: for each, its length / one tower's, rounded up.

    A straight platform guards one straight edge, so each has its own. Inputs [mm, m], result
    [each]; at least one to work from.

    >>> towers_at_once((849, 1200, 849), 3.0), towers_at_once((5200,), 3.0), towers_at_once((), 3.0)
    (3.0, 2.0, 1.0)
    """
    return float(max(1, sum(whole_number(mm_to_m(length) / edge_each_m) for length in edge_mm)))


def _open(outline: Outline) -> tuple[Edge, ...]:
    return outline.edges_of(*OPEN_EDGES)


def _beyond(
    outline: Outline,
    parts: Mapping[str, tuple[TowerPlace, ...]],
    names: Sequence[str],
    reach_mm: float,
) -> float:
    """The area out of reach from all places at these edges [m2]."""
    faces = tuple(place.face for name in names for place in parts[name])
    return beyond_m2(outline.points, faces, mm_to_m(reach_mm))


def _parts(outline: Outline, edge: Edge, tower_edge_m: float) -> tuple[TowerPlace, ...]:
    """The places along an edge: equal parts of it, each no longer than one tower covers."""
    line = LineString((edge.start, *edge.curve, edge.end))
    tower_mm = m_to_mm(tower_edge_m)
    of = max(1, whole_number(line.length / tower_mm))
    pieces = (substring(line, n / of, (n + 1) / of, normalized=True) for n in range(of))
    faces = [face_of(tuple((x, y) for x, y in piece.coords)) for piece in pieces]
    if of == 1:
        faces = [_carried_past(outline, edge, faces[0], tower_mm)]
    return tuple(TowerPlace(edge.name, n, of, face) for n, face in enumerate(faces, 1))


def face_of(points: Sequence[Point]) -> _Face:
    """The straight working side of a platform along a part of an edge: clear of its bow [mm].

    The chord of the part, moved out by as much as the curve bulges from it.

    >>> face_of(((0.0, 0.0), (1000.0, 400.0), (2000.0, 0.0)))
    ((0.0, 400.0), (2000.0, 400.0))
    """
    (x, y), (end_x, end_y) = points[0], points[-1]
    chord = LineString((points[0], points[-1]))
    bulge = max(points, key=lambda point: float(chord.distance(Spot(point))))
    foot = chord.interpolate(chord.project(Spot(bulge)))
    dx, dy = bulge[0] - foot.x, bulge[1] - foot.y
    return (x + dx, y + dy), (end_x + dx, end_y + dy)


def _carried_past(outline: Outline, edge: Edge, face: _Face, tower_mm: float) -> _Face:
    """The face of a platform longer than its edge, carried past each end that it can pass.

    Half of what the tower is longer, past an end where the next edge is open too and the roof does
    not lie in the way.
    """
    (x, y), (end_x, end_y) = face
    length = LineString(face).length
    spare = max(0.0, tower_mm - length) / 2
    step_x, step_y = (end_x - x) / length * spare, (end_y - y) / length * spare
    at = outline.edges.index(edge)
    before, after = outline.edges[at - 1], outline.edges[(at + 1) % len(outline.edges)]
    longer = (x - step_x, y - step_y), (end_x + step_x, end_y + step_y)
    return (
        longer[0] if _passes(outline, before, (face[0], longer[0])) else face[0],
        longer[1] if _passes(outline, after, (face[1], longer[1])) else face[1],
    )


def _passes(outline: Outline, beside: Edge, past: _Face) -> bool:
    """Whether a platform can be carried past the end of an edge, beside the next one."""
    inside = Polygon(outline.points).buffer(-_SKIN_MM)
    return beside.kind in OPEN_EDGES and not LineString(past).intersects(inside)
