"""How the crew can work at the edge, in the order of control, and what has to be hired.

A ladder is chosen only if the row asks for it with a reason and nothing rules it out; the reason is
printed. Anything not known leads to the more cautious way.
"""

from quotegen.model.access import AccessPlan, LadderUse, WayCost
from quotegen.model.choices import PLATFORMS, Access, Below, EdgeWay
from quotegen.model.takeoff import Stage
from quotegen.reference.loader import figure
from quotegen.reference.remarks import Remark, remark
from quotegen.reference.rule_keys import AccessReason
from quotegen.takeoff.access.edge_ways import places_of, reasons_for, towers_of, ways_of
from quotegen.takeoff.access.platforms import platform_of
from quotegen.takeoff.basis.job import Demand, Job, times
from quotegen.takeoff.shape.edge_zone import OPEN_EDGES, all_within, away_from_edges
from quotegen.units import Unit, whole_number
from quotegen.working import Figure, alike, derive

_PUBLIC = (Below.PAVEMENT, Below.ROAD)
_KEEP_OUT = (*_PUBLIC, Below.DOORWAY)


def possible_plans(job: Job, ladder: LadderUse | None = None) -> tuple[AccessPlan, ...]:
    """Every way of working at the edge that is safe enough here, each with the reason.

    Only one if the ground or a ladder will do. `ladder` is how a ladder was judged by the hours it
    would take, None if not judged yet.
    """
    enquiry, height = job.enquiry, job.enquiry.roof.height_mm
    if enquiry.access is Access.GROUND and height is not None and _within_reach(job, height):
        reasons = [remark(AccessReason.FROM_GROUND, height=height)]
        return (_plan(job, Access.GROUND, reasons, ladder),)
    falls = remark(AccessReason.FALLS_PREVENTED)
    refused = bool(ladder and ladder.refusals)
    if enquiry.access is Access.LADDER and enquiry.ladder_reason and not refused:
        reasons = [falls, *_ladder_reasons(enquiry.ladder_reason, ladder)]
        return (_plan(job, Access.LADDER, reasons, ladder),)
    ways = ways_of(job)
    return tuple(_guarded(job, one.way, ways, ladder) for one in ways if not one.refusals)


def _guarded(
    job: Job, way: EdgeWay, ways: tuple[WayCost, ...], ladder: LadderUse | None
) -> AccessPlan:
    chosen = Access.SCAFFOLD if way is EdgeWay.SCAFFOLD else Access.TOWER
    asked = job.enquiry.access
    reasons = [remark(AccessReason.FALLS_PREVENTED)]
    if asked not in (None, chosen):
        reasons.append(remark(AccessReason.NOT_ENOUGH, asked=str(asked)))
    return _plan(job, chosen, [*reasons, *reasons_for(job, way, ways)], ladder, way, ways)


def _plan(
    job: Job,
    chosen: Access,
    reasons: list[Remark],
    ladder: LadderUse | None,
    way: EdgeWay | None = None,
    ways: tuple[WayCost, ...] = (),
) -> AccessPlan:
    away_m2 = away_from_edges(job.outline)
    if chosen is not Access.GROUND and not away_m2.number and way is not EdgeWay.ONE_TOWER:
        zone = figure("work_at_height.edge_zone_m")
        reasons = [*reasons, remark(AccessReason.NO_PLACE_TO_STAND, zone=zone)]
    return AccessPlan(
        chosen=chosen,
        asked=job.enquiry.access,
        reasons=tuple(reasons),
        platform_m=job.edge_length_m(*OPEN_EDGES).renamed("open edge to protect"),
        towers=towers_of(job, way),
        away_m2=away_m2,
        ladder=ladder,
        way=way,
        places=places_of(job) if way is EdgeWay.ONE_TOWER else (),
        platform=platform_of(job, way) if way else None,
        ways=ways,
    )


def _ladder_reasons(reason: str, ladder: LadderUse | None) -> list[Remark]:
    """Why a ladder, and for how long at one time, once that has been worked out."""
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


def access_demands(job: Job, plan: AccessPlan, days: Figure) -> list[Demand]:
    """What is hired for the job to reach the edge and keep people out from under it."""
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


@alike("open_edge_m", "return_m", "least_m")
def scaffold_m(open_edge_m: float, return_m: float, least_m: float) -> float:
    """Scaffold charged for: edge + what goes past its ends, or the least if that is more [m].

    >>> scaffold_m(2.9, 2.0, 8.0), scaffold_m(12.0, 2.0, 8.0)
    (8.0, 14.0)
    """
    return max(least_m, open_edge_m + return_m)


def needs_licence(job: Job, plan: AccessPlan) -> bool:
    """Whether equipment stands on a pavement or road, which needs a highway authority licence."""
    return plan.chosen in PLATFORMS and any(below in _PUBLIC for below in job.enquiry.below)


def licence_not_known(job: Job, plan: AccessPlan) -> bool:
    """Whether equipment stands where nobody has said what is underneath."""
    return plan.chosen in PLATFORMS and not job.enquiry.below


def hire_weeks(days: float, week_days: float) -> float:
    """Whole weeks of hire for so many working days: days / working days in a week, rounded up.

    >>> hire_weeks(1.5, 5), hire_weeks(6, 5)
    (1.0, 2.0)
    """
    return float(whole_number(days / week_days))
