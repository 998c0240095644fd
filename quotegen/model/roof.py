"""The roof: its outline, and the boards and glass mat laid on it."""

from enum import StrEnum

from msgspec import Struct

from quotegen.model.choices import EdgeKind, Shape
from quotegen.working import Figure

Point = tuple[float, float]
Ring = tuple[Point, ...]


class CornerKind(StrEnum):
    """How the trims are finished at a corner."""

    EXTERNAL = "external"
    INTERNAL = "internal"
    MITRED = "mitred"


class Edge(Struct, frozen=True):
    """One edge: its name on the plan, kind, course and length.

    `curve` holds the points between the start and end of a bowed edge; `length` is then the arc.
    """

    name: str
    kind: EdgeKind
    start: Point
    end: Point
    length: Figure
    curve: tuple[Point, ...] = ()


class Corner(Struct, frozen=True):
    """The corner between an edge and the next; `interior_deg` is the angle inside the roof.

    External: an outward corner of 90 degrees, which a pre-formed piece fits. Internal: over 180
    degrees inside. Mitred: any other outward angle.
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
        """The outline as a ring of points, curves included, without the closing repeat."""
        return tuple(point for edge in self.edges for point in (edge.start, *edge.curve))

    def edges_of(self, *kinds: EdgeKind) -> tuple[Edge, ...]:
        """The edges of these kinds, in order."""
        return tuple(edge for edge in self.edges if edge.kind in kinds)


class MatStrip(Struct, frozen=True):
    """One strip: its place in laying order, cut length and needed width [mm].

    `corners` are its position on the plan before trimming. A filler is cut down from the roll.
    """

    number: int
    length_mm: float
    width_mm: float
    corners: tuple[Point, ...]
    filler: bool


class MatLayout(Struct, frozen=True):
    """The strips of one layer.

    `short_mm` is how far one strip fewer would fall short, where that is little; otherwise 0.
    """

    along_low_edge: bool
    strips: tuple[MatStrip, ...]
    roll_mm: float
    short_mm: float

    @property
    def length_mm(self) -> float:
        """The length cut off the roll for one layer."""
        return sum(strip.length_mm for strip in self.strips)


class BoardKind(Struct, frozen=True):
    """A sheet as bought: the size it covers, and the gap left between two.

    A tongued board loses its joint where it is ripped, so the ripped-off part is not used again.
    """

    item: str
    length_mm: float
    width_mm: float
    joint_gap_mm: float
    tongued: bool


class BoardPiece(Struct, frozen=True):
    """One piece of board on the roof.

    Its row, the position of the corner nearest the wall and the left [mm], its size on the plan
    along the wall and out from it [mm], and whether its long edge runs along the wall.
    """

    number: int
    row: int
    x_mm: float
    y_mm: float
    wide_mm: float
    deep_mm: float
    along_wall: bool

    @property
    def long_mm(self) -> float:
        """The size across the joists."""
        return self.wide_mm if self.along_wall else self.deep_mm

    @property
    def short_mm(self) -> float:
        """The size along the joists."""
        return self.deep_mm if self.along_wall else self.wide_mm


class SheetPiece(Struct, frozen=True):
    """The position of a numbered piece on its sheet [mm], from one corner."""

    number: int
    x_mm: float
    y_mm: float
    long_mm: float
    short_mm: float


class BoardLayout(Struct, frozen=True):
    """The pieces of one deck and the sheets they are cut from.

    `least` is the number of sheets that the pieces need by area alone; a layout that meets it is
    the best possible. Joists are counted from the left or, with `from_far_end`, from the other end
    of the rows.
    """

    kind: BoardKind
    pieces: tuple[BoardPiece, ...]
    sheets: tuple[tuple[SheetPiece, ...], ...]
    least: int
    staggered: bool
    from_far_end: bool

    @property
    def best(self) -> bool:
        """Whether no other cutting of these pieces can take fewer sheets."""
        return len(self.sheets) == self.least
