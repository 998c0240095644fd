"""The trims a job needs: their lengths, how each is made up, and its corners."""

import math
from collections import defaultdict
from collections.abc import Mapping

from msgspec import Struct

from quotegen.model.choices import Along, BowTrims, EdgeKind, TrimTool, WallJoint
from quotegen.model.roof import Corner, Edge
from quotegen.model.settings import Settings
from quotegen.reference import house_rules
from quotegen.takeoff.basis.job import Job, rooflights, times, total_length_m
from quotegen.takeoff.shape import geometry
from quotegen.takeoff.shape.expansion_lines import joint_lengths_mm
from quotegen.takeoff.trims.corners import BATTENED, CornerWork, corner_piece, corner_work
from quotegen.takeoff.trims.cutting import CutRules, Run
from quotegen.units import Unit, whole_number
from quotegen.working import Figure, chosen, derive, total

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
_STRAIGHT_DEG = 180.0
_RUN_BASIS = "length of the edge with its growth on the batten and what its mitres take"


class TrimPlan(Struct, frozen=True):
    """The trims a job needs, wherever they are bought.

    `needs` are the metres of each trim and the number of each corner piece; `runs` how each trim
    is made up.
    """

    needs: Mapping[str, Figure]
    runs: Mapping[str, tuple[tuple[Run, ...], CutRules]]
    pre_formed: Mapping[str, int]
    mitres: Figure
    made_up: Figure


def plan_trims(job: Job) -> TrimPlan:
    """Count the corners of a job and lay out the runs of its trims."""
    runs, corners = _runs(job), _corners(job)
    pre_formed = corners[CornerWork.PIECE]
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
    mitred, made_up = (
        chosen(words, float(sum(corners[way].values())), Unit.EACH, from_outline)
        for words, way in (
            ("mitred corners", CornerWork.MITRE),
            ("corners made up on site", CornerWork.MADE_UP),
        )
    )
    return TrimPlan(needs, runs, pre_formed, mitred, made_up)


def has_flashing(job: Job) -> bool:
    """Whether walls get a new flashing: yes unless sound lead is known to stay."""
    walls = bool(job.outline.edges_of(EdgeKind.WALL))
    return walls and job.enquiry.wall_joint is not WallJoint.KEEP_LEAD


def trim_saw_mm(settings: Settings) -> float:
    """What a cut takes off a trim [mm]: nothing with snips, with a saw its width."""
    sawn = TrimTool(settings.text("trim_cut_with")) is TrimTool.SAW
    return settings.number("saw_cut_mm") if sawn else 0.0


def flashing_mm(job: Job, edge: Edge) -> Figure:
    """The flashing of a wall [mm]: the edge, and what it runs on past each end that is free.

    Free is an end where the roof stops and the wall may go on: no other wall meets it there, and
    the roof does not go on round the corner of the house. Common practice, no source.
    """
    free = sum(
        corner.interior_deg < _STRAIGHT_DEG
        and not (_kind(job, corner.before) is _kind(job, corner.after) is EdgeKind.WALL)
        for corner in _ends(job, edge)
    )
    past = derive(
        f"flashing past the ends of {edge.name}",
        Unit.MM,
        times,
        number=chosen("free ends", float(free), Unit.EACH, "counted on the outline"),
        each=job.settings["flashing_past_mm"],
    )
    return derive(f"flashing, {edge.name}", Unit.MM, total, parts=[edge.length, past])


def flashing_m(job: Job) -> Figure:
    """All flashing without its laps [m]."""
    lengths = [flashing_mm(job, edge) for edge in job.outline.edges_of(EdgeKind.WALL)]
    return derive("length of flashing", Unit.M, total_length_m, lengths_mm=lengths)


def trim_line_mm(job: Job, edge: Edge) -> Figure:
    """The line on which the trim of an edge stands [mm]: the edge, and what a batten adds to it.

    What mitres take and pre-formed corners spare is left out.
    """
    if edge.kind not in BATTENED:
        return edge.length
    growths = [mm for corner in _ends(job, edge) for mm in _growths_mm(job, edge, corner)]
    return derive(f"line of the trim, {edge.name}", Unit.MM, total, parts=[edge.length, *growths])


