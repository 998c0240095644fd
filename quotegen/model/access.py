"""How the crew gets to the edge and works there, and what keeps it from falling."""

from msgspec import Struct

from quotegen.model.choices import Access
from quotegen.reference.remarks import Remark
from quotegen.working import Figure


class LadderUse(Struct, frozen=True):
    """What a ladder would be worked from for: the longest task by the clock.

    `refusals` are what it is refused for; none of them, and it is allowed. `task` is its words.
    """

    task: str
    longest_min: Figure
    refusals: tuple[Remark, ...]


class GuardRails(Struct, frozen=True):
    """The guard rails of the firm's platforms, heights above the boards, and their largest gap."""

    top_mm: Figure
    middle_mm: Figure
    toe_board_mm: Figure
    largest_gap_mm: Figure


class AccessPlan(Struct, frozen=True):
    """How the crew works at the edge, and the reasons in the order of control.

    `platform_m` is the length of edge to be protected, by so many `towers` where it is towers;
    `away_m2` the roof far enough from every open edge to stand on while they are unguarded.
    `asked` is what the row asked for; None was blank, and the more cautious choice was made.
    `ladder` is how a ladder was judged, None where none was asked for with a reason.
    """

    chosen: Access
    asked: Access | None
    reasons: tuple[Remark, ...]
    platform_m: Figure
    towers: Figure
    away_m2: Figure
    ladder: LadderUse | None
