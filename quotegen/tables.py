"""The one reader of all tables: what a TOML file holds, as records that say what may stand in it.

A record is a class of `Table`; its annotations are the rules. A key it has not, a key that is
missing, a value of another kind or outside what its annotation allows is refused. A row's own key
is short, in small letters with hyphens, and stands once in its file. A wrong file is our own fault
and raises `ReferenceFileError`, with the file, the row and the field.
"""

import tomllib
from collections.abc import Collection, Iterable, Mapping
from enum import Enum, StrEnum
from pathlib import Path
from typing import Annotated, Any, Literal, TypeVar, get_args

from msgspec import Meta, Struct, ValidationError, convert

Key = Annotated[str, Meta(pattern=r"\A[a-z0-9]+(-[a-z0-9]+)*\Z")]
"""The key of a row, by which alone it is joined."""

Said = Annotated[str, Meta(pattern=r"\S")]
"""Words that may not be left empty."""

Number = int | float
"""A number as it is written: 18 stays whole."""

Confirmed = Literal[
    "read in the source", "read second-hand", "from memory", "common practice, no source"
]
"""How a value or a rule was checked."""

CONFIRMED: tuple[Confirmed, ...] = get_args(Confirmed)


class ReferenceFileError(Exception):
    """A file of tables is wrong."""


class Table(Struct, frozen=True, forbid_unknown_fields=True):
    """A row of a file; what its class does not name is refused."""

    @classmethod
    def spelled_out(cls, row: Any) -> Any:
        """The row as the annotations have it, where a file may write something shorter."""
        return row


Made = TypeVar("Made", bound=Table)
Member = TypeVar("Member", bound=Enum)


def content(path: Path) -> dict[str, Any]:
    """A file as it stands."""
    try:
        with path.open("rb") as file:
            return tomllib.load(file)
    except tomllib.TOMLDecodeError as error:
        raise ReferenceFileError(f"{path.name}: {error}") from error


def tables(path: Path, **kinds: type[Table]) -> Mapping[str, tuple[Any, ...]]:
    """The rows of a file by their kind; a file has every kind it should have and no other."""
    found = content(path)
    if set(found) != set(kinds) or not all(isinstance(rows, list) for rows in found.values()):
        only = ", ".join(f"[[{name}]]" for name in kinds)
        raise ReferenceFileError(f"{path.name}: only {only} tables belong here")
    return {
        name: tuple(
            made(row, kind, f"{path.name}, {_name(row) or f'{name} {number}'}")
            for number, row in enumerate(found[name], start=1)
        )
        for name, kind in kinds.items()
    }


def rows(path: Path, name: str, kind: type[Made]) -> tuple[Made, ...]:
    """The rows of a file that holds one kind of them."""
    return tables(path, **{name: kind})[name]


def _name(row: Any) -> Any:
    """What a row calls itself."""
    return row.get("key") or row.get("code") if isinstance(row, dict) else None


def made(row: Any, kind: type[Made], where: str) -> Made:
    """The record a row stands for; `where` names the file and the row."""
    try:
        return convert(kind.spelled_out(row), kind)
    except ValidationError as error:
        raise ReferenceFileError(f"{where}: {error}") from error


def by_key(
    file_name: str, records: Iterable[Made], asked: type[StrEnum] | None = None, named: str = "key"
) -> Mapping[str, Made]:
    """Records by their keys, or what else they are named by; all the program asks for is there."""
    found: dict[str, Made] = {}
    for record in records:
        key: str = getattr(record, named)
        if key in found:
            raise ReferenceFileError(f"{file_name}: the {named} {key} stands twice")
        found[key] = record
    for wanted in asked or ():
        known(wanted, found, file_name)
    return found


def member(kind: type[Member], key: str, where: str) -> Member:
    """The member of an enumeration that a table names by its key."""
    members = {key_of(one): one for one in kind}
    return members[known(key, members, where)]


def key_of(one: Enum) -> str:
    """The key of a member of an enumeration: its name, in small letters with hyphens.

    >>> key_of(Enum("Way", ["BY_VAN"]).BY_VAN)
    'by-van'
    """
    return one.name.lower().replace("_", "-")


def known(key: str, keys: Collection[str], where: str) -> str:
    """A key that stands where it is looked up."""
    if key not in keys:
        raise ReferenceFileError(f"{where}: there is no key {key}")
    return key
