"""The house words that several papers share: what the calculation says by key only.

What protects people stands in the safety rules instead (`rules.py`), with its source.
"""

from collections.abc import Mapping
from functools import cache

from quotegen.reference.house_rules import HOUSE
from quotegen.reference.remarks import RemarkKey, checked_words
from quotegen.tables import Key, Said, Table, by_key, tables

_KINDS = {
    "offer.toml": ("included", "undone"),
    "notes.toml": ("note", "waste", "shape", "together"),
    "work.toml": ("task", "agreed", "rate", "amount"),
}
"""The files and the kinds of words in each."""


class _Words(Table, frozen=True):
    """Words by their key."""

    key: Key
    text: Said


@cache
def house_words(file_name: str, kind: str, asked: type[RemarkKey]) -> Mapping[str, str]:
    """The words of one kind in a file, by the keys that are asked for."""
    found = tables(HOUSE / "words" / file_name, **dict.fromkeys(_KINDS[file_name], _Words))[kind]
    where = f"{file_name}, {kind}"
    return checked_words(where, {w.key: w.text for w in by_key(where, found).values()}, asked)
