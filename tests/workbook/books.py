"""Workbooks for tests: sound rows to start from, and wrong cells as a person would type them."""

from collections.abc import Callable, Mapping
from datetime import date
from functools import cache
from itertools import zip_longest
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from openpyxl.utils import get_column_letter

from quotegen.model.settings import Settings
from quotegen.problems import Problem
from quotegen.workbook.reading.reader import WorkbookRead
from quotegen.workbook.sheets.columns import YES_NO, DeclarationError
from quotegen.workbook.sheets.declaration import PRICE_SHEET, SETTING_SHEETS, sheets
from quotegen.workbook.writing.blank import starting_rows
from quotegen.workbook.writing.writing import CellIn, RowsIn, write_price_list, write_workbook
from tests.workbook.cells_in import with_values

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
    return written(path, rows)


def write_prices(path: Path, *rows: Mapping[str, Any]) -> Path:
    """A price list with these rows, each a change to one sound row."""
    return written_prices(path, [{**PRICE, **row} for row in rows])


def written(path: Path, rows: Mapping[str, RowsIn]) -> Path:
    """A workbook of these rows, replacing any earlier one: a bare one with the rows put in."""
    return _put_down(path, f"book {rows!r}", lambda: _with_rows(rows))


def written_prices(path: Path, rows: RowsIn) -> Path:
    """A price list of these rows, replacing any earlier one: a bare one with the rows put in."""
    changes = {PRICE_SHEET: _changes(PRICE_SHEET, (), rows)}
    return _put_down(path, f"prices {rows!r}", lambda: with_values(_bare_prices(), changes))


def _with_rows(rows: Mapping[str, RowsIn]) -> bytes:
    bare, content = _bare_book()
    changed = {
        name: changes
        for name in bare.keys() | rows.keys()
        if (changes := _changes(name, bare.get(name, ()), rows.get(name, ())))
    }
    return with_values(content, changed)


def _put_down(path: Path, alike: str, make: Callable[[], bytes]) -> Path:
    """Put a file in place; one made before is copied."""
    if alike not in _MADE:
        _MADE[alike] = make()
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(_MADE[alike])
    return path


_MADE: dict[str, bytes] = {}


@cache
def _bare_book() -> tuple[dict[str, RowsIn], bytes]:
    """The rows of the invented firm without an enquiry, and the workbook written of them."""
    rows = starting_rows(FIRM)
    return rows, _as_written(lambda path: write_workbook(path, rows))


@cache
def _bare_prices() -> bytes:
    return _as_written(lambda path: write_price_list(path, ()))


def _as_written(write: Callable[[Path], Problem | None]) -> bytes:
    """The bytes the product writes."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "bare.xlsx"
        assert write(path) is None
        return path.read_bytes()


def _changes(name: str, before: RowsIn, after: RowsIn) -> dict[str, Any]:
    """The cells that differ between two lists of rows, with their new values."""
    fields = [column.field for column in sheets()[name].columns]
    unknown = {field for row in after for field in row} - set(fields)
    if unknown:
        raise DeclarationError(f"{name} has no columns for {sorted(unknown)}")
    no_row: Mapping[str, CellIn] = {}
    pairs = zip_longest(before, after, fillvalue=no_row)
    return {
        f"{get_column_letter(number)}{line}": new
        for line, (old_row, new_row) in enumerate(pairs, start=sheets()[name].heading_row + 1)
        for number, field in enumerate(fields, start=1)
        if (new := _in_a_cell(new_row.get(field))) != _in_a_cell(old_row.get(field))
    }


def _in_a_cell(value: CellIn) -> CellIn:
    """A value as a cell holds it."""
    if isinstance(value, bool):
        return YES_NO[0] if value else YES_NO[1]
    return "; ".join(value) if isinstance(value, tuple) else value if value != "" else None


def type_into(path: Path, cells: Mapping[str, Any]) -> Path:
    """Type values into cells named `Sheet!F7`, bypassing the spreadsheet's rules."""
    values: dict[str, dict[str, Any]] = {}
    for name, value in cells.items():
        sheet, cell = name.split("!")
        values.setdefault(sheet, {})[cell] = value
    path.write_bytes(with_values(path.read_bytes(), values, typed=True))
    return path


def setting_cell(code: str) -> str:
    """The value cell of a setting in a workbook we wrote."""
    return next(
        at(name, "value", line)
        for name in SETTING_SHEETS
        for line, row in enumerate(starting_rows()[name], start=2)
        if row.get("code") == code
    )


def cell_of(sheet: str, field: str, line: int) -> str:
    """The address of a field's cell in a workbook we wrote.

    Lines are counted as if the headings stood on line 1, so the first row filled in is line 2.
    """
    fields = [column.field for column in sheets()[sheet].columns]
    below = line + sheets()[sheet].heading_row - 1
    return f"{get_column_letter(fields.index(field) + 1)}{below}"


def at(sheet: str, field: str, line: int) -> str:
    """The address with its sheet, as in a problem's place."""
    return f"{sheet}!{cell_of(sheet, field, line)}"


def settings_of(read: WorkbookRead) -> Settings:
    """The settings of a workbook that has them in full."""
    assert read.settings is not None
    return read.settings


def where_and_what(problems: tuple[Problem, ...]) -> set[tuple[str, str]]:
    """Problems as (Sheet!cell, code), which tests compare."""
    return {(f"{p.place.sheet}!{p.place.cell}", p.code) for p in problems}
