"""The marked copy: the user's workbook with each faulty cell coloured, and told what to do.

A comment on the cell has the message and the cure, and a sheet in front lists them all. The user's
own file is never written.
"""

import zipfile
from collections.abc import Iterable, Sequence
from pathlib import Path

from openpyxl import Workbook
from openpyxl.cell.cell import MergedCell
from openpyxl.comments import Comment
from openpyxl.styles import PatternFill
from openpyxl.worksheet.worksheet import Worksheet

from quotegen.machine.files import replace_file
from quotegen.problem_kinds import Severity
from quotegen.problems import Place, Problem, problem
from quotegen.workbook.copies.whole_book import WholeBook, book_bytes, whole_book
from quotegen.workbook.reading.rows import same_name
from quotegen.workbook.sheets.declaration import MARKED_SHEET
from quotegen.workbook.writing import look
from quotegen.workbook.writing.filling import put_text

_MARK = "quotegen: marked copy"
_ENDING = "-marked.xlsx"
_FILLS = {
    Severity.STOP: PatternFill("solid", fgColor="FFF4B6A6"),
    Severity.WARN: PatternFill("solid", fgColor="FFFFE699"),
}
_HEADS = (("Sheet", 18.0), ("Cell", 10.0), ("What is wrong", 70.0), ("What to do", 80.0))
_COMMENT_WIDTH, _COMMENT_HEIGHT, _LETTERS_A_LINE, _LINE_HEIGHT = 340, 40, 50, 17


def marked_path(book: Path) -> Path:
    """The name of a marked copy, beside its workbook."""
    return book.with_name(f"{book.stem}{_ENDING}")


def write_marked(book: Path, problems: Sequence[Problem]) -> Path | Problem:
    """Write the marked copy of a workbook, replacing an earlier one; return where it is.

    A file of that name which is no marked copy is left alone, and is a problem.
    """
    path = marked_path(book)
    if path.exists() and not _is_marked(path):
        return problem("file-exists", Place(path.name), str(path))
    whole = whole_book(book)
    if isinstance(whole, Problem):
        return whole
    own = [found for found in problems if found.place.book == book.name]
    _mark(whole, own)
    _list(whole.kept, own)
    whole.kept.properties.category = _MARK
    try:
        replace_file(path, book_bytes(whole.kept))
    except OSError as error:
        return problem("output-blocked", Place(path.name), error.strerror or str(error))
    return path


def _is_marked(path: Path) -> bool:
    """Whether a file says of itself that it is a marked copy."""
    try:
        with zipfile.ZipFile(path) as archive, archive.open("docProps/core.xml") as part:
            return _MARK.encode() in part.read(100_000)
    except (OSError, KeyError, ValueError, zipfile.BadZipFile, NotImplementedError):
        return False


def _mark(whole: WholeBook, problems: Iterable[Problem]) -> None:
    """Colour each faulty cell, and put every message and cure in its comment."""
    said: dict[tuple[str, str], list[Problem]] = {}
    for found in problems:
        page = _page(whole.kept, found.place.sheet)
        if page and found.place.cell:
            said.setdefault((page.title, found.place.cell), []).append(found)
    for (name, address), here in said.items():
        cell = whole.kept[name][address]
        if isinstance(cell, MergedCell):
            ranges = whole.kept[name].merged_cells.ranges
            cell = next(one.start_cell for one in ranges if address in one)
        stops = any(found.stops for found in here)
        cell.fill = _FILLS[Severity.STOP if stops else Severity.WARN]
        words = [f"{found.message}. {found.cure}" for found in here]
        before = [cell.comment.text] if cell.comment else []
        cell.comment = _comment("\n\n".join(dict.fromkeys([*before, *words])))


def _comment(text: str) -> Comment:
    lines = sum(len(line) // _LETTERS_A_LINE + 1 for line in text.split("\n"))
    height = _COMMENT_HEIGHT + _LINE_HEIGHT * min(lines, 30)
    return Comment(text, "quotegen", height=height, width=_COMMENT_WIDTH)


def _page(book: Workbook, name: str) -> Worksheet | None:
    return next((page for page in book.worksheets if name and same_name(page.title, name)), None)


def _list(book: Workbook, problems: Iterable[Problem]) -> None:
    """Put a sheet in front that lists every problem, stops first."""
    for page in [page for page in book.worksheets if page.title == MARKED_SHEET]:
        book.remove(page)
    page = book.create_sheet(MARKED_SHEET, 0)
    for number, (head, width) in enumerate(_HEADS, start=1):
        cell = page.cell(1, number, head)
        cell.font, cell.fill = look.HEAD, look.HEAD_FILLS[0]
        page.column_dimensions[cell.column_letter].width = width
    for line, found in enumerate(sorted(problems, key=lambda one: not one.stops), start=2):
        texts = (found.place.sheet, found.place.cell, found.message, found.cure)
        for number, text in enumerate(texts, start=1):
            cell = page.cell(line, number)
            put_text(cell, text)
            cell.font, cell.alignment = look.BODY, look.WRAPPED
        page.cell(line, 2).fill = _FILLS[found.severity]
    look.set_up_page(page, tab=look.AMBER)
    page.freeze_panes = "A2"
    book.active = 0
