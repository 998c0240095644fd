"""How the crew works at the edge, chosen in the order of control, and what has to be hired.

Nothing here decides that a ladder is safe: it is chosen only where the row asks for it with a
reason on record, and the reason is printed. What is not known leads to the more cautious way.
"""

from quotegen.model.enquiry import Access, Below, EdgeKind
from quotegen.model.takeoff import AccessPlan, Stage
from quotegen.takeoff.job import Demand, Job
from quotegen.units import mm_to_m, whole_number
from quotegen.working import Figure, derive

_OPEN = tuple(kind for kind in EdgeKind if kind not in (EdgeKind.WALL, EdgeKind.TILES))
_PUBLIC = (Below.PAVEMENT, Below.ROAD)
_KEEP_OUT = (*_PUBLIC, Below.DOORWAY)


def plan_access(job: Job, days: Figure) -> AccessPlan:
    """Choose the way of working at the edge and say why, best control first."""
    open_edge_m = job.edge_length_m(*_OPEN).renamed("open edge to protect")
    chosen, reasons = choose_access(job, open_edge_m.number)
    weeks = derive(
        "weeks of hire",
        "week",
        hire_weeks,
        days=days,
        week_days=job.settings["hire_week_days"],
    )
    return AccessPlan(chosen, job.enquiry.access, tuple(reasons), open_edge_m, weeks)


def choose_access(job: Job, open_edge_m: float) -> tuple[Access, list[str]]:
    """The way of working at the edge and the reasons, in the order of control."""
    enquiry = job.enquiry
    height = enquiry.roof.height_mm
    reach_mm = job.settings.number("ground_reach_mm")
    if enquiry.access is Access.GROUND and height is not None and height.number <= reach_mm:
        return Access.GROUND, [
            f"The edge is {mm_to_m(height.number):.1f} m up and the work can be done standing on "
            "the ground: nobody works at height."
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
    if enquiry.access in (Access.TOWER, Access.SCAFFOLD):
        return enquiry.access, [falls, f"A {enquiry.access} with guard rails protects everyone."]
    chosen, reasons = _collective(job, open_edge_m)
    if enquiry.access is not None:
        reasons.insert(0, f"“{enquiry.access}” was asked for and is not enough here.")
    return chosen, [falls, *reasons]


def _collective(job: Job, open_edge_m: float) -> tuple[Access, list[str]]:
    """A tower or a scaffold where the row leaves the choice open."""
    if job.enquiry.site.room_for_tower is False:
        return Access.SCAFFOLD, ["There is no room for a tower, so it is a scaffold."]
    if open_edge_m > job.settings.number("tower_edge_m"):
        return Access.SCAFFOLD, [
            f"The open edge of {open_edge_m:.1f} m is too long for one tower: a scaffold protects "
            "all of it."
        ]
    reasons = ["A tower with guard rails protects everyone along an edge this short."]
    if job.enquiry.site.room_for_tower is None:
        reasons.append(
            "Room for the tower is not known: look before the day, and hire a scaffold if there "
            "is none."
        )
    return Access.TOWER, reasons


def access_demands(job: Job, plan: AccessPlan) -> list[Demand]:
    """What is hired to reach the edge and to keep people out from under it."""
    demands = []
    if plan.chosen is Access.TOWER:
        demands.append(Demand("tower_hire", Stage.ACCESS, plan.hire_weeks))
    if plan.chosen is Access.SCAFFOLD:
        demands.append(Demand("scaffold_hire", Stage.ACCESS, plan.platform_m))
    if any(below in _KEEP_OUT for below in job.enquiry.below):
        demands.append(Demand("barrier_hire", Stage.ACCESS, plan.hire_weeks))
    return demands


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
