"""Test workbooks equal those the product and openpyxl write; they are only made faster."""

from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from openpyxl import load_workbook

from quotegen.workbook.reading.price_lists import read_price_lists
from quotegen.workbook.reading.reader import read_workbook
from quotegen.workbook.writing.blank import starting_rows
from quotegen.workbook.writing.writing import CellIn, write_price_list, write_workbook
from tests.workbook.books import (
    FIRM,
    PRICE,
    at,
    cell_of,
    enquiry_row,
    setting_cell,
    type_into,
    write_book,
    write_prices,
)


def cells(path: Path) -> dict[str, tuple[Any, str, bool]]:
    """Every filled cell as openpyxl reads it: the value, its kind, whether it is a date."""
    return {
        f"{page.title}!{cell.coordinate}": (cell.value, cell.data_type, cell.is_date)
        for page in load_workbook(path)
        for row in page
        for cell in row
        if cell.value is not None
    }


def typed_in(path: Path) -> dict[str, tuple[Any, str, bool]]:
    """Every filled cell but those the file works out, which a bare workbook has for fewer rows."""
    letter = cell_of("Enquiries", "missing", 1).rstrip("0123456789")
    return {at: cell for at, cell in cells(path).items() if f"Enquiries!{letter}" not in at}


def test_rows_put_in_are_as_the_product_writes_them(tmp_path: Path) -> None:
    finding = {"ref": "T-01", "seen": "Rot.\nMore <rot> & “mould”.  Two  spaces ", "photo": ""}
    openings = [{"ref": "T-01", "kind": "pipe", "count": 1, "length_mm": "11 cm"}]
    enquiries = [enquiry_row(f"T-{n:02}", below=("garden", "doorway"), flue_near=n % 2 == 0)
                 for n in range(1, 30)]  # fmt: skip
    forecast = [{"day": date(2026, 12, 1), "from_hour": 9, "air_c": -1.5}]
    terms = [{"kind": "exclusion", "text": "Only this one."}]
    firm: dict[str, CellIn] = {
        "profit_pct": 18,
        "labour_cost_per_hour": Decimal("27.50"),
        "vat_registered": False,
    }
    rows = starting_rows({**FIRM, **firm}) | {
        "Enquiries": enquiries, "Openings": openings, "Findings": [finding],
        "Forecast": forecast, "Terms": terms,
    }  # fmt: skip
    whole, quick = tmp_path / "whole" / "jobs.xlsx", tmp_path / "quick" / "jobs.xlsx"
    assert write_workbook(whole, rows) is None
    write_book(quick, *enquiries, openings=openings, findings=[finding], forecast=forecast,
               terms=terms, firm=firm)  # fmt: skip
    assert typed_in(quick) == typed_in(whole)
    assert len(cells(whole)) > 1000
    assert read_workbook(quick) == read_workbook(whole)


def test_prices_put_in_are_as_the_product_writes_them(tmp_path: Path) -> None:
    changes: list[Mapping[str, Any]] = [{}, {"pack_price": Decimal("1.10"), "dated": None}]
    changes += [{"pack_size": n} for n in range(30)]
    whole, quick = tmp_path / "whole" / "list.xlsx", tmp_path / "quick" / "list.xlsx"
    assert write_price_list(whole, [{**PRICE, **change} for change in changes]) is None
    write_prices(quick, *changes)
    assert cells(quick) == cells(whole)
    assert read_price_lists([quick]) == read_price_lists([whole])


def test_what_is_typed_in_is_as_openpyxl_types_it(tmp_path: Path) -> None:
    line: dict[str, Any] = {
        "ref": "T-02", "dated": datetime(2026, 11, 25, 9, 30), "width_mm": 2400, "layers": 1.5,  # noqa: DTZ001
        "projection_mm": "=1000*3", "front_width_mm": "#REF!", "flue_near": True,
        "customer_name": None, "customer_notes": " a\n<b> ",
    }  # fmt: skip
    typed = {at("Enquiries", field, 2): value for field, value in line.items()}
    typed |= {"Enquiries!CZ1": "Mine", "Enquiries!B40": 7, "Findings!A1": None}
    typed |= {setting_cell("crew"): 3, at("Rates", "code", 3): "bord_mm"}
    quick = type_into(write_book(tmp_path / "quick" / "jobs.xlsx"), typed)
    whole = write_book(tmp_path / "whole" / "jobs.xlsx")
    book = load_workbook(whole)
    for name, value in typed.items():
        sheet, cell = name.split("!")
        book[sheet][cell] = value
    book.save(whole)
    assert cells(quick) == cells(whole)
    assert cells(whole).keys() >= {name for name, value in typed.items() if value is not None}
    assert read_workbook(quick) == read_workbook(whole)
    assert load_workbook(quick)["Enquiries"][cell_of("Enquiries", "dated", 2)].is_date
