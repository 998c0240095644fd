"""The marks of an issued paper, and the paper in its folder."""

from datetime import date

from msgspec import Struct


class Issue(Struct, frozen=True):
    """The marks in the margin of every page; revision 0 is the first issue."""

    reference: str
    revision: int
    issued: date


def next_issue(reference: str, last: Issue | None, on: date) -> Issue:
    """The marks of a paper that says something new: one revision after the last, or the first.

    >>> next_issue("R-1", Issue("R-1", 1, date(2026, 11, 2)), date(2026, 11, 9)).revision
    2
    """
    return Issue(reference, last.revision + 1 if last else 0, on)


class IssuedPaper(Struct, frozen=True):
    """A paper in its folder: its title, marks, file name and bytes."""

    title: str
    issue: Issue
    file_name: str
    content: bytes
