"""The trims a job wants: how long each stands, how it is made up, and its corners."""

from collections import defaultdict
from collections.abc import Mapping

from msgspec import Struct

from quotegen.model.choices import Along, EdgeKind, WallJoint
from quotegen.model.roof import Corner, CornerKind, Edge
from quotegen.reference import house_rules
from quotegen.takeoff.basis.job import Job, rooflights, total_length_m
from quotegen.takeoff.shape import geometry
from quotegen.takeoff.shape.expansion_lines import joint_lengths_mm
from quotegen.takeoff.trims.cutting import CutRules, Run
from quotegen.units import Unit
from quotegen.working import Figure, chosen, derive, total

_DRIPS = (EdgeKind.GUTTER_DRIP, EdgeKind.FREE_DRIP)
BATTENED = (*_DRIPS, EdgeKind.RAISED)
_TRIM_OF: Mapping[EdgeKind, str] = {
    EdgeKind.GUTTER_DRIP: "trim_drip",
    EdgeKind.FREE_DRIP: "trim_drip",
    EdgeKind.RAISED: "trim_raised",
    EdgeKind.WALL: "trim_wall",
    EdgeKind.TILES: "trim_flat",
    EdgeKind.KERB: "trim_flat",
}
_FLASHING = "trim_flashing"
_EXPANSION = "trim_expansion"
_SQUARE_DEG = 90.0
_RUN_BASIS = "length of the edge with its growth on the batten and what its mitres take"


class TrimPlan(Struct, frozen=True):
    """What trims a job wants, wherever they are bought.

    `needs` are the metres of each trim and the number of each corner piece; `runs` how each trim
    is made up.
    """

    needs: Mapping[str, Figure]
    runs: Mapping[str, tuple[tuple[Run, ...], CutRules]]
    pre_formed: Mapping[str, int]
    mitres: Figure


def plan_trims(job: Job) -> TrimPlan:
    """Count the corners of a job and lay out the runs of its trims."""
    runs = _runs(job)
    pre_formed, mitres = _corners(job)
    from_outline = "counted on the outline"
    needs = {
        item: derive(
            house_rules.items()[item].words,
            Unit.M,
            total_length_m,
            lengths_mm=[chosen(run.edge, run.length_mm, Unit.MM, _RUN_BASIS) for run in wanted],
        )
        for item, (wanted, _) in runs.items()
    }
    needs |= {
        item: chosen(house_rules.items()[item].words, float(n), Unit.EACH, from_outline)
        for item, n in sorted(pre_formed.items())
    }
    mitred = chosen("mitred corners", float(mitres), Unit.EACH, from_outline)
    return TrimPlan(needs, runs, pre_formed, mitred)


def has_flashing(job: Job) -> bool:
    """Whether walls get a new flashing: yes unless sound lead is known to stay."""
    walls = bool(job.outline.edges_of(EdgeKind.WALL))
    return walls and job.enquiry.wall_joint is not WallJoint.KEEP_LEAD


def corner_piece(corner: Corner, before: EdgeKind, after: EdgeKind) -> str:
    """The pre-formed corner that fits, by item code; empty where none does.

    Pre-formed corners are right angles only: outside ones between drip or raised trims, inside
    ones between two walls. Source: common practice, no source.
    """
    if corner.kind is not CornerKind.EXTERNAL:
        return ""
    if before is EdgeKind.WALL and after is EdgeKind.WALL:
        return "corner_wall"
    if before in BATTENED and after in BATTENED:
        both_drip = before in _DRIPS and after in _DRIPS
        return "corner_drip" if both_drip else "corner_raised"
    return ""


def trim_line_mm(job: Job, edge: Edge) -> Figure:
    """The line on which the trim of an edge stands [mm]: the edge, and what a batten adds to it.

    What mitres take and pre-formed corners spare is left out.
    """
    if edge.kind not in BATTENED:
        return edge.length
    growths = [mm for corner in _ends(job, edge) for mm in _growths_mm(job, edge, corner)]
    return derive(f"line of the trim, {edge.name}", Unit.MM, total, parts=[edge.length, *growths])


def _corners(job: Job) -> tuple[dict[str, int], int]:
    """How many of each pre-formed corner, and how many mitres cut by hand."""
    pre_formed: dict[str, int] = defaultdict(int)
    mitres = 0
    for corner in job.outline.corners:
        piece = corner_piece(corner, _kind(job, corner.before), _kind(job, corner.after))
        if piece:
            pre_formed[piece] += 1
        else:
            mitres += _is_mitre(job, corner)
    return dict(pre_formed), mitres


