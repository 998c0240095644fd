"""Everything published, by how sure it is, and what of it changes between two days."""

from collections.abc import Iterator, Sequence
from datetime import date

from msgspec import Struct

from quotegen.reference import loader, rules
from quotegen.reference.life import Lived, all_in_force
from quotegen.reference.loader import PublishedValue


class Published(Struct, frozen=True):
    """One value or rule: its table and key, what it says, its life, and whether it protects.

    What protects people are the published values of that room, and every rule.
    """

    table: str
    key: str
    says: str
    life: Lived
    protects: bool


class Changed(Struct, frozen=True):
    """What a value or rule says on the first of two days and on the second; blank where none."""

    table: str
    key: str
    before: str
    after: str


def everything(day: date | None = None) -> Iterator[Published]:
    """Every published value and every rule in force on a day; all there are without one."""
    for name in loader.subjects():
        protects = loader.folder_of(name) == "protection"
        for value in loader.in_force_on(name, day):
            yield Published(name, value.key, _said(value), value, protects)
    for table, found in rules.every_rule().items():
        for rule in all_in_force(found, day):
            yield Published(table, rule.key, rules.says(rule), rule, protects=True)


def changes_between(first: date, second: date) -> list[Changed]:
    """What is in force on the second day that was not on the first, or the other way about."""
    before, after = (
        {(one.table, one.key): one for one in everything(day)} for day in (first, second)
    )
    return [
        Changed(*marks, _says(before.get(marks)), _says(after.get(marks)))
        for marks in sorted(before.keys() | after.keys())
        if _life(before.get(marks)) != _life(after.get(marks))
    ]


def change_lines(changes: Sequence[Changed]) -> Iterator[str]:
    """Changes as lines of text."""
    for one in changes:
        yield f"{one.table}, {one.key}"
        yield f"   before: {one.before or 'nothing'}"
        yield f"   after:  {one.after or 'nothing'}"
    if not changes:
        yield "Nothing known to this program changes between them."


def _said(value: PublishedValue) -> str:
    return f"{value.words}: {value.value} {value.unit}".strip()


def _says(one: Published | None) -> str:
    return one.says if one else ""


def _life(one: Published | None) -> Lived | None:
    return one.life if one else None
