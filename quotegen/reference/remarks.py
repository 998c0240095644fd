"""What a calculation tells a person: a key and its figures, and how they become words.

The words stand in tables, by key. Place holders are written `{name}` for a name and `{name:way}`
for a figure, where the way is one of `WAYS`: a calculation hands over the figure, the words say how
it is written.
"""

from collections.abc import Callable, Mapping
from enum import StrEnum
from string import Formatter
from typing import Self

from msgspec import Struct

from quotegen import wording
from quotegen.reference.life import UNREAD_SIGN
from quotegen.tables import UNREAD, ReferenceFileError, known_key
from quotegen.units import mm_to_m
from quotegen.working import Figure, Origin

WAYS: Mapping[str, Callable[[Figure], str]] = {
    "whole": lambda figure: wording.number(figure.number),
    "lost": lambda figure: wording.number(-figure.number),
    "tenth": lambda figure: wording.number(figure.number, 1),
    "hundredth": lambda figure: wording.number(figure.number, 2),
    "exact": lambda figure: wording.exact(figure.number),
    "mm": lambda figure: wording.mm(figure.number),
    "metres": lambda figure: f"{wording.number(mm_to_m(figure.number), 1)} m",
    "exact-metres": lambda figure: f"{wording.exact(mm_to_m(figure.number))} m",
    "money": lambda figure: wording.money(figure.money),
}
"""How a figure is written: `lost` is what goes below nothing, `metres` are of a length in mm."""


class RemarkKey(StrEnum):
    """A key of something to say, with the names of the place holders in its words."""

    figures: frozenset[str]

    def __new__(cls, key: str, *figures: str) -> Self:
        """The key `key`, whose words hold `figures`."""
        made = str.__new__(cls, key)
        made._value_ = key
        made.figures = frozenset(figures)
        return made


class Remark(Struct, frozen=True):
    """Something to say: the key of its words, and the figures and names that fill them."""

    key: RemarkKey
    figures: Mapping[str, Figure | str]


class _Held:
    """What fills a place holder, written the way the place holder asks for."""

    def __init__(self, held: Figure | str) -> None:
        self._held = held

    def __format__(self, way: str) -> str:
        if isinstance(self._held, str) is bool(way):
            raise TypeError(f"written “{way}”: {self._held!r}")
        if isinstance(self._held, str):
            return self._held
        basis = self._held.basis
        unread = isinstance(basis, Origin) and basis.note == UNREAD
        return WAYS[way](self._held) + UNREAD_SIGN * unread


def remark(key: RemarkKey, **figures: Figure | str) -> Remark:
    """A remark with everything its words need; anything else is our own fault."""
    if figures.keys() != key.figures:
        raise TypeError(f"{key} is filled by {sorted(key.figures)}, not {sorted(figures)}")
    return Remark(key, figures)


def written(said: Remark, words: Mapping[str, str]) -> str:
    """A remark in the words that stand under its key, filled in.

    >>> from quotegen.units import Unit
    >>> from quotegen.working import chosen
    >>> key = RemarkKey("Demo", {"LONG": ("long", "edge", "length")}).LONG
    >>> said = remark(key, edge="front", length=chosen("length", 2400.0, Unit.MM, "demo"))
    >>> written(said, {"long": "The {edge} is {length:metres} long"})
    'The front is 2.4 m long'
    """
    figures = {name: _Held(held) for name, held in said.figures.items()}
    return words[said.key].format_map(figures)


def checked_words(
    file_name: str, words: Mapping[str, str], asked: type[RemarkKey]
) -> Mapping[str, str]:
    """The words of a table by key: one for each key asked for, and no others.

    The words hold just what their key fills: another place holder, one left out, or a way nobody
    can write raises `ReferenceFileError`.
    """
    for key in asked:
        known_key(key, words, file_name)
    for named, text in words.items():
        if named not in list(asked):
            raise ReferenceFileError(f"{file_name}: nothing asks for the key {named}")
        _check_holders(text, asked(named).figures, f"{file_name}, {named}")
    return words


def _check_holders(text: str, figures: frozenset[str], where: str) -> None:
    """Refuse words whose place holders are not just `figures`, each written in a known way."""
    try:
        parts = list(Formatter().parse(text))
    except ValueError as fault:
        raise ReferenceFileError(f"{where}: {fault}") from fault
    for _, name, way, conversion in parts:
        if name is not None and (name not in figures or conversion):
            raise ReferenceFileError(f"{where}: nothing fills {{{name}}}")
        if way and way not in WAYS:
            raise ReferenceFileError(f"{where}: no figure is written “{way}”")
    if left_out := sorted(figures - {name for _, name, _, _ in parts if name is not None}):
        raise ReferenceFileError(f"{where}: its words leave out {', '.join(left_out)}")
