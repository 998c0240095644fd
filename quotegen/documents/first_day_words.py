"""How every paper says when a job begins."""

from quotegen.documents.wording import Wording
from quotegen.model.days import FirstDay

AGREED, PROVISIONAL = "agreed", "provisional"
NOT_AGREED, NO_ROOM = "not agreed yet", "none yet: the forecast has no room for the job"


def first_day_words(first: FirstDay, wording: Wording) -> str:
    """The first day with whether it is agreed, or why there is none.

    >>> from datetime import date
    >>> first_day_words(FirstDay(date(2026, 12, 3)), Wording("en_GB", "GBP"))
    'provisional: Thu 3 Dec'
    """
    if first.day is None:
        return NO_ROOM if first.refused else NOT_AGREED
    return f"{standing_of(first)}: {wording.short_day(first.day)}"


def standing_of(first: FirstDay) -> str:
    """Whether the days are agreed or provisional."""
    return AGREED if first.agreed else PROVISIONAL
