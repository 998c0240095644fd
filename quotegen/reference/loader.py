"""The strict loader of the reference files.

Each `*.toml` in the folders `law`, `materials` and `protection` is one subject of published values.
An entry without a source, with an unknown key, or repeating another's key is refused: a wrong
reference file is our own fault and raises `ReferenceFileError`.
"""

from collections.abc import Mapping
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from quotegen.tables import Confirmed, ReferenceFileError, Said, Table, dated_if_read, rows
from quotegen.units import Unit, as_decimal
from quotegen.working import Figure, Origin, Source, Value

REFERENCE_FOLDER = Path(__file__).parent
ROOMS = ("law", "materials", "protection")


class PublishedValue(Table, frozen=True, kw_only=True):
    """One published value with everything needed to check it again.

    `value` is a number, a text, a list or a table, as the subject needs. `confirmed` is how the
    value was checked, `checked` the day it was read, None where nobody has read it, and `address`
    the public page it was read on.
    """

    key: str
    words: str
    value: Any
    unit: Unit
    source: Said
    edition: str = ""
    clause: str = ""
    effective: date | None = None
    checked: date | None = None
    confirmed: Confirmed
    address: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        dated_if_read(self.confirmed, self.checked)

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
    found: dict[str, tuple[PublishedValue, ...]] = {}
    for made in rows(path, "entry", PublishedValue):
        earlier = found.get(made.key, ())
        if earlier and (made.effective is None or any(e.effective is None for e in earlier)):
            raise ReferenceFileError(f"{path.name}: {made.key} stands twice without dates")
        found[made.key] = tuple(
            sorted((*earlier, made), key=lambda e: e.effective or date.min),
        )
    return found


@cache
def entry(dotted: str, on: date | None = None) -> PublishedValue:
    """The entry `subject.key`; for a dated value, the one in force on the day `on`.

    Raises `ReferenceFileError` for a dated value asked for without a day, or before its first date.

    >>> entry("ladders.rise_for_one_out").value
    4
    """
    name, _, key = dotted.partition(".")
    entries = subject(name).get(key)
    if not entries:
        raise ReferenceFileError(f"there is no reference value {dotted}")
    if on is None:
        if len(entries) > 1:
            raise ReferenceFileError(f"{dotted} depends on the date")
        return entries[0]
    in_force = [e for e in entries if e.effective is None or e.effective <= on]
    if not in_force:
        raise ReferenceFileError(f"{dotted} has no value on {on.isoformat()}")
    return in_force[-1]


@cache
def figure(dotted: str, on: date | None = None) -> Figure:
    """The value `subject.key` as a figure that names its source."""
    return entry(dotted, on).figure


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
