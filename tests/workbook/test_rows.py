"""A row is read by the columns of its own sheet, and by nothing else."""

from collections.abc import Callable
from typing import Any

import pytest

from quotegen.model.choices import OpeningKind
from quotegen.problems import Place
from quotegen.units import Unit
from quotegen.workbook.package.book import RawSheet
from quotegen.workbook.package.raw_cell import Raw
from quotegen.workbook.reading.rows import Row, read_rows
from quotegen.workbook.sheets.columns import DeclarationError
from quotegen.workbook.sheets.details import OPENINGS
from quotegen.workbook.sheets.enquiries import ENQUIRIES
from quotegen.workbook.sheets.firm import BUSINESS, RATES
from quotegen.working import Figure, Origin, Source

HEADINGS = [column.heading for column in OPENINGS.columns if column is not OPENINGS.out_mm]


@pytest.fixture
def row() -> Row:
    """A rooflight whose kerb is not sound, on a sheet that has lost its last column."""
    typed = ["T-01", "rooflight", 1, 900, None, "high", None]
    cells = {(1, number): Raw(heading) for number, heading in enumerate(HEADINGS, start=1)}
    cells |= {(2, n): Raw(value) for n, value in enumerate(typed, start=1) if value is not None}
    (row,), problems = read_rows("jobs.xlsx", RawSheet("Openings", cells), OPENINGS)
    assert [found.code for found in problems] == ["heading-missing"]
    return row


def test_a_row_says_what_its_cells_hold(row: Row) -> None:
    assert row[OPENINGS.ref] == "T-01"
    assert row[OPENINGS.kind] is OpeningKind.ROOFLIGHT
    origin = Origin(Source.CELL, "Openings!D2", "Length or diameter (mm)")
    assert row.get(OPENINGS.length_mm) == Figure("Length or diameter (mm)", 900.0, Unit.MM, origin)
    assert row.place(OPENINGS.kerb_mm) == Place("jobs.xlsx", "Openings", "F2", "Kerb height (mm)")


def test_a_cell_is_sound_faulty_blank_or_not_there(row: Row) -> None:
    asked = (OPENINGS.length_mm, OPENINGS.kerb_mm, OPENINGS.width_mm, OPENINGS.out_mm)
    assert [row.get(column) is not None for column in asked] == [True, False, False, False]
    assert [row.typed(column) for column in asked] == [True, True, False, False]
    assert [row.faulty(column) for column in asked] == [False, True, False, False]
    assert [row.headed(column) for column in asked] == [True, True, True, False]
    assert [row.filled(column) for column in asked] == [True, True, False, True]
    assert [[p.code for p in row.missing(column)] for column in asked] == [
        [], [], ["cell-missing"], []
    ]  # fmt: skip


def test_what_must_be_there_and_is_not_is_our_own_fault(row: Row) -> None:
    with pytest.raises(TypeError, match=r"Openings!E2 \(Width \(mm\)\) holds nothing"):
        row[OPENINGS.width_mm]


@pytest.mark.parametrize(
    "ask",
    [Row.get, Row.__getitem__, Row.raw, Row.typed, Row.headed, Row.faulty, Row.filled, Row.place,
     Row.missing, lambda row, column: row.problem("cell-missing", column, needed="a width")],
)  # fmt: skip
@pytest.mark.parametrize("column", [ENQUIRIES.width_mm, ENQUIRIES.ref, "width_mm"])
def test_a_column_of_another_sheet_is_refused_at_once(
    row: Row, ask: Callable[[Row, Any], object], column: Any
) -> None:
    """The width of a roof and the reference stand on both sheets under the same names."""
    with pytest.raises(DeclarationError, match="Openings has no such column"):
        ask(row, column)


def test_a_name_that_no_sheet_declares_is_an_error() -> None:
    with pytest.raises(AttributeError, match="humidty_pct"):
        ENQUIRIES.humidty_pct  # type: ignore[attr-defined]  # noqa: B018 - as mypy finds too


def test_sheets_of_settings_share_their_columns() -> None:
    assert BUSINESS.columns == RATES.columns
