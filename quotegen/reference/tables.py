"""How the tables of a file are read: their rows as they stand, each under a key of its own.

A key is short, in small letters with hyphens, and stands once in its file. A table that lacks a
key the program asks for is refused, and so is a row that names a key no table has: either is our
own fault and raises `ReferenceFileError` with the file and the key.
"""

import re
import tomllib
from collections.abc import Collection, Iterable, Mapping
from enum import Enum, StrEnum
from pathlib import Path
from typing import Any, TypeVar

from quotegen.reference.loader import ReferenceFileError

_KEY = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")

Row = dict[str, Any]
Member = TypeVar("Member", bound=Enum)


def tables(path: Path, *names: str) -> Mapping[str, list[Row]]:
    """The rows of a file by their kind; a file has every kind it should have and no other."""
    with path.open("rb") as file:
        content = tomllib.load(file)
    if set(content) != set(names):
        only = ", ".join(f"[[{name}]]" for name in names)
        raise ReferenceFileError(f"{path.name}: only {only} tables belong here")
    return content


def keyed(
    file_name: str, rows: Iterable[Row], asked: type[StrEnum] | None = None
) -> Mapping[str, Row]:
    """Rows by their keys, among which are all that the program asks for."""
    found: dict[str, Row] = {}
    for row in rows:
        key = row.get("key", "")
        if not isinstance(key, str) or not _KEY.fullmatch(key):
            raise ReferenceFileError(f"{file_name}: the key {key!r} is missing or misshapen")
        if key in found:
            raise ReferenceFileError(f"{file_name}: the key {key} stands twice")
        found[key] = row
    for key in asked or ():
        known(key, found, file_name)
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
