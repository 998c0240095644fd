"""Opening a workbook: the kind of file, and the contents of its cells.

The file is read once into memory and never written. Each requested sheet is read once, typed
content and stored results together, because only both together distinguish a blank cell from a
formula that was never calculated. Sizes and counts are limited, so that no file takes long to
refuse.
"""

import io
import struct
import zipfile
import zlib
from collections.abc import Callable, Mapping
from pathlib import Path

from msgspec import Struct

from quotegen import wording
from quotegen.problems import Place, Problem, problem
from quotegen.workbook.package.package import WORKBOOK_PART, Contents, SheetPart, contents_of
from quotegen.workbook.package.raw_cell import Raw
from quotegen.workbook.package.sheet_cells import MOST_MERGED, SheetCells, TooManyError, read_cells
from quotegen.workbook.package.xml_parts import DamagedError

MOST_BOOK_BYTES = 64 * 1024 * 1024
_ZIP_START = b"PK\x03\x04"
_OLE_START = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_MIB = 1024 * 1024
# Raised by the standard library for a badly packed or truncated part.
_BADLY_PACKED = (
    zipfile.BadZipFile,
    zlib.error,
    EOFError,
    KeyError,
    NotImplementedError,
    OSError,
    OverflowError,
    RuntimeError,
    ValueError,
    struct.error,
)


class RawSheet(Struct, frozen=True):
    """The non-empty cells of one sheet, by row and column, both counted from 1."""

    name: str
    cells: Mapping[tuple[int, int], Raw]


class Book(Struct, frozen=True):
    """A workbook file: its name, its sheets from left to right, and the faults of their cells."""

    name: str
    sheets: tuple[RawSheet, ...]
    problems: tuple[Problem, ...] = ()


def every_sheet(_name: str) -> bool:
    """Select every sheet."""
    return True


def open_book(path: Path, wanted: Callable[[str], bool] = every_sheet) -> Book | Problem:
    """The cells of a workbook, or the one problem that keeps the file from being read.

    Sheets that are not `wanted` are listed without their cells, which are not checked.
    """
    content = _content(path)
    if isinstance(content, Problem):
        return content
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            return _book(path.name, archive, wanted)
    except DamagedError as error:
        return problem("file-not-a-workbook", Place(path.name), f"damaged inside: {error}")
    except _BADLY_PACKED:
        seen = "damaged inside: a part missing or cut short"
        return problem("file-not-a-workbook", Place(path.name), seen)


def _content(path: Path) -> bytes | Problem:
    """The bytes of a file that may be a workbook."""
    place = Place(path.name)
    try:
        if path.stat().st_size > MOST_BOOK_BYTES:
            return problem("file-too-large", place, _mib(path.stat().st_size))
        content = path.read_bytes()
    except (FileNotFoundError, NotADirectoryError):
        return problem("file-missing", place, str(path))
    except OSError as error:
        return problem("file-not-a-workbook", place, error.strerror or "it cannot be opened")
    return _refusal(content, place) or content


def _book(name: str, archive: zipfile.ZipFile, wanted: Callable[[str], bool]) -> Book | Problem:
    contents = contents_of(archive)
    sheets: list[RawSheet] = []
    problems: list[Problem] = []
    for sheet in contents.sheets:
        if not wanted(sheet.name):
            sheets.append(RawSheet(sheet.name, {}))
            continue
        try:
            found = _cells(archive, sheet, contents)
        except TooManyError as error:
            place = Place(name, sheet.name, f"A{error.row}")
            return problem("rows-too-many", place, most=error.most)
        sheets.append(RawSheet(sheet.name, found.cells))
        if found.too_large:
            place = Place(name, sheet.name, found.too_large.partition(":")[0])
            problems.append(
                problem("merge-too-large", place, found.too_large, most=wording.number(MOST_MERGED))
            )
    return Book(name, tuple(sheets), tuple(problems))


def _cells(archive: zipfile.ZipFile, sheet: SheetPart, contents: Contents) -> SheetCells:
    with archive.open(sheet.part) as stream:
        return read_cells(stream, contents.shared)


def _refusal(content: bytes, place: Place) -> Problem | None:
    """The reason to refuse the file, from its first bytes and its list of contents."""
    if content.startswith(_OLE_START):
        return problem("file-not-a-workbook", place, "protected by a password, or an old .xls file")
    if not content.startswith(_ZIP_START):
        seen = "empty" if not content else "another kind of file with this name"
        return problem("file-not-a-workbook", place, seen)
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            parts = archive.infolist()
    except (zipfile.BadZipFile, NotImplementedError, ValueError, OSError):
        return problem("file-not-a-workbook", place, "cut short or damaged")
    unpacked = sum(part.file_size for part in parts)
    if unpacked > MOST_BOOK_BYTES:
        return problem("file-too-large", place, _mib(unpacked))
    if WORKBOOK_PART not in {part.filename for part in parts}:
        return problem("file-not-a-workbook", place, "a packed file, but not an .xlsx workbook")
    return None


def _mib(size: int) -> str:
    return f"{size / _MIB:.0f} MiB"
