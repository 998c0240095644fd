"""Deck boards as laid and as cut from whole sheets."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class BoardKind:
    """A sheet as it is bought: what of it covers, and the gap left where two meet.

    A tongued board loses its joint where it is ripped, so what is ripped off is not used again.
    """

    item: str
    length_mm: float
    width_mm: float
    joint_gap_mm: float
    tongued: bool


@dataclass(frozen=True, slots=True)
class BoardPiece:
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


@dataclass(frozen=True, slots=True)
class SheetPiece:
    """Where a numbered piece lies on its sheet [mm], from one corner."""

    number: int
    x_mm: float
    y_mm: float
    long_mm: float
    short_mm: float


@dataclass(frozen=True, slots=True)
class BoardLayout:
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
