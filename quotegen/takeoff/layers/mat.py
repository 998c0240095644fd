"""The mat for a roof: strips by layout, patches, and what is cut off the roll."""

import math
from typing import TypedDict

from msgspec import Struct
from msgspec.structs import astuple

from quotegen.model.choices import Side
from quotegen.model.roof import MatLayout
from quotegen.reference.remark_keys import JobNote
from quotegen.reference.remarks import Remark, remark
from quotegen.takeoff.basis.job import Job, detail_areas, times, turned_mm
from quotegen.takeoff.layers.mat_layout import MatRules, Sides, laps_m2, lay_mat
from quotegen.units import Unit, mm_to_m
from quotegen.working import Figure, chosen, derive, total

_FALLS_TO_RAD = {
    Side.FRONT: 0.0,
    Side.LEFT: math.pi / 2,
    Side.BACK: math.pi,
    Side.RIGHT: -math.pi / 2,
}
_RULES = ("mat_roll_mm", "mat_lap_mm", "mat_trim_mm", "mat_near_mm", "mat_worth_more_pct")


class MatPlan(Struct, frozen=True):
    """The strips of one layer, the mat off the roll for all layers, details and patches, and how
    much of it lies double: under laps and as patches."""

    layout: MatLayout
    area_m2: Figure
    double_m2: Figure


class _Laid(TypedDict):
    sides: Figure
    falls_to_rad: Figure
    rules: Figure


def plan_mat(job: Job) -> MatPlan:
    """Lay the mat on the real surface and add what details and corners take."""
    rules = MatRules(*(job.settings.number(code) for code in _RULES))
    falls_to = _FALLS_TO_RAD.get(job.enquiry.roof.falls_to, 0.0)
    sides: Sides = tuple(
        (
            (edge.start, *edge.curve, edge.end),
            width.number if (width := turned_mm(edge, job.settings)) else 0.0,
        )
        for edge in job.outline.edges
    )
    laid: _Laid = {
        "sides": chosen("edges and what lies past them", sides, Unit.MM, "outline and Rates sheet"),
        "falls_to_rad": chosen("falls to", falls_to, Unit.RADIANS, "the row"),
        "rules": chosen(
            "laying rules",
            astuple(rules),
            Unit.MM,
            "the Rates sheet: roll, lap, trimming, near miss; least saving for more strips in %",
        ),
    }
    layer = derive("mat off the roll, one layer", Unit.M2, laid_mat_m2, **laid)
    laps = derive("laps, one layer", Unit.M2, laid_laps_m2, **laid)
    layers = derive("all layers", Unit.M2, times, number=job.enquiry.mat_layers, each=layer)
    corners = chosen(
        "corners", float(len(job.outline.corners)), Unit.EACH, "counted on the outline"
    )
    patches = derive("patches", Unit.M2, times, number=corners, each=job.settings["mat_patch_m2"])
    parts = [layers, patches, *detail_areas(job.enquiry, job.settings)]
    area = derive("mat off the roll", Unit.M2, total, parts=parts)
    double = [derive("laps", Unit.M2, times, number=job.enquiry.mat_layers, each=laps), patches]
    return MatPlan(
        lay_mat(sides, falls_to, rules),
        area,
        derive("laps and patches", Unit.M2, total, parts=double),
    )


def near_miss(layout: MatLayout) -> list[Remark]:
    """How far one strip fewer would fall short, if it would nearly do."""
    if not layout.short_mm:
        return []
    short = chosen("short of one strip fewer", layout.short_mm, Unit.MM, "the mat as laid")
    return [remark(JobNote.NEAR_MISS, short=short)]


def laid_mat_m2(
    sides: Sides, falls_to_rad: float, rules: tuple[float, float, float, float, float]
) -> float:
    """Mat cut off the roll for one layer: length of all strips x width of the roll.

    Inputs [mm, rad]: edges with the width past each, the direction of fall, and (roll, lap,
    trimming, near miss, least saving for more strips [%]); result [m2]. See `mat_layout`.
    """
    layout = lay_mat(sides, falls_to_rad, MatRules(*rules))
    return mm_to_m(layout.length_mm) * mm_to_m(layout.roll_mm)


def laid_laps_m2(
    sides: Sides, falls_to_rad: float, rules: tuple[float, float, float, float, float]
) -> float:
    """Area of one layer that lies double under laps [m2].

    Inputs as in `laid_mat_m2`.
    """
    return laps_m2(lay_mat(sides, falls_to_rad, MatRules(*rules)), sides)
