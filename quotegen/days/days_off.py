"""The days when the crew does not work: weekends, bank holidays, days at agreed jobs."""

from collections.abc import Collection
from datetime import date, timedelta
from functools import cache

_SATURDAY = 5


def is_working_day(day: date, weekends: bool, taken: Collection[date]) -> bool:
    """Whether the crew is free on a day: no weekend unless worked, no bank holiday, not taken."""
    return (weekends or day.weekday() < _SATURDAY) and day not in taken and not bank_holiday(day)


def working_day(day: date, weekends: bool, taken: Collection[date] = ()) -> date:
    """The first day, from this one on, when the crew is free.

    >>> str(working_day(date(2026, 12, 5), False)), str(working_day(date(2026, 12, 25), True))
    ('2026-12-07', '2026-12-27')
    """
    while not is_working_day(day, weekends, taken):
        day += timedelta(days=1)
    return day


def weekday_before(day: date) -> date:
    """The last day before this one on which other firms work: no weekend, no bank holiday.

    >>> str(weekday_before(date(2026, 12, 7))), str(weekday_before(date(2026, 12, 29)))
    ('2026-12-04', '2026-12-24')
    """
    day -= timedelta(days=1)
    while not is_working_day(day, weekends=False, taken=()):
        day -= timedelta(days=1)
    return day


def bank_holiday(day: date) -> str:
    """The name of a bank holiday in England, empty on any other day.

    >>> bank_holiday(date(2026, 12, 25)), bank_holiday(date(2026, 12, 24))
    ('Christmas Day', '')
    """
    return _of_year(day.year).get(day, "")


@cache
def _of_year(year: int) -> dict[date, str]:
    # A sixth of a second to import: only where a day is planned.
    from holidays.countries.united_kingdom import UnitedKingdom  # noqa: PLC0415

    england = UnitedKingdom(subdiv="ENG", years=year)  # type: ignore[no-untyped-call]  # it has no hints
    return dict(england)
