"""The guard rails of the firm's platforms, and those figures against the published ones.

All heights are from the boards. Where the roof is stood on, the top rail is as far above its edge
as the firm's is above its boards, with as many rails under it as keep every gap small. The clear
gaps are worked out from the heights only: the thickness of the rails would make them smaller.
"""

import math
from collections.abc import Sequence
from itertools import pairwise

from quotegen import wording
from quotegen.model.access import GuardRails
from quotegen.model.settings import DefaultedSettings
from quotegen.problems import Place, Problem, problem
from quotegen.reference.loader import figure
from quotegen.units import Unit
from quotegen.working import Figure, chosen, derive

_STEP_MM = 10
"""Rails are put at whole centimetres."""


def planned_rails(settings: DefaultedSettings) -> GuardRails:
    """The rails of a platform all the work is done from, with the largest gap between them."""
    top = settings["rail_top_mm"].renamed("top guard rail")
    middle = settings["rail_middle_mm"].renamed("middle rail")
    return _with_gap(top, (middle,), settings)


def rails_above(rise_mm: Figure, settings: DefaultedSettings) -> GuardRails:
    """The rails of a platform beside a roof that is stood on, whose edge is that far above it."""
    top = derive(
        "top guard rail",
        Unit.MM,
        top_above_boards_mm,
        rise_mm=rise_mm,
        rail_mm=settings["rail_top_mm"],
    )
    toe_board = settings["rail_toe_board_mm"]
    gaps = derive(
        "gaps between toe board and top rail",
        Unit.EACH,
        gaps_needed,
        top_mm=top,
        toe_board_mm=toe_board,
        most_gap_mm=figure("work_at_height.guard_gap_mm"),
    )
    middle = [
        derive(
            "middle rail",
            Unit.MM,
            middle_rail_mm,
            top_mm=top,
            toe_board_mm=toe_board,
            gaps=gaps,
            number=chosen("number of the rail", number, Unit.EACH, "counted from below"),
        )
        for number in range(1, int(gaps.number))
    ]
    return _with_gap(top, tuple(middle), settings)


def _with_gap(top: Figure, middle: tuple[Figure, ...], settings: DefaultedSettings) -> GuardRails:
    toe_board = settings["rail_toe_board_mm"].renamed("toe board")
    gap = derive(
        "largest gap between the rails",
        Unit.MM,
        largest_gap_mm,
        top_mm=top,
        middle_mm=middle,
        toe_board_mm=toe_board,
    )
    return GuardRails(top, middle, toe_board, gap)


def check_rails(settings: DefaultedSettings, book: str) -> list[Problem]:
    """Every published figure the planned rails fall short of."""
    rails = planned_rails(settings)
    least_top, most_gap = (
        figure("work_at_height.guard_rail_mm"),
        figure("work_at_height.guard_gap_mm"),
    )
    least_toe = figure("work_at_height.toe_board_mm")
    short = [
        (rails.top_mm, rails.top_mm.number < least_top.number, "at least", least_top),
        (rails.largest_gap_mm, rails.largest_gap_mm.number > most_gap.number, "not over", most_gap),
        (rails.toe_board_mm, rails.toe_board_mm.number < least_toe.number, "at least", least_toe),
    ]
    return [
        _falls_short(book, rail, asked, limit) for rail, is_short, asked, limit in short if is_short
    ]


def _falls_short(book: str, rail: Figure, asked: str, limit: Figure) -> Problem:
    return problem(
        "guard-rails-short",
        Place(book, "Rates"),
        seen=f"{wording.exact(rail.number)} mm",
        words=rail.name,
        limit=f"{asked} {wording.exact(limit.number)} mm",
    )


def top_above_boards_mm(rise_mm: float, rail_mm: float) -> float:
    """Height of the top rail above the boards: edge of the roof above them + rail above that.

    Inputs and result [mm]. Source: Work at Height Regulations 2005, schedule 2: the rail is above
    the edge from which a person could fall.

    >>> top_above_boards_mm(300, 1000)
    1300
    """
    return rise_mm + rail_mm


def gaps_needed(top_mm: float, toe_board_mm: float, most_gap_mm: float) -> float:
    """The fewest equal gaps between toe board and top rail, none over the largest allowed.

    Inputs [mm], result [each]. A centimetre is kept for rails put at whole centimetres.

    >>> gaps_needed(1300, 150, 470), gaps_needed(1000, 150, 470)
    (3.0, 2.0)
    """
    return float(max(1, math.ceil((top_mm - toe_board_mm) / (most_gap_mm - _STEP_MM))))


def middle_rail_mm(top_mm: float, toe_board_mm: float, gaps: float, number: float) -> float:
    """Height of a middle rail, counted from below: spaced evenly, at a whole centimetre below.

    Inputs [mm, mm, each, each], result [mm].

    >>> middle_rail_mm(1300, 150, 3, 1), middle_rail_mm(1300, 150, 3, 2)
    (530.0, 910.0)
    """
    even = toe_board_mm + (top_mm - toe_board_mm) * number / gaps
    return float(even // _STEP_MM * _STEP_MM)


def largest_gap_mm(top_mm: float, middle_mm: Sequence[float], toe_board_mm: float) -> float:
    """The largest clear gap in a guard rail: between toe board, middle rails and top rail.

    Inputs: heights above the boards [mm]; rails out of order count as the gap they leave. Result
    [mm]. Source: Work at Height Regulations 2005, schedule 2: no gap over 470 mm.

    >>> largest_gap_mm(950, (475,), 150), largest_gap_mm(1300, (530, 910), 150)
    (475, 390)
    """
    at = sorted((toe_board_mm, *(min(middle, top_mm) for middle in middle_mm), top_mm))
    return max(above - below for below, above in pairwise(at))
