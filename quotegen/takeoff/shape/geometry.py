"""Plane geometry of roofs: pure formulas on plain numbers in mm, with areas in m2."""

import itertools
import math
from collections.abc import Sequence

from quotegen.model.roof import Point
from quotegen.units import mm2_to_m2


def rectangle_area_m2(width_mm: float, projection_mm: float) -> float:
    """Area of a rectangle: width x projection.

    Inputs [mm], result [m2]. Source: elementary geometry.

    >>> rectangle_area_m2(3000, 2000)
    6.0
    """
    return mm2_to_m2(width_mm * projection_mm)


def trapezium_area_m2(wall_mm: float, front_mm: float, projection_mm: float) -> float:
    """Area of a canted bay: projection x (wall + front) / 2, whichever way the cants fall.

    Inputs [mm], result [m2]. Source: area of a trapezium.

    >>> trapezium_area_m2(2400, 1200, 600)
    1.08
    """
    return mm2_to_m2(projection_mm * (wall_mm + front_mm) / 2)


def l_shape_area_m2(
    width_mm: float, projection_mm: float, notch_width_mm: float, notch_depth_mm: float
) -> float:
    """Area of an L: width x projection less notch width x notch depth.

    Inputs [mm], result [m2]. Source: elementary geometry.

    >>> l_shape_area_m2(5000, 4000, 2000, 1500)
    17.0
    """
    return mm2_to_m2(width_mm * projection_mm - notch_width_mm * notch_depth_mm)


def arc_radius_mm(chord_mm: float, rise_mm: float) -> float:
    """Radius of an arc: chord^2 / (8 x rise) + rise / 2.

    Inputs [mm], result [mm]. Source: intersecting chords (Euclid III.35).

    >>> arc_radius_mm(2000, 1000)
    1000.0
    """
    return chord_mm**2 / (8 * rise_mm) + rise_mm / 2


def arc_half_angle_rad(chord_mm: float, rise_mm: float) -> float:
    """Half the angle an arc spans at its centre: asin(chord / 2R), for a rise up to half the chord.

    Inputs [mm], result [rad].
    """
    radius_mm = arc_radius_mm(chord_mm, rise_mm)
    return math.asin(min(1.0, chord_mm / (2 * radius_mm)))


def arc_length_mm(chord_mm: float, rise_mm: float) -> float:
    """Length of a bow along its arc: 2R x asin(chord / 2R), for a rise up to half the chord.

    Inputs [mm], result [mm]. Source: arc length of a circle.

    >>> round(arc_length_mm(2000, 1000), 1)
    3141.6
    """
    return 2 * arc_radius_mm(chord_mm, rise_mm) * arc_half_angle_rad(chord_mm, rise_mm)


def segment_area_m2(chord_mm: float, rise_mm: float) -> float:
    """Area of a bow: R^2 x acos((R - h) / R) - (R - h) x sqrt(2Rh - h^2), with h the rise.

    Inputs [mm], result [m2]. Source: circular segment, any handbook of mensuration.

    >>> round(segment_area_m2(2000, 1000), 4)
    1.5708
    """
    radius, rise = arc_radius_mm(chord_mm, rise_mm), rise_mm
    sector = radius**2 * math.acos((radius - rise) / radius)
    triangle = (radius - rise) * math.sqrt(2 * radius * rise - rise**2)
    return mm2_to_m2(sector - triangle)


def polygon_area_m2(points: tuple[Point, ...]) -> float:
    """Area inside a ring of points, clockwise as seen from above, by the shoelace formula.

    Inputs [mm], result [m2]; negative for a ring that goes the other way. Source: Meister 1769,
    the surveyor's formula.

    >>> polygon_area_m2(((0, 0), (3000, 0), (3000, 2000), (0, 2000)))
    6.0
    """
    ring = zip(points, (*points[1:], points[0]), strict=True)
    return mm2_to_m2(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in ring) / 2)


def distance_mm(start: Point, end: Point) -> float:
    """Straight distance between two points.

    Inputs [mm], result [mm].

    >>> distance_mm((0, 0), (600, 800))
    1000.0
    """
    return math.hypot(end[0] - start[0], end[1] - start[1])


def heading_rad(start: Point, end: Point) -> float:
    """Direction from one point to another, clockwise from the wall line as seen from above.

    Inputs [mm], result [rad].
    """
    return math.atan2(end[1] - start[1], end[0] - start[0])


def interior_angle_deg(heading_in_rad: float, heading_out_rad: float) -> float:
    """Angle inside the roof at a corner: 180 less the right turn made there.

    Inputs [rad], result [degrees], between 0 and 360.

    >>> round(interior_angle_deg(0.0, math.pi / 2))
    90
    """
    turn = math.degrees(heading_out_rad - heading_in_rad)
    turn = (turn + 180) % 360 - 180
    return 180 - turn


