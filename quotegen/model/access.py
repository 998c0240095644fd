"""Access to the edge and protection against falls."""

from msgspec import Struct

from quotegen.model.choices import Access
from quotegen.reference.remarks import Remark
from quotegen.working import Figure


class LadderUse(Struct, frozen=True):
    """The longest task a ladder would be used for, by the clock.

    `refusals` are the reasons against it; if there are none, the ladder is allowed. `task` is its
    words.
    """

    task: str
    longest_min: Figure
    refusals: tuple[Remark, ...]


class GuardRails(Struct, frozen=True):
    """The guard rails of the firm's platforms: heights above the boards, and the largest gap."""

    top_mm: Figure
    middle_mm: Figure
    toe_board_mm: Figure
    largest_gap_mm: Figure


class AccessPlan(Struct, frozen=True):
    """How the crew works at the edge, with the reasons in order of control.

    `platform_m` is the length of edge to be protected, with so many `towers` where towers are used;
    `away_m2` is the roof area far enough from every open edge to stand on while edges are
    unguarded. `asked` is the access the row asks for; None if blank, when the more cautious choice
    is made. `ladder` is the verdict on a ladder, None where none was asked for with a reason.
    """

    chosen: Access
    asked: Access | None
    reasons: tuple[Remark, ...]
    platform_m: Figure
    towers: Figure
    away_m2: Figure
    ladder: LadderUse | None
