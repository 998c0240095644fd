"""Cell addresses: column letters, and column numbers counted from 1."""

import re
from functools import cache

LAST_ROW = 1_048_576
LAST_COLUMN = 16_384
_ADDRESS = re.compile(r"\$?([A-Za-z]{1,3})\$?([0-9]{1,7})", re.ASCII)
_LETTERS = 26


@cache
def column_letters(number: int) -> str:
    """The letters of a column.

    >>> column_letters(1), column_letters(27), column_letters(16384)
    ('A', 'AA', 'XFD')
    """
    before, last = divmod(number - 1, _LETTERS)
    return (column_letters(before) if before else "") + chr(ord("A") + last)


@cache
def column_number(letters: str) -> int:
    """The number of the column with these letters; 0 where there is none.

    >>> column_number("A"), column_number("aa"), column_number("XFD"), column_number("XFE")
    (1, 27, 16384, 0)
    """
    number = 0
    for letter in letters.upper():
        number = number * _LETTERS + ord(letter) - ord("A") + 1
    return number if number <= LAST_COLUMN else 0


def position(address: str) -> tuple[int, int] | None:
    """The row and column of a cell address; None where it is not one.

    >>> position("AB12"), position("$C$3"), position("A0"), position("12")
    ((12, 28), (3, 3), None, None)
    """
    match = _ADDRESS.fullmatch(address)
    if match is None:
        return None
    row, column = int(match.group(2)), column_number(match.group(1))
    return (row, column) if column and 1 <= row <= LAST_ROW else None