def _kind(job: Job, edge_name: str) -> EdgeKind:
    return next(edge.kind for edge in job.outline.edges if edge.name == edge_name)


def is_mitre(corner: Corner, before: EdgeKind, after: EdgeKind) -> bool:
    """Whether two trims run into each other at an angle no pre-formed corner fits."""
    walls = (before is EdgeKind.WALL) is (after is EdgeKind.WALL)
    square_flats = corner.kind is CornerKind.EXTERNAL
    return walls and not square_flats


def _is_mitre(job: Job, corner: Corner) -> bool:
    return is_mitre(corner, _kind(job, corner.before), _kind(job, corner.after))


def _runs(job: Job) -> dict[str, tuple[tuple[Run, ...], CutRules]]:
    """The runs of each trim with how they are made up."""
    number = job.settings.number
    runs: dict[str, list[Run]] = defaultdict(list)
    for edge in job.outline.edges:
        ends_mm = _mitre_allowance_mm(job, edge) - _short_mm(job, edge)
        runs[_TRIM_OF[edge.kind]].append(Run(edge.name, trim_line_mm(job, edge).number + ends_mm))
        if edge.kind is EdgeKind.WALL and has_flashing(job):
            runs[_FLASHING].append(Run(edge.name, edge.length.number))
    corner_mm = 2 * number("trim_mitre_mm")
    for light in rooflights(job.enquiry, job.settings):
        sides = (light.length_mm.number, light.width_mm.number)
        for side_mm in sides * (2 * int(light.count.number)):
            runs["trim_flat"].append(Run("rooflight kerb", side_mm + corner_mm, Along.KERB))
    for length_mm in joint_lengths_mm(job.outline):
        runs[_EXPANSION].append(Run("expansion joint", length_mm, Along.JOINT))
    rules = {
        item: CutRules(
            number("flashing_lap_mm" if item == _FLASHING else "trim_lap_mm"),
            number("trim_least_piece_mm"),
            number("saw_cut_mm"),
        )
        for item in runs
    }
    return {item: (tuple(wanted), rules[item]) for item, wanted in runs.items()}


def _growths_mm(job: Job, edge: Edge, corner: Corner) -> list[Figure]:
    """What a trim on a batten gains towards one of its corners over the measured line.

    Towards a wall only where the angle is sharp: at any other nobody knows how far the wall runs
    on, and nothing is taken off.
    """
    stand_off = job.settings["trim_stand_off_mm"]
    other = corner.after if corner.before == edge.name else corner.before
    angle = chosen(f"angle to {other}", corner.interior_deg, Unit.DEGREES, "drawn from the sizes")
    battened = _kind(job, other) in BATTENED
    growths = []
    if battened or corner.interior_deg < _SQUARE_DEG:
        growths.append(
            derive(
                f"growth at {other}",
                Unit.MM,
                geometry.end_growth_mm,
                stand_off_mm=stand_off,
                interior_deg=angle,
                neighbour_too=chosen(
                    f"{other} is on a batten too", battened, Unit.NONE, "by its kind"
                ),
            )
        )
    if edge.curve:  # a bow turns by the angles it makes with the wall, at both ends
        along = geometry.curve_growth_mm
        growths.append(
            derive("growth of the curve", Unit.MM, along, stand_off_mm=stand_off, turned_deg=angle)
        )
    return growths


def _ends(job: Job, edge: Edge) -> list[Corner]:
    """The corners at which an edge ends."""
    return [corner for corner in job.outline.corners if edge.name in (corner.before, corner.after)]


def _short_mm(job: Job, edge: Edge) -> float:
    """What a trim stops short of the corners where a pre-formed piece laps over it."""
    ends = sum(
        bool(corner_piece(corner, _kind(job, corner.before), _kind(job, corner.after)))
        for corner in _ends(job, edge)
    )
    return ends * job.settings.number("corner_short_mm")


def _mitre_allowance_mm(job: Job, edge: Edge) -> float:
    mitred_ends = sum(_is_mitre(job, corner) for corner in _ends(job, edge))
    return mitred_ends * job.settings.number("trim_mitre_mm")
