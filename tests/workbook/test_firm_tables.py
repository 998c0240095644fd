"""The sheets of catalyst doses, curing times and losses: rows read, every problem at its cell."""

from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from quotegen.model.settings import Curing, FirmTables, Lost, Mixed, pairs
from quotegen.problems import stopping
from quotegen.workbook.reading.firm_tables import house_firm_tables
from quotegen.workbook.reading.reader import WorkbookRead, read_workbook
from quotegen.workbook.sheets.declaration import TABLE_SHEETS
from quotegen.workbook.writing.blank import table_rows
from quotegen.working import Figure, Origin, Source
from tests.workbook.books import at, settings_of, type_into, where_and_what, write_book

DOSES, CURES, LOSSES = TABLE_SHEETS
Rows = list[dict[str, Any]]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "jobs.xlsx"


def rows_of(sheet: str) -> Rows:
    """The rows with which a sheet begins, to be changed."""
    return [dict(row) for row in table_rows()[sheet]]


def tables_of(read: WorkbookRead) -> FirmTables:
    tables = settings_of(read).tables
    assert tables == read.defaulted.tables
    return tables


def numbers(tables: FirmTables) -> list[object]:
    """The tables as bare numbers."""
    losses = {one: (loss.plain.value, loss.cut_up.value) for one, loss in tables.losses.items()}
    by_deck = [{one: pairs(rows) for one, rows in t.items()} for t in (tables.doses, tables.curing)]
    return [*by_deck, losses]


def standing(figure: Figure) -> tuple[str, str]:
    """Where a figure was read, and what it rests on."""
    assert isinstance(figure.basis, Origin)
    return figure.basis.place, figure.basis.note


def test_a_new_workbook_says_what_the_house_says(path: Path) -> None:
    read = read_workbook(write_book(path))
    assert read.problems == ()
    tables, house = tables_of(read), house_firm_tables()
    assert numbers(tables) == numbers(house)
    first, of_house = tables.doses[Mixed.RESIN][0], house.doses[Mixed.RESIN][0]
    assert standing(first.amount) == ("Catalyst doses!C2", "common practice, no source")
    assert standing(of_house.amount) == (
        "Catalyst doses, resin at 5 °C", "common practice, no source",
    )  # fmt: skip
    assert isinstance(of_house.amount.basis, Origin)
    assert of_house.amount.basis.source is Source.SETTING


def test_the_house_has_every_material_and_stage_and_the_basis_of_each_figure() -> None:
    """4 % at 5 °C down to 1 % at 30 °C for resin, 2 % for topcoat: common practice, no source."""
    house = house_firm_tables()
    assert [set(house.doses), set(house.curing), set(house.losses)] == [
        set(Mixed), set(Curing), set(Lost),
    ]  # fmt: skip
    assert dict(pairs(house.doses[Mixed.RESIN])) == {
        5: 4.0, 10: 3.0, 15: 2.5, 20: 2.0, 25: 1.5, 30: 1.0,
    }  # fmt: skip
    assert {dose for _, dose in pairs(house.doses[Mixed.TOPCOAT])} == {2.0}
    by_deck = [
        *(row for rows in house.doses.values() for row in rows),
        *(row for rows in house.curing.values() for row in rows),
    ]
    figures = [row.amount for row in by_deck]
    figures += [part for loss in house.losses.values() for part in (loss.plain, loss.cut_up)]
    assert all(standing(figure)[1] for figure in figures)
    screws = house.losses[Lost.FIXINGS]
    assert screws.plain == screws.cut_up


def test_rows_may_stand_in_any_order(path: Path) -> None:
    mixed_up = {name: rows_of(name)[::-1] for name in TABLE_SHEETS}
    assert list(mixed_up[DOSES][0].values())[:2] == ["topcoat", 30]
    read = read_workbook(
        write_book(path, catalyst_doses=mixed_up[DOSES], curing_times=mixed_up[CURES],
                   material_losses=mixed_up[LOSSES])
    )  # fmt: skip
    assert read.problems == ()
    assert numbers(tables_of(read)) == numbers(house_firm_tables())


def test_the_firms_own_rows_are_read_with_their_cells_and_what_they_rest_on(path: Path) -> None:
    own: Rows = [
        {"material": "Resin", "deck_c": "12.5", "dose_pct": "2.2 %", "basis": "data sheet"},
        {"material": "resin", "deck_c": 5, "dose_pct": 4, "basis": "never mind"},
        {"material": "resin", "deck_c": 30, "dose_pct": 1.5},
        {"material": "topcoat", "deck_c": 5, "dose_pct": 0},
    ]
    read = read_workbook(write_book(path, catalyst_doses=own))
    assert read.problems == ()
    doses = tables_of(read).doses
    assert pairs(doses[Mixed.RESIN]) == ((5, 4), (12.5, 2.2), (30, 1.5))
    assert pairs(doses[Mixed.TOPCOAT]) == ((5, 0),)
    house, sheet, nobody = (standing(row.amount) for row in doses[Mixed.RESIN])
    assert house == (at(DOSES, "dose_pct", 3), "common practice, no source")
    assert sheet == (at(DOSES, "dose_pct", 2), "data sheet")
    assert nobody == (at(DOSES, "dose_pct", 4), "the firm's own")


def test_a_loss_that_is_not_given_for_a_cut_up_roof_is_as_on_a_plain_one(path: Path) -> None:
    rows = rows_of(LOSSES)
    rows[0] |= {"plain_pct": 12, "cut_up_pct": None}
    rows[1] |= {"plain_pct": 6, "cut_up_pct": 0}
    losses = tables_of(read_workbook(write_book(path, material_losses=rows))).losses
    whole, apart = losses[Lost.INSULATION], losses[Lost.MAT]
    assert whole.plain == whole.cut_up
    assert (whole.plain.name, whole.plain.value) == ("Insulation", 12)
    assert (apart.plain.value, apart.cut_up.value) == (6, 0)
    assert apart.cut_up.name == "Glass mat (besides laps and trimming): cut-up roof"


