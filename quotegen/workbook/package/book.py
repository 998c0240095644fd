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
from quotegen.workbook.package.ods_cells import TooManyInSheetError, read_ods
from quotegen.workbook.package.package import WORKBOOK_PART, Contents, SheetPart, contents_of
from quotegen.workbook.package.raw_cell import Raw
from quotegen.workbook.package.sheet_cells import MOST_MERGED, SheetCells, TooManyError, read_cells
from quotegen.workbook.package.xml_parts import DamagedError

MOST_BOOK_BYTES = 64 * 1024 * 1024
_ODS_PART = "content.xml"
_ODS_LIST_PART = "META-INF/manifest.xml"
_ZIP_START = b"PK\x03\x04"
_OLE_START = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_LOCKED = "protected by a password"
_STREAMS = {
    "EncryptedPackage": _LOCKED,
    "Workbook\0": "an old .xls file",
    "Book\0": "an old .xls file",
}
_MIB = 1024 * 1024
# Raised by the standard library for a badly packed or truncated part.
BADLY_PACKED = (
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
    """The non-empty cells of one sheet, by row and column, both counted from 1.

    `hidden` are its filled rows that were hidden or filtered out of sight.
    """

    name: str
    cells: Mapping[tuple[int, int], Raw]
    hidden: tuple[int, ...] = ()


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
            if WORKBOOK_PART not in archive.namelist():
                return _ods_book(path.name, archive, wanted)
            return _book(path.name, archive, wanted)
    except DamagedError as error:
        return problem("file-not-a-workbook", Place(path.name), f"damaged inside: {error}")
    except BADLY_PACKED:
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
            return _too_many(name, sheet.name, error)
        sheets.append(RawSheet(sheet.name, found.cells, found.hidden))
        problems += _too_large(name, sheet.name, found.too_large)
    return Book(name, tuple(sheets), tuple(problems))


def _ods_book(name: str, archive: zipfile.ZipFile, wanted: Callable[[str], bool]) -> Book | Problem:
    """The cells of an OpenDocument workbook; one with a password is not XML inside."""
    if b"encryption-data" in archive.read(_ODS_LIST_PART):
        return problem("file-not-a-workbook", Place(name), _LOCKED)
    try:
        with archive.open(_ODS_PART) as stream:
            found = read_ods(stream, wanted)
    except TooManyInSheetError as error:
        return _too_many(name, error.sheet, error.found)
    sheets = tuple(RawSheet(sheet.name, sheet.cells, sheet.hidden) for sheet in found)
    problems = [p for sheet in found for p in _too_large(name, sheet.name, sheet.too_large)]
    return Book(name, sheets, tuple(problems))


def _too_many(book: str, sheet: str, error: TooManyError) -> Problem:
    return problem("rows-too-many", Place(book, sheet, f"A{error.row}"), most=error.most)


def _too_large(book: str, sheet: str, merge: str) -> list[Problem]:
    """The problem of a merged range too large to be looked at, if there is one."""
    if not merge:
        return []
    place = Place(book, sheet, merge.partition(":")[0])
    return [problem("merge-too-large", place, merge, most=wording.number(MOST_MERGED))]


def _cells(archive: zipfile.ZipFile, sheet: SheetPart, contents: Contents) -> SheetCells:
    with archive.open(sheet.part) as stream:
        return read_cells(stream, contents.shared)


def _refusal(content: bytes, place: Place) -> Problem | None:
    """The reason to refuse the file, from its first bytes and its list of contents."""
    if content.startswith(_OLE_START):
        return problem("file-not-a-workbook", place, _wrapped(content))
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
    names = {part.filename for part in parts}
    if WORKBOOK_PART in names or {_ODS_PART, _ODS_LIST_PART} <= names:
        return None
    return problem("file-not-a-workbook", place, "packed, but no workbook")


def _wrapped(content: bytes) -> str:
    """What an OLE file is, by the names of the streams in it.

    [MS-OFFCRYPTO] 2.3.4.4 names the stream of an encrypted workbook, [MS-XLS] 2.1.2 that of an old
    one; [MS-CFB] 2.6.1 has the names in UTF-16.
    """
    for name, meaning in _STREAMS.items():
        if name.encode("utf-16-le") in content:
            return meaning
    return f"{_LOCKED}, or an old .xls file"


def _mib(size: int) -> str:
    return f"{size / _MIB:.0f} MiB"
