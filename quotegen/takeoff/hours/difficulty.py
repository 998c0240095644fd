"""Difficulty factors on a task's rate: height, carrying by hand, shape, facets.

A factor multiplies the rate of the tasks it applies to and never shortens one; the least hours of a
task are not changed. Each appears in the working of the hours under its own name. All of them:
house figures or common practice, no source.
"""

from collections.abc import Sequence

from quotegen.model.access import AccessPlan
from quotegen.model.choices import PLATFORMS, Access
from quotegen.reference.remark_keys import JobNote
from quotegen.reference.remarks import Remark, remark
from quotegen.takeoff.basis.job import Job
from quotegen.units import Unit
from quotegen.working import Figure, alike, chosen, derive, product

_SQUARE_EDGES = 4


def carrying(job: Job, access: AccessPlan) -> list[Figure]:
    """Factors on what is carried up or down: old roof, boards, insulation."""
    settings = job.settings
    factors = []
    if _is_high(job):
        factors.append(settings["height_factor"])
        by_hand = access.chosen in PLATFORMS
        if by_hand and not settings.yes("has_hoist"):
            factors.append(settings["no_hoist_factor"])
    if access.chosen is Access.LADDER:
        factors.append(settings["ladder_factor"])
    return factors


def shaping(job: Job) -> list[Figure]:
    """The factor on boards and insulation cut to a bay, a bow or any corner off square."""
    return [job.settings["cut_up_deck_factor"]] if job.cut_up else []


def facets(job: Job) -> list[Figure]:
    """The factor on the trims of a roof with more edges than a rectangle."""
    count = chosen("edges", float(len(job.outline.edges)), Unit.EACH, "counted on the outline")
    plain = chosen(
        "edges of a rectangle", float(_SQUARE_EDGES), Unit.EACH, "no slower than its rate"
    )
    factor = derive(
        "factor for the facets",
        Unit.TIMES,
        facet_factor,
        edges=count,
        plain_edges=plain,
        pct_each=job.settings["facet_pct"],
    )
    return [factor] if factor.number > 1 else []


def difficulty(factors: Sequence[Figure]) -> Figure:
    """The product of a task's factors, 1 without any."""
    if not factors:
        return chosen("difficulty", 1.0, Unit.TIMES, "nothing makes it slower than its rate")
    return derive("difficulty", Unit.TIMES, product, factors=factors)


def height_note(job: Job) -> list[Remark]:
    """A note that the height is unmeasured, so the hours are those of a low roof."""
    known = job.enquiry.roof.height_mm is not None
    return [] if known else [remark(JobNote.HEIGHT_NOT_KNOWN)]


def _is_high(job: Job) -> bool:
    height = job.enquiry.roof.height_mm
    return height is not None and height.number > job.settings.number("height_limit_mm")


@alike("edges", "plain_edges", result=False)
def facet_factor(edges: float, plain_edges: float, pct_each: float) -> float:
    """Factor for facets: 1 + per cent for each edge more than a plain roof has.

    Inputs [each, each, %], result [times].

    >>> facet_factor(6, 4, 5), facet_factor(3, 4, 5)
    (1.1, 1.0)
    """
    return 1 + max(0.0, edges - plain_edges) * pct_each / 100
