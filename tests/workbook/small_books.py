"""Small workbooks that hold no more than a sound job needs, written by openpyxl, to be spoilt.

They are read in a tenth of the time of a blank one. Parts and cells are changed as text, so that a
file may say what no writer would write.
"""

import io
import re
import zipfile
from collections.abc import Mapping
from datetime import date
from functools import cache
from typing import Any

from openpyxl import Workbook
from openpyxl.utils import get_column_letter

from quotegen.workbook.sheets.declaration import BOOK_SHEETS, OPTIONAL_SHEETS, PRICE_SHEET, sheets
from quotegen.workbook.writing.blank import starting_rows
from tests.workbook.books import BAY, FIRM, PRICE

Parts = dict[str, bytes]
SETTINGS = ("Business", "Waste")


@cache
def sound_book() -> bytes:
    """A workbook of one sound bay."""
    rows: dict[str, list[Mapping[str, Any]]] = {"Enquiries": [BAY]}
    for name, given in starting_rows(FIRM).items():
        if name in SETTINGS:
            rows[name] = [row for row in given if row.get("code") in FIRM]
        elif name not in ("Rates", "Terms"):
            rows[name] = list(given)
    return _written({n: rows.get(n, []) for n in BOOK_SHEETS if n not in OPTIONAL_SHEETS})


@cache
def sound_prices() -> bytes:
    """A price list of two sound rows."""
    topcoat = {**PRICE, "item": "topcoat", "words": "Topcoat"}
    return _written({PRICE_SHEET: [PRICE, topcoat]})


def _written(rows: Mapping[str, list[Mapping[str, Any]]]) -> bytes:
    book = Workbook()
    book.remove(book.worksheets[0])
    for name, given in rows.items():
        page = book.create_sheet(name)
        page.append([column.heading for column in sheets()[name].columns])
        for row in given:
            page.append([_in_cell(row.get(column.field)) for column in sheets()[name].columns])
    content = io.BytesIO()
    book.save(content)
    return packed(_with_shared_texts(parts_of(content.getvalue())))


def _with_shared_texts(parts: Parts) -> Parts:
    """The same workbook with its texts in a part of their own: ISO/IEC 29500-1, 18.4.9."""
    texts: dict[str, int] = {}

    def moved(found: re.Match[str]) -> str:
        number = texts.setdefault(found[2], len(texts))
        return f'<c{found[1]} t="s"><v>{number}</v></c>'

    shared = dict(parts)
    for name, content in parts.items():
        if name.startswith("xl/worksheets/"):
            said = r'<c([^>]*) t="inlineStr"><is><t[^>]*>([^<]*)</t></is></c>'
            shared[name] = re.sub(said, moved, content.decode()).encode()
    items = "".join(f'<si><t xml:space="preserve">{text}</t></si>' for text in texts)
    main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    shared["xl/sharedStrings.xml"] = f'<sst xmlns="{main}">{items}</sst>'.encode()
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"
    known = f'<Override PartName="/xl/sharedStrings.xml" ContentType="{kind}"/></Types>'
    types = shared["[Content_Types].xml"]
    shared["[Content_Types].xml"] = types.replace(b"</Types>", known.encode())
    return shared


def _in_cell(value: Any) -> Any:
    return "; ".join(value) if isinstance(value, tuple) else value


def small_cell(sheet: str, field: str, line: int) -> str:
    """The address of a field's cell in a small workbook, whose headings stand in row 1."""
    fields = [column.field for column in sheets()[sheet].columns]
    return f"{get_column_letter(fields.index(field) + 1)}{line}"


def parts_of(content: bytes) -> Parts:
    """The parts of a workbook by name."""
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def packed(parts: Mapping[str, bytes]) -> bytes:
    """A file of these parts."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return out.getvalue()


def part_of(name: str) -> str:
    """The part of a sheet of the small workbook, or of the price list."""
    names = [one for one in BOOK_SHEETS if one not in OPTIONAL_SHEETS]
    return f"xl/worksheets/sheet{names.index(name) + 1 if name in names else 1}.xml"


def with_cell(parts: Parts, sheet: str, address: str, xml: str) -> Parts:
    """The parts with a cell of one's own XML in place of one, or in its row."""
    part = part_of(sheet)
    text = parts[part].decode()
    spoilt, count = re.subn(
        rf'<c r="{address}"[^>]*?(/>|>.*?</c>)', lambda _: xml, text, count=1, flags=re.DOTALL
    )
    if not count:
        line = re.sub(r"\D", "", address)
        spoilt, count = re.subn(
            rf'(<row r="{line}"[^>]*>.*?)</row>',
            lambda found: f"{found[1]}{xml}</row>",
            text,
            count=1,
            flags=re.DOTALL,
        )
    if not count:
        spoilt = text.replace("</sheetData>", f'<row r="{line}">{xml}</row></sheetData>')
    return {**parts, part: spoilt.encode()}


def cell_xml(address: str, value: Any) -> str:
    """A cell as a spreadsheet program writes it: ECMA-376 part 1, 18.3.1.4."""
    if isinstance(value, bool):
        return f'<c r="{address}" t="b"><v>{int(value)}</v></c>'
    if isinstance(value, int | float):
        return f'<c r="{address}"><v>{value}</v></c>'
    if isinstance(value, date):
        return f'<c r="{address}" t="d"><v>{value.isoformat()}</v></c>'
    if value is None:
        return f'<c r="{address}"/>'
    shown = str(value).replace("&", "&amp;").replace("<", "&lt;")
    return f'<c r="{address}" t="inlineStr"><is><t xml:space="preserve">{shown}</t></is></c>'


def typed(parts: Parts, sheet: str, field: str, value: Any, line: int = 2) -> Parts:
    """The parts with a value typed into a field."""
    address = small_cell(sheet, field, line)
    return with_cell(parts, sheet, address, cell_xml(address, value))