def _corners(job: Job) -> Mapping[CornerWork, Mapping[str, int]]:
    """How many corners of each way of making them, by the piece, empty where none."""
    found: dict[CornerWork, dict[str, int]] = {way: defaultdict(int) for way in CornerWork}
    for corner in job.outline.corners:
        kinds = _kind(job, corner.before), _kind(job, corner.after)
        found[corner_work(corner, *kinds)][corner_piece(corner, *kinds)] += 1
    return found


def _kind(job: Job, edge_name: str) -> EdgeKind:
    return next(edge.kind for edge in job.outline.edges if edge.name == edge_name)


def _works(job: Job, edge: Edge) -> list[CornerWork]:
    """How the corners at the two ends of an edge are made."""
    return [
        corner_work(corner, _kind(job, corner.before), _kind(job, corner.after))
        for corner in _ends(job, edge)
    ]


def _runs(job: Job) -> dict[str, tuple[tuple[Run, ...], CutRules]]:
    """The runs of each trim with how they are made up."""
    number = job.settings.number
    runs: dict[str, list[Run]] = defaultdict(list)
    for edge in job.outline.edges:
        length_mm = trim_line_mm(job, edge).number + _ends_mm(job, edge)
        run = Run(edge.name, length_mm, pieces=_bow_pieces(job, edge))
        runs[_TRIM_OF[edge.kind]].append(run)
        if edge.kind is EdgeKind.WALL and has_flashing(job):
            runs[_FLASHING].append(Run(edge.name, flashing_mm(job, edge).number))
    corner_mm = 2 * number("trim_mitre_mm")
    for light in rooflights(job.enquiry, job.settings):
        sides = (light.length_mm.number, light.width_mm.number)
        for side_mm in sides * (2 * int(light.count.number)):
            runs["trim_flat"].append(Run("rooflight kerb", side_mm + corner_mm, Along.KERB, 1))
    for length_mm in joint_lengths_mm(job.outline):
        runs[_EXPANSION].append(Run("expansion joint", length_mm, Along.JOINT))
    rules = {
        item: CutRules(
            number("flashing_lap_mm" if item == _FLASHING else "trim_lap_mm"),
            number("trim_least_piece_mm"),
            trim_saw_mm(job.settings),
            job.settings["trim_joint_saves"].money,
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


def _ends_mm(job: Job, edge: Edge) -> float:
    """What a trim is longer for mitres and made-up corners, less what corner pieces spare."""
    works, number = _works(job, edge), job.settings.number
    cut = sum(work in (CornerWork.MITRE, CornerWork.MADE_UP) for work in works)
    short = works.count(CornerWork.PIECE)
    return cut * number("trim_mitre_mm") - short * number("corner_short_mm")


def _bow_pieces(job: Job, edge: Edge) -> int | None:
    """Of how many short pieces the trim of a curve is made; None where it is slit or straight."""
    if not edge.curve or BowTrims(job.settings.text("bow_trims")) is not BowTrims.SHORT:
        return None
    turned_deg = sum(corner.interior_deg for corner in _ends(job, edge))
    return facet_count(edge.length.number, turned_deg, job.settings.number("bow_gap_mm"))


def facet_count(arc_mm: float, turned_deg: float, gap_mm: float) -> int:
    """How many straight pieces go round a curve and leave it by no more than a gap.

    A chord of the angle t leaves the arc of radius R = arc / turn by R x (1 - cos(t / 2)), so
    n = ceil(turn / (2 x acos(1 - gap / R))). Inputs [mm, degrees, mm]. Source: sagitta of a
    circular segment, any handbook of mensuration.

    >>> facet_count(3141.6, 180, 10)
    12
    """
    turn = math.radians(turned_deg)
    radius_mm = arc_mm / turn
    return max(1, whole_number(turn / (2 * math.acos(max(0.0, 1 - gap_mm / radius_mm)))))
