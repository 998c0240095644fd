"""Rows of an older workbook for what is a table now: nothing filled in there is lost in silence."""

from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from quotegen.problems import Problem, stopping
from quotegen.reference import house_rules
from quotegen.workbook.reading.moved_settings import moved_codes
from quotegen.workbook.reading.reader import read_workbook
from quotegen.workbook.sheets.declaration import SETTING_SHEETS, TABLE_SHEETS
from quotegen.workbook.writing.blank import table_rows
from tests.workbook.books import at, settings_of, type_into, write_book

OLD = [
    *(f"catalyst_{what}_{c}c_pct" for what in ("resin", "topcoat") for c in range(5, 31, 5)),
    *(f"{what}_hours_{c}c" for what in ("walk_on", "topcoat_dry") for c in range(5, 31, 5)),
    *(f"waste_{what}_{roof}_pct"
      for what in ("insulation", "mat", "resin", "topcoat", "bandage", "batten")
      for roof in ("plain", "cut_up")),
    *(f"waste_{what}_pct" for what in ("catalyst", "fixings", "adhesive")),
]  # fmt: skip
"""The settings of older workbooks that are rows of a table now."""
SHEET_OF = dict.fromkeys(OLD, "Rates") | {code: "Waste" for code in OLD if code.startswith("waste")}


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return write_book(tmp_path / "jobs.xlsx")


def with_old_rows(path: Path, values: dict[str, Any], first: int = 400) -> list[Problem]:
    """What is said of a workbook with these old settings below the others."""
    cells: dict[str, Any] = {}
    for line, (code, value) in enumerate(values.items(), start=first):
        cells[at(SHEET_OF[code], "code", line)] = code
        cells[at(SHEET_OF[code], "value", line)] = value
    return list(read_workbook(type_into(path, cells)).problems)


def test_every_old_setting_is_known_and_is_a_setting_no_more() -> None:
    assert set(moved_codes()) == set(OLD)
    assert not set(OLD) & set(house_rules.settings())
    assert {there.sheet for there in moved_codes().values()} == set(TABLE_SHEETS)


def test_each_old_setting_with_a_figure_of_its_own_stops_and_says_where_it_stands_now(
    path: Path,
) -> None:
    """7.5 is the figure of no row of the house."""
    found = with_old_rows(path, dict.fromkeys(OLD, 7.5))
    assert {(p.code, p.stops) for p in found} == {("setting-moved", True)}
    told = {str(p.details["setting"]): p for p in found}
    assert set(told) == set(OLD)
    said = told["catalyst_resin_10c_pct"]
    assert said.place.cell == f"C{400 + OLD.index('catalyst_resin_10c_pct')}"
    assert said.seen == "7.5"
    assert "“Catalyst doses”" in said.message
    assert "resin at 10 °C, Catalyst (% by mass)" in said.message
    assert said.message.endswith("the figure is 3")
    assert "7.5" in said.cure
    assert "glass mat" in told["waste_mat_cut_up_pct"].message
    assert "Cut-up roof (%)" in told["waste_mat_cut_up_pct"].message
    assert stopping(found, "T-01")


def test_old_rows_that_say_the_same_are_only_to_be_deleted(path: Path) -> None:
    """Common practice: resin takes 3 % at 10 °C; a blank cell left the default as it was."""
    found = with_old_rows(
        path,
        {"CATALYST_RESIN_10C_PCT".lower(): "3 %", "catalyst_topcoat_5c_pct": None,
         "walk_on_hours_20c": 1.5, "waste_fixings_pct": 10},
    )  # fmt: skip
    said = {(p.code, p.stops, p.place.sheet, p.details["sheet"], p.details["count"]) for p in found}
    assert said == {
        ("settings-left-over", False, "Rates", "Catalyst doses", "2 rows"),
        ("settings-left-over", False, "Rates", "Curing times", "1 row"),
        ("settings-left-over", False, "Waste", "Material losses", "1 row"),
    }
    assert all(p.message and p.cure for p in found)


@pytest.mark.parametrize("value", ["about 3", 3.5, 0, "=1+2", True])
def test_an_old_figure_that_cannot_be_read_or_differs_stops(path: Path, value: object) -> None:
    (found,) = with_old_rows(path, {"catalyst_resin_10c_pct": value})
    assert (found.code, found.place.sheet, found.place.cell) == ("setting-moved", "Rates", "C400")


def test_a_figure_that_was_carried_over_stops_no_more(tmp_path: Path) -> None:
    rows = [
        {**row, "dose_pct": 3.5} if (row["material"], row["deck_c"]) == ("resin", 10) else row
        for row in table_rows()["Catalyst doses"]
    ]
    path = write_book(tmp_path / "jobs.xlsx", catalyst_doses=rows)
    assert with_old_rows(path, {"catalyst_resin_10c_pct": 3.5})[0].code == "settings-left-over"


def test_a_temperature_that_the_table_has_no_more_stops(tmp_path: Path) -> None:
    rows = [row for row in table_rows()["Catalyst doses"] if row["deck_c"] != 15]
    path = write_book(tmp_path / "jobs.xlsx", catalyst_doses=rows)
    (found,) = with_old_rows(path, {"catalyst_resin_15c_pct": 2.5})
    assert found.code == "setting-moved"
    assert found.message.endswith("the figure is nothing")


def test_a_whole_older_workbook_is_read_as_before(path: Path) -> None:
    """Its own 3.5 % at 10 °C stops until it is carried over; the house's figures only warn."""
    book = load_workbook(path)
    for name in TABLE_SHEETS:
        del book[name]
    book.save(path)
    same = {code: there.now(settings_of(read_workbook(path)).tables) for code, there in
            moved_codes().items()}  # fmt: skip
    found = with_old_rows(path, same)
    assert {p.code for p in found} == {"sheet-defaulted", "settings-left-over"}
    assert not stopping(found, "T-01")
    found = with_old_rows(path, {**same, "catalyst_resin_10c_pct": 3.5})
    assert [p.details["setting"] for p in found if p.stops] == ["catalyst_resin_10c_pct"]


def test_an_old_setting_is_told_of_on_whatever_settings_sheet_it_stands(path: Path) -> None:
    for sheet in SETTING_SHEETS:
        cells = {at(sheet, "code", 500): "waste_mat_plain_pct", at(sheet, "value", 500): 9}
        type_into(path, cells)
    found = read_workbook(path).problems
    assert {(p.code, p.place.sheet) for p in found} == {
        ("setting-moved", sheet) for sheet in SETTING_SHEETS
    }
