"""Small price lists of invented suppliers for tests of packs and orders."""

from datetime import date
from decimal import Decimal

from quotegen.model.settings import PackPrice, PriceBook
from quotegen.problems import Place
from quotegen.reference import house_rules

Row = tuple[str, str, float, str | Decimal]


def pack(item: str, supplier: str, size: float, price: str | Decimal, row: int = 2) -> PackPrice:
    """One pack of an item from a supplier."""
    kind = house_rules.items()[item]
    return PackPrice(
        item=item,
        words=kind.words,
        unit=kind.unit,
        pack_size=size,
        pack_price=Decimal(price),
        supplier=supplier,
        dated=date(2026, 11, 1),
        place=Place("prices.xlsx", "Prices", f"E{row}"),
    )


def book(*rows: Row) -> PriceBook:
    """A price book of rows: item, supplier, size, price."""
    packs: dict[str, tuple[PackPrice, ...]] = {}
    for number, (item, supplier, size, price) in enumerate(rows, start=2):
        packs[item] = (*packs.get(item, ()), pack(item, supplier, size, price, number))
    return PriceBook(packs)
