"""Done jobs kept in a file of their own: comma-separated, or a spreadsheet of another program."""

from pathlib import Path

import pandas as pd

from quotegen.problems import Place, Problem, problem
from quotegen.workbook.package.book import RawSheet
from quotegen.workbook.package.raw_cell import Raw
from quotegen.workbook.sheets.done_jobs import DONE_JOBS

_MOST_ROWS = 20_000
_UNREADABLE = (OSError, ValueError, KeyError, ImportError, UnicodeError)


def sheet_of_file(path: Path) -> RawSheet | Problem:
    """The rows of a .csv, .ods or .xlsx file under the headings of Done jobs, as they are typed.

    A spreadsheet has them on a sheet called Done jobs, or on its first. Cells are taken as words,
    which the reader of the sheet then judges; a day may be 2026-06-12 or 12/06/2026.
    """
    try:
        frame = _frame(path)
    except _UNREADABLE as error:
        return problem("done-file-unreadable", Place(path.name), str(error).splitlines()[0][:120])
    cells = {(1, at): Raw(str(name)) for at, name in enumerate(frame.columns, start=1)}
    for line, row in enumerate(frame.itertuples(index=False), start=2):
        for at, value in enumerate(row, start=1):
            if value is not None and not pd.isna(value):
                cells[line, at] = Raw(_typed(value))
    return RawSheet(DONE_JOBS.name, cells)


def _frame(path: Path) -> pd.DataFrame:
    if path.suffix.casefold() == ".csv":
        return pd.read_csv(path, dtype=str, nrows=_MOST_ROWS, encoding="utf-8-sig")
    with pd.ExcelFile(path) as book:
        name = DONE_JOBS.name if DONE_JOBS.name in book.sheet_names else book.sheet_names[0]
        return pd.read_excel(book, sheet_name=name, nrows=_MOST_ROWS)


def _typed(value: object) -> object:
    return value.to_pydatetime() if isinstance(value, pd.Timestamp) else value
