"""Edge trims, corner pieces, battens, and what fixes and seals them."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from quotegen.model.enquiry import EdgeKind, OpeningKind, WallJoint
from quotegen.model.roof import Corner, CornerKind, Edge
from quotegen.model.takeoff import CutList, Piece, Stage
from quotegen.reference import house_rules
from quotegen.takeoff.cutting import cut_list, pieces_along
from quotegen.takeoff.deck import DeckPlan
from quotegen.takeoff.job import (
    Demand,
    Job,
    kerb_lengths_mm,
    opening_count,
    rooflights,
    total_length_m,
)
from quotegen.units import mm_to_m
from quotegen.working import Figure, chosen, derive, total

_DRIPS = (EdgeKind.GUTTER_DRIP, EdgeKind.FREE_DRIP)
_BATTENED = (*_DRIPS, EdgeKind.RAISED)
_TRIM_OF: Mapping[EdgeKind, str] = {
    EdgeKind.GUTTER_DRIP: "trim_drip",
    EdgeKind.FREE_DRIP: "trim_drip",
    EdgeKind.RAISED: "trim_raised",
    EdgeKind.WALL: "trim_wall",
    EdgeKind.TILES: "trim_flat",
    EdgeKind.KERB: "trim_flat",
}
_FLASHING = "trim_flashing"
_KERB_NAME = "rooflight kerb"


@dataclass(frozen=True, slots=True)
class TrimWork:
    """The trims of a job: cutting lists, and the counts that nails, bandage and hours need."""

    cuts: tuple[CutList, ...]
    joints: Figure
    pre_formed: Mapping[str, int]
    mitres: Figure
    other_corners: Figure


def trim_work(job: Job) -> TrimWork:
    """Cut every trim of the job and count its joints and corners."""
    runs = _runs(job)
    number = job.settings.number
    stock_mm, least_mm = number("trim_length_mm"), number("trim_least_piece_mm")
    cuts, joints = [], 0
    for item, wanted in runs.items():
        pieces = []
        lap_mm = number("flashing_lap_mm" if item == _FLASHING else "trim_lap_mm")
        for edge, run_mm in wanted:
            cut = pieces_along(run_mm, stock_mm, lap_mm, least_mm)
            joints += len(cut) - 1
            pieces += [Piece(length, edge) for length in cut]
        cuts.append(cut_list(item, house_rules.items()[item].words, pieces, stock_mm))
    pre_formed: dict[str, int] = defaultdict(int)
    mitres = others = 0
    for corner in job.outline.corners:
        piece = corner_piece(corner, _kind(job, corner.before), _kind(job, corner.after))
        if piece:
            pre_formed[piece] += 1
        elif _is_mitre(job, corner):
            mitres += 1
        else:
            others += 1
    from_outline = "counted on the outline"
    return TrimWork(
        cuts=tuple(cuts),
        joints=chosen("trim joints", float(joints), "each", "counted on the cutting lists"),
        pre_formed=pre_formed,
        mitres=chosen("mitred corners", float(mitres), "each", from_outline),
        other_corners=chosen("other corners", float(others), "each", from_outline),
    )


def trim_demands(job: Job, work: TrimWork, deck: DeckPlan) -> list[Demand]:
    """Trims, corners, battens, nails, adhesive, sealant and bandage."""
    demands = [
        Demand(
            cut.item,
            Stage.EDGES,
            chosen(cut.words, float(len(cut.lengths)), "length", "the cutting list"),
        )
        for cut in work.cuts
    ]
    demands += [
        Demand(item, Stage.EDGES, chosen("corners", float(n), "each", "counted on the outline"))
        for item, n in sorted(work.pre_formed.items())
    ]
    outlets = opening_count(job.enquiry, OpeningKind.OUTLET)
    if outlets.number:
        demands.append(Demand("outlet", Stage.EDGES, outlets))
    return [*demands, *_fixings(job), _bandage(job, work, deck)]


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
    if before in _BATTENED and after in _BATTENED:
        both_drip = before in _DRIPS and after in _DRIPS
        return "corner_drip" if both_drip else "corner_raised"
    return ""


def _kind(job: Job, edge_name: str) -> EdgeKind:
    return next(edge.kind for edge in job.outline.edges if edge.name == edge_name)


def _is_mitre(job: Job, corner: Corner) -> bool:
    """Two trims that run into each other at an angle no pre-formed corner fits."""
    before, after = _kind(job, corner.before), _kind(job, corner.after)
    walls = (before is EdgeKind.WALL) is (after is EdgeKind.WALL)
    square_flats = corner.kind is CornerKind.EXTERNAL
    return walls and not square_flats


def _runs(job: Job) -> dict[str, list[tuple[str, float]]]:
    runs: dict[str, list[tuple[str, float]]] = defaultdict(list)
    for edge in job.outline.edges:
        run_mm = edge.length.number + _mitre_allowance_mm(job, edge)
        runs[_TRIM_OF[edge.kind]].append((edge.name, run_mm))
        if edge.kind is EdgeKind.WALL and has_flashing(job):
            runs[_FLASHING].append((edge.name, edge.length.number))
    corner_mm = 2 * job.settings.number("trim_mitre_mm")
    for light in rooflights(job.enquiry, job.settings):
        sides = (light.length_mm.number, light.width_mm.number)
        for side_mm in sides * (2 * int(light.count.number)):
            runs["trim_flat"].append((_KERB_NAME, side_mm + corner_mm))
    return runs


def _mitre_allowance_mm(job: Job, edge: Edge) -> float:
    mitred_ends = sum(
        _is_mitre(job, corner)
        for corner in job.outline.corners
        if edge.name in (corner.before, corner.after)
    )
    return mitred_ends * job.settings.number("trim_mitre_mm")


def _fixings(job: Job) -> list[Demand]:
    settings = job.settings
    kerbs_m = derive(
        "rooflight kerbs",
        "m",
        total_length_m,
        lengths_mm=kerb_lengths_mm(job.enquiry, job.settings),
    )
    edges_m = derive(
        "trims at the edges", "m", total_length_m, lengths_mm=[e.length for e in job.outline.edges]
    )
    trims_m = derive("length of trim", "m", total, parts=[edges_m, kerbs_m])
    bonded = [job.edge_length_m(*_BATTENED, EdgeKind.WALL)]
    demands = []
    battened_m = job.edge_length_m(*_BATTENED)
    if battened_m.number:
        demands.append(Demand("batten", Stage.EDGES, battened_m, job.waste("batten")))
    nails = derive(
        "clout nails", "each", at_spacing, length_m=trims_m, spacing_mm=settings["trim_nail_mm"]
    )
    demands.append(Demand("clout", Stage.EDGES, nails, settings["waste_fixings_pct"]))
    if has_flashing(job):
        flashing_m = job.edge_length_m(EdgeKind.WALL)
        bonded.append(flashing_m.renamed("length of flashing"))
        sealant = derive(
            "flashing sealant",
            "tube",
            per_length,
            length_m=flashing_m,
            m_each=settings["sealant_m_per_tube"],
        )
        demands.append(Demand("sealant", Stage.EDGES, sealant, settings["waste_adhesive_pct"]))
    bonded_m = derive("trim that is bonded", "m", total, parts=bonded)
    adhesive = derive(
        "trim adhesive",
        "tube",
        per_length,
        length_m=bonded_m,
        m_each=settings["adhesive_m_per_tube"],
    )
    demands.append(Demand("adhesive", Stage.EDGES, adhesive, settings["waste_adhesive_pct"]))
    return demands


def bandage_m(job: Job, work: TrimWork, deck: DeckPlan) -> Figure:
    """Bandage for joints, corners, curved trims, and joints of square-edge boards.

    Along straight trims too where the firm wants it.
    """
    settings = job.settings
    pieces = derive(
        "bandage at joints and corners",
        "m",
        pieces_of_bandage_m,
        joints=work.joints,
        joint_mm=settings["bandage_joint_mm"],
        corners=_bandaged_corners(job),
        corner_mm=settings["bandage_corner_mm"],
    )
    parts = [pieces]
    everywhere = settings.yes("bandage_along_trims")
    along = [edge.length for edge in job.outline.edges if everywhere or edge.curve]
    if along:
        parts.append(derive("bandage along trims", "m", total_length_m, lengths_mm=along))
    if settings.yes("bandage_board_joints") and not deck.layout.kind.tongued:
        parts += [deck.long_joints_m, deck.short_joints_m]
    return derive("bandage", "m", total, parts=parts)


def _bandaged_corners(job: Job) -> Figure:
    at_kerbs = sum(4 * int(light.count.number) for light in rooflights(job.enquiry, job.settings))
    corners = len(job.outline.corners) + at_kerbs
    return chosen("corners", float(corners), "each", "counted on the outline and at rooflights")


def _bandage(job: Job, work: TrimWork, deck: DeckPlan) -> Demand:
    return Demand("bandage", Stage.EDGES, bandage_m(job, work, deck), job.waste("bandage"))


def at_spacing(length_m: float, spacing_mm: float) -> float:
    """How many fixings stand along a length: length / spacing.

    Inputs [m, mm], result [each].

    >>> at_spacing(3.0, 150)
    20.0
    """
    return length_m / mm_to_m(spacing_mm)


def per_length(length_m: float, m_each: float) -> float:
    """How many tubes, each good for so many metres, a length takes: length / metres each.

    Inputs [m, m/tube], result [tubes].

    >>> per_length(12.0, 8.0)
    1.5
    """
    return length_m / m_each


def pieces_of_bandage_m(joints: float, joint_mm: float, corners: float, corner_mm: float) -> float:
    """Bandage at trim joints and corners: joints x length + corners x length.

    Inputs [each, mm], result [m].

    >>> pieces_of_bandage_m(2, 200, 4, 300)
    1.6
    """
    return mm_to_m(joints * joint_mm + corners * corner_mm)
