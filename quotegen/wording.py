"""Money, dates, numbers and plurals in the language and currency of the firm's papers.

The same figure is written many times in the papers of a job, and finding out how a language
writes it is dear, so the last few thousand are kept; a number is known by its digits.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import lru_cache

from babel import Locale, UnknownLocaleError
from babel.dates import format_date
from babel.numbers import (
    format_currency,
    format_decimal,
    format_percent,
    is_currency,
)

from quotegen.model.settings import DefaultedSettings
from quotegen.problems import Place, Problem, problem
from quotegen.units import as_decimal


@dataclass(frozen=True, slots=True)
class Wording:
    """How figures are written; `locale` as in `en_GB`, `currency` by its three letters."""

    locale: str
    currency: str

    @classmethod
    def of(cls, settings: DefaultedSettings) -> "Wording":
        """The wording the Business sheet asks for."""
        return cls(settings.text("locale"), settings.text("currency"))

    @property
    def language(self) -> str:
        """The language tag for the document, such as en-GB."""
        return self.locale.replace("_", "-")

    def money(self, amount: Decimal) -> str:
        """An amount with its currency and two places.

        >>> Wording("en_GB", "GBP").money(Decimal("1234.5"))
        '£1,234.50'
        """
        return _money(str(amount), self.currency, self.locale)

    def change(self, amount: Decimal) -> str:
        """An amount by which something changes, with its sign.

        >>> Wording("en_GB", "GBP").change(Decimal("4.2"))
        '+£4.20'
        """
        return f"+{self.money(amount)}" if amount > 0 else self.money(amount)

    def short_day(self, day: date) -> str:
        """A date with its day of the week, short.

        >>> Wording("en_GB", "GBP").short_day(date(2026, 12, 3))
        'Thu 3 Dec'
        """
        return _day(day, "EEE d MMM", self.locale)

    def long_day(self, day: date) -> str:
        """A date with its day of the week, in full.

        >>> Wording("en_GB", "GBP").long_day(date(2026, 12, 3))
        'Thursday 3 December 2026'
        """
        return _day(day, "EEEE d MMMM y", self.locale)

    def date(self, day: date) -> str:
        """A date in words.

        >>> Wording("en_GB", "GBP").date(date(2026, 11, 25))
        '25 November 2026'
        """
        return _day(day, "long", self.locale)

    def number(self, value: float, places: int = 0) -> str:
        """A number with exactly so many decimal places.

        >>> Wording("en_GB", "GBP").number(1.08, 2), Wording("en_GB", "GBP").number(2400)
        ('1.08', '2,400')
        """
        pattern = "#,##0" + ("." + "0" * places if places else "")
        return _number(str(as_decimal(value)), pattern, self.locale)

    def plain(self, value: float) -> str:
        """A number with only the decimal places it needs, two at the most.

        >>> Wording("en_GB", "GBP").plain(1.5), Wording("en_GB", "GBP").plain(4.0)
        ('1.5', '4')
        """
        return _number(str(as_decimal(value)), "#,##0.##", self.locale)

    def bare_mm(self, length_mm: float) -> str:
        """A length to the whole millimetre, without unit or grouping, as on a drawing.

        >>> Wording("en_GB", "GBP").bare_mm(848.53)
        '849'
        """
        return _number(str(as_decimal(length_mm)), "0", self.locale)

    def mm(self, length_mm: float) -> str:
        """A length to the whole millimetre, with its unit.

        >>> Wording("en_GB", "GBP").mm(2400.0)
        '2400 mm'
        """
        return f"{self.bare_mm(length_mm)} mm"

    def percent(self, hundredths: float) -> str:
        """A rate given in per cent.

        >>> Wording("en_GB", "GBP").percent(20.0)
        '20%'
        """
        return _percent(str(as_decimal(hundredths)), "#,##0.##%", self.locale)

    def count(self, value: float, one: str, other: str) -> str:
        """So many of a thing, with the word in its right form.

        >>> Wording("en_GB", "GBP").count(1.0, "year", "years")
        '1 year'
        >>> Wording("en_GB", "GBP").count(1.5, "day", "days")
        '1.5 days'
        """
        form = _plural(str(as_decimal(value)), self.locale)
        return f"{self.plain(value)} {one if form == 'one' else other}"


_kept = lru_cache(maxsize=4096)


@_kept
def _money(digits: str, currency: str, locale: str) -> str:
    return format_currency(Decimal(digits), currency, locale=locale)


@_kept
def _number(digits: str, pattern: str, locale: str) -> str:
    return format_decimal(Decimal(digits), format=pattern, locale=locale)


@_kept
def _percent(digits: str, pattern: str, locale: str) -> str:
    return format_percent(Decimal(digits) / 100, format=pattern, locale=locale)


@_kept
def _plural(digits: str, locale: str) -> str:
    return Locale.parse(locale).plural_form(Decimal(digits).normalize())


@_kept
def _day(day: date, pattern: str, locale: str) -> str:
    return format_date(day, pattern, locale=locale)


def check_wording(settings: DefaultedSettings, book: str) -> list[Problem]:
    """Whether the firm's language and currency are known; unknown ones stop every paper."""
    locale, currency = settings.text("locale"), settings.text("currency")
    place = Place(book, "Business")
    problems = []
    try:
        Locale.parse(locale)
    except (ValueError, UnknownLocaleError):
        problems.append(problem("language-unknown", place, seen=locale))
    if not is_currency(currency):
        problems.append(problem("currency-unknown", place, seen=currency))
    return problems
