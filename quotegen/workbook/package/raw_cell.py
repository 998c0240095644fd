"""The content of one cell as stored in the file, before interpretation."""

import unicodedata

from msgspec import Struct

_UNSEEN = "\u200b\u2060\ufeff\u00ad\u200e\u200f"


ERROR_VALUES = ("#NULL!", "#DIV/0!", "#VALUE!", "#REF!", "#NAME?", "#NUM!", "#N/A")


class Raw(Struct, frozen=True):
    """The content of one cell as stored in the file.

    `formula` is empty for a typed value; `error` is the error value shown; `calculated` is False
    for a formula without a stored result; `percent` is True for a percentage format; `merged` is
    True where the cell is hidden under another it was merged with; `damaged` is True where the file
    stores content that such a cell cannot have.
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
        """Whether nothing is visible in the cell."""
        if self.error or self.merged or self.damaged or not self.calculated:
            return False
        return self.value is None or (isinstance(self.value, str) and not plain_text(self.value))


def plain_text(value: str) -> str:
    """Text without invisible characters: outer space, no-break and zero-width spaces."""
    if value.isprintable():  # every character is then visible, and the only space is a plain one
        return " ".join(value.split())
    lines = value.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    return "\n".join(" ".join(_without_unseen(line).split()) for line in lines).strip()


def _without_unseen(line: str) -> str:
    return "".join(
        c for c in line if c == "\t" or (c not in _UNSEEN and unicodedata.category(c) != "Cc")
    )
