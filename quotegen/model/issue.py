"""How a paper is marked when it goes out, and what it is once it lies in its folder."""

from datetime import date

from msgspec import Struct


class Issue(Struct, frozen=True):
    """The marks in the margin of every page; revision 0 is the first that goes out."""

    reference: str
    revision: int
    issued: date


class IssuedPaper(Struct, frozen=True):
    """A paper in its folder: what it is called, its marks, the name of its file, its bytes."""

    title: str
    issue: Issue
    file_name: str
    content: bytes
