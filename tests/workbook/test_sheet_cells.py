# ruff: noqa: DTZ001, E501 -- times in a workbook have no zone; the XML of a cell stands on a line
"""The cells we read against those openpyxl reads, cell by cell.

openpyxl loads the workbook twice: once for formulas, once for stored results.
"""

import io
import re
import warnings
import zipfile
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.cell.cell import Cell
from openpyxl.cell.rich_text import CellRichText, TextBlock
from openpyxl.cell.text import InlineFont
from openpyxl.utils.datetime import CALENDAR_MAC_1904
from openpyxl.worksheet.formula import ArrayFormula, DataTableFormula

from quotegen.demo.scenario import write_demo
from quotegen.machine.resources import price_lists_folder
from quotegen.problems import Problem
from quotegen.workbook.package.book import Book, open_book
from quotegen.workbook.package.raw_cell import ERROR_VALUES, Raw
from quotegen.workbook.package.sheet_cells import unescaped

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"


def by_peer(path: Path) -> dict[str, dict[tuple[int, int], Raw]]:
    """The cells of every sheet as openpyxl reads them."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        formulas, values = load_workbook(path), load_workbook(path, data_only=True)
    return {s.title: cells_by_peer(s, values[s.title]) for s in formulas.worksheets}


def cells_by_peer(formulas: Any, values: Any) -> dict[tuple[int, int], Raw]:
    found = {}
    for at, cell in formulas._cells.items():
        if isinstance(cell, Cell) and cell.value is not None:
            found[at] = raw_by_peer(cell, values._cells[at])
    for merged in formulas.merged_cells.ranges:
        if (merged.min_row, merged.min_col) in found:
            under = [at for line in merged.rows for at in line][1:]
            found.update(dict.fromkeys(under, Raw(None, merged=True)))
    return found


def raw_by_peer(typed: Cell, stored: Cell) -> Raw:
    value = unescaped(stored.value) if isinstance(stored.value, str) else stored.value
    formula = ""
    if typed.data_type == "f":
        text = getattr(typed.value, "text", typed.value)
        formula = text if isinstance(text, str) else "of a table"
    error = str(value) if stored.data_type == "e" or value in ERROR_VALUES else ""
    calculated = not formula or value is not None or stored.data_type == "str"
    percent = isinstance(value, int | float) and "%" in typed.number_format
    return Raw(value, formula, error, calculated, percent)


def by_us(path: Path) -> dict[str, dict[tuple[int, int], Raw]]:
    book = open_book(path)
    assert isinstance(book, Book), book
    return {raw.name: dict(raw.cells) for raw in book.sheets}


def same(path: Path) -> dict[str, dict[tuple[int, int], Raw]]:
    """What both read of a workbook, which has to be alike to the type of every value."""
    ours, peers = by_us(path), by_peer(path)
    assert ours == peers
    for name, cells in ours.items():
        for at, raw in cells.items():
            assert type(raw.value) is type(peers[name][at].value), (name, at)
    assert any(ours.values())
    return ours


def test_the_demo_and_its_price_lists(tmp_path: Path) -> None:
    book = write_demo(tmp_path)
    assert not isinstance(book, Problem)
    for path in [book, *price_lists_folder().glob("*.xlsx")]:
        same(path)


def test_an_odd_book_of_every_kind_of_value(tmp_path: Path) -> None:
    path = tmp_path / "odd.xlsx"
    book = Workbook()
    sheet = book.worksheets[0]
    values: list[Any] = [
        1, -2, 0, 2.5, 1e-7, 1.5e300, 123456789012345, True, False, "", " ", " outer ", "one\ntwo",
        "tab\there", "é½ \u00a0\u200b", "#N/A", "=1+1", "=A1*2", "'quoted", "=\"\"", "<b>&amp;",
        date(2026, 11, 25), datetime(2026, 11, 25, 8, 30), time(8, 30), timedelta(hours=30),
        date(1900, 1, 5), datetime(1900, 3, 1), "x" * 5000, "2400", "1e3",
    ]  # fmt: skip
    for row, value in enumerate(values, start=1):
        sheet.cell(row, 1, value)
    formats = ["0%", "0.00%", "dd/mm/yyyy", "[h]:mm", "[Red]0", '"day" 0', "General", "d mmm;@",
               "[$-809]d mmmm yyyy", "0.0 \\m", "mm:ss.0", "yyyy", "#,##0.00", "@", "_d0"]  # fmt: skip
    for column, shown in enumerate(formats, start=2):
        for row, value in enumerate((0, 0.15, 1, 46351, 46351.75, 59, 60, -3, 9e9), start=1):
            sheet.cell(row, column, value).number_format = shown
    rich = CellRichText("plain ", TextBlock(InlineFont(b=True), "bold"), " end")
    sheet["T1"] = rich
    sheet["T2"] = ArrayFormula("T2:T3", "=SUM(A1:A3*2)")
    sheet["T4"] = DataTableFormula(ref="T4:T5", r1="A1", dt2D=False)
    sheet.merge_cells("V1:X3")
    sheet["V1"] = "over nine"
    sheet.merge_cells("V5:X6")
    sheet["AAA700"] = "far"
    hidden = book.create_sheet("Hidden one")
    hidden["B2"] = 4
    hidden.sheet_state = "hidden"
    book.create_sheet("Nothing")
    book.save(path)
    found = same(path)
    assert list(found) == ["Sheet", "Hidden one", "Nothing"]


def test_a_page_with_a_chart_is_passed_over(tmp_path: Path) -> None:
    """openpyxl 3.1 falls over an empty one."""
    path = tmp_path / "chart.xlsx"
    book = Workbook()
    book.worksheets[0]["A1"] = 1
    book.create_chartsheet("Chart")
    book.save(path)
    assert by_us(path) == {"Sheet": {(1, 1): Raw(1)}}


def test_days_counted_from_1904(tmp_path: Path) -> None:
    path = tmp_path / "mac.xlsx"
    book = Workbook()
    book.epoch = CALENDAR_MAC_1904
    sheet = book.worksheets[0]
    days: tuple[date | time, ...] = (date(2026, 11, 25), date(1904, 1, 2), time(6))
    for row, day in enumerate(days, start=1):
        sheet.cell(row, 1, day)
    book.save(path)
    assert same(path)["Sheet"][1, 1].value == datetime(2026, 11, 25)


def book_of(path: Path, sheet: str, **parts: str) -> Path:
    """A workbook with the rows of its sheet, and other parts, in XML of one's own."""
    memory = io.BytesIO()
    Workbook().save(memory)
    body = f'<worksheet xmlns="{MAIN}"><sheetData>{sheet}</sheetData></worksheet>'
    given = {"xl/worksheets/sheet1.xml": body, **parts}
    with zipfile.ZipFile(memory) as old:
        types = old.read("[Content_Types].xml").decode()
        given["[Content_Types].xml"] = types.replace("</Types>", f"{TEXTS_TYPE}</Types>")
        given.setdefault("xl/sharedStrings.xml", f'<sst xmlns="{MAIN}"/>')
    with zipfile.ZipFile(memory) as old, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for name in dict.fromkeys([*old.namelist(), *given]):
            new.writestr(name, given[name] if name in given else old.read(name))
    return path


