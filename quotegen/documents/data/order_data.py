"""The order as data, by supplier with its leftovers, for one job or for several."""

from collections.abc import Sequence
from typing import Any

from quotegen.model.several import SharedNeed, Together
from quotegen.model.takeoff import CutList, Leftover, Order, PackCount, SupplierOrder
from quotegen.reference import house_rules
from quotegen.working import Figure

_MM_DIGITS, _QUANTITY_DIGITS = 1, 3


def order_data(order: Order) -> dict[str, Any]:
    """An order: packs and delivery by supplier, the cheapest single supplier, the leftovers."""
    return {
        "suppliers": [_supplier(one) for one in order.suppliers],
        "deliveries": _pounds(order.deliveries),
        "total": _pounds(order.total),
        "proved_least": order.proved,
        "one_supplier": (
            {"supplier": order.alone.supplier, "total": _pounds(order.alone.total)}
            if order.alone
            else None
        ),
        "left_over": [_leftover(left) for left in order.leftovers],
    }


def packs_data(packs: Sequence[PackCount]) -> list[dict[str, Any]]:
    """Packs with count, size, price and supplier."""
    return [
        {
            "count": count.count,
            "size": count.pack.pack_size,
            "price": str(count.pack.pack_price),
            "supplier": count.pack.supplier,
        }
        for count in packs
    ]


def cut_data(cut: CutList) -> dict[str, Any]:
    """A cutting list: each length with its pieces and its remainder."""
    return {
        "item": cut.item,
        "proved_least": cut.proved,
        "kept_mm": [round(mm, _MM_DIGITS) for mm in cut.kept],
        "lengths": [
            {
                "stock_mm": length.stock_mm,
                "pieces": [
                    {"length_mm": round(piece.length_mm, _MM_DIGITS), "edge": piece.edge}
                    for piece in length.pieces
                ],
                "left_mm": round(length.left_mm, _MM_DIGITS),
            }
            for length in cut.lengths
        ],
    }


def together_data(together: Together) -> dict[str, Any]:
    """Several jobs in one order, and the saving."""
    return {
        "jobs": [{"ref": ref, "build_up": str(build_up)} for ref, build_up in together.jobs],
        "needs": [_shared_need(need) for need in together.needs],
        "cuts": [cut_data(cut) for cut in together.cuts],
        "order": order_data(together.order),
        "apart": [{"ref": ref, "total": _pounds(figure)} for ref, figure in together.apart],
        "saves": _pounds(together.saves),
    }


def _supplier(one: SupplierOrder) -> dict[str, Any]:
    return {
        "supplier": one.supplier,
        "packs": [
            {"item": count.pack.item, "words": count.pack.words, **packed}
            for count, packed in zip(one.packs, packs_data(one.packs), strict=True)
        ],
        "cost": _pounds(one.cost),
        "delivery": _pounds(one.delivery) if one.delivery else None,
        "total": _pounds(one.total),
    }


def _leftover(left: Leftover) -> dict[str, Any]:
    return {
        "item": left.item,
        "words": left.words,
        "quantity": round(left.quantity.number, _QUANTITY_DIGITS),
        "unit": house_rules.items()[left.item].unit,
        "keeps": left.keeps,
    }


def _shared_need(need: SharedNeed) -> dict[str, Any]:
    return {
        "item": need.item,
        "words": need.words,
        "unit": need.unit,
        "gross": round(need.gross.number, _QUANTITY_DIGITS),
        "by_job": [
            {"ref": ref, "gross": round(figure.number, _QUANTITY_DIGITS)}
            for ref, figure in need.by_job
        ],
        "from_stock": round(need.from_stock.number, _QUANTITY_DIGITS) if need.from_stock else 0.0,
        "packs": packs_data(need.purchase.packs if need.purchase else ()),
        "spare": round(need.purchase.spare.number, _QUANTITY_DIGITS) if need.purchase else None,
        "cost": _pounds(need.purchase.cost) if need.purchase else None,
    }


def _pounds(figure: Figure) -> str:
    return f"{figure.money:.2f}"
