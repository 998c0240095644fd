"""Which ways of guarding people at the edge are safe enough on a roof, and why.

One tower, which leaves edges open, will do only if nobody has to stand on the roof: all of it is
within reach from inside the tower, and height, room and ground are known. Otherwise every open edge
is guarded at the same time.
"""

from collections.abc import Iterator

from quotegen.model.access import TowerPlace, WayCost
from quotegen.model.choices import Access, Below, EdgeKind, EdgeWay
from quotegen.phrases import listed
from quotegen.reference.remarks import Remark, remark
from quotegen.reference.rule_keys import AccessReason
from quotegen.takeoff.basis.job import Job
from quotegen.takeoff.shape.edge_zone import OPEN_EDGES
from quotegen.takeoff.shape.tower_places import tower_places, towers_at_once
from quotegen.units import Unit
from quotegen.working import Figure, chosen, derive

_NO_GROUND = frozenset({Below.LOWER_ROOF, Below.GLASS})
_IN_DOUBT = frozenset(
    {
        AccessReason.HEIGHT_IN_DOUBT,
        AccessReason.ROOM_IN_DOUBT,
        AccessReason.GROUND_IN_DOUBT,
        AccessReason.CABLES_IN_DOUBT,
    }
)


def ways_of(job: Job) -> tuple[WayCost, ...]:
    """Every way with the reasons to refuse it; a scaffold is never refused."""
    stands = tuple(_no_stand(job))
    return (
        WayCost(EdgeWay.ONE_TOWER, (*stands, *_not_by_one(job))),
        WayCost(EdgeWay.TOWERS, (*stands, *_gaps_left(job))),
        WayCost(EdgeWay.SCAFFOLD, ()),
    )


def only_in_doubt(ways: tuple[WayCost, ...]) -> bool:
    """Whether one tower might do, and is refused only for what nobody has looked at."""
    refusals = [one.key for way in ways if way.way is EdgeWay.ONE_TOWER for one in way.refusals]
    return bool(refusals) and _IN_DOUBT.issuperset(refusals)


def places_of(job: Job) -> tuple[TowerPlace, ...]:
    """The places of one tower from which the whole roof can be reached; none if it cannot."""
    return tower_places(
        job.outline,
        reach_mm=job.settings.number("tower_reach_mm"),
        tower_edge_m=job.settings.number("tower_edge_m"),
    )


def towers_of(job: Job, way: EdgeWay | None) -> Figure:
    """The towers up at the same time; if there are none, those that every edge would take."""
    if way is EdgeWay.ONE_TOWER:
        return chosen("towers", 1.0, Unit.EACH, "one, as nobody stands on the roof")
    return derive(
        "towers",
        Unit.EACH,
        towers_at_once,
        edge_mm=[edge.length for edge in job.outline.edges_of(*OPEN_EDGES)],
        edge_each_m=job.settings["tower_edge_m"],
    )


def reasons_for(job: Job, way: EdgeWay, ways: tuple[WayCost, ...]) -> list[Remark]:
    """Why a way is taken, and what ruled out those that guard less, if that is worth saying."""
    if way is EdgeWay.ONE_TOWER:
        return [_in_reach(job)]
    by_one, by_towers = ways[0].refusals, ways[1].refusals
    reasons = [one for one in by_one if one.key in _IN_DOUBT]
    if way is EdgeWay.TOWERS:
        return [*_stood_on(by_one), *reasons, *_by_towers(job)]
    if job.enquiry.access is not Access.SCAFFOLD:
        reasons = [*_stood_on(by_one), *by_towers, *reasons]
    scaffold = remark(AccessReason.SCAFFOLD)
    return [*reasons, scaffold, remark(AccessReason.GUARDED_AT_ONCE)]


def _stood_on(refusals: tuple[Remark, ...]) -> list[Remark]:
    """Why people have to get on to the roof."""
    why = (AccessReason.OUT_OF_REACH, AccessReason.TILES_ABOVE)
    return [one for one in refusals if one.key in why]


def _by_towers(job: Job) -> list[Remark]:
    edges = ", ".join(edge.name for edge in job.outline.edges_of(*OPEN_EDGES))
    towers = towers_of(job, EdgeWay.TOWERS)
    reasons = [
        remark(AccessReason.ONE_TOWER, edges=edges)
        if towers.number == 1
        else remark(AccessReason.TOWERS, towers=towers, edges=edges)
    ]
    if job.enquiry.site.room_for_tower is None:
        reasons.append(remark(AccessReason.ROOM_NOT_KNOWN))
    return reasons


def _in_reach(job: Job) -> Remark:
    reach, places = job.settings["tower_reach_mm"], places_of(job)
    words = [tower_place_words(place) for place in places]
    if len(places) == 1:
        return remark(AccessReason.IN_REACH, reach=reach, place=words[0])
    return remark(AccessReason.MOVED_ALONG, reach=reach, places=listed(words))


def tower_place_words(place: TowerPlace) -> str:
    """A place by its edge, and which of how many along it, counted clockwise on the plan.

    >>> tower_place_words(TowerPlace("front", 1, 1, ((0.0, 0.0), (1.0, 0.0))))
    'front'
    """
    return place.edge if place.of == 1 else f"{place.edge} {place.number} of {place.of}"


def _no_stand(job: Job) -> Iterator[Remark]:
    """Why no tower can stand here at all."""
    if job.enquiry.site.room_for_tower is False:
        yield remark(AccessReason.NO_ROOM)
    if _NO_GROUND.intersection(job.enquiry.below):
        yield remark(AccessReason.NO_GROUND)


def _not_by_one(job: Job) -> Iterator[Remark]:
    """Why one tower is not safe: what is out of reach or not known."""
    enquiry, places = job.enquiry, places_of(job)
    if not places:
        yield remark(AccessReason.OUT_OF_REACH, reach=job.settings["tower_reach_mm"])
    if job.outline.edges_of(EdgeKind.TILES):
        yield remark(AccessReason.TILES_ABOVE)
    if len(places) > 1 and enquiry.site.overhead_cables is not False:
        yield remark(AccessReason.CABLES_IN_DOUBT)
    if enquiry.roof.height_mm is None:
        yield remark(AccessReason.HEIGHT_IN_DOUBT)
    if enquiry.site.room_for_tower is None:
        yield remark(AccessReason.ROOM_IN_DOUBT)
    if not enquiry.below:
        yield remark(AccessReason.GROUND_IN_DOUBT)


def _gaps_left(job: Job) -> Iterator[Remark]:
    """Why towers do not guard every edge at once: too many of them, or an edge they do not fit."""
    if any(edge.curve for edge in job.outline.edges_of(*OPEN_EDGES)):
        yield remark(AccessReason.CURVED_EDGE)
    towers = towers_of(job, EdgeWay.TOWERS)
    if towers.number > job.settings.number("towers_most"):
        edge = job.edge_length_m(*OPEN_EDGES)
        yield remark(AccessReason.LONG_EDGE, edge=edge, towers=towers)