TEXTS_TYPE = (
    '<Override PartName="/xl/sharedStrings.xml" ContentType="application/vnd.'
    'openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"/>'
)


RICH = (
    "<si><t>one</t></si><si><r><rPr><b/></rPr><t>ri</t></r><r><t>ch</t></r></si>"
    '<si><t xml:space="preserve"> kept </t></si><si><t>東京</t><rPh sb="0" eb="2"><t>トウキョウ</t>'
    '</rPh><phoneticPr fontId="1"/></si><si><t/></si><si><t>a_x000D_b</t></si><si/>'
)
ROWS = {
    "shared texts": "<row r='1'>" + "".join(f"<c t='s'><v>{n}</v></c>" for n in range(7)) + "</row>",
    "inline texts": "<row r='2'><c r='B2' t='inlineStr'><is><r><t>in</t></r><r><t>line</t></r></is>"
    "</c><c r='C2' t='inlineStr'><is><t/></is></c><c r='D2' t='inlineStr'/></row>",
    "how it is read aloud": "<row r='1'><c t='inlineStr'><is><t>東京</t><rPh sb='0' eb='2'>"
    "<t>トウキョウ</t></rPh></is></c></row>",
    "no addresses": "<row><c><v>1</v></c><c/><c><v>3</v></c></row><row r='9'><c><v>9</v></c></row>"
    "<row><c r='F10'><v>5</v></c><c><v>6</v></c></row>",
    "yes and no": "<row r='1'><c t='b'><v>1</v></c><c t='b'><v>0</v></c></row>",
    "dates in words": "<row r='1'><c t='d'><v>2026-11-25</v></c><c t='d'><v>2026-11-25T08:30:00Z</v>"
    "</c><c t='d'><v>08:30</v></c><c t='d'><v>08:30:15.250</v></c></row>",
    "errors": "<row r='1'><c t='e'><v>#REF!</v></c><c t='e'><f>1/0</f><v>#DIV/0!</v></c>"
    "<c t='str'><v>#N/A</v></c></row>",
    "results": "<row r='1'><c><f>A1</f></c><c><f>A1</f><v></v></c><c><f>A1</f><v>2</v></c>"
    "<c t='str'><f>A1</f><v>two</v></c><c t='str'><f>\"\"</f><v></v></c><c t='b'><f>A1</f><v>1</v></c>"
    "<c t='str'><v></v></c><c t='n'><v></v></c><c s='0'/></row>",
    "arrays": "<row r='1'><c r='A1'><f t='array' ref='A1:A2'>B1:B2*2</f><v>4</v></c></row>",
    "shared formulas not calculated": "<row r='1'><c r='A1'><f t='shared' ref='A1:A3' si='0'>B1*2</f>"
    "</c></row><row r='2'><c r='A2'><f t='shared' si='0'/></c></row>",
    "the last of two": "<row r='1'><c r='A1'><v>1</v></c><c r='A1'><v>2</v></c></row>",
    "numbers": "<row r='1'>" + "".join(f"<c><v>{n}</v></c>" for n in (
        "1", "-1", "+5", "007", "1.", ".5", "1E3", "1e-3", "-0", "0.1", "1.7976931348623157E+308",
        "12345678901234567890")) + "</row>",
    "merged": "<row r='1'><c r='A1'><v>1</v></c><c r='B1'><v>2</v></c></row></sheetData><mergeCells>"
    "<mergeCell ref='A1:C2'/><mergeCell ref='E1:F9'/></mergeCells><sheetData>",
    "comments and sections": "<row r='1'><c t='str'><v>a<!-- b --><![CDATA[<c>]]>&lt;</v></c></row>",
}  # fmt: skip


