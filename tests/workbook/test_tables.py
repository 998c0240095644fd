"""Tables as workbooks: typed, safe to open, ready to print, the same bytes each time."""

from datetime import date
from decimal import Decimal
from io import BytesIO
from pathlib import Path
from zipfile import ZipFile

from msgspec.structs import replace
from openpyxl import Workbook, load_workbook

from quotegen.workbook.sheets.columns import CellKind
from quotegen.workbook.writing.tables import BookPage, TableColumn, tables_as_workbook
from tests.spreadsheets import converted

EVIL = ("=1+1", "+1", "-1", "@SUM(A1)", '=HYPERLINK("https://example.com","here")')
TABLE = BookPage(
    name="Order",
    title="Order T-01",
    lines=(("From", "Tern & Daughter Roofing"), ("Deliver to", "=2+2")),
    columns=(
        TableColumn("Item", 30),
        TableColumn("Packs", 8, CellKind.NUMBER),
        TableColumn("Sum", 12, CellKind.MONEY),
        TableColumn("Day", 14, CellKind.DATE),
    ),
    rows=tuple((text, 3, Decimal("1234.50"), date(2026, 12, 3)) for text in EVIL),
    totals=("Total", 15, None, None),
)


def book_of(*tables: BookPage) -> Workbook:
    return load_workbook(BytesIO(made(*tables)))


def made(*tables: BookPage) -> bytes:
    return tables_as_workbook(tables, "Order T-01", "Tern & Daughter", "Tern & 1 Daughter · order")


def test_no_words_can_run_as_a_formula() -> None:
    page = book_of(TABLE)["Order"]
    texts = [cell for row in page.iter_rows() for cell in row if isinstance(cell.value, str)]
    assert {cell.data_type for cell in texts} == {"s"}
    evil = [cell for cell in texts if cell.value in (*EVIL, "=2+2")]
    assert len(evil) == len(EVIL) + 1
    assert all(cell.quotePrefix for cell in evil)


def test_no_formula_is_in_the_file_itself() -> None:
    with ZipFile(BytesIO(made(TABLE))) as archive:
        page = archive.read("xl/worksheets/sheet1.xml")
    assert b"<f>" not in page
    assert b"<f " not in page


def test_numbers_sums_and_days_are_of_their_own_kind() -> None:
    page = book_of(TABLE)["Order"]
    row = [cell.value for cell in page[6]]
    assert row[1:3] == [3, 1234.5]
    assert page["D6"].value.date() == date(2026, 12, 3)
    assert page["D6"].number_format == "dd/mm/yyyy"
    assert page["B11"].value == 15
    assert page["C11"].value is None


def test_the_head_stays_in_sight_and_is_printed_on_every_page_of_a4() -> None:
    page = book_of(TABLE)["Order"]
    assert [cell.value for cell in page[5]] == ["Item", "Packs", "Sum", "Day"]
    assert page.freeze_panes == "A6"
    assert page.print_title_rows == "$5:$5"
    assert (page.page_setup.paperSize, page.page_setup.orientation) == (9, "portrait")
    assert page.page_setup.fitToWidth == 1
    foot = page.oddFooter.right if page.oddFooter else None
    assert foot is not None
    assert "Page &P of &N" in str(foot.text)


def test_the_same_tables_give_the_same_bytes() -> None:
    first = made(TABLE)
    with ZipFile(BytesIO(first)) as archive:
        assert {info.date_time[0] for info in archive.infolist()} == {1980}
        assert b"2000-01-01" in archive.read("docProps/core.xml")
    assert first == made(TABLE)


def test_names_a_workbook_cannot_have_are_made_fit_and_kept_apart() -> None:
    long = "A/B: [merchant] of everything * for roofs?"
    names = book_of(*(replace(TABLE, name=name) for name in (long, long, "", "'x'"))).sheetnames
    assert len(set(names)) == 4
    assert all(0 < len(name) <= 31 and not set(name) & set("[]:*?/\\") for name in names)


def test_another_program_opens_it_and_shows_the_words_as_they_are(tmp_path: Path) -> None:
    (tmp_path / "order.xlsx").write_bytes(made(TABLE))
    shown = converted(tmp_path / "order.xlsx", "csv").read_text(encoding="utf-8")
    assert all(text in shown.replace('""', '"') for text in EVIL)
    assert ",3,1234.5," in shown
