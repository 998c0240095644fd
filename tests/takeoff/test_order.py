"""The order of a job: van stock, suppliers, deliveries, leftovers and cost."""

from decimal import Decimal

import pytest
from hypothesis import given as over
from hypothesis import settings as tuned
from hypothesis import strategies as st
from msgspec.structs import replace

from quotegen.documents.data.takeoff_text import order_lines
from quotegen.documents.shared.remark_words import said
from quotegen.model.choices import Size
from quotegen.model.enquiry import Enquiry
from quotegen.model.settings import PriceBook, Settings
from quotegen.model.takeoff import Need, OptionTakeOff
from quotegen.pricing.costs import cost_lines, total_cost
from quotegen.problems import Problem
from quotegen.reference import house_rules
from quotegen.reference.house_rules import Family
from quotegen.takeoff.measure import measure
from quotegen.working import Scalar
from tests import builders
from tests.takeoff.shops import pack

given = builders.given


def with_stock(settings: Settings, **stock: float) -> Settings:
    held = {
        item: given(f"{item} on the van", n, house_rules.items()[item].unit)
        for item, n in stock.items()
    }
    return replace(settings, van_stock=held)


def ordered(
    prices: PriceBook | None = None,
    stock: dict[str, float] | None = None,
    enquiry: Enquiry | None = None,
    **settings: Scalar | None,
) -> tuple[OptionTakeOff, list[Problem]]:
    firm = with_stock(builders.settings(**settings), **(stock or {}))
    book = prices or builders.prices()
    take_off, problems = measure(enquiry or builders.enquiry(), firm, book, builders.TODAY)
    assert take_off is not None
    return take_off.options[0], problems


def need_of(option: OptionTakeOff, item: str) -> Need:
    return next(need for need in option.needs if need.item == item)


def second_supplier(*rows: tuple[str, float, str]) -> PriceBook:
    """The builders' list of one supplier with rows of another added."""
    packs = dict(builders.prices().packs)
    for item, size, price in rows:
        packs[item] = (*packs.get(item, ()), pack(item, "Fulmar", size, price, 90))
    return PriceBook(packs)


def test_the_order_adds_up_and_names_every_pack_once() -> None:
    option, _ = ordered(builders.prices(without=()))
    order = option.order
    assert [one.supplier for one in order.suppliers] == ["Gannet Supplies"]
    assert order.deliveries.money == Decimal("20.00")
    bought = sum(need.purchase.cost.money for need in option.needs if need.purchase)
    assert order.suppliers[0].cost.money == bought
    assert order.total.money == bought + 20
    assert order.alone is not None
    assert order.alone.total.money == order.total.money
    assert order.proved


def test_a_delivery_is_a_cost_of_the_job() -> None:
    firm = builders.settings()
    without, _ = ordered()
    charged, _ = ordered(builders.prices(without=()))
    costs = [total_cost(cost_lines(o, firm)).money for o in (without, charged)]
    assert costs[1] - costs[0] == Decimal("20.00")


def test_a_cheaper_pack_elsewhere_is_taken_unless_its_delivery_eats_the_gain() -> None:
    cheaper = [("acetone", 5.0, "12.00")]
    option, _ = ordered(second_supplier(*cheaper))
    assert {one.supplier for one in option.order.suppliers} == {"Gannet Supplies", "Fulmar"}
    assert option.order.alone is not None
    saved = option.order.alone.total.money - option.order.total.money
    assert saved == Decimal("8.00")
    option, _ = ordered(second_supplier(*cheaper, ("delivery", 1.0, "9.00")))
    assert [one.supplier for one in option.order.suppliers] == ["Gannet Supplies"]


def test_trims_in_longer_lengths_elsewhere_change_the_joints_and_the_bandage() -> None:
    """By hand: wall, flashing and drip of a 3.4 m roof, sides of just under 2 m.

    In 3 m lengths at 20.00 that is 2 + 2 + 2 + 2 = 8 lengths with three joints, in 6 m lengths at
    21.00 it is 4 with none: 84.00 instead of 160.00.
    """
    trims = ("trim_wall", "trim_raised", "trim_drip", "trim_flashing", "corner_raised")
    others = [(item, 6.0 if item.startswith("trim") else 1.0, "21.00") for item in trims]
    wide = builders.enquiry(builders.roof(sizes={Size.WIDTH: 3400, Size.PROJECTION: 2000}))
    near, _ = ordered(enquiry=wide)
    far, _ = ordered(second_supplier(*others), enquiry=wide)
    assert {length.stock_mm for cut in near.cuts for length in cut.lengths} == {3000.0}
    assert {length.stock_mm for cut in far.cuts for length in cut.lengths} == {6000.0}
    assert [sum(len(cut.lengths) for cut in option.cuts) for option in (near, far)] == [8, 4]
    assert need_of(far, "bandage").net.number < need_of(near, "bandage").net.number
    bought = [need.purchase for need in far.needs if need.item in trims and need.purchase]
    assert {c.pack.supplier for purchase in bought for c in purchase.packs} == {"Fulmar"}


def test_what_is_on_the_van_is_used_before_anything_is_bought() -> None:
    before, _ = ordered()
    acetone = need_of(before, "acetone")
    assert acetone.from_stock is None
    half = acetone.gross.number / 2
    option, _ = ordered(stock={"acetone": half})
    need = need_of(option, "acetone")
    assert need.from_stock is not None
    assert need.from_stock.number == half
    assert need.purchase is not None
    assert need.purchase.needed.number == pytest.approx(half)
    assert need.purchase.spare.number == pytest.approx(5.0 - half)
    assert need.stock_cost is not None
    worth = (Decimal(str(half)) * 4).quantize(Decimal("0.01"))
    assert need.stock_cost.money == worth


