"""The day on which everything is looked up: that of the paper, or for the work that of the work."""

from contextvars import ContextVar
from datetime import date

DAY: ContextVar[date | None] = ContextVar("the day in force", default=None)
"""Set by `on_day` of `reference/life.py` alone."""


def day_in_force() -> date | None:
    """The day on which everything is looked up; None where none is set."""
    return DAY.get()
