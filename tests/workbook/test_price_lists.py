"""Price lists: several suppliers side by side, every mistake at its cell."""

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from openpyxl import load_workbook

from quotegen.problems import Place
from quotegen.workbook.reading.price_lists import read_price_lists
from tests.workbook.books import (
    PRICE,
    at,
    cell_of,
    type_into,
    where_and_what,
    write_book,
    write_prices,
)


def test_two_lists_are_read_together(tmp_path: Path) -> None:
    one = write_prices(tmp_path / "one.xlsx", {}, {"pack_size": 5, "pack_price": "£32.50"})
    two = write_prices(
        tmp_path / "two.xlsx",
        {"item": "Topcoat", "words": None, "unit": " KG"},
        {"supplier": "Guillemot Trade Counter", "dated": "19/10/2026"},
        {"item": "mat_450", "unit": "m²", "pack_size": 30},
    )
    read = read_price_lists([one, two])
    assert read.problems == ()
    assert set(read.book.packs) == {"resin", "topcoat", "mat_450"}
    drum, tin, other = read.book.of("resin")
    assert (drum.pack_size, drum.pack_price, drum.dated) == (
        20.0,
        Decimal("96.5"),
        date(2026, 11, 2),
    )
    assert drum.place == Place(
        "one.xlsx", "Prices", cell_of("Prices", "pack_price", 2), "Pack price without VAT (£)"
    )
    assert tin.pack_price == Decimal("32.50")
    assert (other.supplier, other.dated) == ("Guillemot Trade Counter", date(2026, 10, 19))
    assert read.book.of("topcoat")[0].words == "Topcoat", "as in the catalogue of items"
    assert read.book.of("outlet") == ()


def test_every_mistake_in_a_price_list_is_named_at_its_cell(tmp_path: Path) -> None:
    wrong: dict[str, tuple[Any, str]] = {
        at("Prices", "item", 3): ("resine", "price-item-unknown"),
        at("Prices", "unit", 4): ("l", "price-unit-differs"),
        at("Prices", "pack_price", 5): (0, "cell-out-of-range"),
        at("Prices", "pack_price", 6): (-5, "cell-out-of-range"),
        at("Prices", "pack_price", 7): (None, "cell-missing"),
        at("Prices", "pack_size", 8): (0, "cell-out-of-range"),
        at("Prices", "dated", 9): ("soon", "cell-not-a-date"),
        at("Prices", "supplier", 10): (None, "cell-missing"),
        at("Prices", "item", 11): (None, "cell-missing"),
        at("Prices", "item", 12): ("RESIN", "price-twice"),
    }
    sizes = [{"pack_size": size} for size in range(1, 11)]
    path = write_prices(tmp_path / "one.xlsx", *sizes, {**PRICE, "pack_size": 1})
    type_into(path, {cell: value for cell, (value, _) in wrong.items()})
    read = read_price_lists([path])
    assert where_and_what(read.problems) == {(cell, code) for cell, (_, code) in wrong.items()}
    assert read.book.of("resin") == (), "not even the first of two prices for one pack"
    unknown = next(p for p in read.problems if p.code == "price-item-unknown")
    assert not unknown.stops, "a row of the supplier's own stops no quote"


def test_the_same_pack_in_two_lists_is_asked_about(tmp_path: Path) -> None:
    one = write_prices(tmp_path / "one.xlsx", {})
    two = write_prices(tmp_path / "two.xlsx", {"pack_price": 120, "supplier": "gannet supplies"})
    read = read_price_lists([one, two])
    assert [(p.code, p.place.book) for p in read.problems] == [("price-twice", "two.xlsx")]
    assert "one.xlsx, Prices!" in read.problems[0].message
    assert read.book.packs == {}, "nobody can tell which of the two is meant"


def test_the_same_list_named_twice_is_read_once(tmp_path: Path) -> None:
    one = write_prices(tmp_path / "one.xlsx", {})
    read = read_price_lists([one, tmp_path / "." / "one.xlsx"])
    assert read.problems == ()
    assert len(read.book.of("resin")) == 1


def test_a_workbook_of_enquiries_is_no_price_list(tmp_path: Path) -> None:
    read = read_price_lists([write_book(tmp_path / "jobs.xlsx")])
    assert [p.code for p in read.problems] == ["price-sheet-missing"]


def test_a_workbook_of_another_kind_is_no_price_list(tmp_path: Path) -> None:
    path = write_prices(tmp_path / "one.xlsx", {})
    type_into(path, {"Prices!A1": "Thing"})
    read = read_price_lists([path])
    assert {p.code for p in read.problems} == {"heading-missing", "heading-unknown"}
    assert read.book.packs == {}
    empty = dict.fromkeys(f"Prices!{letter}1" for letter in "ABCDEFG")
    type_into(path, empty)
    assert where_and_what(read_price_lists([path]).problems) == {("Prices!A1", "headings-missing")}


def test_a_delivery_is_priced_one_at_a_time(tmp_path: Path) -> None:
    row = {"item": "delivery", "unit": "order", "pack_price": 25}
    found = read_price_lists([write_prices(tmp_path / "a.xlsx", {**row, "pack_size": 1})])
    assert found.problems == ()
    assert [pack.pack_price for pack in found.book.of("delivery")] == [25]
    found = read_price_lists([write_prices(tmp_path / "b.xlsx", {**row, "pack_size": 2})])
    assert where_and_what(found.problems) == {
        (at("Prices", "pack_size", 2), "cell-out-of-range"),
    }
    assert found.book.of("delivery") == ()


def test_one_supplier_spelt_two_ways_is_one_supplier(tmp_path: Path) -> None:
    path = write_prices(tmp_path / "a.xlsx", {}, {"pack_size": 5, "supplier": "GANNET supplies"})
    found = read_price_lists([path])
    assert {pack.supplier for pack in found.book.of("resin")} == {"Gannet Supplies"}


def test_a_price_list_with_its_sheet_twice_prices_nothing(tmp_path: Path) -> None:
    path = write_prices(tmp_path / "one.xlsx", {})
    book = load_workbook(path)
    book.create_sheet("prices ")
    book.save(path)
    read = read_price_lists([path])
    assert [(p.code, p.stops) for p in read.problems] == [("sheet-twice", True)]
    assert read.book.packs == {}
