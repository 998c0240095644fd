"""Files that are not what they seem: one clear problem, in good time, and no traceback."""

import io
import random
import re
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.styles import PatternFill

from quotegen.workbook.package.book import MOST_BOOK_BYTES, Book, open_book
from quotegen.workbook.package.raw_cell import Raw
from quotegen.workbook.reading.price_lists import read_price_lists
from quotegen.workbook.reading.reader import read_workbook
from tests.workbook.books import at, type_into, where_and_what, write_book

OLE_HEADER = bytes.fromhex("d0cf11e0a1b11ae1")


def zipped(**parts: bytes) -> bytes:
    memory = io.BytesIO()
    with zipfile.ZipFile(memory, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return memory.getvalue()


def workbook_bytes() -> bytes:
    memory = io.BytesIO()
    Workbook().save(memory)
    return memory.getvalue()


NOT_WORKBOOKS: dict[str, Callable[[], bytes]] = {
    "empty": lambda: b"",
    "a CSV file renamed": lambda: b"Reference,Shape\nT-01,bow\n",
    "protected by a password": lambda: OLE_HEADER + bytes(4096),
    "cut short": lambda: workbook_bytes()[:2000],
    "a bare zip": lambda: zipped(**{"readme.txt": b"hello"}),
    "a workbook with its parts missing": lambda: zipped(**{"xl/workbook.xml": b"<workbook/>"}),
    "broken XML inside": lambda: zipped(
        **{"[Content_Types].xml": b"<Types", "xl/workbook.xml": b"<workbook"}
    ),
    "the lock file of an open workbook": lambda: b"\x07A. Tern" + bytes(157),
}


@pytest.mark.parametrize("what", NOT_WORKBOOKS)
def test_what_is_not_a_workbook(what: str, tmp_path: Path) -> None:
    path = tmp_path / "jobs.xlsx"
    path.write_bytes(NOT_WORKBOOKS[what]())
    read = read_workbook(path)
    assert [(p.code, p.place.book, p.ref) for p in read.problems] == [
        ("file-not-a-workbook", "jobs.xlsx", "")
    ]
    assert read.problems[0].seen
    assert read.enquiries == ()
    assert [p.code for p in read_price_lists([path]).problems] == ["file-not-a-workbook"]


def test_a_file_that_is_not_there_and_a_folder(tmp_path: Path) -> None:
    assert [p.code for p in read_workbook(tmp_path / "no.xlsx").problems] == ["file-missing"]
    assert [p.code for p in read_workbook(tmp_path).problems] == ["file-not-a-workbook"]


def test_a_small_file_that_unpacks_to_far_too_much(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "jobs.xlsx"
    sheet = b"<worksheet>" + bytes(MOST_BOOK_BYTES)
    path.write_bytes(zipped(**{"xl/workbook.xml": b"<workbook/>", "xl/sheet1.xml": sheet}))
    assert path.stat().st_size < MOST_BOOK_BYTES / 500

    def unpacked(*_: object) -> None:
        raise AssertionError("it is judged by its list of contents")

    monkeypatch.setattr(zipfile.ZipFile, "open", unpacked)
    assert [p.code for p in read_workbook(path).problems] == ["file-too-large"]


def steps_of(work: Callable[[], object]) -> int:
    """How many calls and returns some work takes: the same on a slow machine as on a fast one."""
    count = 0

    def step(*_: object) -> None:
        nonlocal count
        count += 1

    before = sys.getprofile()
    sys.setprofile(step)
    try:
        work()
    finally:
        sys.setprofile(before)
    return count


def test_one_formatted_cell_at_the_very_bottom_costs_nothing(tmp_path: Path) -> None:
    path = write_book(tmp_path / "jobs.xlsx")
    plain = steps_of(lambda: read_workbook(path))
    book = load_workbook(path)
    book["Enquiries"].cell(1_048_576, 1).fill = PatternFill("solid", fgColor="FFFF0000")
    book.save(path)
    assert steps_of(lambda: read_workbook(path)) < 1.1 * plain
    read = read_workbook(path)
    assert read.problems == ()
    assert [enquiry.ref for enquiry in read.enquiries] == ["T-01"]


def with_formula(path: Path, cell_xml: str) -> Path:
    """Put a cell of one's own XML at D2 of a one-sheet workbook, as another program may write."""
    content = workbook_bytes()
    parts = {}
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        for name in archive.namelist():
            parts[name] = archive.read(name)
    sheet = parts["xl/worksheets/sheet1.xml"].decode()
    row = f'<sheetData><row r="2">{cell_xml}</row></sheetData>'
    parts["xl/worksheets/sheet1.xml"] = re.sub(
        "<sheetData ?/>|<sheetData></sheetData>", row, sheet
    ).encode()
    path.write_bytes(zipped(**parts))
    return path


@pytest.mark.parametrize(
    ("cell_xml", "expected"),
    [
        ('<c r="D2"><f>A1*2</f><v></v></c>', Raw(None, "=A1*2", calculated=False)),
        ('<c r="D2"><f>A1*2</f></c>', Raw(None, "=A1*2", calculated=False)),
        ('<c r="D2" t="str"><f>""</f><v></v></c>', Raw(None, '=""')),
        ('<c r="D2"><f>1200*2</f><v>2400</v></c>', Raw(2400, "=1200*2")),
        ('<c r="D2"><f>1-1</f><v>0</v></c>', Raw(0, "=1-1")),
        ('<c r="D2" t="e"><f>1/0</f><v>#DIV/0!</v></c>', Raw("#DIV/0!", "=1/0", "#DIV/0!")),
        ('<c r="D2"><v>2400</v></c>', Raw(2400)),
    ],
)
def test_formulas_with_and_without_their_result(
    cell_xml: str, expected: Raw, tmp_path: Path
) -> None:
    book = open_book(with_formula(tmp_path / "f.xlsx", cell_xml))
    assert isinstance(book, Book)
    assert book.sheets[0].cells == {(2, 4): expected}


def test_a_result_that_was_calculated_is_read_as_the_value(tmp_path: Path) -> None:
    path = write_book(tmp_path / "jobs.xlsx")
    type_into(path, {at("Enquiries", "width_mm", 2): "=1200*2"})
    read = read_workbook(path)
    assert where_and_what(read.problems) == {
        (at("Enquiries", "width_mm", 2), "cell-formula-not-calculated")
    }


def test_a_line_break_from_another_program_is_not_printed_as_its_code(tmp_path: Path) -> None:
    """ECMA-376 part 1, 22.9.2.19 (ST_Xstring): _x000D_ is a return, _x005F_ an underline sign."""
    xml = '<c r="D2" t="inlineStr"><is><t>one_x000D_\ntwo _x005F_x000D_</t></is></c>'
    book = open_book(with_formula(tmp_path / "f.xlsx", xml))
    assert isinstance(book, Book)
    assert book.sheets[0].cells == {(2, 4): Raw("one\r\ntwo _x000D_")}


def test_a_file_with_spoilt_bytes_is_read_or_refused_and_never_falls_over(tmp_path: Path) -> None:
    """Bytes changed by lot, half of them in the list of contents at the end of the file."""
    whole, lot = workbook_bytes(), random.Random(5)
    path = tmp_path / "jobs.xlsx"
    codes = set()
    for number in range(300):
        spoilt = bytearray(whole)
        first = len(spoilt) - 700 if number % 2 else 0
        for _ in range(lot.choice((1, 2, 8, 40))):
            spoilt[lot.randrange(first, len(spoilt))] = lot.randrange(256)
        if number % 7 == 0:
            del spoilt[(cut := lot.randrange(len(spoilt))) : cut + lot.randrange(900)]
        path.write_bytes(bytes(spoilt))
        found = open_book(path)
        codes.add("read" if isinstance(found, Book) else found.code)
    assert {"read", "file-not-a-workbook"} <= codes <= {
        "read", "file-not-a-workbook", "file-too-large"
    }  # fmt: skip


def test_parts_with_spoilt_letters_are_read_or_refused(tmp_path: Path) -> None:
    """The same inside the parts: letters, whole pieces, attributes and numbers."""
    with zipfile.ZipFile(write_book(tmp_path / "sound.xlsx")) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    names = [name for name in parts if name.startswith("xl/") and "sheets/" not in name]
    names += ["xl/worksheets/sheet2.xml"] * 4
    odd = (b"", b"-1", b"9" * 30, b"x", b"1e9", b"A1:XFD1048576", b"nan", b"1e999", b"\xc3\xa9")
    lot, codes = random.Random(7), set()
    path = tmp_path / "jobs.xlsx"
    for number in range(24):
        name = lot.choice(names)
        spoilt = bytearray(parts[name])
        places = [m.span(1) for m in re.finditer(rb'="([^"]*)"|<v>([^<]*)</v>', spoilt) if m[1]]
        if number % 3 and places:
            first, last = lot.choice(places)
            spoilt[first:last] = lot.choice(odd)
        else:
            at = lot.randrange(len(spoilt))
            spoilt[at : at + lot.randrange(30)] = bytes([lot.randrange(256)])
        with zipfile.ZipFile(path, "w") as archive:
            for one, content in {**parts, name: bytes(spoilt)}.items():
                archive.writestr(one, content)
        read = read_workbook(path)
        codes |= {found.code for found in read.problems}
        assert all(found.message and found.cure for found in read.problems)
    assert "file-not-a-workbook" in codes
