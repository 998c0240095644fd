"""How far from the foot of the wall people are kept while there is work overhead."""

from quotegen.model.safety import KeepOut
from quotegen.safety.facts.job import PlannedJob
from quotegen.takeoff.shape.edge_zone import OPEN_EDGES
from quotegen.units import Unit, mm_to_m
from quotegen.working import Figure, alike, chosen, derive

_CORNERS_AT_A_WALL, _CORNERS_ALL_ROUND = 2.0, 4.0


def keep_out_of(job: PlannedJob) -> KeepOut | None:
    """The strip to close below the open edges, None while its height is not known."""
    height_mm = job.enquiry.roof.height_mm
    if height_mm is None:
        return None
    out = derive(
        "people kept out as far as",
        Unit.M,
        keep_out_m,
        height_m=derive("height to the edge", Unit.M, mm_to_m, length_mm=height_mm),
        share_pct=job.settings["keep_out_pct"],
        least_m=job.settings["keep_out_least_m"],
    )
    barrier = derive(
        "barriers round it",
        Unit.M,
        barrier_m,
        open_edge_m=job.option.access.platform_m,
        out_m=out,
        corners=_corners(job),
    )
    return KeepOut(out, barrier)


def _corners(job: PlannedJob) -> Figure:
    """The square corners the barriers turn: two where they run back to a wall, else all four."""
    free = all(edge.kind in OPEN_EDGES for edge in job.outline.edges)
    corners = _CORNERS_ALL_ROUND if free else _CORNERS_AT_A_WALL
    return chosen(
        "corners of the barriers", corners, Unit.EACH, f"{'no ' if free else ''}wall edge"
    )


@alike("height_m", "least_m")
def keep_out_m(height_m: float, share_pct: float, least_m: float) -> float:
    """How far out people are kept: a share of the height, or the least if that is more.

    Inputs [m, %, m], result [m]. Source: a house rule; the law asks for an area that is large
    enough (Work at Height Regulations 2005, regulation 11) and gives no distance.

    >>> keep_out_m(2.4, 75, 2.0), keep_out_m(6.0, 75, 2.0)
    (2.0, 4.5)
    """
    return max(least_m, height_m * share_pct / 100)


def barrier_m(open_edge_m: float, out_m: float, corners: float) -> float:
    """Barriers at that distance along open edges: edge + two distances for each square corner.

    Inputs [m, m, each], result [m]. A rectangle 3 m wide and 2 m deep at a wall, 2 m kept free:
    7 m across the front and twice 4 m back to the wall.

    >>> barrier_m(7.0, 2.0, 2)
    15.0
    """
    return open_edge_m + 2 * out_m * corners
