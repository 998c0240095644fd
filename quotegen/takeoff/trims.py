"""Edge trims, corner pieces, battens, and what fixes and seals them."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from quotegen.model.enquiry import EdgeKind, OpeningKind, WallJoint
from quotegen.model.roof import Corner, CornerKind, Edge
from quotegen.model.settings import PriceBook
from quotegen.model.takeoff import CutList, PackCount, Purchase, Stage
from quotegen.reference import house_rules
from quotegen.takeoff import geometry
from quotegen.takeoff.cutting import Cut, CutRules, Run, Stock, cut_runs
from quotegen.takeoff.deck import DeckPlan
from quotegen.takeoff.expansion_lines import joint_lengths_mm
from quotegen.takeoff.job import (
    Demand,
    Job,
    kerb_lengths_mm,
    opening_count,
    rooflights,
    total_length_m,
)
from quotegen.takeoff.packs import purchase
from quotegen.units import m_to_mm, mm_to_m
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
_EXPANSION = "trim_expansion"
_KERB_NAME = "rooflight kerb"


@dataclass(frozen=True, slots=True)
class TrimPlan:
    """What trims a job wants, wherever they are bought.

    `needs` are the metres of each trim and the number of each corner piece; `runs` how each trim
    is made up.
    """

    needs: Mapping[str, Figure]
    runs: Mapping[str, tuple[tuple[Run, ...], CutRules]]
    pre_formed: Mapping[str, int]
    mitres: Figure


@dataclass(frozen=True, slots=True)
class TrimWork:
    """The trims of a job as bought and cut, and the counts that bandage and hours need.

    `purchases` are of the trims that are cut from whole lengths; one without a price is cut from
    the stock length of the Rates sheet and not among them.
    """

    needs: Mapping[str, Figure]
    purchases: Mapping[str, Purchase]
    cuts: tuple[CutList, ...]
    joints: Figure
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
            "m",
            total_length_m,
            lengths_mm=[chosen(run.edge, run.length_mm, "mm", _RUN_BASIS) for run in wanted],
        )
        for item, (wanted, _) in runs.items()
    }
    needs |= {
        item: chosen(house_rules.items()[item].words, float(n), "each", from_outline)
        for item, n in sorted(pre_formed.items())
    }
    mitred = chosen("mitred corners", float(mitres), "each", from_outline)
    return TrimPlan(needs, runs, pre_formed, mitred)


def cut_trims(job: Job, plan: TrimPlan, prices: PriceBook) -> TrimWork:
    """Cut every trim from the lengths these prices offer, at the least cost."""
    purchases: dict[str, Purchase] = {}
    cuts: dict[str, Cut] = {}
    unpriced = (Stock(job.settings.number("trim_length_mm"), Decimal(1)),)
    for item, (wanted, rules) in plan.runs.items():
        packs = prices.of(item)
        stocks = tuple(Stock(m_to_mm(pack.pack_size), pack.pack_price) for pack in packs)
        cut = cuts[item] = cut_runs(wanted, stocks or unpriced, rules)
        if packs:
            taken = [PackCount(pack, n) for i, pack in enumerate(packs) if (n := cut.count(i))]
            purchases[item] = purchase(plan.needs[item], taken)
    joints = sum(cut.joints for cut in cuts.values())
    return TrimWork(
        needs=plan.needs,
        purchases=purchases,
        cuts=tuple(_cut_list(job, item, cut) for item, cut in cuts.items()),
        joints=chosen("trim joints", float(joints), "each", "counted on the cutting lists"),
        pre_formed=plan.pre_formed,
        mitres=plan.mitres,
    )


_RUN_BASIS = "length of the edge with its growth on the batten and what its mitres take"


def _cut_list(job: Job, item: str, cut: Cut) -> CutList:
    least_mm = job.settings.number("offcut_useful_mm")
    lengths = tuple(length for _, length in cut.lengths)
    kept = tuple(length.left_mm for length in lengths if length.left_mm >= least_mm)
    return CutList(item, house_rules.items()[item].words, lengths, cut.proved, kept)


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


def edge_demands(job: Job, work: TrimWork, deck: DeckPlan) -> list[Demand]:
    """What goes with the trims: outlets, battens, nails, adhesive, sealant and bandage."""
    outlets = opening_count(job.enquiry, OpeningKind.OUTLET)
    demands = [Demand("outlet", Stage.EDGES, outlets)] if outlets.number else []
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


def _runs(job: Job) -> dict[str, tuple[tuple[Run, ...], CutRules]]:
    """The runs of each trim with how they are made up."""
    number = job.settings.number
    runs: dict[str, list[Run]] = defaultdict(list)
    for edge in job.outline.edges:
        length_mm = edge.length.number
        ends_mm = _growth_mm(job, edge) + _mitre_allowance_mm(job, edge) - _short_mm(job, edge)
        runs[_TRIM_OF[edge.kind]].append(Run(edge.name, length_mm + ends_mm))
        if edge.kind is EdgeKind.WALL and has_flashing(job):
            runs[_FLASHING].append(Run(edge.name, length_mm))
    corner_mm = 2 * number("trim_mitre_mm")
    for light in rooflights(job.enquiry, job.settings):
        sides = (light.length_mm.number, light.width_mm.number)
        for side_mm in sides * (2 * int(light.count.number)):
            runs["trim_flat"].append(Run(_KERB_NAME, side_mm + corner_mm))
    for length_mm in joint_lengths_mm(job.outline):
        runs[_EXPANSION].append(Run("expansion joint", length_mm))
    rules = {
        item: CutRules(
            number("flashing_lap_mm" if item == _FLASHING else "trim_lap_mm"),
            number("trim_least_piece_mm"),
            number("saw_cut_mm"),
        )
        for item in runs
    }
    return {item: (tuple(wanted), rules[item]) for item, wanted in runs.items()}


def _growth_mm(job: Job, edge: Edge) -> float:
    """What a trim on a batten is longer than the measured line it stands outside of."""
    if edge.kind not in _BATTENED:
        return 0.0
    stand_off_mm = job.settings.number("trim_stand_off_mm")
    growth = 0.0
    for corner in job.outline.corners:
        if edge.name in (corner.before, corner.after):
            other = corner.after if corner.before == edge.name else corner.before
            growth += geometry.end_growth_mm(
                stand_off_mm, corner.interior_deg, _kind(job, other) in _BATTENED
            )
            if edge.curve:  # a bow turns by the angles it makes with the wall, at both ends
                growth += geometry.curve_growth_mm(stand_off_mm, corner.interior_deg)
    return growth


def _short_mm(job: Job, edge: Edge) -> float:
    """What a trim stops short of the corners where a pre-formed piece laps over it."""
    ends = sum(
        bool(corner_piece(corner, _kind(job, corner.before), _kind(job, corner.after)))
        for corner in job.outline.corners
        if edge.name in (corner.before, corner.after)
    )
    return ends * job.settings.number("corner_short_mm")


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
