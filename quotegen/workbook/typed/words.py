"""Words of a list as people type them, and the words for what nobody knows."""

import difflib
import unicodedata
from collections.abc import Sequence

from quotegen.workbook.package.raw_cell import plain_text

_UNKNOWN = frozenset(
    ("dk", "dontknow", "donotknow", "notknown", "unknown", "notsure", "noidea", "nk")
)
_SHORT = {"y": "yes", "n": "no"}
_TOTALS = frozenset(("total", "totals", "subtotal", "grandtotal", "sum"))
_ALIKE = 0.75


def bare(text: str) -> str:
    """Letters and figures alone, in small letters: as two spellings of a word are compared.

    >>> bare(" Canted-Bay ") == bare("canted bay")
    True
    """
    normal = unicodedata.normalize("NFKC", text).casefold()
    return "".join(character for character in normal if character.isalnum())


def says_unknown(value: object) -> bool:
    """Whether a cell says that nobody knows, which is the same as leaving it blank.

    >>> says_unknown("don’t know"), says_unknown("?"), says_unknown("none")
    (True, True, False)
    """
    if not isinstance(value, str):
        return False
    text = plain_text(value)
    return bare(text) in _UNKNOWN or (bool(text) and not text.strip("? "))


def says_total(value: object) -> bool:
    """Whether a cell begins a row of sums rather than a row of its sheet."""
    return isinstance(value, str) and bare(value) in _TOTALS


def listed_word(text: str, choices: Sequence[str]) -> str | None:
    """The word of a list that was typed, whatever its capitals, spaces and hyphens.

    `y` and `n` are yes and no where the list has them.

    >>> listed_word("Canted-Bay", ("bow", "canted bay")), listed_word("N", ("yes", "no"))
    ('canted bay', 'no')
    """
    wanted = bare(text)
    found = next((choice for choice in choices if bare(choice) == wanted), None)
    if found is None and _SHORT.get(wanted) in choices:
        return _SHORT[wanted]
    return found if wanted else None


def nearest(text: str, choices: Sequence[str]) -> str | None:
    """The word of a list that was most likely meant, None where none is much like it.

    >>> nearest("cantd bay", ("bow", "canted bay")), nearest("maybe", ("yes", "no"))
    ('canted bay', None)
    """
    by_spelling = {bare(choice): choice for choice in choices}
    alike = difflib.get_close_matches(bare(text[:60]), by_spelling, 1, _ALIKE)
    return by_spelling[alike[0]] if alike else None
