"""The strict loader of the reference files.

Each `*.toml` in the folders `law`, `materials` and `protection` is one subject of published values.
An entry without a source, with an unknown key, or repeating another's key is refused: a wrong
reference file is our own fault and raises `ReferenceFileError`.
"""

from collections.abc import Iterable, Mapping
from datetime import date
from functools import cache
from itertools import chain
from pathlib import Path
from typing import Any

from quotegen.machine.day import day_in_force
from quotegen.reference.life import (
    Lived,
    all_in_force,
    in_force,
    in_turn,
    note_looked_up,
)
from quotegen.tables import ReferenceFileError, rows
from quotegen.units import Unit, as_decimal
from quotegen.working import Figure, Origin, Source, Value

REFERENCE_FOLDER = Path(__file__).parent
ROOMS = ("law", "materials", "protection")


class PublishedValue(Lived, frozen=True, kw_only=True):
    """One published value with everything needed to check it again.

    `value` is a number, a text, a list or a table, as the subject needs.
    """

    key: str
    words: str
    value: Any
    unit: Unit
    edition: str = ""
    clause: str = ""
    note: str = ""

    @property
    def citation(self) -> str:
        """Source, edition and clause in one line."""
        return ", ".join(part for part in (self.source, self.edition, self.clause) if part)

    @property
    def figure(self) -> Figure:
        """The value as a figure that names its source."""
        note: str = self.confirmed
        if self.checked:
            note += f"; checked {self.checked.isoformat()}"
        return Figure(
            self.words, _value(self.value), self.unit, Origin(Source.REFERENCE, self.citation, note)
        )


def subjects() -> list[str]:
    """The subjects that have a file, in alphabetical order."""
    return sorted(_files())


@cache
def _files() -> Mapping[str, Path]:
    """The file of each subject."""
    return {path.stem: path for room in ROOMS for path in (REFERENCE_FOLDER / room).glob("*.toml")}


@cache
def subject(name: str) -> Mapping[str, tuple[PublishedValue, ...]]:
    """All entries of a subject by key; a dated value has several, earliest first."""
    path = _files()[name]
    found: dict[str, list[PublishedValue]] = {}
    for made in rows(path, "entry", PublishedValue):
        found.setdefault(made.key, []).append(made)
    return {key: in_turn(ones, f"{path.name}: {key}") for key, ones in found.items()}


def entry(dotted: str, on: date | None = None) -> PublishedValue:
    """The entry `subject.key` in force on the day `on`, or else on the day set by `on_day`.

    Raises `ReferenceFileError` for a dated value looked up without a day, or on a day on which it
    has no value.

    >>> entry("ladders.rise_for_one_out").value
    4
    """
    found = _entry(dotted, on or day_in_force())
    note_looked_up(dotted, found)
    return found


@cache
def _entry(dotted: str, day: date | None) -> PublishedValue:
    name, _, key = dotted.partition(".")
    entries = subject(name).get(key)
    if not entries:
        raise ReferenceFileError(f"there is no reference value {dotted}")
    return in_force(entries, day, dotted)


def figure(dotted: str, on: date | None = None) -> Figure:
    """The value `subject.key` as a figure that names its source."""
    entry(dotted, on)
    return _figure(dotted, on or day_in_force())


@cache
def _figure(dotted: str, day: date | None) -> Figure:
    return _entry(dotted, day).figure


def past_review(looked_up: Iterable[PublishedValue], on: date) -> list[str]:
    """What was to be read again before a day, in words, each once: of values looked up for a price,
    and of all that protect people, which every method statement rests on.
    """
    protecting = (in_force_on(name, on) for name in subjects() if folder_of(name) == "protection")
    used = (*looked_up, *chain.from_iterable(protecting))
    due = (one for one in used if one.to_be_read_by is not None and one.to_be_read_by < on)
    return sorted({one.words for one in due})


def in_force_on(name: str, day: date | None) -> tuple[PublishedValue, ...]:
    """The entries of a subject in force on a day; all of them without one."""
    return all_in_force([one for ones in subject(name).values() for one in ones], day)


def folder_of(name: str) -> str:
    """The folder of a subject: law, materials or protection."""
    return _files()[name].parent.name


def _value(raw: Any) -> Value:
    if isinstance(raw, list):
        return tuple(_value(part) for part in raw)
    if isinstance(raw, dict):
        raise ReferenceFileError("a table of values is not one figure")
    if isinstance(raw, str | bool):
        return raw
    if isinstance(raw, int | float):
        return float(as_decimal(raw))
    raise ReferenceFileError(f"not a value: {raw!r}")
