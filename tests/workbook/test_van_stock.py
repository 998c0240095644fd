"""The Van stock sheet: items, units, what does not count, and every problem with its cell."""

from pathlib import Path

import pytest
from openpyxl import load_workbook

from quotegen.reference import house_rules
from quotegen.workbook.reading.reader import WorkbookRead, read_workbook
from tests.workbook.books import at, settings_of, where_and_what, write_book

ACETONE = {"item": "acetone", "quantity": 2.5, "unit": "l", "note": "counted 20/11/2026"}


def read(tmp_path: Path, *rows: dict[str, object]) -> WorkbookRead:
    return read_workbook(write_book(tmp_path / "jobs.xlsx", van_stock=rows))


def test_stock_is_read_with_its_cell(tmp_path: Path) -> None:
    found = read(tmp_path, ACETONE, {"item": "Mat_450", "quantity": "12", "unit": "m²"})
    assert found.problems == ()
    held = settings_of(found).van_stock
    assert {item: (f.number, f.unit) for item, f in held.items()} == {
        "acetone": (2.5, "l"),
        "mat_450": (12.0, "m2"),
    }
    assert at("Van stock", "quantity", 2) in str(held["acetone"].basis)


def test_several_rows_of_an_item_add_up(tmp_path: Path) -> None:
    found = read(tmp_path, ACETONE, {**ACETONE, "quantity": 1})
    assert settings_of(found).van_stock["acetone"].number == 3.5


def test_an_empty_sheet_or_none_is_an_empty_van(tmp_path: Path) -> None:
    assert settings_of(read(tmp_path)).van_stock == {}
    path = tmp_path / "jobs.xlsx"
    book = load_workbook(path)
    del book["Van stock"]
    book.save(path)
    found = read_workbook(path)
    assert settings_of(found).van_stock == {}
    assert found.problems == ()


@pytest.mark.parametrize(
    ("field", "value", "code"),
    [
        ("item", "acetonne", "stock-item-unknown"),
        ("unit", "kg", "stock-unit-differs"),
        ("quantity", "some", "cell-not-a-number"),
        ("quantity", -1, "cell-out-of-range"),
        ("quantity", None, "cell-missing"),
        ("item", None, "cell-missing"),
        ("item", "trim_wall", "stock-not-counted"),
        ("item", "deck_screw_60", "stock-not-counted"),
        ("item", "delivery", "stock-not-counted"),
    ],
)
def test_a_row_with_a_problem_counts_for_nothing(
    tmp_path: Path, field: str, value: object, code: str
) -> None:
    found = read(tmp_path, {**ACETONE, field: value})
    assert where_and_what(found.problems) == {(at("Van stock", field, 2), code)}
    assert settings_of(found).van_stock == {}


def test_whatever_comes_in_lengths_or_is_hired_is_not_stocked() -> None:
    items = house_rules.items().values()
    not_stocked = {item.code for item in items if not item.stocked}
    assert {i.code for i in items if i.family == "trims" and i.unit == "m"} <= not_stocked
    assert {i.code for i in items if i.code.endswith("_hire")} <= not_stocked
    assert "resin" not in not_stocked


def test_an_unknown_item_is_shown_as_it_was_typed(tmp_path: Path) -> None:
    (problem,) = read(tmp_path, {**ACETONE, "item": "Acetonne"}).problems
    assert (problem.code, problem.seen) == ("stock-item-unknown", "Acetonne")
