"""How the roof falls: how steeply, and to which of its edges the water runs."""

import math

from quotegen import wording
from quotegen.model.choices import EdgeKind, OpeningKind, Side
from quotegen.model.enquiry import Enquiry
from quotegen.model.roof import Edge, Outline, Point
from quotegen.problems import Problem, problem
from quotegen.reference.loader import figure
from quotegen.takeoff.basis.job import outline_ring
from quotegen.units import Unit
from quotegen.working import Figure, alike, chosen, derive

DOWNHILL: dict[Side, Point] = {
    Side.FRONT: (0.0, 1.0),
    Side.BACK: (0.0, -1.0),
    Side.LEFT: (-1.0, 0.0),
    Side.RIGHT: (1.0, 0.0),
}
"""The way down for each side a roof can fall to, on the plan."""

_FACES_DOWN = math.cos(math.radians(60))
_DRIPS = (EdgeKind.GUTTER_DRIP, EdgeKind.FREE_DRIP)
_UP_A_WALL = (EdgeKind.WALL, EdgeKind.TILES)


def fall_run(enquiry: Enquiry, outline: Outline) -> Figure | None:
    """The fall as the run for a drop of one; None where no drop was measured or there is none."""
    drop = enquiry.roof.level_drop_mm
    if drop is None or not drop.number:
        return None
    run = derive(
        "run of the fall",
        Unit.MM,
        run_mm,
        outline_mm=outline_ring(outline),
        downhill=chosen("falls to", DOWNHILL[enquiry.roof.falls_to], Unit.NONE, "the row"),
    )
    return derive("fall, one in", Unit.TIMES, one_in, run_mm=run, drop_mm=drop)


def check_fall(enquiry: Enquiry, outline: Outline) -> list[Problem]:
    """A roof that water cannot get off, by its edges or its fall, or gets off too slowly."""
    return [*_wrong_way(enquiry, outline), *_too_flat(enquiry, outline)]


def _too_flat(enquiry: Enquiry, outline: Outline) -> list[Problem]:
    drop, least = enquiry.roof.level_drop_mm, figure("flat_roofs.least_fall_one_in")
    if drop is None:
        return []
    run = fall_run(enquiry, outline)
    if run is not None and run.number <= least.number:
        return []
    return [
        problem(
            "fall-too-flat",
            enquiry.roof.drop_at or enquiry.place,
            seen=f"a fall of 1 in {wording.number(run.number)}" if run else "no fall at all",
            ref=enquiry.ref,
            least=least.number,
        )
    ]


def _wrong_way(enquiry: Enquiry, outline: Outline) -> list[Problem]:
    """Water that cannot get off the roof, that runs against an edge, or past the gutter."""
    if any(opening.kind is OpeningKind.OUTLET for opening in enquiry.openings):
        return []
    if not outline.edges_of(*_DRIPS):
        return [problem("no-way-off", enquiry.place, ref=enquiry.ref)]
    low = {edge.kind for edge in low_edges(outline, enquiry.roof.falls_to)}
    if not low & {*_DRIPS}:
        code = "falls-to-wall" if low & {*_UP_A_WALL} else "falls-to-raised-edge"
    elif EdgeKind.GUTTER_DRIP not in low and outline.edges_of(EdgeKind.GUTTER_DRIP):
        code = "falls-past-gutter"
    else:
        return []
    where = enquiry.roof.falls_at or enquiry.place
    return [problem(code, where, seen=str(enquiry.roof.falls_to), ref=enquiry.ref)]


def low_edges(outline: Outline, falls_to: Side) -> tuple[Edge, ...]:
    """The edges the water runs to: those that face downhill, within 60 degrees either side."""
    down_x, down_y = DOWNHILL[falls_to]
    found = []
    for edge in outline.edges:
        along_x, along_y = edge.end[0] - edge.start[0], edge.end[1] - edge.start[1]
        # An outline runs clockwise, so that the outside is on the left hand.
        faces = (along_y * down_x - along_x * down_y) / math.hypot(along_x, along_y)
        if faces > _FACES_DOWN:
            found.append(edge)
    return tuple(found)


def run_mm(outline_mm: tuple[Point, ...], downhill: Point) -> float:
    """How far the roof reaches down its fall: the outline's extent in that direction.

    Inputs [mm] and a direction of length one, result [mm].

    >>> run_mm(((0, 0), (2400, 0), (1800, 600), (600, 600)), (0, 1))
    600
    """
    along = [x * downhill[0] + y * downhill[1] for x, y in outline_mm]
    return max(along) - min(along)


@alike("run_mm", "drop_mm", result=False)
def one_in(run_mm: float, drop_mm: float) -> float:
    """A fall as the run for a drop of one: run / drop.

    Inputs [mm], result [times].

    >>> one_in(3000, 75)
    40.0
    """
    return run_mm / drop_mm
