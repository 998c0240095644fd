"""A picture of each shape: its outline from above, the letter of each size, where to stand.

Points are in a box 100 wide and 100 high, from its top left corner; the house wall is along the top
and whoever measures stands below, in the garden, looking at it.
"""

import math
from collections.abc import Mapping

from msgspec import Struct

from quotegen.model.choices import Shape, Size

PicturePoint = tuple[float, float]

WALL_Y = 18.0
_PAST_MIDDLE = 0.6
WALL_WORDS = "house wall"
STAND: PicturePoint = (50.0, 92.0)
STAND_WORDS = "stand here, facing the house"
SIZE_LETTERS: Mapping[Size, str] = {
    Size.WIDTH: "A",
    Size.PROJECTION: "B",
    Size.FRONT_WIDTH: "C",
    Size.LEFT_SET_BACK: "D",
    Size.NOTCH_WIDTH: "E",
    Size.NOTCH_DEPTH: "F",
}
"""The letter of each size in the pictures and on the visit sheet."""


class Measured(Struct, frozen=True):
    """A size as it is measured: from where to where, with its letter or the number of an edge."""

    letter: str
    start: PicturePoint
    end: PicturePoint

    @property
    def named_at(self) -> PicturePoint:
        """Where the letter stands: a little past the middle, so that two that cross keep apart."""
        (x, y), (to_x, to_y) = self.start, self.end
        return x + (to_x - x) * _PAST_MIDDLE, y + (to_y - y) * _PAST_MIDDLE


class ShapePicture(Struct, frozen=True):
    """The outline of a shape, closed, and what is measured on it."""

    outline: tuple[PicturePoint, ...]
    measured: tuple[Measured, ...]


def _of(size: Size, start: PicturePoint, end: PicturePoint) -> Measured:
    return Measured(SIZE_LETTERS[size], start, end)


def _edges(*corners: PicturePoint) -> ShapePicture:
    """A shape whose edges are numbered, as they are entered on the Outline sheet."""
    pairs = zip(corners, (*corners[1:], corners[0]), strict=True)
    sides = (Measured(str(n), start, end) for n, (start, end) in enumerate(pairs, start=1))
    return ShapePicture(corners, tuple(sides))


def _bow(parts: int = 24) -> tuple[PicturePoint, ...]:
    """The wall line and a curve below it."""
    angles = (math.pi * part / parts for part in range(parts + 1))
    return tuple((50 + 40 * math.cos(a), WALL_Y + 38 * math.sin(a)) for a in angles)


SHAPE_PICTURES: Mapping[Shape, ShapePicture] = {
    Shape.RECTANGLE: ShapePicture(
        ((10, WALL_Y), (90, WALL_Y), (90, 72), (10, 72)),
        (_of(Size.WIDTH, (10, 30), (90, 30)), _of(Size.PROJECTION, (76, WALL_Y), (76, 72))),
    ),
    Shape.CANTED_BAY: ShapePicture(
        ((10, WALL_Y), (90, WALL_Y), (68, 66), (32, 66)),
        (
            _of(Size.WIDTH, (10, 28), (90, 28)),
            _of(Size.PROJECTION, (40, WALL_Y), (40, 66)),
            _of(Size.FRONT_WIDTH, (32, 73), (68, 73)),
            _of(Size.LEFT_SET_BACK, (10, 73), (32, 73)),
        ),
    ),
    Shape.FIVE_FACET_BAY: _edges(
        (10, WALL_Y), (90, WALL_Y), (84, 44), (66, 68), (34, 68), (16, 44)
    ),
    Shape.BOW: ShapePicture(
        _bow(),
        (_of(Size.WIDTH, (10, 28), (90, 28)), _of(Size.PROJECTION, (50, WALL_Y), (50, 56))),
    ),
    Shape.L_SHAPE: ShapePicture(
        ((10, WALL_Y), (90, WALL_Y), (90, 44), (58, 44), (58, 74), (10, 74)),
        (
            _of(Size.WIDTH, (10, 28), (90, 28)),
            _of(Size.PROJECTION, (24, WALL_Y), (24, 74)),
            _of(Size.NOTCH_WIDTH, (58, 52), (90, 52)),
            _of(Size.NOTCH_DEPTH, (68, 44), (68, 74)),
        ),
    ),
    Shape.MEASURED: _edges((10, WALL_Y), (90, WALL_Y), (90, 50), (64, 72), (10, 60)),
}