@pytest.mark.parametrize("what", ROWS)
def test_xml_of_other_programs(what: str, tmp_path: Path) -> None:
    texts = f'<sst xmlns="{MAIN}">{RICH}</sst>'
    same(book_of(tmp_path / "raw.xlsx", ROWS[what], **{"xl/sharedStrings.xml": texts}))


def test_a_formula_shared_with_a_result_keeps_its_value(tmp_path: Path) -> None:
    """openpyxl words the formula anew for each cell; ours does where it is shown to anybody."""
    rows = (
        "<row r='1'><c r='A1'><f t='shared' ref='A1:A2' si='0'>B1*2</f><v>4</v></c></row>"
        "<row r='2'><c r='A2'><f t='shared' si='0'/><v>6</v></c></row>"
    )
    path = book_of(tmp_path / "raw.xlsx", rows)
    ours, peers = by_us(path)["Sheet"], by_peer(path)["Sheet"]
    assert (
        [ours[at].value for at in ((1, 1), (2, 1))] == [peers[at].value for at in peers] == [4, 6]
    )
    assert all(raw.formula and raw.calculated for raw in ours.values())


def test_a_code_in_a_shared_text_is_undone_once(tmp_path: Path) -> None:
    """ECMA-376 part 1, 22.9.2.19: _x005F_ is an underline sign, so this is typed _x000D_.

    openpyxl undoes a part of it in shared texts, so that it would be undone twice.
    """
    texts = f'<sst xmlns="{MAIN}"><si><t>a_x005F_x000D_b</t></si></sst>'
    row = "<row r='1'><c t='s'><v>0</v></c></row>"
    path = book_of(tmp_path / "raw.xlsx", row, **{"xl/sharedStrings.xml": texts})
    assert by_us(path)["Sheet"][1, 1].value == "a_x000D_b"


@pytest.mark.parametrize("absolute", [True, False])
def test_parts_named_from_the_root_and_from_beside(tmp_path: Path, absolute: bool) -> None:
    path = book_of(tmp_path / "raw.xlsx", "<row r='1'><c><v>1</v></c></row>")
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name).decode() for name in archive.namelist()}
    key = "xl/_rels/workbook.xml.rels"
    bare = re.sub(r'Target="/?(?:xl/)?', 'Target="', parts[key])
    parts[key] = bare.replace('Target="', 'Target="/xl/') if absolute else bare
    with zipfile.ZipFile(path, "w") as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    assert same(path) == {"Sheet": {(1, 1): Raw(1)}}


