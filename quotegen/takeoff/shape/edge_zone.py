"""Distances from the open edges of a roof: what is in reach from outside, and where to stand."""

from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from quotegen.machine.once import once_a_job
from quotegen.model.choices import EdgeKind
from quotegen.model.roof import Outline, Point
from quotegen.reference.loader import figure
from quotegen.takeoff.basis.job import outline_ring
from quotegen.units import Unit, m_to_mm, mm2_to_m2, mm_to_m
from quotegen.working import Figure, chosen, derive

OPEN_EDGES = tuple(kind for kind in EdgeKind if kind not in (EdgeKind.WALL, EdgeKind.TILES))
_SLIVER_MM2 = 100.0
_ARC_PARTS = 64


@once_a_job
def away_from_edges(outline: Outline) -> Figure:
    """The part of the roof as far from all open edges as guidance asks of unguarded edges."""
    return derive(
        "roof away from every open edge",
        Unit.M2,
        beyond_m2,
        outline_mm=outline_ring(outline),
        edges_mm=chosen(
            "open edges", _open_lines(outline), Unit.MM, "the edges with neither wall nor tiles"
        ),
        distance_m=figure("work_at_height.edge_zone_m"),
    )


def all_within(outline: Outline, reach_mm: float) -> bool:
    """Whether the whole roof is within reach of an open edge; False without an open edge."""
    return beyond_m2(outline.points, _open_lines(outline), mm_to_m(reach_mm)) == 0


def _open_lines(outline: Outline) -> tuple[tuple[Point, ...], ...]:
    return tuple((edge.start, *edge.curve, edge.end) for edge in outline.edges_of(*OPEN_EDGES))


def beyond_m2(
    outline_mm: tuple[Point, ...],
    edges_mm: tuple[tuple[Point, ...], ...],
    distance_m: float,
) -> float:
    """Area of a roof that is further than a distance from every one of some edges.

    Formula: the outline less everything within the distance of an edge, as polygons, edge by edge
    until nothing is left. Inputs: corners of the outline and of each edge [mm], distance [m].
    Result [m2]; a sliver counts as 0.

    >>> square = ((0, 0), (5000, 0), (5000, 5000), (0, 5000))
    >>> beyond_m2(square, (((0, 0), (5000, 0)),), 2.0)
    15.0
    """
    left: BaseGeometry = Polygon(outline_mm)
    for edge in edges_mm:
        if left.is_empty:
            break
        left = left.difference(LineString(edge).buffer(m_to_mm(distance_m), _ARC_PARTS))
    left_mm2 = float(left.area)
    return mm2_to_m2(left_mm2) if left_mm2 >= _SLIVER_MM2 else 0.0
