"""What a price takes for granted where a cell was left blank, and what edges said at once mean.

`house/taken.toml` holds both. For safety a blank cell stays unknown.
"""

from collections.abc import Mapping
from functools import cache

from quotegen.reference.house_rules import HOUSE
from quotegen.reference.remarks import RemarkKey, checked_words
from quotegen.tables import Key, Said, Table, by_key, tables

_FILE = HOUSE / "taken.toml"


class HouseTaken(Table, frozen=True, kw_only=True):
    """A blank column by its heading: what it is taken as, and why that matters.

    `name` is what it is called to a customer, empty where none is told; `value` is the choice that
    stands in for it, empty where none has to.
    """

    key: Key
    heading: Said
    text: Said
    why: Said
    name: str = ""
    value: str = ""


class HouseEdges(Table, frozen=True):
    """A choice of edges at once, and the kind of edge it means on each side."""

    choice: Said
    back: Said
    right: Said
    front: Said
    left: Said
    notch: Said


@cache
def house_taken(asked: type[RemarkKey]) -> Mapping[str, HouseTaken]:
    """The rows of what is taken for granted, one for each key that is asked for."""
    kinds = tables(_FILE, taken=HouseTaken, edges=HouseEdges)
    found: Mapping[str, HouseTaken] = by_key(_FILE.name, kinds["taken"])
    checked_words(_FILE.name, {row.key: row.text for row in found.values()}, asked)
    return found


@cache
def edges_at_once() -> Mapping[str, HouseEdges]:
    """What each choice of edges at once means, by the choice."""
    kinds = tables(_FILE, taken=HouseTaken, edges=HouseEdges)
    return {row.choice: row for row in kinds["edges"]}
