"""How a paper is marked when it goes out: its reference, its revision and its date."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Issue:
    """The marks in the margin of every page; revision 0 is the first that goes out."""

    reference: str
    revision: int
    issued: date
