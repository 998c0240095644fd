"""Words inside the plan of a roof: its angles, its area and the arrow of its fall."""

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
    without,
)
from quotegen.documents.printing.word_widths import words_width
from quotegen.model.choices import Side
from quotegen.model.roof import CornerKind, Outline, Point
from quotegen.takeoff.shape.fall import DOWNHILL

ANGLE_SIZE, AREA_SIZE = 2.6, 4.2
_LABEL_CLEAR = 3.4
_BESIDE_HIGH, _STACK_HIGH, _ARROW_REACH, _ARROW_GAP = 9.0, 16.0, 4.5, 5.0
_ROOMY = 3.0
_DOWN = (0.0, 1.0)


def corner_angles(
    outline: Outline,
    ring: Sequence[Point],
    on_paper: Callable[[Point], Point],
) -> tuple[Label, ...]:
    """The angle at each mitred corner, set into the corner as far as it needs."""
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
    """The area and the arrow of the fall, where the roof has most room; neither if it has none.

    They stand side by side, or one above the other on a narrow roof. `roof` is the outline on the
    paper and `taken` what they keep clear of; they keep clear of the edge letters (`badges`) only
    where there is room.
    """
    words = f"{wording.number(outline.area_m2.number, 2)} m²"
    wide = words_width(words, AREA_SIZE, bold=True)
    in_row = (2 * _ARROW_GAP + wide, _BESIDE_HIGH)
    in_stack = (max(wide, 2 * _ARROW_REACH), _STACK_HIGH)
    for boxes in ((*taken, *badges), taken):
        free = without(roof, boxes)
        beside = roomiest(free, roof.bounds, in_row, _ROOMY)
        stacked = roomiest(free, roof.bounds, in_stack, _ROOMY)
        if beside or stacked:
            break
    if beside and (stacked is None or beside[1] >= min(stacked[1], _ROOMY)):
        (x, y), _ = beside
        foot_x = x - in_row[0] / 2 + _ARROW_GAP
        at = (foot_x + _ARROW_GAP + wide / 2, y)
        return Label(words, at, AREA_SIZE, bold=True), _arrow((foot_x, y), falls_to)
    if stacked is None:
        return None, None
    at = shifted(stacked[0], _DOWN, -_STACK_HIGH / 2 + AREA_SIZE / 2)
    below = shifted(stacked[0], _DOWN, _STACK_HIGH / 2 - _ARROW_REACH)
    return Label(words, at, AREA_SIZE, bold=True), _arrow(below, falls_to)


def _arrow(middle_of_arrow: Point, falls_to: Side) -> tuple[Point, Point]:
    direction = DOWNHILL[falls_to]
    return (
        shifted(middle_of_arrow, direction, -_ARROW_REACH),
        shifted(middle_of_arrow, direction, _ARROW_REACH),
    )
