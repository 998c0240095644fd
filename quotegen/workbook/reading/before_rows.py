"""The rows of the sheet that ticks off what has to be settled before a roof is begun."""

from collections.abc import Sequence

from quotegen.model.enquiry import is_open
from quotegen.model.prestart.row import IN_A_CELL, BeforeRow
from quotegen.problems import Problem
from quotegen.reference.rule_keys import BeforeKey
from quotegen.workbook.reading.rows import Row
from quotegen.workbook.sheets.columns import AnyColumn
from quotegen.workbook.sheets.details import BEFORE_START
from quotegen.workbook.sheets.enquiries import ENQUIRIES

_CELLS: dict[BeforeKey, AnyColumn] = {
    BeforeKey.ACCEPTANCE: ENQUIRIES.accepted,
    BeforeKey.COLOUR: ENQUIRIES.colour,
    BeforeKey.SURVEY: ENQUIRIES.asbestos_surveyed,
}
"""The cell of the Enquiries sheet that alone answers a thing."""


def check_before(enquiry: Row, rows: Sequence[Row]) -> list[Problem]:
    """Problems in the rows of one roof: in a cell, about one thing twice, against a cell.

    A day in the row of a thing that a cell answers adds to the answer and never stands in for it.
    """
    problems: list[Problem] = []
    seen: set[BeforeKey] = set()
    for row in rows:
        problems += row.problems
        key = row.get(BEFORE_START.key)
        if key is None:
            continue
        if key in seen:
            problems.append(row.problem("before-twice", BEFORE_START.key, key))
        seen.add(key)
        if row.typed(BEFORE_START.done_on) and key in IN_A_CELL and not _answered(enquiry, key):
            heading = _CELLS[key].heading
            problems.append(
                row.problem("ticked-elsewhere", BEFORE_START.done_on, key, heading=heading)
            )
    return problems


def _answered(enquiry: Row, key: BeforeKey) -> bool:
    """Whether the cell says that it is settled."""
    answer = enquiry.get(_CELLS[key])
    if key is BeforeKey.COLOUR:
        return not is_open(str(answer or ""))
    return bool(answer)


def before_row(row: Row) -> BeforeRow:
    """The record of a sound row."""
    return BeforeRow(
        place=row.place(BEFORE_START.done_on),
        key=row[BEFORE_START.key],
        done_on=row.get(BEFORE_START.done_on),
        expected_on=row.get(BEFORE_START.expected_on),
        cost=row.get(BEFORE_START.cost),
    )
