"""What the trims need: battens, nails, adhesive, sealant, bandage and outlets."""

from quotegen.model.choices import EdgeKind, OpeningKind
from quotegen.model.roof import BoardLayout
from quotegen.model.settings import Lost, Settings
from quotegen.model.takeoff import Stage
from quotegen.phrases import listed
from quotegen.takeoff.basis.job import (
    Demand,
    Job,
    kerb_lengths_mm,
    opening_count,
    rooflights,
    total_length_m,
)
from quotegen.takeoff.layers.deck import DeckPlan
from quotegen.takeoff.trims.corners import BATTENED
from quotegen.takeoff.trims.trim_plan import flashing_m, has_flashing, trim_line_mm
from quotegen.takeoff.trims.trims import TrimWork
from quotegen.units import Unit, mm_to_m
from quotegen.working import Figure, chosen, derive, total


def edge_demands(job: Job, work: TrimWork, deck: DeckPlan) -> list[Demand]:
    """What the trims need: outlets, battens, nails, adhesive, sealant and bandage."""
    outlets = opening_count(job.enquiry, OpeningKind.OUTLET)
    demands = [Demand("outlet", Stage.EDGES, outlets)] if outlets.number else []
    return [*demands, *_fixings(job), _bandage(job, work, deck)]


def bandage_m(job: Job, work: TrimWork, deck: DeckPlan) -> Figure:
    """Bandage for joints, corners, curved trims, and joints of square-edge boards.

    Along straight trims too where the firm wants it.
    """
    settings = job.settings
    pieces = derive(
        "bandage at joints and corners",
        Unit.M,
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
        parts.append(derive("bandage along trims", Unit.M, total_length_m, lengths_mm=along))
    if settings.yes("bandage_board_joints") and not deck.layout.kind.tongued:
        parts += [deck.long_joints_m, deck.short_joints_m]
    return derive("bandage", Unit.M, total, parts=parts)


def bandaged_words(settings: Settings, boards: BoardLayout, *, curved: bool) -> str:
    """What is bandaged, as the papers say it: just what `bandage_m` buys bandage for."""
    wanted = {
        "trim joints": settings.number("bandage_joint_mm") > 0,
        "corners": settings.number("bandage_corner_mm") > 0,
        "every trim along its edge": settings.yes("bandage_along_trims"),
        "the trim round the bow": curved and not settings.yes("bandage_along_trims"),
        "board joints": settings.yes("bandage_board_joints")
        and not boards.kind.tongued
        and len(boards.pieces) > 1,
    }
    return listed([words for words, yes in wanted.items() if yes]) or "no joint"


def _fixings(job: Job) -> list[Demand]:
    settings = job.settings
    kerbs_m = derive(
        "rooflight kerbs",
        Unit.M,
        total_length_m,
        lengths_mm=kerb_lengths_mm(job.enquiry, job.settings),
    )
    edges_m = _trim_lines_m(job, "trims at the edges", *EdgeKind)
    trims_m = derive("length of trim", Unit.M, total, parts=[edges_m, kerbs_m])
    bonded = [_trim_lines_m(job, "trims on battens and walls", *BATTENED, EdgeKind.WALL)]
    demands = []
    battened_m = _trim_lines_m(job, "trims on battens", *BATTENED)
    if battened_m.number:
        demands.append(Demand("batten", Stage.EDGES, battened_m, job.waste(Lost.TIMBER)))
    nails = derive(
        "clout nails", Unit.EACH, at_spacing, length_m=trims_m, spacing_mm=settings["trim_nail_mm"]
    )
    demands.append(Demand("clout", Stage.EDGES, nails, job.waste(Lost.FIXINGS)))
    if has_flashing(job):
        bonded.append(flashing_m(job))
        sealant = derive(
            "flashing sealant",
            Unit.TUBE,
            per_length,
            length_m=flashing_m(job),
            m_each=settings["sealant_m_per_tube"],
        )
        demands.append(Demand("sealant", Stage.EDGES, sealant, job.waste(Lost.ADHESIVE)))
    bonded_m = derive("trim that is bonded", Unit.M, total, parts=bonded)
    adhesive = derive(
        "trim adhesive",
        Unit.TUBE,
        per_length,
        length_m=bonded_m,
        m_each=settings["adhesive_m_per_tube"],
    )
    demands.append(Demand("adhesive", Stage.EDGES, adhesive, job.waste(Lost.ADHESIVE)))
    return demands


def _trim_lines_m(job: Job, name: str, *kinds: EdgeKind) -> Figure:
    lines = [trim_line_mm(job, edge) for edge in job.outline.edges_of(*kinds)]
    return derive(name, Unit.M, total_length_m, lengths_mm=lines)


def _bandaged_corners(job: Job) -> Figure:
    at_kerbs = sum(4 * int(light.count.number) for light in rooflights(job.enquiry, job.settings))
    corners = len(job.outline.corners) + at_kerbs
    return chosen("corners", float(corners), Unit.EACH, "counted on the outline and at rooflights")


def _bandage(job: Job, work: TrimWork, deck: DeckPlan) -> Demand:
    return Demand("bandage", Stage.EDGES, bandage_m(job, work, deck), job.waste(Lost.BANDAGE))


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
