"""Price lists: separate workbooks, with several suppliers side by side."""

from collections.abc import Iterable
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from quotegen import wording
from quotegen.model.settings import PackPrice, PriceBook
from quotegen.problems import Place, Problem, problem
from quotegen.reference import house_rules
from quotegen.units import Unit
from quotegen.workbook.package.book import RawSheet, open_book
from quotegen.workbook.package.separated import SEPARATED, open_separated
from quotegen.workbook.reading.rows import Row, read_rows, same_name, unit_typed
from quotegen.workbook.sheets.declaration import GUIDE_SHEET, LISTS_SHEET, PRICE_SHEET
from quotegen.workbook.sheets.prices import PRICES

_Key = tuple[str, str, float]


class PricesRead(Struct, frozen=True):
    """All sound prices of the lists read, and all problems with the rest."""

    book: PriceBook
    problems: tuple[Problem, ...]


def read_price_lists(paths: Iterable[Path]) -> PricesRead:
    """Read price lists together: the packs of each item, and every problem with its cell.

    A row with a problem prices nothing. If two rows, in one list or in two, price the same pack of
    the same supplier, nobody can tell which is meant, so it is a problem and neither is used.
    Capitals do not make another supplier, so no delivery is charged twice.
    """
    packs: dict[_Key, PackPrice] = {}
    spelt: dict[str, str] = {}
    twice: set[_Key] = set()
    problems: list[Problem] = []
    for path in {path.resolve(): path for path in paths}.values():
        rows, wrong = _rows(path)
        problems += wrong
        for row in rows:
            found = _pack(row)
            if not isinstance(found, PackPrice):
                problems += found
                continue
            key = (found.item, found.supplier.casefold(), found.pack_size)
            found = replace(found, supplier=spelt.setdefault(key[1], found.supplier))
            if key in packs:
                problems.append(_twice(row, found, packs[key]))
                twice.add(key)
            else:
                packs[key] = found
    return PricesRead(
        _book_of(pack for key, pack in packs.items() if key not in twice), tuple(problems)
    )


def _book_of(packs: Iterable[PackPrice]) -> PriceBook:
    by_item: dict[str, list[PackPrice]] = {}
    for pack in packs:
        by_item.setdefault(pack.item, []).append(pack)
    return PriceBook({item: tuple(found) for item, found in by_item.items()})


def _rows(path: Path) -> tuple[list[Row], list[Problem]]:
    if path.suffix.lower() == SEPARATED:
        book = open_separated(path, PRICE_SHEET)
    else:
        book = open_book(path, lambda name: same_name(name, PRICE_SHEET))
    if isinstance(book, Problem):
        return [], [book]
    found: list[RawSheet] = [raw for raw in book.sheets if same_name(raw.name, PRICE_SHEET)]
    if not found:
        return [], [problem("price-sheet-missing", Place(book.name, PRICE_SHEET), PRICE_SHEET)]
    problems = list(book.problems)
    problems += [
        problem("sheet-unknown", Place(book.name, raw.name), raw.name)
        for raw in book.sheets
        if not same_name(raw.name, PRICE_SHEET) and raw.name not in (GUIDE_SHEET, LISTS_SHEET)
    ]
    if len(found) > 1:
        return [], [*problems, problem("sheet-twice", Place(book.name, PRICE_SHEET), PRICE_SHEET)]
    rows, in_headings = read_rows(book.name, found[0], PRICES)
    if any(heading.stops for heading in in_headings):
        return [], problems + in_headings
    return rows, problems + in_headings


def _pack(row: Row) -> PackPrice | list[Problem]:
    """One row as a pack with its price, or the problems with it."""
    named, unit = row.get(PRICES.item) or "", row.get(PRICES.unit) or ""
    item = house_rules.items().get(named.casefold())
    if item is None and named:
        return [row.problem("price-item-unknown", PRICES.item, named)]
    if item is None or row.problems:
        return list(row.problems)
    if unit_typed(unit) is not item.unit:
        expected = {"item": item.code, "unit": item.unit}
        return [row.problem("price-unit-differs", PRICES.unit, unit, **expected)]
    size = row[PRICES.pack_size]
    if item.unit is Unit.ORDER and size.number != 1:
        allowed = {"least": "1", "most": "1 order"}
        return [
            row.problem(
                "cell-out-of-range", PRICES.pack_size, wording.typed(size.number), **allowed
            )
        ]
    return PackPrice(
        item=item.code,
        words=row.get(PRICES.words) or item.words,
        unit=item.unit,
        pack_size=size.number,
        pack_price=row[PRICES.pack_price].money,
        supplier=row[PRICES.supplier],
        dated=row[PRICES.dated],
        place=row.place(PRICES.pack_price),
    )


def _twice(row: Row, pack: PackPrice, first: PackPrice) -> Problem:
    return row.problem(
        "price-twice",
        PRICES.item,
        pack.item,
        supplier=pack.supplier,
        size=wording.typed(pack.pack_size),
        unit=pack.unit,
        first=f"{first.place.book}, {first.place}",
    )
