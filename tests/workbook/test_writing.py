"""The workbooks we write: never over another file, and no text that runs as a formula."""

from pathlib import Path

import pytest
from openpyxl import load_workbook

from quotegen.workbook.reading.reader import read_workbook
from quotegen.workbook.sheets.columns import EXAMPLE_REF, CellKind, DeclarationError
from quotegen.workbook.sheets.declaration import (
    BOOK_SHEETS,
    GUIDE_SHEET,
    JOB_SHEETS,
    LISTS_SHEET,
    sheets,
)
from quotegen.workbook.writing.blank import example_row, starting_rows, write_blank
from quotegen.workbook.writing.writing import write_workbook
from tests.workbook.books import FIRM, cell_of, enquiry_row


def test_a_file_that_is_there_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "jobs.xlsx"
    path.write_bytes(b"mine")
    failed = write_blank(path)
    assert failed is not None
    assert failed.code == "file-exists"
    assert path.read_bytes() == b"mine"
    assert [file.name for file in tmp_path.iterdir()] == ["jobs.xlsx"]


def test_a_folder_that_cannot_be_made_is_a_problem(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file where a folder should be")
    failed = write_blank(tmp_path / "taken" / "jobs.xlsx")
    assert failed is not None
    assert failed.code == "output-blocked"


@pytest.fixture(scope="module")
def noted(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workbook with an enquiry for each of the notes, as the product writes it."""
    path = tmp_path_factory.mktemp("noted") / "jobs.xlsx"
    notes = (*FORMULA_LIKE, "a\x07b\nc")
    rows = [enquiry_row(f"T-{n}", customer_notes=text) for n, text in enumerate(notes)]
    assert write_workbook(path, {**starting_rows(FIRM), "Enquiries": rows}) is None
    return path


FORMULA_LIKE = ("=1+1", "+44 1632 960001", "-25 mm at the left", "@office")


def test_words_that_begin_like_a_formula_stay_words(noted: Path) -> None:
    page, read = load_workbook(noted)["Enquiries"], read_workbook(noted)
    for line, text in enumerate(FORMULA_LIKE, start=2):
        cell = page[cell_of("Enquiries", "customer_notes", line)]
        assert (cell.data_type, cell.value, cell.quotePrefix) == ("s", text, True)
        assert read.enquiries[line - 2].customer_notes == text


def test_characters_no_workbook_can_hold_are_left_out(noted: Path) -> None:
    assert read_workbook(noted).enquiries[len(FORMULA_LIKE)].customer_notes == "ab\nc"


def test_the_blank_workbook_guides_the_hand(tmp_path: Path) -> None:
    path = tmp_path / "jobs.xlsx"
    write_blank(path)
    book = load_workbook(path)
    assert book.sheetnames == [GUIDE_SHEET, *BOOK_SHEETS, LISTS_SHEET]
    assert book[LISTS_SHEET].sheet_state == "hidden"
    for name in BOOK_SHEETS:
        page, sheet = book[name], sheets()[name]
        top = sheet.heading_row
        assert [cell.value for cell in page[top]] == [column.heading for column in sheet.columns]
        assert page.freeze_panes == ("C3" if name == "Enquiries" else "B2")
    for name in JOB_SHEETS:
        rules = {
            str(rule.sqref).split(":")[0]: rule
            for rule in book[name].data_validations.dataValidation
        }
        for column in sheets()[name].columns:
            rule = rules[cell_of(name, column.field, 2)]
            assert rule.showInputMessage
            assert column.prompt[:200] in rule.prompt
            if column.kind in (CellKind.CHOICE, CellKind.YES_NO):
                assert rule.type == "list"
                assert rule.showErrorMessage, "without it a list refuses nothing"
                listed = [row[0].value for row in book[LISTS_SHEET][rule.formula1.split("!")[1]]]
                assert listed == list(column.choices)
            if column.kind is CellKind.LENGTH and not column.allowed:
                assert rule.formula1.startswith("OR(ISTEXT("), "2.4 m may be typed"
    assert book["Enquiries"]["A3"].value == EXAMPLE_REF


def test_the_example_would_read_if_it_were_real(tmp_path: Path) -> None:
    rows = starting_rows(FIRM)
    for name in JOB_SHEETS:
        if name != "Outline":
            rows[name] = [{**example_row(name), "ref": "T-01"}]
    path = tmp_path / "jobs.xlsx"
    assert write_workbook(path, rows) is None
    read = read_workbook(path)
    assert read.problems == ()
    assert len(read.enquiries) == 1


def test_a_setting_nobody_declared_cannot_be_started_with() -> None:
    with pytest.raises(KeyError, match="profit_percent"):
        starting_rows({"profit_percent": 5})


def test_a_field_nobody_declared_cannot_be_written(tmp_path: Path) -> None:
    with pytest.raises(DeclarationError, match="humidty_pct"):
        write_workbook(tmp_path / "jobs.xlsx", {"Enquiries": [enquiry_row("T-01", humidty_pct=70)]})
    assert list(tmp_path.iterdir()) == []
