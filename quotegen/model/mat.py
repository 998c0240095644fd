"""Glass mat as laid: strips in laying order, from the low edge up."""

from dataclasses import dataclass

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class MatStrip:
    """One strip: its number in laying order, the length it is cut to and the width it needs [mm].

    `corners` are where it lies on the plan, trimming left out. A filler is cut down from the roll.
    """

    number: int
    length_mm: float
    width_mm: float
    corners: tuple[Point, ...]
    filler: bool


@dataclass(frozen=True, slots=True)
class MatLayout:
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
