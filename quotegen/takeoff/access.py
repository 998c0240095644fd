"""How the crew works at the edge, chosen in the order of control, and what has to be hired.

Nothing here decides that a ladder is safe: it is chosen only where the row asks for it with a
reason on record, and the reason is printed. What is not known leads to the more cautious way.
"""

from shapely.geometry import LineString, Polygon
from shapely.ops import unary_union

from quotegen.model.enquiry import Access, Below, EdgeKind
from quotegen.model.takeoff import AccessPlan, Stage
from quotegen.takeoff.job import Demand, Job, times
from quotegen.units import mm_to_m, whole_number
from quotegen.working import Figure, derive

_OPEN = tuple(kind for kind in EdgeKind if kind not in (EdgeKind.WALL, EdgeKind.TILES))
_PUBLIC = (Below.PAVEMENT, Below.ROAD)
_KEEP_OUT = (*_PUBLIC, Below.DOORWAY)


def plan_access(job: Job) -> AccessPlan:
    """Choose the way of working at the edge and say why, best control first."""
    open_edge_m = job.edge_length_m(*_OPEN).renamed("open edge to protect")
    towers = derive(
        "towers",
        "each",
        tower_count,
        open_edge_m=open_edge_m,
        edge_each_m=job.settings["tower_edge_m"],
    )
    access, reasons = choose_access(job, open_edge_m.number, towers.number)
    return AccessPlan(access, job.enquiry.access, tuple(reasons), open_edge_m, towers)


def choose_access(job: Job, open_edge_m: float, towers: float) -> tuple[Access, list[str]]:
    """The way of working at the edge and the reasons, in the order of control."""
    enquiry = job.enquiry
    height = enquiry.roof.height_mm
    if enquiry.access is Access.GROUND and height is not None and _within_reach(job, height):
        return Access.GROUND, [
            f"The edge is {mm_to_m(height.number):.1f} m up and every part of the roof can be "
            "reached standing on the ground: nobody works at height."
        ]
    falls = "The work cannot all be done from the ground, so falls have to be prevented."
    if enquiry.access is Access.LADDER and enquiry.ladder_reason:
        return Access.LADDER, [
            falls,
            "A tower or scaffold would protect everyone, and was considered first.",
            f"Recorded reason for a ladder: {enquiry.ladder_reason}",
            "A ladder is a place of work only for light work of short duration at low risk; if "
            "any task takes longer, stop and put up a tower.",
        ]
    chosen, reasons = _collective(job, open_edge_m, towers)
    if enquiry.access not in (None, chosen):
        reasons.insert(0, f"“{enquiry.access}” was asked for and is not enough here.")
    return chosen, [falls, *reasons]


def _within_reach(job: Job, height: Figure) -> bool:
    """Whether the whole roof can be worked on from the ground: low, and nowhere deep."""
    settings = job.settings
    if height.number > settings.number("ground_reach_mm"):
        return False
    roof = Polygon(job.outline.points)
    edges = [LineString((e.start, *e.curve, e.end)) for e in job.outline.edges_of(*_OPEN)]
    if not edges:
        return False
    depth_mm = settings.number("ground_depth_mm")
    return bool(roof.difference(unary_union(edges).buffer(depth_mm)).area < _SLIVER_MM2)


_SLIVER_MM2 = 100.0


def _collective(job: Job, open_edge_m: float, towers: float) -> tuple[Access, list[str]]:
    """A tower or a scaffold: what protects everyone along the whole edge."""
    enquiry = job.enquiry
    if enquiry.access is Access.SCAFFOLD:
        return Access.SCAFFOLD, ["A scaffold with guard rails protects everyone."]
    if enquiry.site.room_for_tower is False:
        return Access.SCAFFOLD, ["There is no room for a tower, so it is a scaffold."]
    if towers > job.settings.number("towers_most"):
        return Access.SCAFFOLD, [
            f"The open edge of {open_edge_m:.1f} m would need {towers:.0f} towers: a scaffold "
            "protects all of it."
        ]
    what = "A tower" if towers == 1 else f"{towers:.0f} towers side by side"
    reasons = [f"{what} with guard rails protects everyone along an edge this short."]
    if enquiry.site.room_for_tower is None:
        reasons.append(
            "Room for the tower is not known: look before the day, and hire a scaffold if there "
            "is none."
        )
    return Access.TOWER, reasons


def access_demands(job: Job, plan: AccessPlan, days: Figure) -> list[Demand]:
    """What is hired for the days of the job to reach the edge and keep people out from under it."""
    settings = job.settings
    weeks = derive(
        "weeks of hire", "week", hire_weeks, days=days, week_days=settings["hire_week_days"]
    )
    demands = []
    if plan.chosen is Access.TOWER:
        hired = derive("tower hire", "week", times, number=plan.towers, each=weeks)
        demands.append(Demand("tower_hire", Stage.ACCESS, hired))
    if plan.chosen is Access.SCAFFOLD:
        length = derive(
            "scaffold",
            "m",
            scaffold_m,
            open_edge_m=plan.platform_m,
            return_m=settings["scaffold_return_m"],
            least_m=settings["scaffold_least_m"],
        )
        demands.append(Demand("scaffold_hire", Stage.ACCESS, length))
    if any(below in _KEEP_OUT for below in job.enquiry.below):
        demands.append(Demand("barrier_hire", Stage.ACCESS, weeks))
    return demands


def tower_count(open_edge_m: float, edge_each_m: float) -> float:
    """Towers that protect an edge: edge / edge of one, rounded up, at least one to work from.

    >>> tower_count(2.9, 3.0), tower_count(7.0, 3.0)
    (1.0, 3.0)
    """
    return float(max(1, whole_number(open_edge_m / edge_each_m)))


def scaffold_m(open_edge_m: float, return_m: float, least_m: float) -> float:
    """Scaffold charged for: edge + what is carried past its ends, at least the least [m].

    >>> scaffold_m(2.9, 2.0, 8.0), scaffold_m(12.0, 2.0, 8.0)
    (8.0, 14.0)
    """
    return max(least_m, open_edge_m + return_m)


def needs_licence(job: Job, plan: AccessPlan) -> bool:
    """Whether equipment stands on a pavement or road, for which the highway authority licenses."""
    stands = plan.chosen in (Access.TOWER, Access.SCAFFOLD)
    return stands and any(below in _PUBLIC for below in job.enquiry.below)


def hire_weeks(days: float, week_days: float) -> float:
    """Whole weeks of hire for so many working days: days / working days in a week, rounded up.

    >>> hire_weeks(1.5, 5), hire_weeks(6, 5)
    (1.0, 2.0)
    """
    return float(whole_number(days / week_days))
