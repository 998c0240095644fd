"""How a paper is marked when it goes out, and what it is once it lies in its folder."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Issue:
    """The marks in the margin of every page; revision 0 is the first that goes out."""

    reference: str
    revision: int
    issued: date


@dataclass(frozen=True, slots=True)
class IssuedPaper:
    """A paper in its folder: what it is called, its marks, the name of its file, its bytes."""

    title: str
    issue: Issue
    file_name: str
    content: bytes
