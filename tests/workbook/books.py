"""Workbooks for tests: sound rows to start from, and wrong cells put in as a person would."""

from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path
from typing import Any

from openpyxl import load_workbook
from openpyxl.utils import get_column_letter

from quotegen.problems import Problem
from quotegen.workbook.blank import starting_rows
from quotegen.workbook.declaration import sheets
from quotegen.workbook.writing import write_price_list, write_workbook

FIRM: dict[str, Any] = {
    "firm_name": "Tern & Daughter Roofing",
    "firm_address": "1 Quay Lane, Mizzlehaven ZZ1 1ZZ",
    "firm_phone": "01632 960001",
    "vat_registered": "yes",
    "labour_cost_per_hour": 28,
    "tip_charge_per_tonne": 140,
}

BAY: dict[str, Any] = {
    "ref": "T-01",
    "dated": date(2026, 11, 25),
    "customer_name": "Ms R. Petrel",
    "customer_kind": "landlord",
    "bill_address": "9 Gull Row, Mizzlehaven",
    "site_address": "4 Kittiwake Street, Mizzlehaven ZZ1 4AA",
    "roof_kind": "bay",
    "shape": "canted bay",
    "width_mm": 2400,
    "projection_mm": 600,
    "front_width_mm": 1200,
    "edge_back": "wall upstand",
    "edge_right": "drip to gutter",
    "edge_front": "drip to gutter",
    "edge_left": "drip to gutter",
    "wall_joint": "new flashing",
    "covering": "felt",
    "deck": "sheet boards",
    "condition": "sound",
    "build_ups": "cap over; new deck",
    "colour": "dark grey",
}

PRICE: dict[str, Any] = {
    "item": "resin",
    "words": "Laminating resin, drum",
    "unit": "kg",
    "pack_size": 20,
    "pack_price": 96.5,
    "supplier": "Gannet Supplies",
    "dated": date(2026, 11, 2),
}


def enquiry_row(ref: str, **changes: Any) -> dict[str, Any]:
    """The sound bay under another reference; None empties a cell."""
    row = {**BAY, "ref": ref, **changes}
    return {field: value for field, value in row.items() if value is not None}


def write_book(path: Path, *enquiries: Mapping[str, Any], **others: Any) -> Path:
    """A workbook of the invented firm with these rows; other sheets by their lower-case name."""
    rows = starting_rows({**FIRM, **others.pop("firm", {})})
    rows["Enquiries"] = list(enquiries) or [BAY]
    for name, given in others.items():
        rows[name.capitalize().replace("_", " ")] = given
    return written(path, write_workbook, rows)


def write_prices(path: Path, *rows: Mapping[str, Any]) -> Path:
    """A price list with these rows, each a change to one sound row."""
    return written(path, write_price_list, [{**PRICE, **row} for row in rows])


def written(path: Path, write: Callable[[Path, Any], Problem | None], rows: Any) -> Path:
    """A workbook of these rows in place of what was there; what was written before is copied."""
    path.unlink(missing_ok=True)
    alike = f"{write.__name__} {rows!r}"
    if alike in _WRITTEN:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(_WRITTEN[alike])
    else:
        assert write(path, rows) is None
        _WRITTEN[alike] = path.read_bytes()
    return path


_WRITTEN: dict[str, bytes] = {}


def type_into(path: Path, cells: Mapping[str, Any]) -> Path:
    """Type values into cells named `Sheet!F7`, past all the rules of the spreadsheet."""
    book = load_workbook(path)
    for name, value in cells.items():
        sheet, cell = name.split("!")
        book[sheet][cell] = value
    book.save(path)
    return path


def cell_of(sheet: str, field: str, line: int) -> str:
    """The address of a field's cell in a workbook we wrote."""
    fields = [column.field for column in sheets()[sheet].columns]
    return f"{get_column_letter(fields.index(field) + 1)}{line}"


def at(sheet: str, field: str, line: int) -> str:
    """The same with its sheet, as a problem's place says it."""
    return f"{sheet}!{cell_of(sheet, field, line)}"


def where_and_what(problems: tuple[Problem, ...]) -> set[tuple[str, str]]:
    """Problems as (Sheet!cell, code), which is what tests compare."""
    return {(f"{p.place.sheet}!{p.place.cell}", p.code) for p in problems}
