"""The start of a job, in the same words on every paper, and the note until an option is chosen."""

from quotegen import wording
from quotegen.model.days import FirstDay
from quotegen.model.safety import MethodStatement

AGREED, PROVISIONAL = "agreed", "provisional"
NOT_AGREED, NO_ROOM = "not agreed yet", "none yet: the forecast has no room for the job"


def first_day_words(first: FirstDay) -> str:
    """The first day and whether it is agreed, or why there is none.

    >>> from datetime import date
    >>> first_day_words(FirstDay(date(2026, 12, 3)))
    'provisional: Thu 3 Dec'
    """
    if first.day is None:
        return NO_ROOM if first.refused else NOT_AGREED
    return f"{standing_of(first)}: {wording.short_day(first.day)}"


def standing_of(first: FirstDay) -> str:
    """Whether the days are agreed or provisional."""
    return AGREED if first.agreed else PROVISIONAL


def unchosen_words(statement: MethodStatement) -> str:
    """The note on the build-up of a paper while the customer has not accepted an option."""
    if statement.accepted:
        return ""
    if len(statement.take_off.options) == 1:
        return "Nobody has accepted it yet."
    return "Nobody has chosen yet: this is the fullest option."