def test_an_item_wholly_on_the_van_needs_no_purchase_and_no_price() -> None:
    unpriced = builders.prices(without=("delivery", "clout"))
    option, problems = ordered(unpriced)
    assert need_of(option, "clout").unpriced
    assert "price-missing" in {p.code for p in problems}
    option, problems = ordered(unpriced, stock={"clout": 1000.0})
    need = need_of(option, "clout")
    assert need.purchase is None
    assert not need.unpriced
    assert need.stock_cost is not None
    assert need.stock_cost.money == 0
    assert "price-missing" not in {p.code for p in problems}


def test_stock_is_charged_at_the_cheapest_price_or_not_at_all_as_the_firm_wants() -> None:
    option, _ = ordered(second_supplier(("clout", 500.0, "15.00")), stock={"clout": 1000.0})
    need = need_of(option, "clout")
    assert need.stock_cost is not None
    used = Decimal(str(need.gross.number))
    assert need.stock_cost.money == (used * 15 / 500).quantize(Decimal("0.01"))
    option, _ = ordered(stock={"clout": 1000.0}, van_stock_cost="nothing")
    free = need_of(option, "clout").stock_cost
    assert free is not None
    assert free.money == 0


def test_corner_pieces_on_the_van_need_nobody_to_have_them() -> None:
    unpriced = builders.prices(without=("delivery", "corner_raised"))
    option, problems = ordered(unpriced, stock={"corner_raised": 9.0})
    corners = [need for need in option.needs if need.item == "corner_raised"]
    assert [need.purchase for need in corners] == [None] * len(corners)
    assert {p.code for p in problems} & {"price-missing", "family-split"} == set()


def test_too_little_to_spare_on_the_van_is_said() -> None:
    """Gross covered by the van, the least spare of 5 % not, and nobody sells it."""
    before, _ = ordered()
    gross = need_of(before, "topcoat").gross.number
    unpriced = builders.prices(without=("delivery", "topcoat"))
    option, problems = ordered(unpriced, stock={"topcoat": gross * 1.02})
    assert any("less to spare" in said(note) for note in option.notes)
    assert any("data sheets" in said(note) for note in option.notes)
    assert "price-missing" not in {p.code for p in problems}
    option, _ = ordered(unpriced, stock={"topcoat": gross * 1.06})
    assert not any("less to spare" in said(note) for note in option.notes)


def test_what_is_left_over_is_what_the_packs_hold_beyond_the_need() -> None:
    option, _ = ordered()
    left = {found.item: found for found in option.order.leftovers}
    acetone = need_of(option, "acetone")
    assert left["acetone"].quantity.number == pytest.approx(5.0 - acetone.gross.number)
    assert left["acetone"].keeps
    assert not left["topcoat"].keeps
    kept_m = {cut.item: sum(cut.kept) / 1000 for cut in option.cuts if cut.kept}
    assert {
        item: found.quantity.number for item, found in left.items() if item in kept_m
    } == pytest.approx(kept_m)


@over(
    st.dictionaries(
        st.sampled_from(["resin", "topcoat", "catalyst", "acetone", "clout", "bandage", "brush"]),
        st.floats(0, 600),
    ),
    st.integers(0, 40),
)
@tuned(max_examples=25)
def test_van_stock_never_makes_the_order_dearer(stock: dict[str, float], charge: int) -> None:
    prices = second_supplier(
        ("resin", 5.0, "6.00"), ("acetone", 1.0, "4.50"), ("brush", 10.0, "31.00"),
        ("bandage", 75.0, "28.00"), ("delivery", 1.0, str(charge)),
    )  # fmt: skip
    without, _ = ordered(prices)
    option, _ = ordered(prices, stock=stock)
    assert option.order.total.money <= without.order.total.money
    for need in option.needs:
        held = need.from_stock.number if need.from_stock else 0.0
        bought = need.purchase.bought.number if need.purchase else 0.0
        assert held <= need.gross.number
        assert held + bought >= need.gross.number - 1e-9


def test_trims_that_no_one_supplier_has_whole_come_from_two_and_it_is_said() -> None:
    """Profiles of two makes may not fit at a corner, so it is never done in silence."""
    book = builders.prices()
    (drip,) = book.of("trim_drip")
    parted = PriceBook({**book.packs, "trim_drip": (replace(drip, supplier="Fulmar"),)})
    option, problems = ordered(parted)
    assert "family-split" not in {found.code for found in ordered()[1]}
    (split,) = [found for found in problems if found.code == "family-split"]
    assert split.seen == Family.TRIMS
    trims = {
        count.pack.item: one.supplier
        for one in option.order.suppliers
        for count in one.packs
        if count.pack.item in ("trim_drip", "trim_wall", "trim_raised")
    }
    assert trims == {
        "trim_drip": "Fulmar", "trim_wall": "Gannet Supplies", "trim_raised": "Gannet Supplies",
    }  # fmt: skip


def test_an_order_of_two_suppliers_says_what_one_alone_would_cost() -> None:
    option, _ = ordered(second_supplier(("acetone", 5.0, "12.00")))
    *suppliers, alone = order_lines(option.order)
    assert [line.split(":")[0] for line in suppliers] == [
        "order from Fulmar", "order from Gannet Supplies",
    ]  # fmt: skip
    dearer = option.order.total.money + Decimal("8.00")  # 20.00 for 12.00, as above
    assert alone == f"all from Gannet Supplies alone: £{dearer:,.2f}"
