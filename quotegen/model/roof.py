"""The roof in plan: points, edges and corners, seen from above.

The wall line runs along the x axis from left to right as seen from the garden, x and y in mm;
y grows outwards from the wall. Edges go round clockwise as seen from above, beginning at the
left end of the wall.
"""

from dataclasses import dataclass
from enum import StrEnum

from quotegen.model.choices import EdgeKind, Shape
from quotegen.working import Figure

Point = tuple[float, float]


class CornerKind(StrEnum):
    """What a corner asks of the trims that meet there."""

    EXTERNAL = "external"
    INTERNAL = "internal"
    MITRED = "mitred"


@dataclass(frozen=True, slots=True)
class Edge:
    """One edge: its name on the plan, its kind, where it runs and how long it is.

    `curve` holds the points between start and end of a bowed edge; `length` is then the arc.
    """

    name: str
    kind: EdgeKind
    start: Point
    end: Point
    length: Figure
    curve: tuple[Point, ...] = ()


@dataclass(frozen=True, slots=True)
class Corner:
    """A corner between an edge and the next; `interior_deg` is measured inside the roof.

    External: 90 degrees out, where a pre-formed piece fits. Internal: over 180 degrees inside.
    Mitred: any other angle out.
    """

    at: Point
    before: str
    after: str
    interior_deg: float
    kind: CornerKind


@dataclass(frozen=True, slots=True)
class Outline:
    """The closed outline of a roof."""

    shape: Shape
    edges: tuple[Edge, ...]
    corners: tuple[Corner, ...]
    area_m2: Figure
    perimeter_mm: Figure

    @property
    def points(self) -> tuple[Point, ...]:
        """The outline as one ring of points, curves included, without the closing repeat."""
        return tuple(point for edge in self.edges for point in (edge.start, *edge.curve))

    def edges_of(self, *kinds: EdgeKind) -> tuple[Edge, ...]:
        """The edges of these kinds, in order."""
        return tuple(edge for edge in self.edges if edge.kind in kinds)
