"""Opening a workbook: what kind of file it is, and what its cells hold.

The file is read once into memory and never written. It is loaded twice, for the formulas and
for their stored results, because only the two together tell a blank cell from a formula that
was never calculated. Only cells that exist are walked: a single formatted cell far down would
otherwise cost gigabytes.
"""

import io
import re
import warnings
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from openpyxl import load_workbook
from openpyxl.cell.cell import Cell
from openpyxl.workbook import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from quotegen.problems import Place, Problem, problem
from quotegen.workbook.cells import ERROR_VALUES, Raw

MOST_BYTES = 64 * 1024 * 1024
_ZIP_START = b"PK\x03\x04"
_OLE_START = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_WORKBOOK_PART = "xl/workbook.xml"
_MIB = 1024 * 1024
# How the file format writes a character that may not stand in it: a code between `_x` and `_`.
_ESCAPED = re.compile(r"_x00([01][0-9A-Fa-f]|5[Ff])_")


@dataclass(frozen=True, slots=True)
class RawSheet:
    """The cells of one sheet that hold anything, by row and column, both counted from 1."""

    name: str
    cells: Mapping[tuple[int, int], Raw]


@dataclass(frozen=True, slots=True)
class Book:
    """A workbook as it lies in its file: the file's name and its sheets from left to right."""

    name: str
    sheets: tuple[RawSheet, ...]


def open_book(path: Path) -> Book | Problem:
    """The cells of a workbook, or the one problem that keeps the file from being read."""
    place = Place(path.name)
    try:
        if path.stat().st_size > MOST_BYTES:
            return problem("file-too-large", place, _mib(path.stat().st_size))
        content = path.read_bytes()
    except (FileNotFoundError, NotADirectoryError):
        return problem("file-missing", place, str(path))
    except OSError as error:
        return problem("file-not-a-workbook", place, error.strerror or "it cannot be opened")
    refused = _refusal(content, place)
    if refused:
        return refused
    try:
        formulas, values = _load(content, data_only=False), _load(content, data_only=True)
    except Exception as error:
        # What openpyxl raises on a damaged file is anything from KeyError to a parser's own.
        return problem("file-not-a-workbook", place, f"damaged inside: {type(error).__name__}")
    return Book(
        path.name,
        tuple(
            RawSheet(sheet.title, _cells(sheet, values[sheet.title]))
            for sheet in formulas.worksheets
        ),
    )


def _refusal(content: bytes, place: Place) -> Problem | None:
    """What the first bytes and the list of contents say against the file, if anything."""
    if content.startswith(_OLE_START):
        return problem("file-not-a-workbook", place, "protected by a password, or an old .xls file")
    if not content.startswith(_ZIP_START):
        seen = "empty" if not content else "another kind of file under this name"
        return problem("file-not-a-workbook", place, seen)
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            parts = archive.infolist()
    except (zipfile.BadZipFile, NotImplementedError, ValueError, OSError):
        return problem("file-not-a-workbook", place, "cut short or damaged")
    unpacked = sum(part.file_size for part in parts)
    if unpacked > MOST_BYTES:
        return problem("file-too-large", place, _mib(unpacked))
    if _WORKBOOK_PART not in {part.filename for part in parts}:
        return problem("file-not-a-workbook", place, "packed, but no .xlsx workbook")
    return None


def _load(content: bytes, *, data_only: bool) -> Workbook:
    with warnings.catch_warnings():
        # openpyxl warns of drawings and rules that it would lose on saving; nothing is saved.
        warnings.simplefilter("ignore")
        return load_workbook(io.BytesIO(content), data_only=data_only)


def _cells(formulas: Worksheet, values: Worksheet) -> dict[tuple[int, int], Raw]:
    # The public way to walk a sheet makes every cell up to the last one; this one makes none.
    existing = sorted(formulas._cells.items())
    found: dict[tuple[int, int], Raw] = {}
    for position, cell in existing:
        if isinstance(cell, Cell) and cell.value is not None:
            found[position] = _raw(cell, values._cells.get(position))
    for merged in formulas.merged_cells.ranges:
        if (merged.min_row, merged.min_col) in found:
            under = [position for line in merged.rows for position in line][1:]
            found.update(dict.fromkeys(under, Raw(None, merged=True)))
    return found


def _raw(typed: Cell, stored: object) -> Raw:
    """Join what was typed with the result that was stored for it."""
    result = stored if isinstance(stored, Cell) else None
    value = _unescaped(result.value) if result else None
    formula = _formula(typed) if typed.data_type == "f" else ""
    error = str(value) if _is_error(result) else ""
    # A text result may well be empty; of any other kind an empty result was never calculated.
    calculated = not formula or value is not None or (result and result.data_type == "str") is True
    percent = isinstance(value, int | float) and "%" in str(typed.number_format)
    return Raw(value, formula, error, calculated, percent)


def _unescaped(value: object) -> object:
    """A text as it was typed: a line break pasted from elsewhere is stored as `_x000D_`."""
    if not isinstance(value, str):
        return value
    return _ESCAPED.sub(lambda code: chr(int(code.group(1), 16)), value)


def _formula(cell: Cell) -> str:
    text = getattr(cell.value, "text", cell.value)
    return text if isinstance(text, str) else "of a table"


def _is_error(cell: Cell | None) -> bool:
    return cell is not None and (cell.data_type == "e" or cell.value in ERROR_VALUES)


def _mib(size: int) -> str:
    return f"{size / _MIB:.0f} MiB"
