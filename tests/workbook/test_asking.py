"""What the Enquiries sheet itself does: groups that fold, greying, and what is missing.

LibreOffice works the formulas out; where it is not installed its checks are skipped.
"""

from pathlib import Path
from random import Random
from typing import Any

import pytest
from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from quotegen.model.choices import Shape
from quotegen.workbook.reading.reader import read_workbook
from quotegen.workbook.sheets.enquiries import ENQUIRIES
from quotegen.workbook.sheets.visit import GROUPS
from quotegen.workbook.writing.blank import starting_rows, write_blank
from quotegen.workbook.writing.writing import write_workbook
from tests.spreadsheets import converted
from tests.workbook.books import BAY, FIRM, cell_of
from tests.workbook.test_twelve_cells import PORCH, TWELVE

LACKS = {
    "cell-missing", "size-missing", "edge-kind-missing", "outline-missing", "cap-over-unsound",
    "access-reason-missing",
}  # fmt: skip
"""The problems of a row that lacks something."""

OPTIONS: dict[str, list[Any]] = {
    "customer_name": ["Ms R. Petrel"],
    "customer_kind": ["landlord", "home-owner"],
    "site_address": ["4 Kittiwake Street"],
    "roof_kind": ["bay", "garage"],
    "shape": [str(shape) for shape in Shape],
    "width_mm": [4000, "4 m"],
    "projection_mm": [1500],
    "front_width_mm": [1200],
    "left_set_back_mm": [300],
    "notch_width_mm": [900],
    "notch_depth_mm": [700],
    "notch_at": ["left"],
    "edges_at_once": ["wall behind, gutter in front"],
    "edge_back": ["wall upstand"],
    "edge_right": ["raised edge"],
    "edge_front": ["drip to gutter"],
    "edge_left": ["raised edge"],
    "edge_notch": ["raised edge"],
    "covering": ["felt", "none"],
    "deck": ["sheet boards"],
    "condition": ["sound", "rotten"],
    "build_ups": ["new deck", "cap over; new deck with insulation", "cap over with insulation"],
    "insulation_mm": [120],
    "access": ["tower", "ladder"],
    "ladder_reason": ["Ten minutes of measuring."],
}


@pytest.fixture(scope="module")
def blank(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("blank") / "jobs.xlsx"
    assert write_blank(path) is None
    return path


def page_of(path: Path) -> Worksheet:
    page: Worksheet = load_workbook(path)["Enquiries"]
    return page


def random_rows(count: int) -> list[dict[str, Any]]:
    """Rows of which any cell may be blank, the same on every machine."""
    draw = Random(15)
    return [
        {"ref": f"R-{number:03}"}
        | {f: draw.choice(values) for f, values in OPTIONS.items() if draw.random() < 0.75}
        for number in range(count)
    ]


def test_the_file_says_what_is_missing_as_the_check_does(tmp_path: Path) -> None:
    rows = [{**row, "ref": f"S-{n}"} for n, row in enumerate((BAY, TWELVE, PORCH))]
    rows += random_rows(250)
    path = tmp_path / "jobs.xlsx"
    outline = [
        {"ref": row["ref"], "along_mm": along, "out_mm": out, "kind": "free drip"}
        for row in rows[::2]
        if row.get("shape") in ("five-facet bay", "measured outline")
        for along, out in ((0, 0), (3000, 0), (2000, 800))
    ]
    assert (
        write_workbook(path, {**starting_rows(FIRM), "Enquiries": rows, "Outline": outline}) is None
    )
    asked: dict[str, set[str]] = {str(row["ref"]): set() for row in rows}
    for found in read_workbook(path).problems:
        if found.code in LACKS and found.place.sheet == "Enquiries":
            asked[found.ref].add(found.place.heading)
    for kind in ("xlsx", "ods"):
        opened = converted(path, kind, into=tmp_path / kind)
        again = opened if kind == "xlsx" else converted(opened, "xlsx", into=tmp_path / "again")
        page = load_workbook(again, data_only=True)["Enquiries"]
        said = {}
        for line, row in enumerate(rows, start=2):
            words = page[cell_of("Enquiries", "missing", line)].value
            said[str(row["ref"])] = set(words.split("; ")) if words else set()
        assert said == asked, kind
    assert not asked["S-0"] and not asked["S-1"] and not asked["S-2"]
    assert sum(bool(one) for one in asked.values()) > 200
    assert {heading for one in asked.values() for heading in one} >= {
        "Front width (mm)", "Notch at", "Left edge", "Insulation (mm)", "Reason if a ladder",
        "Deck", "Deck condition", "Shape",
    }  # fmt: skip


def test_what_the_file_works_out_is_never_read(blank: Path) -> None:
    """The formulas of rows nobody has filled in are no rows."""
    assert read_workbook(blank).refs == ()


def test_each_group_has_its_head_above_and_folds_away(blank: Path) -> None:
    page = page_of(blank)
    heads = [cell.value for cell in page[1] if cell.value]
    assert heads == [group.name for group in GROUPS]
    shown = [
        column.heading
        for number, column in enumerate(ENQUIRIES.columns, start=1)
        if not _dimension(page, number).hidden
    ]
    first = [column.heading for column in ENQUIRIES.columns if column.first]
    assert set(first) < set(shown)
    assert set(shown) - set(first) == {
        "What is missing", "Build-ups to price", "Access", "Date of visit",
    }  # fmt: skip
    for number, column in enumerate(ENQUIRIES.columns, start=1):
        folds = _dimension(page, number).outlineLevel == 1
        assert folds == (column.heading not in shown), column.heading
    outline = page.sheet_properties.outlinePr
    assert outline is not None and outline.summaryRight is False


def _dimension(page: Worksheet, number: int) -> Any:
    """The dimension that covers a column: neighbours alike share one."""
    return next(
        one for one in page.column_dimensions.values() if (one.min or 0) <= number <= (one.max or 0)
    )


def test_every_heading_says_what_it_is_for(blank: Path) -> None:
    page = page_of(blank)
    for column in ENQUIRIES.columns:
        cell = page[cell_of("Enquiries", column.field, 1)]
        assert cell.comment is not None and cell.comment.text == column.prompt


def test_what_the_shape_does_not_need_turns_grey(blank: Path) -> None:
    """LibreOffice keeps the rules; here they are looked at as written."""
    rules = {
        str(cells.sqref).split(":")[0]: rule.formula[0]
        for cells in page_of(blank).conditional_formatting
        for rule in cells.rules
        if rule.stopIfTrue
    }
    notch = rules[cell_of("Enquiries", "notch_width_mm", 2)]
    assert '"L-shape"' in notch and notch.endswith("=FALSE)")
    for field in ("width_mm", "front_width_mm", "notch_at", "edge_notch", "edges_at_once",
                  "insulation_mm", "ladder_reason"):  # fmt: skip
        assert cell_of("Enquiries", field, 2) in rules
