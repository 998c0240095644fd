"""The user's workbook with its looks and comments, opened by openpyxl only once it is safe to.

Our own reader goes over the file first, and a file that it refuses is refused here. openpyxl keeps
every empty cell and every cell of a merge in memory, and reads parts that our reader does not, so
these are limited too.
"""

import io
import zipfile
from pathlib import Path

from msgspec import Struct
from openpyxl import Workbook, load_workbook

from quotegen import wording
from quotegen.problems import Place, Problem, problem
from quotegen.workbook.package.book import BADLY_PACKED, Book, open_book
from quotegen.workbook.package.coordinates import position
from quotegen.workbook.package.package import WORKBOOK_PART
from quotegen.workbook.package.sheet_cells import MOST_MERGED
from quotegen.workbook.package.xml_parts import DamagedError, read_part

MOST_COPIED_BYTES = 16 * 1024 * 1024
"""The most that a workbook may unpack to for a copy: thirty times a blank one."""
_PLAIN_PICTURES = ("png", "jpeg", "gif")


class WholeBook(Struct, frozen=True):
    """A workbook twice: its cells as we read them, and the whole of it as openpyxl keeps it."""

    read: Book
    kept: Workbook


def whole_book(path: Path) -> WholeBook | Problem:
    """A workbook to make a copy of, or the one problem that keeps a copy from being made."""
    read = open_book(path)
    if isinstance(read, Problem):
        return read
    if read.problems:
        return read.problems[0]
    place = Place(path.name)
    try:
        content = path.read_bytes()
        refused = _refused(content)
    except BADLY_PACKED as error:
        refused = _brief(error)
    except DamagedError as error:
        refused = str(error)
    if refused:
        return problem("copy-not-made", place, refused)
    try:
        kept = load_workbook(io.BytesIO(content))
    except Exception as error:
        return problem("copy-not-made", place, _brief(error))
    for sheet in kept.worksheets:
        pictures = [one for one in sheet._images if one.format in _PLAIN_PICTURES]  # type: ignore[attr-defined]  # not in its hints
        sheet._images = pictures  # type: ignore[attr-defined]
    return WholeBook(read, kept)


def book_bytes(book: Workbook) -> bytes:
    """The file of a workbook."""
    content = io.BytesIO()
    book.save(content)
    return content.getvalue()


def _refused(content: bytes) -> str:
    """Why openpyxl is not to open a file, empty if it may."""
    merged = 0

    def started(_name: str, attributes: dict[str, str]) -> None:
        nonlocal merged
        first, _, last = attributes.get("ref", "").partition(":")
        top, bottom = position(first), position(last or first)
        if top and bottom:
            merged += (bottom[0] - top[0] + 1) * (bottom[1] - top[1] + 1)

    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        if WORKBOOK_PART not in archive.namelist():
            return "it is an .ods workbook"
        if sum(part.file_size for part in archive.infolist()) > MOST_COPIED_BYTES:
            return "it is too large"
        for part in archive.namelist():
            if part.lower().endswith((".xml", ".rels", ".vml")):
                with archive.open(part) as stream:
                    read_part(stream, ("mergeCell",), started, _nothing)
    return f"more than {wording.number(MOST_MERGED)} cells are merged" * (merged > MOST_MERGED)


def _brief(error: Exception) -> str:
    return f"its parts do not fit together: {type(error).__name__}"


def _nothing(_name: str) -> None:
    """Ignore the end of an element."""
