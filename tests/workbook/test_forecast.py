"""The Forecast sheet: rows by hour and by day, and every problem with its cell."""

from datetime import date
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from quotegen.model.weather import Sky
from quotegen.workbook.reading.reader import WorkbookRead, read_workbook
from tests.workbook.books import at, settings_of, where_and_what, write_book

MONDAY = date(2026, 12, 7)
NINE: dict[str, Any] = {
    "day": MONDAY,
    "from_hour": 9,
    "air_c": 9,
    "humidity_pct": 72,
    "sky": "dry",
}


def read(tmp_path: Path, *rows: dict[str, Any]) -> WorkbookRead:
    return read_workbook(write_book(tmp_path / "jobs.xlsx", forecast=rows))


def test_rows_come_in_order_of_time_with_their_cells(tmp_path: Path) -> None:
    later = {**NINE, "from_hour": 12, "air_c": 11, "sky": "rain", "deck_c": 10}
    tuesday = {"day": date(2026, 12, 8), "air_c": 6}
    found = read(tmp_path, tuesday, later, NINE)
    assert found.problems == ()
    first, second, third = settings_of(found).forecast
    assert (first.day, first.from_hour, first.sky) == (MONDAY, 9, Sky.DRY)
    assert first.air_c is not None
    assert first.air_c.number == 9
    assert at("Forecast", "air_c", 4) in str(first.air_c.basis)
    assert second.deck_c is not None
    assert (second.from_hour, second.sky, second.deck_c.number) == (12, Sky.RAIN, 10)
    assert (third.from_hour, third.humidity_pct, third.sky) == (None, None, None)


def test_an_empty_sheet_or_none_is_no_forecast(tmp_path: Path) -> None:
    assert settings_of(read(tmp_path)).forecast == ()
    path = tmp_path / "jobs.xlsx"
    book = load_workbook(path)
    del book["Forecast"]
    book.save(path)
    found = read_workbook(path)
    assert (settings_of(found).forecast, found.problems) == ((), ())


@pytest.mark.parametrize(
    ("field", "value", "code"),
    [
        ("day", None, "cell-missing"),
        ("day", "next week", "cell-not-a-date"),
        ("from_hour", 24, "cell-out-of-range"),
        ("from_hour", 9.5, "cell-not-whole"),
        ("air_c", "mild", "cell-not-a-number"),
        ("humidity_pct", 0, "cell-out-of-range"),
        ("humidity_pct", 104, "cell-out-of-range"),
        ("sky", "cloudy", "cell-not-a-choice"),
    ],
)
def test_a_row_with_a_problem_counts_for_nothing_and_stops_nothing(
    tmp_path: Path, field: str, value: object, code: str
) -> None:
    found = read(tmp_path, {**NINE, field: value})
    assert where_and_what(found.problems) == {(at("Forecast", field, 2), code)}
    assert settings_of(found).forecast == ()
    assert [enquiry.ref for enquiry in found.enquiries] == ["T-01"]


def test_two_rows_of_one_hour_are_both_left_out(tmp_path: Path) -> None:
    found = read(tmp_path, NINE, {**NINE, "air_c": 4}, {**NINE, "from_hour": 12})
    assert [row.from_hour for row in settings_of(found).forecast] == [12]
    assert where_and_what(found.problems) == {
        (at("Forecast", "day", 2), "forecast-twice"),
        (at("Forecast", "day", 3), "forecast-twice"),
    }


def test_a_whole_day_beside_hours_is_left_out(tmp_path: Path) -> None:
    found = read(tmp_path, NINE, {**NINE, "from_hour": None})
    assert [row.from_hour for row in settings_of(found).forecast] == [9]
    assert where_and_what(found.problems) == {(at("Forecast", "from_hour", 3), "forecast-mixed")}
