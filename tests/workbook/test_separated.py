"""Price lists as .csv files, as a spreadsheet or a merchant writes them."""

import csv
import io
from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path

import pytest
from msgspec.structs import replace

from quotegen.machine.resources import price_lists_folder
from quotegen.problems import Place
from quotegen.workbook.reading.price_lists import read_price_lists
from tests.spreadsheets import converted

HEADS = ("Item", "Description", "Unit", "Pack size", "Pack price without VAT (£)", "Supplier",
         "Date of price")  # fmt: skip
ROW = ("resin", "Laminating resin, drum", "kg", "20", "96.50", "Gannet Supplies", "02/11/2026")


BRITISH = "csv:Text - txt - csv (StarCalc):44,34,76,1,,2057"
"""Commas, quotation marks, UTF-8, from line 1, dates as in Britain (language 2057)."""


def written(path: Path, rows: Sequence[Sequence[str]], between: str, encoding: str) -> Path:
    text = io.StringIO()
    csv.writer(text, delimiter=between).writerows(rows)
    path.write_bytes(text.getvalue().encode(encoding))
    return path


@pytest.mark.parametrize("between", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252"])
def test_a_price_list_may_be_separated_text(tmp_path: Path, between: str, encoding: str) -> None:
    read = read_price_lists([written(tmp_path / "list.csv", [HEADS, ROW], between, encoding)])
    assert read.problems == ()
    (pack,) = read.book.packs["resin"]
    assert (pack.pack_price, pack.pack_size) == (Decimal("96.50"), 20.0)
    assert pack.words == "Laminating resin, drum"
    assert pack.place == Place("list.csv", "Prices", "E2", "Pack price without VAT (£)")


def test_a_wrong_cell_is_named_at_its_line(tmp_path: Path) -> None:
    rows = [HEADS, ROW, (*ROW[:4], "dear", *ROW[5:])]
    read = read_price_lists([written(tmp_path / "list.csv", rows, ",", "utf-8")])
    assert [(p.code, p.place.cell) for p in read.problems] == [("cell-not-a-number", "E3")]


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"PK\x03\x04\0\0", "file-not-a-workbook"),
        (b"", "headings-missing"),
        (b'"never closed\n' + b"x" * 200_000, "file-not-a-workbook"),
        (b"a\n" * 20_001, "rows-too-many"),
        (b"," * 201, "rows-too-many"),
        (b"x" * 5_000_001, "file-too-large"),
    ],
)
def test_what_is_no_price_list_is_refused(tmp_path: Path, content: bytes, code: str) -> None:
    path = tmp_path / "list.csv"
    path.write_bytes(content)
    assert [p.code for p in read_price_lists([path]).problems] == [code]


def test_a_list_that_is_not_there_is_said(tmp_path: Path) -> None:
    assert [p.code for p in read_price_lists([tmp_path / "no.csv"]).problems] == ["file-missing"]


def test_the_shipped_lists_read_the_same_when_saved_as_csv(tmp_path: Path) -> None:
    """LibreOffice saves the first sheet, the prices, as a British one shows them."""
    for file in sorted(price_lists_folder().glob("*.xlsx")):
        copy = tmp_path / file.name
        copy.write_bytes(file.read_bytes())
        saved = read_price_lists([converted(copy, BRITISH)])
        sound = read_price_lists([file])
        assert saved.problems == ()
        nowhere = Place("")
        assert {
            item: tuple(replace(pack, place=nowhere) for pack in packs)
            for item, packs in saved.book.packs.items()
        } == {
            item: tuple(replace(pack, place=nowhere) for pack in packs)
            for item, packs in sound.book.packs.items()
        }
