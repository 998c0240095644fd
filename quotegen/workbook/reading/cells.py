"""One cell: from its stored content to a value or a problem.

A value is never guessed. Something like a number that is not one plain number, something like
metres in a millimetre column, a formula that was never calculated: each is a problem that names its
cell and says what to type. What people type is told by `workbook/typed`. “Don't know”, “dk” or “?”
is the same as a blank cell, except where words are asked for.
"""

import math
import re
import unicodedata
from collections.abc import Callable, Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from quotegen import wording
from quotegen.problems import Place, Problem, problem
from quotegen.units import MM_PER_M, Unit, as_decimal, round_half_up
from quotegen.workbook.package.raw_cell import Raw, plain_text
from quotegen.workbook.sheets.columns import AnyColumn, CellKind
from quotegen.workbook.typed.days import typed_date
from quotegen.workbook.typed.figures import imperial_mm, length_in, number_in, pounds_in
from quotegen.workbook.typed.words import listed_word, nearest, says_unknown

CellValue = str | float | Decimal | bool | date | tuple[str, ...]
LENGTH_STEP_MM = 0.1

_DUST_PLACES = 9
_LONGEST_SEEN = 60
_SEPARATORS = re.compile(r"[;,]")


class _RefusedError(Exception):
    """A refusal raised inside the functions below, with the code and details of its problem."""

    def __init__(self, code: str, **details: object) -> None:
        super().__init__(code)
        self.code = code
        self.details = details


def read_cell(
    raw: Raw, column: AnyColumn, place: Place, ref: str = ""
) -> CellValue | Problem | None:
    """The value of a cell as its column defines it, None when blank, or the problem with it.

    Lengths are floats in mm to 0.1 mm, money is Decimal pounds, numbers are floats, a choice is a
    member of its enumeration, several choices are a tuple, yes/no is True or False.

    >>> from quotegen.workbook.sheets.enquiries import ENQUIRIES
    >>> read_cell(Raw("2.4 m"), ENQUIRIES.width_mm, Place("jobs.xlsx"))
    2400.0
    >>> read_cell(Raw(2.4), ENQUIRIES.width_mm, Place("jobs.xlsx")).code
    'cell-unit-doubtful'
    """
    hidden = _hidden(raw, place, ref)
    if hidden or raw.blank or (column.kind is not CellKind.TEXT and _unknown(raw, column)):
        return hidden
    try:
        value: CellValue = _READINGS[column.kind](raw, column)
    except _RefusedError as refused:
        seen = in_brief(shown(raw.value))
        return problem(refused.code, place, seen, ref, **refused.details)
    return value


def _unknown(raw: Raw, column: AnyColumn) -> bool:
    """Whether nobody knows, and the column has no word of its own for that."""
    return says_unknown(raw.value) and not listed_word(str(raw.value), column.choices)


def _hidden(raw: Raw, place: Place, ref: str) -> Problem | None:
    """The reason the value of a cell cannot be seen, if there is one."""
    if raw.error:
        return problem("cell-error-value", place, raw.error, ref)
    if raw.merged:
        return problem("cell-merged", place, ref=ref)
    if raw.damaged:
        return problem("cell-damaged", place, in_brief(shown(raw.value)), ref)
    if not raw.calculated:
        return problem("cell-formula-not-calculated", place, in_brief(raw.formula), ref)
    return None


def shown(value: object) -> str:
    """A cell's value as displayed, on one line."""
    if isinstance(value, bool):
        return str(value).upper()
    if isinstance(value, datetime):
        return wording.typed_day(value)
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return " ".join(str(value).split())


def in_brief(text: str) -> str:
    """A text cut to a line of a message.

    >>> in_brief("about 2400")
    'about 2400'
    >>> len(in_brief("9" * 10_000))
    60
    """
    return text if len(text) <= _LONGEST_SEEN else f"{text[: _LONGEST_SEEN - 1]}…"


def _text(raw: Raw, _column: AnyColumn) -> str:
    value = raw.value
    return plain_text(value) if isinstance(value, str) else shown(value)


def _words(raw: Raw, column: AnyColumn) -> str:
    """Text no longer than a paper has room for."""
    text = _text(raw, column)
    if len(text) > column.longest:
        raise _RefusedError("cell-too-long", most=column.longest, length=len(text))
    return text


def _date(raw: Raw, column: AnyColumn) -> date:
    value = raw.value
    if isinstance(value, datetime):
        found = value.date()
    elif isinstance(value, date):
        found = value
    else:
        day = typed_date(plain_text(value)) if isinstance(value, str) else None
        if day is None:
            raise _RefusedError("cell-not-a-date")
        found = day
    if column.earliest and column.latest and not column.earliest <= found <= column.latest:
        raise _RefusedError(
            "cell-out-of-range",
            least=wording.typed_day(column.earliest),
            most=wording.typed_day(column.latest),
        )
    return found


def _number(raw: Raw, column: AnyColumn) -> float:
    return float(_ranged(_quantity(raw, column), column))


