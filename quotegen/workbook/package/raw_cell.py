"""What the file holds in one cell, before it is read as anything."""

import unicodedata

from msgspec import Struct

_UNSEEN = "\u200b\u2060\ufeff\u00ad\u200e\u200f"


ERROR_VALUES = ("#NULL!", "#DIV/0!", "#VALUE!", "#REF!", "#NAME?", "#NUM!", "#N/A")


class Raw(Struct, frozen=True):
    """What the file holds in one cell.

    `formula` is empty for a typed value; `error` is the error value shown; `calculated` is False
    where a formula has no stored result; `percent` is True where the cell is shown in per cent;
    `merged` is True where the cell lies under another one that it was merged with; `damaged` where
    the file holds there what cannot stand in such a cell.
    """

    value: object
    formula: str = ""
    error: str = ""
    calculated: bool = True
    percent: bool = False
    merged: bool = False
    damaged: bool = False

    @property
    def blank(self) -> bool:
        """True when nothing can be seen in the cell."""
        if self.error or self.merged or self.damaged or not self.calculated:
            return False
        return self.value is None or (isinstance(self.value, str) and not plain_text(self.value))


def plain_text(value: str) -> str:
    """Text without what cannot be seen: outer space, no-break and zero-width spaces."""
    if value.isprintable():  # then every character is seen, and the only space is a plain one
        return " ".join(value.split())
    lines = value.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    return "\n".join(" ".join(_without_unseen(line).split()) for line in lines).strip()


def _without_unseen(line: str) -> str:
    return "".join(
        c for c in line if c == "\t" or (c not in _UNSEEN and unicodedata.category(c) != "Cc")
    )
