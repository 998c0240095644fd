"""The Van stock sheet: stock that is used before anything is bought."""

from msgspec.structs import replace

from quotegen.problems import Problem
from quotegen.reference import house_rules
from quotegen.reference.house_rules import Item
from quotegen.workbook.package.book import RawSheet
from quotegen.workbook.reading.rows import Row, read_rows, unit_typed
from quotegen.workbook.sheets.firm import VAN_STOCK
from quotegen.working import Figure, derive, total


def read_van_stock(book: str, raw: RawSheet | None) -> tuple[dict[str, Figure], list[Problem]]:
    """The van's stock by item, and all problems on the sheet; empty without one.

    Several rows of an item add up. A row with a problem is dropped.
    """
    if raw is None:
        return {}, []
    rows, problems = read_rows(book, raw, VAN_STOCK)
    held: dict[str, list[Figure]] = {}
    for row in rows:
        item = house_rules.items().get((row.get(VAN_STOCK.item) or "").casefold())
        quantity = row.get(VAN_STOCK.quantity)
        wrong = _wrong(row, item)
        problems += wrong
        if item and quantity and not wrong:
            name = f"{item.words} on the van"
            held.setdefault(item.code, []).append(replace(quantity, name=name, unit=item.unit))
    return {item: _added(figures) for item, figures in held.items()}, problems


def _wrong(row: Row, item: Item | None) -> list[Problem]:
    if row.problems:
        return list(row.problems)
    if item is None:
        named = row.get(VAN_STOCK.item) or ""
        return [row.problem("stock-item-unknown", VAN_STOCK.item, named)]
    if not item.stocked:
        return [row.problem("stock-not-counted", VAN_STOCK.item, item.code)]
    seen = row.get(VAN_STOCK.unit) or ""
    if unit_typed(seen) is not item.unit:
        expected = {"item": item.code, "unit": item.unit}
        return [row.problem("stock-unit-differs", VAN_STOCK.unit, seen, **expected)]
    return []


def _added(figures: list[Figure]) -> Figure:
    if len(figures) == 1:
        return figures[0]
    return derive(figures[0].name, figures[0].unit, total, parts=figures)
