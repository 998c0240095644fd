"""A sheet kept as a .csv file: text with a comma, a semicolon or a tab between the cells."""

import csv
import io
from pathlib import Path

from quotegen import wording
from quotegen.problems import Place, Problem, problem
from quotegen.workbook.package.book import Book, RawSheet
from quotegen.workbook.package.raw_cell import Raw

SEPARATED = ".csv"
_MOST_BYTES = 5_000_000
_MOST_ROWS, _MOST_COLUMNS = 20_000, 200
_BETWEEN = ",;\t"


def open_separated(path: Path, sheet: str) -> Book | Problem:
    """The cells of a .csv file as the one sheet of a book, or what keeps it from being read.

    It is read as UTF-8 or, failing that, in the old character set of Windows. The separator is the
    one that its first line has most of. Every cell is text, as typed.
    """
    text = _text_of(path)
    if isinstance(text, Problem):
        return text
    try:
        rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=_between(text)))
    except csv.Error as error:
        return problem("file-not-a-workbook", Place(path.name), f"damaged inside: {error}")
    if len(rows) > _MOST_ROWS or max(map(len, rows), default=0) > _MOST_COLUMNS:
        most = f"{_MOST_ROWS} rows and {_MOST_COLUMNS} columns"
        return problem("rows-too-many", Place(path.name, sheet, "A1"), most=most)
    cells = {
        (line, number): Raw(text)
        for line, row in enumerate(rows, start=1)
        for number, text in enumerate(row, start=1)
        if text.strip()
    }
    return Book(path.name, (RawSheet(sheet, cells),))


def _text_of(path: Path) -> str | Problem:
    """The text of a file, or what keeps it from being read."""
    place = Place(path.name)
    try:
        if path.stat().st_size > _MOST_BYTES:
            return problem(
                "file-too-large", place, f"{wording.number(path.stat().st_size / 1_000_000)} MB"
            )
        content = path.read_bytes()
    except (FileNotFoundError, NotADirectoryError):
        return problem("file-missing", place, str(path))
    except OSError as error:
        return problem("file-not-a-workbook", place, error.strerror or "it cannot be opened")
    if b"\0" in content:
        return problem("file-not-a-workbook", place, "another kind of file under this name")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252", errors="replace")


def _between(text: str) -> str:
    return max(_BETWEEN, key=text.partition("\n")[0].count)
