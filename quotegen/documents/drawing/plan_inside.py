"""The words inside the plan of a roof: its angles, its area and the arrow of its fall."""

import math
from collections.abc import Callable, Sequence

from shapely.geometry import Polygon

from quotegen import wording
from quotegen.documents.drawing.plan_geometry import (
    Box,
    Label,
    inward_bisector,
    roomiest,
    shifted,
    text_width,
    without,
)
from quotegen.documents.drawing.svg import Point
from quotegen.model.choices import Side
from quotegen.model.roof import CornerKind, Outline
from quotegen.takeoff.shape.fall import DOWNHILL

ANGLE_SIZE, AREA_SIZE = 2.6, 4.2
_LABEL_CLEAR = 3.4
_AREA_BLOCK, _AREA_STACK, _ARROW_REACH, _ARROW_GAP = (34.0, 9.0), (20.0, 16.0), 4.5, 5.0
_ROOMY = 3.0
_DOWN = (0.0, 1.0)


def corner_angles(
    outline: Outline,
    ring: Sequence[Point],
    on_paper: Callable[[Point], Point],
) -> tuple[Label, ...]:
    """The angle inside each mitred corner, set into the corner as far as it needs."""
    labels = []
    for corner in outline.corners:
        if corner.kind is not CornerKind.MITRED:
            continue
        at = on_paper(corner.at)
        place = min(range(len(ring)), key=lambda n: math.dist(ring[n], at))
        direction = inward_bisector(ring[place - 1], at, ring[(place + 1) % len(ring)])
        half_rad = math.radians(corner.interior_deg / 2)
        depth = min(_LABEL_CLEAR / max(math.sin(half_rad), 0.2) + 1, 14)
        words = f"{wording.number(corner.interior_deg)}°"
        labels.append(Label(words, shifted(at, direction, depth), ANGLE_SIZE))
    return tuple(labels)


def area_and_fall(
    outline: Outline,
    falls_to: Side,
    roof: Polygon,
    taken: Sequence[Box],
    badges: Sequence[Box],
) -> tuple[Label | None, tuple[Point, Point] | None]:
    """The area and the arrow of the fall where the roof has most room; neither if it has none.

    They stand side by side, or one above the other where the roof is too narrow for that. `roof`
    is the outline on the paper, `taken` what they keep clear of; of the letters of the edges, the
    `badges`, only where there is room for it.
    """
    words = f"{wording.number(outline.area_m2.number, 2)} m²"
    for boxes in ((*taken, *badges), taken):
        free = without(roof, boxes)
        beside = roomiest(free, roof.bounds, _AREA_BLOCK, _ROOMY)
        stacked = roomiest(free, roof.bounds, _AREA_STACK, _ROOMY)
        if beside or stacked:
            break
    if beside and (stacked is None or beside[1] >= min(stacked[1], _ROOMY)):
        (x, y), _ = beside
        foot_x = x - _AREA_BLOCK[0] / 2 + _ARROW_GAP
        at = (foot_x + _ARROW_GAP + text_width(words, AREA_SIZE) / 2, y)
        return Label(words, at, AREA_SIZE, bold=True), _arrow((foot_x, y), falls_to)
    if stacked is None:
        return None, None
    at = shifted(stacked[0], _DOWN, -_AREA_STACK[1] / 2 + AREA_SIZE / 2)
    below = shifted(stacked[0], _DOWN, _AREA_STACK[1] / 2 - _ARROW_REACH)
    return Label(words, at, AREA_SIZE, bold=True), _arrow(below, falls_to)


def _arrow(middle_of_arrow: Point, falls_to: Side) -> tuple[Point, Point]:
    direction = DOWNHILL[falls_to]
    return (
        shifted(middle_of_arrow, direction, -_ARROW_REACH),
        shifted(middle_of_arrow, direction, _ARROW_REACH),
    )
