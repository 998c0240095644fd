"""The days on which the firm does not work: the bank holidays of England."""

from datetime import date
from functools import cache


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
