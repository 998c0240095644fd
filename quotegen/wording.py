"""Figures as people read them: money, dates, numbers, plurals.

The papers are British English about British law and money, so there is one style and no option.
Everything people see is written by these functions, warnings and safety lines included.

The same figure is written many times in the papers of a job and formatting it is slow, so the last
few thousand results are kept, keyed by the number's digits.
"""

import datetime
from collections.abc import Iterator
from contextlib import contextmanager
from decimal import ROUND_HALF_UP, Decimal, localcontext
from functools import lru_cache

from quotegen.units import as_decimal

LANGUAGE = "en-GB"
"""The language tag of the papers."""

CURRENCY = "GBP"
"""The currency of every amount (ISO 4217)."""

_LOCALE = "en_GB"
_KEPT = 4096


def money(amount: Decimal) -> str:
    """An amount in pounds, to two places.

    >>> money(Decimal("1234.5"))
    '£1,234.50'
    """
    return _money(str(amount))


def change(amount: Decimal) -> str:
    """A change in an amount, with its sign.

    >>> change(Decimal("4.2"))
    '+£4.20'
    """
    return f"+{money(amount)}" if amount > 0 else money(amount)


def short_day(day: datetime.date) -> str:
    """A short date with its weekday.

    >>> short_day(datetime.date(2026, 12, 3))
    'Thu 3 Dec'
    """
    return _day(day, "EEE d MMM")


def long_day(day: datetime.date) -> str:
    """A full date with its weekday.

    >>> long_day(datetime.date(2026, 12, 3))
    'Thursday 3 December 2026'
    """
    return _day(day, "EEEE d MMMM y")


def date(day: datetime.date) -> str:
    """A date in words.

    >>> date(datetime.date(2026, 11, 25))
    '25 November 2026'
    """
    return _day(day, "long")


def typed_day(day: datetime.date) -> str:
    """A date as typed into a cell.

    >>> typed_day(datetime.date(2026, 12, 3))
    '03/12/2026'
    """
    return _day(day, "dd/MM/y")


def number(value: float, places: int = 0) -> str:
    """A number to a fixed number of decimal places.

    >>> number(1.125, 2), number(2400)
    ('1.13', '2,400')
    """
    return _number(str(as_decimal(value)), "#,##0" + ("." + "0" * places if places else ""))


def plain(value: float) -> str:
    """A number to two decimal places at most, without trailing zeros.

    >>> plain(1.5), plain(4.0)
    ('1.5', '4')
    """
    return _number(str(as_decimal(value)), "#,##0.##")


def exact(value: float) -> str:
    """A number as typed or published, to six decimal places at most.

    >>> exact(0.155), exact(140.0), exact(12500)
    ('0.155', '140', '12,500')
    """
    return _number(str(as_decimal(value)), "#,##0.######")


def typed(value: float) -> str:
    """A number as typed into a cell, without a thousands separator.

    >>> typed(2400.0), typed(0.5)
    ('2400', '0.5')
    """
    return _number(str(as_decimal(value)), "0.######")


def year(value: float) -> str:
    """A year.

    >>> year(1999.0)
    '1999'
    """
    return _number(str(as_decimal(value)), "0")


def bare_mm(length_mm: float) -> str:
    """A length to the whole millimetre, without unit or grouping, as on a drawing.

    >>> bare_mm(848.53)
    '849'
    """
    return _number(str(as_decimal(length_mm)), "0")


def mm(length_mm: float) -> str:
    """A length to the whole millimetre, with its unit.

    >>> mm(2400.0)
    '2400 mm'
    """
    return f"{bare_mm(length_mm)} mm"


def percent(hundredths: float) -> str:
    """A rate in per cent.

    >>> percent(20.0)
    '20%'
    """
    return _percent(str(as_decimal(hundredths)))


def count(value: float, one: str, other: str) -> str:
    """A number with its noun, singular or plural.

    >>> count(1.0, "year", "years")
    '1 year'
    >>> count(1.5, "day", "days")
    '1.5 days'
    """
    return f"{plain(value)} {one if _plural(str(as_decimal(value))) == 'one' else other}"


# Babel is imported by the first figure written: `check` of a sound workbook writes none.


@contextmanager
def _halves_up() -> Iterator[None]:
    """Round a half up, as on paper; Babel follows the decimal context, which rounds to even."""
    with localcontext() as context:
        context.rounding = ROUND_HALF_UP
        yield


@lru_cache(_KEPT)
def _money(digits: str) -> str:
    from babel.numbers import format_currency  # noqa: PLC0415

    with _halves_up():
        return format_currency(Decimal(digits), CURRENCY, locale=_LOCALE)


@lru_cache(_KEPT)
def _number(digits: str, pattern: str) -> str:
    from babel.numbers import format_decimal  # noqa: PLC0415

    with _halves_up():
        return format_decimal(Decimal(digits), format=pattern, locale=_LOCALE)


@lru_cache(_KEPT)
def _percent(digits: str) -> str:
    from babel.numbers import format_percent  # noqa: PLC0415

    with _halves_up():
        return format_percent(Decimal(digits) / 100, format="#,##0.##%", locale=_LOCALE)


@lru_cache(_KEPT)
def _plural(digits: str) -> str:
    from babel import Locale  # noqa: PLC0415

    return Locale.parse(_LOCALE).plural_form(Decimal(digits).normalize())


@lru_cache(_KEPT)
def _day(day: datetime.date, pattern: str) -> str:
    from babel.dates import format_date  # noqa: PLC0415

    return format_date(day, pattern, locale=_LOCALE)
