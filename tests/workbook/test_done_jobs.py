"""The Done jobs sheet: what jobs really took, and rows that cannot be read."""

from datetime import date
from pathlib import Path

import pytest

from quotegen.model.own.done import Recorded
from quotegen.reference.remark_keys import Task
from quotegen.workbook.reading.reader import WorkbookRead, read_workbook
from tests.workbook.books import at, where_and_what, write_book

LAMINATE = {
    "ref": "T-01", "done_on": date(2026, 6, 12), "what": "laminate", "amount": 2.5, "people": 2,
}  # fmt: skip


def read(tmp_path: Path, *rows: dict[str, object]) -> WorkbookRead:
    return read_workbook(write_book(tmp_path / "jobs.xlsx", done_jobs=rows))


def test_hours_of_a_task_are_those_of_all_its_people(tmp_path: Path) -> None:
    """2.5 h of two people are 5 person-hours; kilograms and days are not multiplied."""
    kilograms = {**LAMINATE, "what": "resin, kg", "amount": 31}
    found = read(tmp_path, LAMINATE, kilograms, {**LAMINATE, "people": None})
    assert found.problems == ()
    assert [row.took for row in found.done] == [5.0, 31.0, 2.5]


@pytest.mark.parametrize(
    ("field", "value"), [("amount", "some"), ("what", "laminating"), ("done_on", None)]
)
def test_a_row_that_cannot_be_read_stops_nothing(tmp_path: Path, field: str, value: object) -> None:
    """The reference is that of a sound enquiry, whose papers do not wait."""
    found = read(tmp_path, {**LAMINATE, field: value}, LAMINATE)
    assert where_and_what(found.problems) == {(at("Done jobs", field, 2), "done-row-left-out")}
    assert not any(p.stops for p in found.problems)
    assert len(found.done) == len(found.enquiries) == 1


def test_tasks_are_those_of_the_take_off() -> None:
    """All but those whose hours are no rates of work."""
    recorded = {one.task for one in Recorded if one.task}
    assert set(Task) - recorded == {
        Task.MOVE_TOWER, Task.FOUND, Task.WAIT, Task.TRAVEL, Task.CLOSE_UP, Task.TEST_MIX,
    }  # fmt: skip
    assert {one for one in Recorded if one.task is None} == {
        Recorded.RESIN_KG, Recorded.TOPCOAT_KG, Recorded.DAYS,
    }  # fmt: skip
