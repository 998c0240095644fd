"""Values put straight into the parts of a workbook file, in a hundredth of openpyxl's time.

The format is ECMA-376 part 1: 18.3.1 (rows and cells) and 18.8 (styles). `test_books.py` checks
that both ways give the same workbook.
"""

import io
import zipfile
from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal
from functools import lru_cache
from typing import Any
from xml.etree import ElementTree

from openpyxl.cell.cell import ERROR_CODES, ILLEGAL_CHARACTERS_RE
from openpyxl.styles.numbers import BUILTIN_FORMATS, is_date_format
from openpyxl.utils import column_index_from_string
from openpyxl.utils.cell import coordinate_from_string
from openpyxl.utils.datetime import to_excel

Element = ElementTree.Element

_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_RELATIONS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_STYLES = "xl/styles.xml"


def with_values(
    content: bytes, values: Mapping[str, Mapping[str, Any]], *, typed: bool = False
) -> bytes:
    """A workbook with new values in some cells, by sheet and address; None empties a cell.

    Words are words, whatever they look like; with `typed`, a formula or an error value is one, as
    in openpyxl.
    """
    # Registered each time: other writers may have taken the names since.
    ElementTree.register_namespace("", _MAIN)
    ElementTree.register_namespace("r", _RELATIONS)
    parts = dict(_parts(content))
    dated = _date_style(parts[_STYLES])
    for name, cells in values.items():
        part = _part_of(parts, name)
        sheet = ElementTree.fromstring(parts[part])
        rows = _Rows(sheet)
        for address, value in cells.items():
            _put(rows.cell(address), value, dated, typed)
        parts[part] = ElementTree.tostring(sheet, "utf-8", xml_declaration=True)
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, part_content in parts.items():
            archive.writestr(name, part_content)
    return out.getvalue()


@lru_cache(maxsize=8)
def _parts(content: bytes) -> Mapping[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def _part_of(parts: Mapping[str, bytes], sheet: str) -> str:
    """The part of a sheet, found by the workbook's relations."""
    book = ElementTree.fromstring(parts["xl/workbook.xml"])
    known = {str(one.get("name")): one for one in book.iter(f"{{{_MAIN}}}sheet")}
    relations = ElementTree.fromstring(parts["xl/_rels/workbook.xml.rels"])
    targets = {one.get("Id"): str(one.get("Target")) for one in relations}
    target = targets[known[sheet].get(f"{{{_RELATIONS}}}id")]
    return target.removeprefix("/") if target.startswith("/") else f"xl/{target}"


@lru_cache(maxsize=8)
def _date_style(styles: bytes) -> str:
    """The number of a style that shows a date."""
    root = ElementTree.fromstring(styles)
    formats = {str(number): words for number, words in BUILTIN_FORMATS.items()}
    for one in root.iter(f"{{{_MAIN}}}numFmt"):
        formats[str(one.get("numFmtId"))] = str(one.get("formatCode"))
    looks = root.find(f"{{{_MAIN}}}cellXfs")
    assert looks is not None
    return next(
        str(number)
        for number, look in enumerate(looks)
        if is_date_format(formats[str(look.get("numFmtId"))])
    )


class _Rows:
    """The rows of a sheet, whose cells are found or made in place."""

    def __init__(self, sheet: Element) -> None:
        data = sheet.find(f"{{{_MAIN}}}sheetData")
        assert data is not None
        self._data = data
        self._rows = {int(str(row.get("r"))): row for row in data}
        self._cells = {str(cell.get("r")): cell for row in data for cell in row}

    def cell(self, address: str) -> Element:
        if address not in self._cells:
            _, line = coordinate_from_string(address)
            if line not in self._rows:
                made = Element(f"{{{_MAIN}}}row", r=str(line))
                _insert(self._data, made, lambda row: int(str(row.get("r"))))
                self._rows[line] = made
            cell = Element(f"{{{_MAIN}}}c", r=address)
            _insert(self._rows[line], cell, _column)
            self._cells[address] = cell
        return self._cells[address]


def _column(cell: Element) -> int:
    return column_index_from_string(coordinate_from_string(str(cell.get("r")))[0])


def _insert(parent: Element, made: Element, place: Callable[[Element], int]) -> None:
    before = sum(place(one) < place(made) for one in parent)
    parent.insert(before, made)


def _put(cell: Element, value: Any, dated: str, typed: bool) -> None:
    for child in list(cell):
        cell.remove(child)
    cell.attrib.pop("t", None)
    if value is None:
        return
    tag, kind, words = _stored(value, typed)
    if kind:
        cell.set("t", kind)
    if isinstance(value, date):
        cell.set("s", dated)
    holder = ElementTree.SubElement(cell, f"{{{_MAIN}}}is") if tag == "t" else cell
    held = ElementTree.SubElement(holder, f"{{{_MAIN}}}{tag}")
    held.text = words
    if tag == "t":
        held.set("{http://www.w3.org/XML/1998/namespace}space", "preserve")


def _stored(value: Any, typed: bool) -> tuple[str, str, str]:
    """The content of a cell: its element, its type and its words."""
    if isinstance(value, bool):
        return "v", "b", str(int(value))
    if isinstance(value, int | float | Decimal):
        return "v", "", str(value)
    if isinstance(value, date):
        return "v", "", str(to_excel(value))
    if typed and value in ERROR_CODES:
        return "v", "e", value
    if typed and value.startswith("="):
        return "f", "", value[1:]
    assert not ILLEGAL_CHARACTERS_RE.search(value), value
    assert "\r" not in value, value
    return "t", "inlineStr", value
