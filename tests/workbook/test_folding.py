"""The settings sheets: first what every firm looks at, the rest folded away and read all the same.

The file is read back with openpyxl; LibreOffice is the other spreadsheet program.
"""

from pathlib import Path

import pytest
from msgspec.structs import replace
from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from quotegen.reference import house_rules
from quotegen.reference.house_rules import SettingKind
from quotegen.workbook.package.book import Book, RawSheet, open_book
from quotegen.workbook.reading.reader import WorkbookRead, read_book, read_workbook
from quotegen.workbook.sheets.declaration import SETTING_SHEETS
from quotegen.workbook.sheets.firm import SettingSheet
from quotegen.workbook.writing.folding import FOLD_HEAD
from tests.spreadsheets import converted
from tests.workbook.books import FIRM, settings_of, write_book

SETTINGS = house_rules.settings()
ABOUT_THIRTY = range(28, 38)
OWN = {**FIRM, "crew": 3, "saw_cut_mm": 4.0, "least_spare_pct": 7.0, "balance_days": 9}
"""Figures of the firm's own among what is shown and what is folded, on every sheet."""


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workbook of the invented firm, as the product writes it."""
    return write_book(tmp_path_factory.mktemp("folded") / "jobs.xlsx", firm=OWN)


def lines_of(page: Worksheet) -> dict[str, int]:
    """The line of each setting of a sheet."""
    return {
        str(page.cell(line, 1).value): line
        for line in range(2, page.max_row + 1)
        if page.cell(line, 1).value is not None
    }


def head_of(page: Worksheet) -> int:
    """The line of the head of the fold: the only one below the headings without a code."""
    lines = range(2, page.max_row + 1)
    (line,) = (line for line in lines if page.cell(line, 1).value is None)
    return line


def check_folded(page: Worksheet) -> None:
    """Everything shown stands above the head, all else below it, one level down and hidden."""
    lines, head = lines_of(page), head_of(page)
    assert lines.keys() == {code for code, kind in SETTINGS.items() if kind.sheet == page.title}
    assert len(lines) + 2 == page.max_row
    for code, line in lines.items():
        row, folded = page.row_dimensions[line], line > head
        assert folded is not SETTINGS[code].shown, code
        assert bool(row.hidden) is folded, code
        assert row.outlineLevel == int(folded), code
    assert not page.row_dimensions[head].hidden
    assert page.row_dimensions[head].outlineLevel == 0


@pytest.mark.parametrize("name", SETTING_SHEETS)
def test_the_rest_is_folded_away_below_its_head(path: Path, name: str) -> None:
    page = load_workbook(path)[name]
    check_folded(page)
    head = head_of(page)
    said = {cell.value for cell in page[head] if cell.value is not None}
    assert said == set(FOLD_HEAD.values())
    assert "click the +" in FOLD_HEAD["basis"]
    # ECMA-376 part 1, 18.3.1.61 and 18.3.1.73: where the summary stands, and that it is collapsed.
    outline = page.sheet_properties.outlinePr
    assert outline is not None
    assert outline.summaryBelow is False
    assert page.row_dimensions[head].collapsed
    assert page.sheet_format.outlineLevelRow == 1
    assert page.freeze_panes == "B2"
    assert not page.merged_cells.ranges


def test_about_thirty_are_shown_and_all_that_only_the_firm_knows() -> None:
    shown = [kind for kind in SETTINGS.values() if kind.shown]
    assert len(shown) in ABOUT_THIRTY
    of_firm = {code for code, kind in SETTINGS.items() if kind.basis == "only the firm knows"}
    assert {kind.code for kind in shown} >= of_firm
    assert {kind.code for kind in shown} >= {c for c, kind in SETTINGS.items() if kind.required}


@pytest.mark.parametrize("name", SETTING_SHEETS)
def test_words_that_go_on_from_the_row_above_still_do(name: str) -> None:
    """A row that begins with … stands below the row it stands below in its file."""
    above: SettingKind | None = None
    before: dict[str, SettingKind | None] = {}
    for kind in SETTINGS.values():
        before[kind.code], above = above, kind
    for part in house_rules.of_sheet(name):
        for number, kind in enumerate(part):
            if kind.words.startswith("…"):
                assert number and part[number - 1] is before[kind.code], kind.code


def figures(read: WorkbookRead) -> dict[str, object]:
    """The settings that were read, wherever their cells stand."""
    return {code: figure.value for code, figure in settings_of(read).figures.items()}


@pytest.mark.parametrize("name", SETTING_SHEETS)
def test_neither_order_nor_fold_matters_to_the_reader(path: Path, name: str) -> None:
    book = open_book(path)
    assert isinstance(book, Book)
    turned = []
    for raw in book.sheets:
        last = max((line for line, _ in raw.cells), default=0) + 2
        cells = {(line if line == 1 else last - line, n): c for (line, n), c in raw.cells.items()}
        turned.append(RawSheet(raw.name, cells) if raw.name == name else raw)
    read = read_book(replace(book, sheets=tuple(turned)))
    assert read.problems == ()
    assert figures(read) == figures(read_workbook(path))
    assert figures(read)["saw_cut_mm"] == 4.0
    assert figures(read)["least_spare_pct"] == 7.0


@pytest.mark.parametrize("ways", [("xlsx",), ("ods", "xlsx")], ids="-".join)
def test_saved_by_another_program_it_reads_the_same(
    path: Path, ways: tuple[str, ...], tmp_path: Path
) -> None:
    """Every setting at its own cell with its own basis, and the fold where it was."""
    file = path
    for kind in ways:
        file = converted(file, kind, tmp_path)
    assert read_workbook(file) == read_workbook(path)
    book = load_workbook(file)
    for name in SETTING_SHEETS:
        check_folded(book[name])


def test_another_program_opens_it_folded(path: Path, tmp_path: Path) -> None:
    """OpenDocument 1.3 part 3, 9.1.12 and 19.617: a group of rows that is not displayed."""
    plain = converted(path, "fods", tmp_path).read_text(encoding="utf-8")
    assert plain.count('<table:table-row-group table:display="false">') == len(SETTING_SHEETS)
    assert plain.count("<table:table-row-group") == len(SETTING_SHEETS)


def test_the_head_is_no_setting_and_its_cells_are_for_people_only() -> None:
    assert not {SettingSheet.code.field, SettingSheet.value.field} & FOLD_HEAD.keys()