def test_the_strict_form_of_the_format(tmp_path: Path) -> None:
    """ISO/IEC 29500 strict: other namespaces, dates in words. openpyxl finds no sheet in it."""
    path = book_of(tmp_path / "raw.xlsx", "<row r='1'><c t='d'><v>2026-11-25</v></c></row>")
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name).decode() for name in archive.namelist()}
    strict = {
        MAIN: "http://purl.oclc.org/ooxml/spreadsheetml/main",
        "http://schemas.openxmlformats.org/officeDocument/2006/relationships": (
            "http://purl.oclc.org/ooxml/officeDocument/relationships"
        ),
    }
    with zipfile.ZipFile(path, "w") as archive:
        for name, content in parts.items():
            for old, new in strict.items():
                content = content.replace(old, new)  # noqa: PLW2901
            archive.writestr(name, content)
    assert by_us(path) == {"Sheet": {(1, 1): Raw(date(2026, 11, 25))}}


DAMAGED = {
    "a letter in a number": ("<c r='B1'><v>24x0</v></c>", "24x0"),
    "a number of 400 digits": (f"<c r='B1'><v>{'9' * 400}</v></c>", "9" * 400),
    "a text that is not there": ("<c r='B1' t='s'><v>999</v></c>", "999"),
    "a text before the first": ("<c r='B1' t='s'><v>-1</v></c>", "-1"),
    "neither yes nor no": ("<c r='B1' t='b'><v>maybe</v></c>", "maybe"),
    "no day": ("<c r='B1' t='d'><v>2026-02-31</v></c>", "2026-02-31"),
    "no number": ("<c r='B1'><v>nan</v></c>", "nan"),
}


@pytest.mark.parametrize("what", DAMAGED)
def test_one_odd_cell_is_damaged_alone(what: str, tmp_path: Path) -> None:
    cell, seen = DAMAGED[what]
    path = book_of(tmp_path / "raw.xlsx", f"<row r='1'><c r='A1'><v>7</v></c>{cell}</row>")
    found = by_us(path)["Sheet"]
    assert found == {(1, 1): Raw(7), (1, 2): Raw(seen, damaged=True)}


REFUSED = {
    "an entity": '<!DOCTYPE x [<!ENTITY a "aaaa">]>',
    "a document type elsewhere": '<!DOCTYPE x SYSTEM "file:///etc/hostname">',
}


@pytest.mark.parametrize("what", REFUSED)
@pytest.mark.parametrize("part", ["xl/workbook.xml", "xl/worksheets/sheet1.xml", "xl/styles.xml"])
def test_a_document_type_is_refused(what: str, part: str, tmp_path: Path) -> None:
    """A part of the format never has one; through it a file could grow or reach outside."""
    path = book_of(tmp_path / "raw.xlsx", "<row r='1'><c><v>1</v></c></row>")
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name).decode() for name in archive.namelist()}
    bare = re.sub(r"<\?xml.*?\?>", "", parts[part])
    parts[part] = REFUSED[what] + bare
    with zipfile.ZipFile(path, "w") as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    found = open_book(path)
    assert isinstance(found, Problem)
    assert (found.code, "document type" in found.seen) == ("file-not-a-workbook", True)


NO_SHEET = {
    "a row of no number": "<row r='one'><c><v>1</v></c></row>",
    "a row before the first": "<row r='0'><c><v>1</v></c></row>",
    "a row and a half": "<row r='1.5'><c><v>1</v></c></row>",
    "a row beyond the last": "<row r='1048577'><c><v>1</v></c></row>",
    "cells merged nowhere": "</sheetData><mergeCells><mergeCell ref='here:there'/></mergeCells>"
    "<sheetData>",
}


@pytest.mark.parametrize("what", NO_SHEET)
def test_rows_and_merges_that_are_nowhere_damage_the_file(what: str, tmp_path: Path) -> None:
    """ECMA-376 part 1, 18.3.1.73: rows are numbered from 1; there are 1,048,576 of them."""
    found = open_book(book_of(tmp_path / "raw.xlsx", NO_SHEET[what]))
    assert isinstance(found, Problem)
    assert found.code == "file-not-a-workbook"
