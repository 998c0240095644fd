"""The Prices sheet of a price list, which is a workbook of its own."""

from datetime import date

from quotegen.workbook.sheets.columns import Group, Sheet

_ITEM = Group("Item")
_PACK = Group("Pack")
_SOURCE = Group("Source")


class Prices(Sheet):
    """One row per pack of an item from a supplier."""

    item = _ITEM.text(
        "Item", "The item's code, as in the guide.", required=True, example="resin", width=18
    )
    words = _ITEM.text(
        "Description",
        "What the supplier calls it. Blank: our name for it.",
        example="Laminating resin, drum",
        width=38,
    )
    unit = _PACK.text(
        "Unit",
        "The unit of the pack size; the guide says which unit each item is counted in.",
        required=True,
        example="kg",
        width=9,
    )
    pack_size = _PACK.number(
        "Pack size",
        "How many units are in one pack.",
        (0.001, 100000),
        required=True,
        example=20,
        width=11,
    )
    pack_price = _PACK.money(
        "Pack price without VAT (£)",
        "For one pack.",
        (0.01, 50000),
        required=True,
        example=96.5,
        width=14,
    )
    supplier = _SOURCE.text(
        "Supplier",
        "Who sells it at this price.",
        required=True,
        example="Gannet Supplies",
        width=24,
    )
    dated = _SOURCE.day(
        "Date of price",
        "When you were given the price.",
        required=True,
        example=date(2026, 11, 2),
        width=13,
    )


PRICES = Prices(
    "Prices",
    "What a pack costs, without VAT. Several suppliers can share one list, or each have their own.",
)
