"""One cell to a value or a problem."""

from datetime import date, datetime, time
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen.problems import Place, Problem
from quotegen.units import Unit
from quotegen.workbook.package.raw_cell import Raw
from quotegen.workbook.reading.cells import CellValue, read_cell
from quotegen.workbook.sheets.columns import AnyColumn, CellKind, Column
from quotegen.workbook.sheets.declaration import sheets
from quotegen.workbook.sheets.details import EXTRAS, OUTLINE
from quotegen.workbook.sheets.enquiries import ENQUIRIES
from quotegen.workbook.typed.words import bare, says_unknown

TYPED_DAY = datetime(2026, 3, 4)  # noqa: DTZ001 (a cell has no time zone)
HERE = Place("jobs.xlsx", "Enquiries", "L2")
WIDTH = ENQUIRIES.width_mm
DAY = ENQUIRIES.dated
BUILD_UPS = ENQUIRIES.build_ups
SHAPE = ENQUIRIES.shape
LAYERS = ENQUIRIES.layers
BOARD = ENQUIRIES.board_mm
KNOWN = ENQUIRIES.flue_near
PRICE = EXTRAS.price_each
TURN = OUTLINE.turn_deg
PERCENT: AnyColumn = Column("Overheads", CellKind.NUMBER, unit=Unit.PERCENT, least=0, most=100)


def read(value: object, column: AnyColumn) -> CellValue | Problem | None:
    return read_cell(Raw(value), column, HERE)


def code(value: object, column: AnyColumn) -> str:
    found = read(value, column)
    assert isinstance(found, Problem), f"{value!r} was read as {found!r}"
    return found.code


@pytest.mark.parametrize(
    "typed",
    [2400, 2400.0, "2400", "2,400", "2,400mm", "2400 mm", "2.4 m", "2.4m", "240 cm", "2.400 M",
     " 2400\u00a0mm ", "2\u200b400", "２４００", "2400.04"],
)  # fmt: skip
def test_one_length_in_every_way_it_is_typed(typed: object) -> None:
    assert read(typed, WIDTH) == 2400.0


def test_a_bare_small_number_in_a_mm_column_is_asked_about() -> None:
    found = read(2.4, WIDTH)
    assert isinstance(found, Problem)
    assert found.code == "cell-unit-doubtful"
    assert found.cure.startswith("Type 2400 if you mean 2.4 m")
    assert code("2.4", WIDTH) == "cell-unit-doubtful"
    assert code("2.4 mm", WIDTH) == "cell-out-of-range"


@pytest.mark.parametrize(
    "typed",
    ["2,4", "1e3", "TBC", "12½", "12²", "Ⅻ", "2 m 40", "2400 x 600", "2'6", "about 2400", "24,00",
     "2.4.0", "--5", "=2400", True, TYPED_DAY, time(2, 4), "9" * 400],
)  # fmt: skip
def test_what_is_not_one_length(typed: object) -> None:
    assert code(typed, WIDTH) == "cell-not-a-length"


@pytest.mark.parametrize("typed", [240, "24 cm", 300000, "-2400", 1e300, "0"])
def test_a_length_outside_what_is_real(typed: object) -> None:
    assert code(typed, WIDTH) == "cell-out-of-range"


@given(tenths=st.integers(3000, 300000))
def test_a_length_reads_the_same_in_mm_cm_and_m(tenths: int) -> None:
    millimetres = Decimal(tenths) / 10
    for typed in (
        float(millimetres),
        f"{millimetres} mm",
        f"{millimetres:,}mm",
        f"{millimetres / 10} cm",
        f"{millimetres / 1000} m",
    ):
        assert read(typed, WIDTH) == float(millimetres)


@pytest.mark.parametrize(
    ("typed", "expected"), [(-45, -45.0), ("-22.5", -22.5), ("−90", -90.0), ("90\u00a0", 90.0)]
)
def test_numbers(typed: object, expected: float) -> None:
    assert read(typed, TURN) == expected


@pytest.mark.parametrize("typed", ["2,4", "1e1", "TBC", "4½", "90°", "", "٣", float("inf")])
def test_what_is_not_one_plain_number(typed: object) -> None:
    if typed == "":
        assert read(typed, TURN) is None
    else:
        assert code(typed, TURN) == "cell-not-a-number"


def test_whole_numbers_and_listed_thicknesses() -> None:
    assert read(2, LAYERS) == 2.0
    assert code(1.5, LAYERS) == "cell-not-whole"
    assert read("18 mm", BOARD) == 18.0
    assert code(17, BOARD) == "cell-not-a-choice"


def test_money_is_decimal_without_binary_dust() -> None:
    assert read(0.1 + 0.2, PRICE) == Decimal("0.3")
    assert isinstance(read(6, PRICE), Decimal)
    assert read("£1,250.50", PRICE) == Decimal("1250.50")
    assert code("12.50 each", PRICE) == "cell-not-a-number"


