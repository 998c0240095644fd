"""The guard rails of the firm's platforms against the published figures.

The clear gaps are worked out from the heights only: the thickness of the rails would make them
smaller.
"""

from quotegen import wording
from quotegen.model.access import GuardRails
from quotegen.model.settings import DefaultedSettings
from quotegen.problems import Place, Problem, problem
from quotegen.reference.loader import figure
from quotegen.units import Unit
from quotegen.working import Figure, derive


def planned_rails(settings: DefaultedSettings) -> GuardRails:
    """The rails the firm's platforms have, with the largest gap between them."""
    top = settings["rail_top_mm"].renamed("top guard rail")
    middle = settings["rail_middle_mm"].renamed("middle rail")
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


def largest_gap_mm(top_mm: float, middle_mm: float, toe_board_mm: float) -> float:
    """The largest clear gap in a guard rail: between toe board, middle rail and top rail.

    Inputs: heights above the boards [mm]; rails out of order count as the gap they leave. Result
    [mm]. Source: Work at Height Regulations 2005, schedule 2: no gap over 470 mm.

    >>> largest_gap_mm(950, 475, 150), largest_gap_mm(950, 500, 150)
    (475, 450)
    """
    at = sorted((toe_board_mm, min(middle_mm, top_mm), top_mm))
    return max(at[1] - at[0], at[2] - at[1])
