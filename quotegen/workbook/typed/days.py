"""A day typed as words or figures, always with the day first as in Britain."""

import re
from datetime import date

_IN_FIGURES = re.compile(r"([0-9]{1,2}) ?[/.-] ?([0-9]{1,2}) ?[/.-] ?([0-9]{4}|[0-9]{2})", re.ASCII)
_IN_WORDS = re.compile(
    r"(?:([a-z]{3,9}),? )?([0-9]{1,2})(?:st|nd|rd|th)?(?: of)?[ -]?([a-z]{3,9})"
    r"\.?,?[ -]?([0-9]{4})",
    re.ASCII,
)
_CENTURY, _LAST_OF_TWO = 2000, 99
_MONTHS = (
    "january", "february", "march", "april", "may", "june",
    "july", "august", "september", "october", "november", "december",
)  # fmt: skip
_WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


def typed_date(text: str) -> date | None:
    """The day a text names; None where it names none, or a weekday that it does not fall on.

    Two figures of a year are those of this century: nobody plans or dates a job in the last one.

    >>> typed_date("4/3/2026"), typed_date("Wed 4th March 2026")
    (datetime.date(2026, 3, 4), datetime.date(2026, 3, 4))
    >>> typed_date("4/3/26"), typed_date("Thursday 4 March 2026")
    (datetime.date(2026, 3, 4), None)
    """
    figures = _IN_FIGURES.fullmatch(text)
    if figures:
        day, month, year = (int(part) for part in figures.groups())
        return _day(year if year > _LAST_OF_TWO else _CENTURY + year, month, day)
    words = _IN_WORDS.fullmatch(text.casefold())
    if words is None:
        return None
    found = _day(int(words[4]), _place(words[3], _MONTHS), int(words[2]))
    if found and words[1] and found.isoweekday() != _place(words[1], _WEEKDAYS):
        return None
    return found


def _place(word: str, names: tuple[str, ...]) -> int:
    """The place, from 1, of the name that begins with a word; 0 where none does."""
    return next((place for place, name in enumerate(names, start=1) if name.startswith(word)), 0)


def _day(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None