def test_per_cent_is_read_as_it_is_seen() -> None:
    # A spreadsheet stores what is typed as 15% as 0.15 and shows it in per cent.
    assert read_cell(Raw(0.15, percent=True), PERCENT, HERE) == 15.0
    assert read("15 %", PERCENT) == 15.0
    assert read(15, PERCENT) == 15.0
    shown_in_percent = read_cell(Raw(0.15, percent=True), PRICE, HERE)
    assert isinstance(shown_in_percent, Problem)


@pytest.mark.parametrize(
    "typed", [TYPED_DAY, date(2026, 3, 4), "04/03/2026", "4.3.2026", "4-3-2026", "4/3/26"]
)
def test_dates_are_day_first(typed: object) -> None:
    assert read(typed, DAY) == date(2026, 3, 4)


@pytest.mark.parametrize(
    "typed", ["2026-03-04", "4/3/6", "31/02/26", "31/02/2026", "March", 46085, "4/3"]
)
def test_what_is_not_a_date(typed: object) -> None:
    assert code(typed, DAY) == "cell-not-a-date"


def test_a_date_in_another_century_is_out_of_range() -> None:
    assert code("25/11/1926", DAY) == "cell-out-of-range"


@given(day=st.dates(date(2000, 1, 1), date(2099, 12, 31)))
def test_every_date_comes_back_from_its_text(day: date) -> None:
    assert read(f"{day:%d/%m/%Y}", DAY) == day


@pytest.mark.parametrize("typed", ["L-shape", "l-SHAPE", " L- shape ", "L-shape\u00a0"])
def test_a_choice_whatever_its_capitals_and_spaces(typed: str) -> None:
    assert read(typed, SHAPE) == "L-shape"


def test_several_choices() -> None:
    assert read("new deck; Cap Over ,new deck", BUILD_UPS) == ("new deck", "cap over")
    found = read("cap over; patch", BUILD_UPS)
    assert isinstance(found, Problem)
    assert found.code == "cell-not-a-choice"
    assert "new deck with insulation" in found.cure


def test_no_two_words_of_a_list_are_told_apart_by_hyphens_or_capitals_alone() -> None:
    alike = [
        (sheet.name, column.field)
        for sheet in sheets().values()
        for column in sheet.columns
        if len({bare(choice) for choice in column.choices}) != len(column.choices)
        or "" in {bare(choice) for choice in column.choices}
        or any(says_unknown(choice) for choice in column.choices)
    ]
    assert alike == []


def test_yes_no_and_unknown() -> None:
    assert read("Yes", KNOWN) is True
    assert read(False, KNOWN) is False
    assert read(" ", KNOWN) is None
    assert code("maybe", KNOWN) == "cell-not-a-choice"
    assert code(1, KNOWN) == "cell-not-a-choice"


def test_errors_and_uncalculated_formulas_come_before_everything() -> None:
    error = read_cell(Raw("#REF!", error="#REF!"), WIDTH, HERE)
    assert isinstance(error, Problem)
    assert error.code == "cell-error-value"
    waiting = read_cell(Raw(None, "=A1*2", calculated=False), WIDTH, HERE)
    assert isinstance(waiting, Problem)
    assert (waiting.code, waiting.seen) == ("cell-formula-not-calculated", "=A1*2")


def test_a_bare_fraction_is_not_taken_for_per_cent() -> None:
    """0.15 of overhead on a roof of 1,300 pounds would lose the firm 170 pounds."""
    for value in (0.15, "0.15"):
        found = read_cell(Raw(value), PERCENT, HERE)
        assert isinstance(found, Problem)
        assert found.code == "cell-percent-doubtful"
        assert "Type 15 " in found.cure
    assert read_cell(Raw(0.15, percent=True), PERCENT, HERE) == 15
    assert read_cell(Raw("0.15%"), PERCENT, HERE) == 0.15
    assert read_cell(Raw(0), PERCENT, HERE) == 0


def test_a_cell_under_a_merged_one_says_nothing() -> None:
    found = read_cell(Raw(None, merged=True), WIDTH, HERE)
    assert isinstance(found, Problem)
    assert found.code == "cell-merged"


@pytest.mark.parametrize("value", ["9" * 10_000, 1e300, "nonsense " * 1_000])
def test_what_was_seen_fits_on_a_line(value: object) -> None:
    found = read_cell(Raw(value), WIDTH, HERE)
    assert isinstance(found, Problem)
    assert len(found.seen) == 60


ANY_CELL = st.one_of(
    st.text(), st.integers(), st.floats(), st.booleans(), st.datetimes(), st.times(), st.none()
)
COLUMNS = [column for sheet in sheets().values() for column in sheet.columns]


@given(value=ANY_CELL, column=st.sampled_from(COLUMNS), percent=st.booleans())
def test_no_cell_can_make_the_reader_fall_over(
    value: object, column: AnyColumn, percent: bool
) -> None:
    found = read_cell(Raw(value, percent=percent), column, HERE)
    if isinstance(found, Problem):
        assert found.message
        assert found.cure
    elif column.choices and found is not None:
        chosen = found if isinstance(found, tuple) else (found,)
        assert all(isinstance(c, bool) or c in column.choices for c in chosen)