def arc_points(chord_mm: float, rise_mm: float, parts: int) -> tuple[Point, ...]:
    """Points inside a bow from (chord, 0) round to (0, 0), ends left out, for drawing.

    Inputs [mm]; `parts` is the number of equal pieces of arc.
    """
    radius = arc_radius_mm(chord_mm, rise_mm)
    half = arc_half_angle_rad(chord_mm, rise_mm)
    centre_x, centre_y = chord_mm / 2, rise_mm - radius
    angles = (half - 2 * half * part / parts for part in range(1, parts))
    return tuple((centre_x + radius * math.sin(a), centre_y + radius * math.cos(a)) for a in angles)


def walk(lengths_mm: Sequence[float], turns_deg: Sequence[float]) -> tuple[Point, ...]:
    """The corners reached by walking along edges and turning right at the end of each.

    The walk begins at (0, 0) along the wall line. The last point is its end, which is the start
    again if the measurements are perfect. Inputs [mm], [degrees]; result [mm].
    """
    points: list[Point] = [(0.0, 0.0)]
    heading = 0.0
    for length, turn in zip(lengths_mm, turns_deg, strict=True):
        x, y = points[-1]
        points.append((x + length * math.cos(heading), y + length * math.sin(heading)))
        heading += math.radians(turn)
    return tuple(points)


def close_traverse(points: Sequence[Point]) -> tuple[Point, ...]:
    """Spread the misclosure of a walk over its corners by the compass rule and drop the repeat.

    Each corner moves by misclosure x (distance walked to it / whole distance). Inputs and result
    [mm]. Source: Bowditch's compass rule of land surveying.

    >>> close_traverse([(0, 0), (10, 0), (10, 10), (0, 10), (0, 0)])[2]
    (10.0, 10.0)
    """
    miss_x, miss_y = points[-1][0] - points[0][0], points[-1][1] - points[0][1]
    walked = [0.0]
    for start, end in itertools.pairwise(points):
        walked.append(walked[-1] + distance_mm(start, end))
    return tuple(
        (x - miss_x * far / walked[-1], y - miss_y * far / walked[-1])
        for (x, y), far in zip(points[:-1], walked[:-1], strict=True)
    )


def closed_walk(lengths_mm: Sequence[float], turns_deg: Sequence[float]) -> tuple[Point, ...]:
    """The corners of a measured outline, its small miss shared out by the compass rule.

    Inputs [mm], [degrees, right turns positive]; result [mm]. See `walk` and `close_traverse`.
    """
    return close_traverse(walk(lengths_mm, turns_deg))


def point(along_mm: float, out_mm: float) -> Point:
    """A corner from its distance along the wall line and square out from it, in mm."""
    return (along_mm, out_mm)


def cant_mm(projection_mm: float, set_back_mm: float) -> float:
    """Length of a cant: sqrt(set-back^2 + projection^2).

    Inputs [mm], result [mm]. Source: Pythagoras.

    >>> round(cant_mm(600, 600))
    849
    """
    return math.hypot(set_back_mm, projection_mm)


def end_growth_mm(stand_off_mm: float, interior_deg: float, neighbour_too: bool) -> float:
    """How much longer a trim is at one end when it stands outside the measured line.

    d x tan(turn / 2) where the next trim stands out as well, the turn being 180 less the angle
    inside the roof; d / tan(angle) where the next edge, a wall, stays in place. Negative at a
    corner that turns in. Inputs [mm, degrees], result [mm]. Source: plane geometry.

    >>> round(end_growth_mm(50, 135, True), 1), round(end_growth_mm(25, 90, True), 1)
    (20.7, 25.0)
    >>> round(end_growth_mm(25, 45, False), 1), round(end_growth_mm(25, 90, False), 1)
    (25.0, 0.0)
    """
    if neighbour_too:
        return stand_off_mm * math.tan(math.radians(180 - interior_deg) / 2)
    return stand_off_mm / math.tan(math.radians(interior_deg))


def curve_growth_mm(stand_off_mm: float, turned_deg: float) -> float:
    """How much longer a trim on a curve is when it stands outside: d x the angle turned in radians.

    Inputs [mm, degrees], result [mm]. Source: the arc of a circle of radius R + d.

    >>> round(curve_growth_mm(25, 180), 1)
    78.5
    """
    return stand_off_mm * math.radians(turned_deg)


def mitre_deg(interior_deg: float) -> float:
    """How far off square each of two trims is cut where they meet: |180 - angle| / 2.

    Inputs and result [degrees]. Source: plane geometry; the mitre halves the angle.

    >>> mitre_deg(135), mitre_deg(270)
    (22.5, 45.0)
    """
    return abs(180 - interior_deg) / 2
