"""The Done jobs sheet: what jobs really took."""

from quotegen.model.own.done import DoneRow
from quotegen.problems import Problem
from quotegen.workbook.package.book import RawSheet
from quotegen.workbook.reading.rows import Row, read_rows
from quotegen.workbook.sheets.done_jobs import DONE_JOBS


def read_done_jobs(book: str, raw: RawSheet | None) -> tuple[tuple[DoneRow, ...], list[Problem]]:
    """The sound rows in order, and every problem on the sheet; empty without one.

    A row with a problem is left out, with a warning: it holds up no paper.
    """
    if raw is None:
        return (), []
    rows, problems = read_rows(book, raw, DONE_JOBS)
    for row in rows:
        problems += _left_out(row)
    return tuple(_done(row) for row in rows if not row.problems and _whole(row)), problems


def _whole(row: Row) -> bool:
    """Whether every column a row needs has a value; one may have lost its heading."""
    return all(row.get(column) is not None for column in DONE_JOBS.columns if column.required)


def _left_out(row: Row) -> list[Problem]:
    by_heading = {column.heading: column for column in DONE_JOBS.columns}
    return [
        row.problem("done-row-left-out", by_heading[p.place.heading], p.seen, why=p.message)
        for p in row.problems
    ]


def _done(row: Row) -> DoneRow:
    people, allowed = row.get(DONE_JOBS.people), row.get(DONE_JOBS.allowed)
    return DoneRow(
        place=row.place(DONE_JOBS.what),
        ref=row[DONE_JOBS.ref],
        done_on=row[DONE_JOBS.done_on],
        what=row[DONE_JOBS.what],
        amount=row[DONE_JOBS.amount].number,
        people=people.number if people else 1.0,
        who=row.get(DONE_JOBS.who) or "",
        kind=row.get(DONE_JOBS.kind),
        allowed=allowed.number if allowed else None,
        wrong=row.get(DONE_JOBS.wrong) or "",
    )
