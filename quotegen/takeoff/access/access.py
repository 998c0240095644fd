"""How the crew works at the edge, chosen in the order of control, and what has to be hired.

A ladder is chosen only where the row asks for it with a reason on record and nothing rules it
out; the reason is printed. What is not known leads to the more cautious way.
"""

from quotegen.model.access import AccessPlan, LadderUse
from quotegen.model.choices import PLATFORMS, Access, Below
from quotegen.model.takeoff import Stage
from quotegen.reference.loader import figure
from quotegen.reference.remarks import Remark, remark
from quotegen.reference.rule_keys import AccessReason
from quotegen.takeoff.basis.job import Demand, Job, times
from quotegen.takeoff.shape.edge_zone import OPEN_EDGES, all_within, away_from_edges
from quotegen.units import Unit, whole_number
from quotegen.working import Figure, alike, derive

_PUBLIC = (Below.PAVEMENT, Below.ROAD)
_KEEP_OUT = (*_PUBLIC, Below.DOORWAY)


def plan_access(job: Job, ladder: LadderUse | None = None) -> AccessPlan:
    """Choose the way of working at the edge and say why, best control first.

    `ladder` is how a ladder was judged by the hours it would take, None where it is not yet.
    """
    open_edge_m = job.edge_length_m(*OPEN_EDGES).renamed("open edge to protect")
    towers = derive(
        "towers",
        Unit.EACH,
        tower_count,
        open_edge_m=open_edge_m,
        edge_each_m=job.settings["tower_edge_m"],
    )
    access, reasons = _choose(job, open_edge_m, towers, ladder)
    away_m2 = away_from_edges(job.outline)
    if access is not Access.GROUND and not away_m2.number:
        zone = figure("work_at_height.edge_zone_m")
        reasons.append(remark(AccessReason.NO_PLACE_TO_STAND, zone=zone))
    return AccessPlan(
        access, job.enquiry.access, tuple(reasons), open_edge_m, towers, away_m2, ladder
    )


def _choose(
    job: Job, open_edge_m: Figure, towers: Figure, ladder: LadderUse | None
) -> tuple[Access, list[Remark]]:
    """The way of working at the edge and the reasons, in the order of control."""
    enquiry = job.enquiry
    height = enquiry.roof.height_mm
    if enquiry.access is Access.GROUND and height is not None and _within_reach(job, height):
        return Access.GROUND, [remark(AccessReason.FROM_GROUND, height=height)]
    falls = remark(AccessReason.FALLS_PREVENTED)
    refused = bool(ladder and ladder.refusals)
    if enquiry.access is Access.LADDER and enquiry.ladder_reason and not refused:
        return Access.LADDER, [falls, *_ladder_reasons(enquiry.ladder_reason, ladder)]
    chosen, reasons = _collective(job, open_edge_m, towers)
    if enquiry.access not in (None, chosen):
        reasons.insert(0, remark(AccessReason.NOT_ENOUGH, asked=str(enquiry.access)))
    return chosen, [falls, *reasons]


def _ladder_reasons(reason: str, ladder: LadderUse | None) -> list[Remark]:
    """Why a ladder, and for how long at one time where that has been worked out."""
    reasons = [
        remark(AccessReason.COLLECTIVE_FIRST),
        remark(AccessReason.LADDER_REASON, reason=reason),
    ]
    if ladder:
        longest = remark(
            AccessReason.LONGEST_TASK,
            task=ladder.task,
            minutes=ladder.longest_min,
            guide=figure("ladders.short_minutes"),
        )
        reasons.append(longest)
    return reasons


def _within_reach(job: Job, height: Figure) -> bool:
    """Whether the whole roof can be worked on from the ground: low, and nowhere deep."""
    low = height.number <= job.settings.number("ground_reach_mm")
    return low and all_within(job.outline, job.settings.number("ground_depth_mm"))


def _collective(job: Job, open_edge_m: Figure, towers: Figure) -> tuple[Access, list[Remark]]:
    """A tower or a scaffold: what protects everyone along the whole edge."""
    enquiry = job.enquiry
    if enquiry.access is Access.SCAFFOLD:
        return Access.SCAFFOLD, [remark(AccessReason.SCAFFOLD)]
    if enquiry.site.room_for_tower is False:
        return Access.SCAFFOLD, [remark(AccessReason.NO_ROOM)]
    if towers.number > job.settings.number("towers_most"):
        return Access.SCAFFOLD, [remark(AccessReason.LONG_EDGE, edge=open_edge_m, towers=towers)]
    edges = ", ".join(edge.name for edge in job.outline.edges_of(*OPEN_EDGES))
    reasons = [
        remark(AccessReason.ONE_TOWER, edges=edges)
        if towers.number == 1
        else remark(AccessReason.TOWERS, towers=towers, edges=edges)
    ]
    if enquiry.site.room_for_tower is None:
        reasons.append(remark(AccessReason.ROOM_NOT_KNOWN))
    return Access.TOWER, reasons


def access_demands(job: Job, plan: AccessPlan, days: Figure) -> list[Demand]:
    """What is hired for the days of the job to reach the edge and keep people out from under it."""
    settings = job.settings
    weeks = derive(
        "weeks of hire", Unit.WEEK, hire_weeks, days=days, week_days=settings["hire_week_days"]
    )
    demands = []
    if plan.chosen is Access.TOWER:
        hired = derive("tower hire", Unit.WEEK, times, number=plan.towers, each=weeks)
        demands.append(Demand("tower_hire", Stage.ACCESS, hired))
    if plan.chosen is Access.SCAFFOLD:
        length = derive(
            "scaffold",
            Unit.M,
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


@alike("open_edge_m", "return_m", "least_m")
def scaffold_m(open_edge_m: float, return_m: float, least_m: float) -> float:
    """Scaffold charged for: edge + what is carried past its ends, at least the least [m].

    >>> scaffold_m(2.9, 2.0, 8.0), scaffold_m(12.0, 2.0, 8.0)
    (8.0, 14.0)
    """
    return max(least_m, open_edge_m + return_m)


def needs_licence(job: Job, plan: AccessPlan) -> bool:
    """Whether equipment stands on a pavement or road, for which the highway authority licenses."""
    return plan.chosen in PLATFORMS and any(below in _PUBLIC for below in job.enquiry.below)


def licence_not_known(job: Job, plan: AccessPlan) -> bool:
    """Whether equipment stands where nobody has said what lies underneath."""
    return plan.chosen in PLATFORMS and not job.enquiry.below


def hire_weeks(days: float, week_days: float) -> float:
    """Whole weeks of hire for so many working days: days / working days in a week, rounded up.

    >>> hire_weeks(1.5, 5), hire_weeks(6, 5)
    (1.0, 2.0)
    """
    return float(whole_number(days / week_days))
