"""A row of the workbook about one thing that has to be settled first."""

from datetime import date

from msgspec import Struct

from quotegen.problems import Place
from quotegen.reference.rule_keys import BeforeKey
from quotegen.working import Figure

IN_A_CELL = (BeforeKey.ACCEPTANCE, BeforeKey.COLOUR, BeforeKey.SURVEY)
"""What a cell of the Enquiries sheet alone answers: a row cannot tick it off."""


class BeforeRow(Struct, frozen=True):
    """One row of the sheet that ticks things off: when done or expected, and its cost.

    `place` is the cell with the day it was done.
    """

    place: Place
    key: BeforeKey
    done_on: date | None = None
    expected_on: date | None = None
    cost: Figure | None = None
