"""The marks of an issued paper, and the paper in its folder."""

from datetime import date

from msgspec import Struct


class Issue(Struct, frozen=True):
    """The marks in the margin of every page; revision 0 is the first issue."""

    reference: str
    revision: int
    issued: date


class IssuedPaper(Struct, frozen=True):
    """A paper in its folder: its title, marks, file name and bytes."""

    title: str
    issue: Issue
    file_name: str
    content: bytes