MISTAKES = [
    (DOSES, "dose_pct", "a bit", "cell-not-a-number"),
    (DOSES, "dose_pct", "2,5", "cell-not-a-number"),
    (DOSES, "dose_pct", 10.1, "cell-out-of-range"),
    (DOSES, "dose_pct", -1, "cell-out-of-range"),
    (DOSES, "dose_pct", 0.02, "cell-percent-doubtful"),
    (DOSES, "dose_pct", None, "cell-missing"),
    (DOSES, "dose_pct", "#REF!", "cell-error-value"),
    (DOSES, "dose_pct", "=1+1", "cell-formula-not-calculated"),
    (DOSES, "dose_pct", True, "cell-not-a-number"),
    (DOSES, "deck_c", "cold", "cell-not-a-number"),
    (DOSES, "deck_c", 41, "cell-out-of-range"),
    (DOSES, "deck_c", None, "cell-missing"),
    (DOSES, "deck_c", 10, "table-row-twice"),
    (DOSES, "material", "gelcoat", "cell-not-a-choice"),
    (DOSES, "material", None, "cell-missing"),
    (CURES, "hours", "overnight", "cell-not-a-number"),
    (CURES, "hours", 0, "cell-out-of-range"),
    (CURES, "hours", 49, "cell-out-of-range"),
    (CURES, "deck_c", "10.0", "table-row-twice"),
    (CURES, "stage", "laminate", "cell-not-a-choice"),
    (LOSSES, "plain_pct", "10 to 15", "cell-not-a-number"),
    (LOSSES, "plain_pct", 101, "cell-out-of-range"),
    (LOSSES, "plain_pct", None, "cell-missing"),
    (LOSSES, "cut_up_pct", "more", "cell-not-a-number"),
    (LOSSES, "material", "resin", "table-row-twice"),
    (LOSSES, "material", "mat", "cell-not-a-choice"),
]


@pytest.mark.parametrize(("sheet", "field", "value", "code"), MISTAKES)
def test_a_mistake_stops_at_its_cell_and_the_house_rows_stand_meanwhile(
    path: Path, sheet: str, field: str, value: object, code: str
) -> None:
    """Put into the first row but for losses, whose first row is insulation and fourth topcoat."""
    line = 5 if (sheet, field) == (LOSSES, "material") else 2
    type_into(write_book(path), {at(sheet, field, line): value})
    read = read_workbook(path)
    wrong_line = 3 if code == "table-row-twice" and sheet != LOSSES else line
    found = where_and_what(read.problems)
    assert (at(sheet, field, wrong_line), code) in found
    missing = {cell for cell, what in found if what == "table-row-missing"}
    assert len(found) == 1 + len(missing)
    assert stopping(read.problems, "T-01")
    assert all(p.message and p.cure for p in read.problems)
    assert numbers(read.defaulted.tables) == numbers(house_firm_tables())


@pytest.mark.parametrize("sheet", TABLE_SHEETS)
def test_a_table_without_rows_is_asked_for(path: Path, sheet: str) -> None:
    write_book(path, **{sheet.lower().replace(" ", "_"): []})
    read = read_workbook(path)
    assert where_and_what(read.problems) == {(f"{sheet}!A2", "table-empty")}
    assert stopping(read.problems, "T-01")
    assert numbers(read.defaulted.tables) == numbers(house_firm_tables())


@pytest.mark.parametrize(
    ("sheet", "field", "gone"),
    [
        (DOSES, "material", Mixed.TOPCOAT),
        (CURES, "stage", Curing.LAMINATE),
        (LOSSES, "material", Lost.BANDAGE),
    ],
)
def test_a_material_without_a_row_is_asked_for_below_the_others(
    path: Path, sheet: str, field: str, gone: str
) -> None:
    kept = [row for row in rows_of(sheet) if row[field] != gone]
    read = read_workbook(write_book(path, **{sheet.lower().replace(" ", "_"): kept}))
    (missing,) = read.problems
    assert (missing.code, missing.seen, missing.stops) == ("table-row-missing", gone, True)
    assert str(missing.place).startswith(at(sheet, field, len(kept) + 2))
    assert numbers(read.defaulted.tables) == numbers(house_firm_tables())


def test_a_repeated_temperature_names_the_first(path: Path) -> None:
    rows = [*rows_of(DOSES), {"material": "resin", "deck_c": 15, "dose_pct": 9}]
    (twice,) = read_workbook(write_book(path, catalyst_doses=rows)).problems
    assert str(twice.place).startswith(at(DOSES, "deck_c", len(rows) + 1))
    assert twice.seen == "resin at 15 °C"
    assert at(DOSES, "material", 4) in twice.message


def test_an_older_workbook_without_the_sheets_is_read_with_a_warning(path: Path) -> None:
    write_book(path)
    book = load_workbook(path)
    for name in TABLE_SHEETS:
        del book[name]
    book.save(path)
    read = read_workbook(path)
    assert {(p.code, p.place.sheet, p.stops) for p in read.problems} == {
        ("sheet-defaulted", name, False) for name in TABLE_SHEETS
    }
    assert settings_of(read).tables == house_firm_tables()
    assert [enquiry.ref for enquiry in read.enquiries] == ["T-01"]


def test_a_note_beneath_a_table_is_the_firms_own(path: Path) -> None:
    write_book(path)
    type_into(path, {at(name, "basis", 60): "as agreed in the spring" for name in TABLE_SHEETS})
    assert read_workbook(path).problems == ()
