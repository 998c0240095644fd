"""How the trims that meet at a corner are joined there."""

from enum import Enum, auto

from quotegen.model.choices import EdgeKind
from quotegen.model.roof import Corner, CornerKind

DRIPS = (EdgeKind.GUTTER_DRIP, EdgeKind.FREE_DRIP)
BATTENED = (*DRIPS, EdgeKind.RAISED)
"""The edges whose trims stand on a batten."""


class CornerWork(Enum):
    """What is done where two trims meet."""

    PIECE = auto()
    """A pre-formed corner laps over both."""
    MITRE = auto()
    """Both are cut to half the angle."""
    MADE_UP = auto()
    """A piece is cut from both on site and bandaged: a raised edge runs into a drip."""
    PLAIN = auto()
    """They end against one another."""


def corner_work(corner: Corner, before: EdgeKind, after: EdgeKind) -> CornerWork:
    """How two trims are joined at a corner. Source: common practice, no source."""
    if corner_piece(corner, before, after):
        return CornerWork.PIECE
    square = corner.kind is CornerKind.EXTERNAL
    if square and before in BATTENED and after in BATTENED:
        return CornerWork.MADE_UP
    walls_or_neither = (before is EdgeKind.WALL) is (after is EdgeKind.WALL)
    return CornerWork.MITRE if walls_or_neither and not square else CornerWork.PLAIN


def corner_piece(corner: Corner, before: EdgeKind, after: EdgeKind) -> str:
    """The pre-formed corner that fits, by item code; empty where none does.

    Pre-formed corners are right angles only: outside ones between two drips or two raised edges,
    inside ones between two walls. Source: common practice, no source.
    """
    if corner.kind is not CornerKind.EXTERNAL:
        return ""
    if before is EdgeKind.WALL and after is EdgeKind.WALL:
        return "corner_wall"
    if before in DRIPS and after in DRIPS:
        return "corner_drip"
    if before is EdgeKind.RAISED and after is EdgeKind.RAISED:
        return "corner_raised"
    return ""