def _money(raw: Raw, column: AnyColumn) -> Decimal:
    return _ranged(_quantity(raw, column), column)


def _quantity(raw: Raw, column: AnyColumn) -> Decimal:
    """The number in a cell, or the amount; in a percentage column, as displayed.

    There a bare fraction of one is queried: 0.15 may mean 15 per cent.
    """
    in_percent = column.unit is Unit.PERCENT
    typed = _typed_number(raw.value)
    if typed is not None:
        if raw.percent and not in_percent:
            raise _RefusedError("cell-not-a-number")
        return typed * 100 if raw.percent else _not_a_fraction(typed, in_percent)
    text = _number_text(raw.value, "cell-not-a-number")
    found = pounds_in(text) if column.kind is CellKind.MONEY else number_in(text, column.unit)
    if found is None:
        raise _RefusedError("cell-not-a-number")
    return found if "%" in text else _not_a_fraction(found, in_percent)


def _not_a_fraction(number: Decimal, in_percent: bool) -> Decimal:
    if in_percent and 0 < abs(number) < 1:
        raise _RefusedError("cell-percent-doubtful", as_percent=wording.typed(float(number * 100)))
    return number


def _length(raw: Raw, column: AnyColumn) -> float:
    number, mm_in_unit = _typed_number(raw.value), None
    if number is None:
        number, mm_in_unit = _typed_length(_number_text(raw.value, "cell-not-a-length"))
    elif raw.percent:
        raise _RefusedError("cell-not-a-length")
    if mm_in_unit is None and 0 < abs(number) < as_decimal(column.doubt_below):
        raise _RefusedError("cell-unit-doubtful", as_mm=wording.typed(float(number) * MM_PER_M))
    length_mm = _ranged(number * (mm_in_unit or 1), column)
    return round_half_up(float(length_mm), LENGTH_STEP_MM)


def _typed_length(text: str) -> tuple[Decimal, Decimal | None]:
    found = length_in(text)
    if found is None:
        imperial = imperial_mm(text)
        if imperial is None:
            raise _RefusedError("cell-not-a-length")
        whole_mm = wording.typed(round_half_up(float(imperial), 1))
        raise _RefusedError("cell-in-feet", as_mm=whole_mm)
    return found


def _choice(raw: Raw, column: AnyColumn) -> str:
    return _chosen(_text(raw, column), column)


def _choices(raw: Raw, column: AnyColumn) -> tuple[str, ...]:
    parts = [part for part in _SEPARATORS.split(_text(raw, column)) if part.strip()]
    if not parts:
        raise _RefusedError("cell-not-a-choice", choices=", ".join(column.choices))
    return tuple(dict.fromkeys(_chosen(part, column) for part in parts))


def _yes_no(raw: Raw, column: AnyColumn) -> bool:
    if isinstance(raw.value, bool):
        return raw.value
    return _choice(raw, column) == column.choices[0]


def _chosen(text: str, column: AnyColumn) -> str:
    found = listed_word(text, column.choices)
    if found is not None:
        return found
    listed, near = ", ".join(column.choices), nearest(text, column.choices)
    if near is None:
        raise _RefusedError("cell-not-a-choice", choices=listed)
    raise _RefusedError("cell-nearly-a-choice", near=near, choices=listed)


def _typed_number(value: object) -> Decimal | None:
    """A number cell as Decimal, without binary rounding noise; None for other cells."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        return None
    return as_decimal(round(value, _DUST_PLACES)) if isinstance(value, float) else Decimal(value)


def _number_text(value: object, code: str) -> str:
    """Text that may be a number, in plain characters; fraction signs and powers are refused."""
    if not isinstance(value, str):
        raise _RefusedError(code)
    if any(unicodedata.category(character) in ("No", "Nl") for character in value):
        raise _RefusedError(code)
    return plain_text(unicodedata.normalize("NFKC", value)).replace("−", "-")


def _ranged(value: Decimal, column: AnyColumn) -> Decimal:
    if column.whole and value != value.to_integral_value():
        raise _RefusedError("cell-not-whole")
    if column.allowed and float(value) not in column.allowed:
        choices = ", ".join(wording.typed(figure) for figure in column.allowed)
        raise _RefusedError("cell-not-a-choice", choices=choices)
    least, most = column.least, column.most
    if (least is not None and value < as_decimal(least)) or (
        most is not None and value > as_decimal(most)
    ):
        raise _RefusedError(
            "cell-out-of-range", least=_bound(least), most=f"{_bound(most)} {column.unit}".strip()
        )
    return value


def _bound(limit: float | None) -> str:
    return "any" if limit is None else wording.typed(limit)


_READINGS: Mapping[CellKind, Callable[[Raw, AnyColumn], Any]] = {
    CellKind.TEXT: _words,
    CellKind.DATE: _date,
    CellKind.NUMBER: _number,
    CellKind.LENGTH: _length,
    CellKind.MONEY: _money,
    CellKind.CHOICE: _choice,
    CellKind.CHOICES: _choices,
    CellKind.YES_NO: _yes_no,
}
