"""The Van stock sheet: what is already there and is used before anything is bought."""

from quotegen.problems import Problem
from quotegen.reference import house_rules
from quotegen.reference.house_rules import ItemKind
from quotegen.workbook.book import RawSheet
from quotegen.workbook.cells import plain_text
from quotegen.workbook.declaration import STOCK_SHEET, sheets
from quotegen.workbook.rows import Row, read_rows, same_name
from quotegen.working import Figure, derive, total


def read_van_stock(book: str, raw: RawSheet | None) -> tuple[dict[str, Figure], list[Problem]]:
    """What the van holds by item, with everything wrong on the sheet; nothing without one.

    Several rows of an item add up. A row with a problem counts for nothing.
    """
    if raw is None:
        return {}, []
    rows, problems = read_rows(book, raw, sheets()[STOCK_SHEET])
    held: dict[str, list[Figure]] = {}
    for row in rows:
        item = house_rules.items().get(row.text("item").casefold())
        quantity = row.figure("quantity", item.unit if item else None)
        wrong = _wrong(row, item)
        problems += wrong
        if item and quantity and not wrong:
            held.setdefault(item.code, []).append(quantity.renamed(f"{item.words} on the van"))
    return {item: _added(figures) for item, figures in held.items()}, problems


def _wrong(row: Row, item: ItemKind | None) -> list[Problem]:
    if row.problems:
        return list(row.problems)
    if item is None:
        return [row.problem("stock-item-unknown", "item", row.text("item"))]
    if not item.stocked:
        return [row.problem("stock-not-counted", "item", item.code)]
    typed = plain_text(row.text("unit")).replace("²", "2")
    if not same_name(typed, item.unit):
        seen = row.text("unit")
        return [row.problem("stock-unit-differs", "unit", seen, item=item.code, unit=item.unit)]
    return []


def _added(figures: list[Figure]) -> Figure:
    if len(figures) == 1:
        return figures[0]
    return derive(figures[0].name, figures[0].unit, total, parts=figures)
