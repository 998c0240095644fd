"""The roof: its outline, and the deck boards and glass mat laid on it."""

from enum import StrEnum

from msgspec import Struct

from quotegen.model.choices import EdgeKind, Shape
from quotegen.working import Figure

Point = tuple[float, float]


class CornerKind(StrEnum):
    """What a corner asks of the trims that meet there."""

    EXTERNAL = "external"
    INTERNAL = "internal"
    MITRED = "mitred"


class Edge(Struct, frozen=True):
    """One edge: its name on the plan, its kind, where it runs and how long it is.

    `curve` holds the points between start and end of a bowed edge; `length` is then the arc.
    """

    name: str
    kind: EdgeKind
    start: Point
    end: Point
    length: Figure
    curve: tuple[Point, ...] = ()


class Corner(Struct, frozen=True):
    """A corner between an edge and the next; `interior_deg` is measured inside the roof.

    External: 90 degrees out, where a pre-formed piece fits. Internal: over 180 degrees inside.
    Mitred: any other angle out.
    """

    at: Point
    before: str
    after: str
    interior_deg: float
    kind: CornerKind


class Outline(Struct, frozen=True):
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


class MatStrip(Struct, frozen=True):
    """One strip: its number in laying order, the length it is cut to and the width it needs [mm].

    `corners` are where it lies on the plan, trimming left out. A filler is cut down from the roll.
    """

    number: int
    length_mm: float
    width_mm: float
    corners: tuple[Point, ...]
    filler: bool


class MatLayout(Struct, frozen=True):
    """The strips of one layer.

    `short_mm` is by how much one strip fewer would miss, where that is little; otherwise 0.
    """

    along_low_edge: bool
    strips: tuple[MatStrip, ...]
    roll_mm: float
    short_mm: float

    @property
    def length_mm(self) -> float:
        """What is cut off the roll for one layer."""
        return sum(strip.length_mm for strip in self.strips)


class BoardKind(Struct, frozen=True):
    """A sheet as it is bought: what of it covers, and the gap left where two meet.

    A tongued board loses its joint where it is ripped, so what is ripped off is not used again.
    """

    item: str
    length_mm: float
    width_mm: float
    joint_gap_mm: float
    tongued: bool


class BoardPiece(Struct, frozen=True):
    """One piece of board on the roof: its row, where its corner nearest the wall and the left
    stands [mm], its size on the plan along the wall and out from it [mm], and whether its long
    edge runs along the wall."""

    number: int
    row: int
    x_mm: float
    y_mm: float
    wide_mm: float
    deep_mm: float
    along_wall: bool

    @property
    def long_mm(self) -> float:
        """Its size across the joists."""
        return self.wide_mm if self.along_wall else self.deep_mm

    @property
    def short_mm(self) -> float:
        """Its size along the joists."""
        return self.deep_mm if self.along_wall else self.wide_mm


class SheetPiece(Struct, frozen=True):
    """Where a numbered piece lies on its sheet [mm], from one corner."""

    number: int
    x_mm: float
    y_mm: float
    long_mm: float
    short_mm: float


class BoardLayout(Struct, frozen=True):
    """The pieces of one deck and the sheets they are cut from.

    `least` is the number of sheets the area of the pieces alone needs; where it is met no other
    way of cutting them takes fewer. Joists are counted from the left or, `from_far_end`, from the
    other end of the rows.
    """

    kind: BoardKind
    pieces: tuple[BoardPiece, ...]
    sheets: tuple[tuple[SheetPiece, ...], ...]
    least: int
    staggered: bool
    from_far_end: bool

    @property
    def best(self) -> bool:
        """True when no way of cutting these pieces takes fewer sheets."""
        return len(self.sheets) == self.least
