"""The joists that boards are laid on: where they are, counted from one end of the rows."""

from collections.abc import Iterator

from msgspec import Struct

from quotegen.model.enquiry import Enquiry
from quotegen.model.roof import BoardLayout
from quotegen.model.settings import Settings
from quotegen.working import Figure

SLACK_MM = 0.5


class Joists(Struct, frozen=True):
    """Where the joists are across the rows [mm]: the first, their centres, and the last."""

    first_mm: float
    centres_mm: float
    last_mm: float

    def up_to(self, reach_mm: float) -> float:
        """The furthest joist not beyond a reach.

        >>> [Joists(0.0, 400.0, 1000.0).up_to(reach) for reach in (799.0, 800.0, 999.0, 1200.0)]
        [400.0, 800.0, 800.0, 1000.0]
        """
        if reach_mm + SLACK_MM >= self.last_mm:
            return self.last_mm
        steps = (reach_mm - self.first_mm + SLACK_MM) // self.centres_mm
        return self.first_mm + steps * self.centres_mm

    def before(self, at_mm: float) -> float:
        """The joist before one."""
        return self.up_to(at_mm - 2 * SLACK_MM)

    def between(self, start_mm: float, end_mm: float) -> int:
        """How many joists lie between two places, both left out."""
        inside = (end_mm - SLACK_MM - self.first_mm) // self.centres_mm
        outside = (start_mm + SLACK_MM - self.first_mm) // self.centres_mm
        return max(0, int(inside - outside))

    def lines(self) -> Iterator[float]:
        """Where each joist is.

        >>> [*Joists(0.0, 400.0, 1000.0).lines()]
        [0.0, 400.0, 800.0, 1000.0]
        """
        at = self.first_mm
        while at < self.last_mm - SLACK_MM:
            yield at
            at += self.centres_mm
        yield self.last_mm


def joist_centres(enquiry: Enquiry, settings: Settings) -> Figure:
    """The joist centres as measured, or the firm's assumption if nobody has measured."""
    return enquiry.roof.joist_centres_mm or settings["joist_centres_mm"]


def joist_lines(layout: BoardLayout, centres_mm: float) -> tuple[float, ...]:
    """Where the joists under a laid deck stand, along its rows [mm]."""
    joists, _ = joists_under(layout, centres_mm)
    sign = -1 if layout.from_far_end else 1
    return tuple(sorted(sign * at for at in joists.lines()))


def joists_under(
    layout: BoardLayout, centres_mm: float
) -> tuple[Joists, list[tuple[float, float]]]:
    """The joists under a laid deck and the two ends of each piece along them [mm].

    Both are counted from the end the joists are counted from: from the far one they are negative.
    """
    along_wall = layout.pieces[0].along_wall
    starts = [piece.x_mm if along_wall else piece.y_mm for piece in layout.pieces]
    ends = [start + p.long_mm for start, p in zip(starts, layout.pieces, strict=True)]
    if layout.from_far_end:
        starts, ends = [-end for end in ends], [-start for start in starts]
    return Joists(min(starts), centres_mm, max(ends)), [*zip(starts, ends, strict=True)]
