"""Glass mat laid out in strips on the real surface, from the low edge up.

The surface is the outline grown at each edge by what is turned up or hangs over there. Strips lie
side by side with their laps, each as long as the surface is wide there and a trimming allowance;
the last is a filler cut down from the roll. Of the two directions the one with fewer strips is
laid, for fewer laps, unless the other saves enough mat to be worth them.
"""

import math
from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise

from msgspec import Struct
from shapely import affinity, union_all
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from quotegen.model.roof import MatLayout, MatStrip, Point
from quotegen.units import mm2_to_m2

_SLIVER_MM = 1.0
_HAIR_MM = 0.01
Sides = tuple[tuple[tuple[Point, ...], float], ...]


class MatRules(Struct, frozen=True):
    """The roll and how it is laid [mm]; a miss up to `near_mm` is worth a word.

    `worth_more_pct` is the least saving of mat for which more strips are laid [%].
    """

    roll_mm: float
    lap_mm: float
    trim_mm: float
    near_mm: float
    worth_more_pct: float


@lru_cache(maxsize=64)
def laminated_surface(sides: Sides) -> Polygon:
    """The outline laid flat with what is turned up or hangs over at each edge.

    `sides` are the edges in order, each as its points and the width of the strip beyond it [mm].
    They are put together on a grid as fine as a hair, so that rounding leaves no slit between them.
    """
    ring = [point for points, _ in sides for point in points[:-1]]
    shapes: list[BaseGeometry] = [Polygon(ring)]
    for points, width in sides:
        if width <= 0:
            continue
        for start, end in pairwise(points):
            shapes.append(_flap(start, end, width))
    return max(_polygons(union_all(shapes, grid_size=_HAIR_MM)), key=lambda part: part.area)


@lru_cache(maxsize=256)
def lay_mat(sides: Sides, falls_to_rad: float, rules: MatRules) -> MatLayout:
    """The strips of one layer, in laying order; across the fall from the better end.

    Where both ways take as many strips the one with less mat is laid, and along the low edge where
    that is the same too.

    `falls_to_rad` is the direction in which the roof falls, turned clockwise from straight out
    from the wall.
    """
    surface = laminated_surface(sides)
    ways = [
        _in_direction(surface, falls_to_rad, rules, along=True),
        _in_direction(surface, falls_to_rad + math.pi / 2, rules, along=False),
        _in_direction(surface, falls_to_rad - math.pi / 2, rules, along=False),
    ]
    fewest = min(ways, key=lambda way: (len(way.strips), way.length_mm))
    least = min(ways, key=lambda way: (way.length_mm, len(way.strips)))
    worth_mm = fewest.length_mm * rules.worth_more_pct / 100
    more = len(least.strips) > len(fewest.strips)
    saved_mm = fewest.length_mm - least.length_mm
    return least if more and saved_mm > max(worth_mm, _SLIVER_MM) else fewest


def laps_m2(layout: MatLayout, sides: Sides) -> float:
    """Area of a surface that lies under two strips: neighbours' overlap, trimming left out [m2]."""
    surface = laminated_surface(sides)
    strips = [Polygon(strip.corners) for strip in layout.strips]
    overlaps = (
        one.intersection(other).intersection(surface).area
        for i, one in enumerate(strips)
        for other in strips[i + 1 :]
    )
    return mm2_to_m2(sum(overlaps))


def _in_direction(
    surface: Polygon, falls_to_rad: float, rules: MatRules, *, along: bool
) -> MatLayout:
    """Strips that run one way: turned so that they lie along x, the low edge at the far side."""
    turned = affinity.rotate(surface, -falls_to_rad, origin=(0, 0), use_radians=True)
    _, near, _, far = turned.bounds
    pitch = rules.roll_mm - rules.lap_mm
    strips: list[MatStrip] = []
    start = far
    short = 0.0
    while start - near > _SLIVER_MM:
        width = min(rules.roll_mm, start - near)
        for part in _bands(turned, start - width, start):
            strips.append(_strip(len(strips) + 1, part, width, falls_to_rad, rules))
        if start - rules.roll_mm <= near + _SLIVER_MM:
            break
        start -= pitch
    last = strips[-1].width_mm
    if len(strips) > 1 and last - rules.lap_mm <= rules.near_mm:
        short = last - rules.lap_mm
    return MatLayout(along, tuple(strips), rules.roll_mm, short)


def _bands(turned: Polygon, low: float, high: float) -> Iterator[Polygon]:
    left, _, right, _ = turned.bounds
    band = turned.intersection(box(left, low, right, high))
    for part in sorted(_polygons(band), key=lambda p: p.bounds[0]):
        if part.area > _SLIVER_MM:
            yield part


def _strip(
    number: int, part: Polygon, width: float, falls_to_rad: float, rules: MatRules
) -> MatStrip:
    left, low, right, high = part.bounds
    corners = affinity.rotate(
        box(left, low, right, high),
        falls_to_rad,
        origin=(0, 0),
        use_radians=True,
    ).exterior.coords
    return MatStrip(
        number,
        right - left + 2 * rules.trim_mm,
        width,
        tuple((float(x), float(y)) for x, y in list(corners)[:4]),
        width < rules.roll_mm - _SLIVER_MM,
    )


def _flap(start: Point, end: Point, width: float) -> Polygon:
    """The strip beyond an edge that runs clockwise as seen from above, laid flat."""
    length = math.hypot(end[0] - start[0], end[1] - start[1])
    along_x, along_y = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    corners = (0.0, 0.0), (length, 0.0), (length, width), (0.0, width)
    return Polygon(
        [
            (start[0] + on * along_x + out * along_y, start[1] + on * along_y - out * along_x)
            for on, out in corners
        ]
    )


def _polygons(shape: BaseGeometry) -> list[Polygon]:
    parts = getattr(shape, "geoms", [shape])
    return [part for part in parts if isinstance(part, Polygon) and not part.is_empty]
