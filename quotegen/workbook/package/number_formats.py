"""Number formats: whether a cell's number is a date, a time or a percentage.

Formats and their built-in numbers are those of ECMA-376 part 1, 18.8.30 and 18.8.31; 18.17.4
defines how dates are counted. A number is read as a date where its format shows one.
"""

import re
from datetime import date, datetime, time, timedelta

from msgspec import Struct

_BUILT_IN = {9: "0%", 10: "0.00%", 45: "mm:ss", 46: "[h]:mm:ss", 47: "mmss.0"}
_BUILT_IN |= dict.fromkeys(range(14, 18), "d") | dict.fromkeys(range(18, 22), "h:mm") | {22: "d h"}
_NOT_SHOWN = re.compile(r'".*?"|\[(?!hh?\]|mm?\]|ss?\])[^\]]*\]')
_DATE_SIGN = re.compile(r"(?<![_\\])[dmhysDMHYS]")
_LASTING = re.compile(
    r"\[hh?\](:mm(:ss(\.0*)?)?)?|\[mm?\](:ss(\.0*)?)?|\[ss?\](\.0*)?", re.IGNORECASE
)
_FROM_1900, _FROM_1904 = datetime(1899, 12, 30), datetime(1904, 1, 1)  # noqa: DTZ001 -- no zone
_LEAP_DAY_OF_1900 = 60
"""29 February 1900, which never was but which the count from 1900 includes."""
_MS_PER_DAY = 86_400_000
_ISO = re.compile(
    r"(?:([0-9]{4})-([0-9]{2})-([0-9]{2}))?T?"
    r"(?:([0-9]{2}):([0-9]{2})(?::([0-9]{2})(\.[0-9]{1,3})?[0-9]*)?)?Z?"
)

Moment = datetime | date | time | timedelta


class Style(Struct, frozen=True):
    """The kind of value a format shows a number as."""

    dated: bool = False
    lasting: bool = False
    percent: bool = False


PLAIN = Style()


def style_of(number: int, custom: dict[int, str]) -> Style:
    """The style of a format number; the workbook's own formats come before the built-in ones.

    >>> style_of(9, {}), style_of(14, {}).dated, style_of(200, {200: "dd/mm/yyyy"}).dated
    (Style(dated=False, lasting=False, percent=True), True, True)
    """
    code = custom.get(number, _BUILT_IN.get(number, ""))
    first = code.split(";")[0]
    dated = _DATE_SIGN.search(_NOT_SHOWN.sub("", first)) is not None
    return Style(dated, _LASTING.search(first) is not None, "%" in code)


def moment(serial: float, *, from_1904: bool, lasting: bool) -> Moment:
    """The date or time for a serial number; raises OverflowError or ValueError if there is none.

    >>> moment(46351, from_1904=False, lasting=False)
    datetime.datetime(2026, 11, 25, 0, 0)
    """
    if lasting:
        return timedelta(milliseconds=round(serial * _MS_PER_DAY))
    days, part = divmod(serial, 1)
    clock = timedelta(milliseconds=round(part * _MS_PER_DAY))
    if 0 <= serial < 1 and clock.days == 0:
        return (_FROM_1904 + clock).time()
    if 0 < serial < _LEAP_DAY_OF_1900 and not from_1904:
        days += 1
    return (_FROM_1904 if from_1904 else _FROM_1900) + timedelta(days=days) + clock


def iso_moment(text: str) -> Moment | None:
    """An ISO 8601 date, time or both; None if it is not one of these.

    >>> iso_moment("2026-11-25"), iso_moment("08:30"), iso_moment("25/11/2026")
    (datetime.date(2026, 11, 25), datetime.time(8, 30), None)
    """
    match = _ISO.fullmatch(text)
    if match is None or not any(match.groups()):
        return None
    year, month, day, hour, minute, second, part = match.groups()
    try:
        clock = time(
            int(hour or 0), int(minute or 0), int(second or 0), int(float(part or 0) * 1_000_000)
        )
        if year is None:
            return clock
        found = date(int(year), int(month), int(day))
        return found if hour is None else datetime.combine(found, clock)
    except ValueError:
        return None
