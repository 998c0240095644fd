"""The reader of all TOML tables: a file's rows as checked records.

A record is a subclass of `Table`; its annotations are the rules. An unknown or missing key, or a
value of the wrong kind or out of bounds, is refused. A row's own key is lower case with hyphens and
unique in its file. A wrong file is our own fault and raises `ReferenceFileError`, with the file,
the row and the field.
"""

import tomllib
from collections.abc import Collection, Iterable, Mapping
from datetime import date
from enum import Enum, StrEnum
from pathlib import Path
from typing import Annotated, Any, Literal, TypeVar, get_args

from msgspec import Meta, Struct, ValidationError, convert

Key = Annotated[str, Meta(pattern=r"\A[a-z0-9]+(-[a-z0-9]+)*\Z")]
"""The key of a row: the only thing it is joined by."""

Said = Annotated[str, Meta(pattern=r"\S")]
"""Words that may not be blank."""

Number = int | float
"""A number as written: 18 stays an integer."""

Confirmed = Literal[
    "read in the source", "read second-hand", "from memory", "common practice, no source"
]
"""How a value or a rule was confirmed."""

CONFIRMED: tuple[Confirmed, ...] = get_args(Confirmed)
UNREAD: Confirmed = "from memory"
READ: tuple[Confirmed, ...] = ("read in the source", "read second-hand")
"""The ways of confirming that have a day: on no other was anything read."""


class ReferenceFileError(Exception):
    """A file of tables is wrong."""


class Table(Struct, frozen=True, forbid_unknown_fields=True):
    """A row of a file; a field that its class does not have is refused."""

    @classmethod
    def spelled_out(cls, row: Any) -> Any:
        """Expand a row that the file may write in a shorter form."""
        return row


def dated_if_read(confirmed: Confirmed, checked: date | None) -> None:
    """Refuse a row that was read but has no day, or that has a day but was never read.

    Raises ValueError, which the reader of a row turns into `ReferenceFileError`.
    """
    if (confirmed in READ) is (checked is None):
        wanted = "the day it was read" if confirmed in READ else "no day: nobody has read it"
        raise ValueError(f"{confirmed}: checked has to be {wanted}")


Made = TypeVar("Made", bound=Table)
Member = TypeVar("Member", bound=Enum)


def content(path: Path) -> dict[str, Any]:
    """The contents of a TOML file, unchecked."""
    try:
        with path.open("rb") as file:
            return tomllib.load(file)
    except tomllib.TOMLDecodeError as error:
        raise ReferenceFileError(f"{path.name}: {error}") from error


def tables(path: Path, **kinds: type[Table]) -> Mapping[str, tuple[Any, ...]]:
    """The rows of a file by kind; the file must hold exactly these kinds."""
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
    """The rows of a file that holds a single kind."""
    return tables(path, **{name: kind})[name]


def _name(row: Any) -> Any:
    """The key or code of a row, if it has one."""
    return row.get("key") or row.get("code") if isinstance(row, dict) else None


def made(row: Any, kind: type[Made], where: str) -> Made:
    """The record for a row; `where` names the file and the row in errors."""
    try:
        return convert(kind.spelled_out(row), kind)
    except ValidationError as error:
        raise ReferenceFileError(f"{where}: {error}") from error


def by_key(
    file_name: str, records: Iterable[Made], asked: type[StrEnum] | None = None, named: str = "key"
) -> Mapping[str, Made]:
    """Records by `named`, each unique; every member of `asked` must be among them."""
    found: dict[str, Made] = {}
    for record in records:
        key: str = getattr(record, named)
        if key in found:
            raise ReferenceFileError(f"{file_name}: the {named} {key} stands twice")
        found[key] = record
    for wanted in asked or ():
        known_key(wanted, found, file_name)
    return found


def member(kind: type[Member], key: str, where: str) -> Member:
    """The enumeration member that a table names by its key."""
    members = {key_of(one): one for one in kind}
    return members[known_key(key, members, where)]


def key_of(one: Enum) -> str:
    """The key of a member of an enumeration: its name, in small letters with hyphens.

    >>> key_of(Enum("Way", ["BY_VAN"]).BY_VAN)
    'by-van'
    """
    return one.name.lower().replace("_", "-")


def known_key(key: str, keys: Collection[str], where: str) -> str:
    """Return a key, refusing one that is not among `keys`."""
    if key not in keys:
        raise ReferenceFileError(f"{where}: there is no key {key}")
    return key
