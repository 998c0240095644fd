"""Expansion joints of a roof too large or too long to lay in one piece.

Evenly spaced lines, square to the wall line and along it, divide the outline into pieces no larger
or longer than the trade lays at once. Of all such grids, the one with the least length of joint is
taken; the true line is agreed on site.
"""

import math
from itertools import pairwise

from shapely.geometry import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry

from quotegen.machine.once import once_a_job
from quotegen.model.roof import Outline, Ring
from quotegen.reference import loader as reference
from quotegen.takeoff.basis.job import outline_ring, total_length_m
from quotegen.units import Unit, mm2_to_m2, mm_to_m, whole_number
from quotegen.working import Figure, derive

_HAIR_MM = 1e-3
_TENTHS = 1


@once_a_job
def joint_lines(outline: Outline) -> Figure:
    """The length of every expansion joint of a roof [mm]; empty where it is laid in one piece."""
    return derive(
        "lines of expansion joints",
        Unit.MM,
        least_joints_mm,
        points=outline_ring(outline),
        one_piece_m2=reference.figure("flat_roofs.one_piece_m2"),
        one_run_m=reference.figure("flat_roofs.one_run_m"),
    )


def joint_lengths_mm(outline: Outline) -> tuple[float, ...]:
    """The same lengths as plain numbers [mm]."""
    found = joint_lines(outline).value
    return tuple(float(str(mm)) for mm in found) if isinstance(found, tuple) else ()


def joint_m(outline: Outline) -> Figure | None:
    """The total length of expansion joints [m]; None on a roof laid in one piece."""
    lines = joint_lines(outline)
    return derive("expansion joints", Unit.M, joined_m, lengths_mm=lines) if lines.value else None


def joined_m(lengths_mm: tuple[float, ...]) -> float:
    """Lengths of joints added up, in metres.

    Inputs [mm], result [m].

    >>> joined_m((6000.0, 5000.0))
    11.0
    """
    return total_length_m(lengths_mm)


def least_joints_mm(points: Ring, one_piece_m2: float, one_run_m: float) -> tuple[float, ...]:
    """The joints of least length that divide an outline into small and short enough pieces.

    Inputs [mm, m2, m], result [mm]. Limits: lines evenly spaced; not proved the least for lines
    placed otherwise. Source of the sizes: common practice, no source.

    >>> least_joints_mm(((0, 0), (12000, 0), (12000, 5000), (0, 5000)), 50, 10)
    (5000.0,)
    >>> least_joints_mm(((0, 0), (9000, 0), (9000, 5000), (0, 5000)), 50, 10)
    ()
    """
    roof = Polygon(points)
    left, low, right, high = roof.bounds
    columns, rows = _parts(mm_to_m(right - left), one_run_m), _parts(mm_to_m(high - low), one_run_m)
    pieces = _parts(mm2_to_m2((right - left) * (high - low)), one_piece_m2)
    found = []
    for down in range(rows, max(pieces, 2 * rows) + 1):
        for across in range(columns, max(pieces, 2 * columns) + 1):
            if _pieces_fit(roof, across, down, one_piece_m2, one_run_m):
                joints = _joints(roof, across, down)
                if not joints:
                    return joints
                found.append(joints)
                break
    return min(found, key=lambda lengths: (sum(lengths), len(lengths)))


def _parts(whole: float, most: float) -> int:
    return max(1, whole_number(whole / most))


def _steps(least: float, most: float, parts: int) -> list[float]:
    return [least + (most - least) * part / parts for part in range(parts + 1)]


def _pieces_fit(
    roof: Polygon, across: int, down: int, one_piece_m2: float, one_run_m: float
) -> bool:
    """Whether every piece of a grid is small enough and has no edge too long."""
    left, low, right, high = roof.bounds
    xs, ys = _steps(left, right, across), _steps(low, high, down)
    for x, next_x in pairwise(xs):
        for y, next_y in pairwise(ys):
            for piece in _polygons(roof.intersection(box(x, y, next_x, next_y))):
                small = mm2_to_m2(piece.area) <= one_piece_m2 + _HAIR_MM
                if not small or mm_to_m(_longest_edge_mm(piece)) > one_run_m + _HAIR_MM:
                    return False
    return True


def _polygons(shape: BaseGeometry) -> list[Polygon]:
    """The polygons of a shape: a cut along an edge also leaves lines and points."""
    parts = getattr(shape, "geoms", [shape])
    return [part for part in parts if isinstance(part, Polygon) and part.area]


def _longest_edge_mm(piece: Polygon) -> float:
    ring = list(piece.exterior.coords)
    return max(math.dist(start, end) for start, end in pairwise(ring))


def _joints(roof: Polygon, across: int, down: int) -> tuple[float, ...]:
    """The lengths of the lines of a grid inside the outline [mm]."""
    if across == down == 1:
        return ()
    left, low, right, high = roof.bounds
    inside = roof.buffer(-_HAIR_MM, join_style="mitre")
    upright = [((x, low), (x, high)) for x in _steps(left, right, across)[1:-1]]
    level = [((left, y), (right, y)) for y in _steps(low, high, down)[1:-1]]
    lengths = (inside.intersection(LineString(line)).length for line in (*upright, *level))
    return tuple(rounded for length in lengths if (rounded := round(length, _TENTHS)))
