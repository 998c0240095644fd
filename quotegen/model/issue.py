"""The marks of an issued paper, what it replaces, and the paper in its folder."""

from collections.abc import Mapping
from datetime import date

from msgspec import Struct, field


class Change(Struct, frozen=True):
    """One thing that is otherwise than it was: a cell, a figure of the firm, or a total.

    Words are blank where there was, or is, nothing.
    """

    where: str
    before: str
    now: str


class Memory(Struct, frozen=True):
    """What a paper was made from, in words by heading, to tell later what has changed.

    `cells` are the customer's own: what was measured, seen, asked for and answered. `own` are the
    firm's: its figures, its price lists, and cells that are never printed. `totals` are the sums
    the paper gives.
    """

    cells: Mapping[str, str] = field(default_factory=dict)
    own: Mapping[str, str] = field(default_factory=dict)
    totals: Mapping[str, str] = field(default_factory=dict)


class Replaced(Struct, frozen=True):
    """The revision that a paper replaces, and what has changed since.

    `changes` may be shown to anybody; `own` are the firm's alone.
    """

    revision: int
    issued: date
    changes: tuple[Change, ...] = ()
    own: tuple[Change, ...] = ()


class Issue(Struct, frozen=True):
    """The marks in the margin of every page; revision 0 is the first issue and replaces nothing."""

    reference: str
    revision: int
    issued: date
    replaces: Replaced | None = None


def next_issue(
    reference: str,
    last: Issue | None,
    on: date,
    before: Memory | None = None,
    now: Memory | None = None,
) -> Issue:
    """The marks of a paper that says something new: one revision after the last, or the first.

    It says what has changed where both memories are known.

    >>> next_issue("R-1", Issue("R-1", 1, date(2026, 11, 2)), date(2026, 11, 9)).revision
    2
    """
    if last is None:
        return Issue(reference, 0, on)
    changes, own = ((), ()) if before is None or now is None else changed(before, now)
    replaced = Replaced(last.revision, last.issued, changes, own)
    return Issue(reference, last.revision + 1, on, replaced)


def changed(before: Memory, now: Memory) -> tuple[tuple[Change, ...], tuple[Change, ...]]:
    """What is otherwise than it was: what anybody may see, and what is the firm's alone.

    >>> old = Memory({"Width": "2.4 m", "Colour": "grey"}, totals={"new deck": "£90.00"})
    >>> new = Memory({"Width": "2.5 m", "Colour": "grey"}, totals={"new deck": "£95.00"})
    >>> [(one.where, one.before, one.now) for one in changed(old, new)[0]]
    [('Width', '2.4 m', '2.5 m'), ('new deck', '£90.00', '£95.00')]
    """
    shown = (*_apart(before.cells, now.cells), *_apart(before.totals, now.totals))
    return shown, _apart(before.own, now.own)


def _apart(before: Mapping[str, str], now: Mapping[str, str]) -> tuple[Change, ...]:
    return tuple(
        Change(where, before.get(where, ""), now.get(where, ""))
        for where in dict.fromkeys((*before, *now))
        if before.get(where, "") != now.get(where, "")
    )


class IssuedPaper(Struct, frozen=True):
    """A paper in its folder: its title, marks, file name and bytes."""

    title: str
    issue: Issue
    file_name: str
    content: bytes
