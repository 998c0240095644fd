"""Geometry of a leaning ladder, its load, and what it is for on this job."""

import math
from collections.abc import Mapping

from quotegen import wording
from quotegen.model.choices import Access
from quotegen.model.safety import Ladder
from quotegen.model.settings import Settings
from quotegen.reference.loader import figure
from quotegen.reference.rule_keys import LadderSentence
from quotegen.safety.rules.text import told
from quotegen.takeoff.access.ladder_limits import LEANING, ladder_load
from quotegen.units import Unit, mm_to_m
from quotegen.working import Figure, derive

_USE: Mapping[Access, LadderSentence] = {
    Access.GROUND: LadderSentence.GROUND,
    Access.TOWER: LadderSentence.TOWER,
    Access.SCAFFOLD: LadderSentence.SCAFFOLD,
    Access.LADDER: LadderSentence.LADDER,
}


def foot_distance_m(height_m: float, rise_for_one_out: float) -> float:
    """How far out the foot of a ladder goes: height / rise for one out.

    Inputs: height of the point it rests on [m], rise for one out [times]. Result [m].
    Firm level ground. Source: the one in four rule of HSE INDG455 and LA455.

    >>> foot_distance_m(2.6, 4)
    0.65
    """
    return height_m / rise_for_one_out


def least_length_m(height_m: float, projection_m: float, rise_for_one_out: float) -> float:
    """The least length of a ladder that stands above its stepping-off point.

    Formula: (height + projection) x sqrt(1 + 1 / rise^2). Inputs: height of the stepping-off
    point [m], projection above it [m], rise for one out [times]. Result [m]. A straight ladder;
    an extending one is measured as extended. Source: INDG455 and LA455, by Pythagoras.

    >>> round(least_length_m(2.6, 1.0, 4), 2)
    3.71
    """
    return (height_m + projection_m) * math.hypot(1.0, 1.0 / rise_for_one_out)


def rise_m(height_m: float, projection_m: float) -> float:
    """How far a ladder rises above its base: height of the step-off + projection [m].

    >>> rise_m(5.5, 1.0)
    6.5
    """
    return height_m + projection_m


def ladder_for(
    height_mm: Figure | None, access: Access, settings: Settings
) -> tuple[Ladder | None, str]:
    """The leaning ladder to reach the edge; None if none is used or the height is not known.

    With it comes a sentence on whose ladder it is and what for, or what has to be measured first.
    """
    if access not in LEANING:
        return None, told(_USE[access])
    rise, projection = figure("ladders.rise_for_one_out"), figure("ladders.projection_m")
    past = f"{wording.exact(projection.number)} m"
    use = f"{told(_USE[access])} {told(LadderSentence.CLIMBED, projection=past)}"
    if height_mm is None:
        measure = told(
            LadderSentence.MEASURE_FIRST,
            rise=wording.exact(rise.number),
            projection=past,
        )
        return None, f"{use} {measure}"
    height = derive("height to the edge", Unit.M, mm_to_m, length_mm=height_mm)
    rises = derive("rise of the ladder", Unit.M, rise_m, height_m=height, projection_m=projection)
    landing_m = figure("ladders.landing_m").number
    ladder = Ladder(
        height_m=height,
        foot_out_m=derive(
            "foot of the ladder out",
            Unit.M,
            foot_distance_m,
            height_m=height,
            rise_for_one_out=rise,
        ),
        least_length_m=derive(
            "least length of the ladder",
            Unit.M,
            least_length_m,
            height_m=height,
            projection_m=projection,
            rise_for_one_out=rise,
        ),
        rise_m=rises,
        landings=rises.number >= landing_m,
        load_kg=ladder_load(settings),
        rating_kg=figure("ladders.load_kg"),
    )
    if not ladder.landings:
        return ladder, use
    landings = told(LadderSentence.LANDINGS, landing=f"{wording.exact(landing_m)} m")
    return ladder, f"{use} {landings}"
