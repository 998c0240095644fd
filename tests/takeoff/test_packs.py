"""Packs against every possible combination."""

from datetime import date
from decimal import Decimal
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from quotegen.model.settings import PackPrice, PriceBook
from quotegen.model.takeoff import Stage
from quotegen.problems import Place
from quotegen.takeoff.basis.packs import cheapest_packs
from quotegen.takeoff.buying.needs import Lack
from quotegen.takeoff.buying.order import Bought, SourcedTrims, buy
from quotegen.takeoff.trims.trims import TrimWork
from quotegen.units import Unit
from quotegen.working import Figure
from tests import builders


def pack(size: float, price: str, supplier: str = "Gannet Supplies") -> PackPrice:
    return PackPrice(
        "resin",
        "Laminating resin",
        Unit.KG,
        size,
        Decimal(price),
        supplier,
        date(2026, 11, 1),
        Place("prices.xlsx", "Prices", "A2"),
    )


def test_the_largest_pack_first_is_not_always_cheapest() -> None:
    packs = [pack(20, "70.00"), pack(5, "24.00"), pack(10, "38.00")]
    assert cheapest_packs(22.0, packs) == {0: 1, 1: 1}
    assert cheapest_packs(26.0, packs) == {0: 1, 2: 1}
    assert cheapest_packs(16.0, packs) == {0: 1}


def test_of_equal_cost_the_one_with_least_left_over() -> None:
    packs = [pack(10, "20.00"), pack(6, "20.00")]
    assert cheapest_packs(5.0, packs) == {1: 1}


@given(
    st.floats(0.1, 60),
    st.lists(
        st.tuples(st.sampled_from([1, 2.5, 5, 10, 20]), st.integers(1, 90)), min_size=1, max_size=3
    ),
)
@settings(max_examples=60)
def test_never_dearer_than_any_other_choice(needed: float, offers: list[tuple[float, int]]) -> None:
    packs = [pack(size, f"{price}.00") for size, price in offers]
    chosen = cheapest_packs(needed, packs)
    cost = sum(packs[i].pack_price * n for i, n in chosen.items())
    held = sum(packs[i].pack_size * n for i, n in chosen.items())
    assert held + 0.011 >= needed
    most = [int(needed / p.pack_size) + 1 for p in packs]
    others = [
        sum((n * p.pack_price for n, p in zip(counts, packs, strict=True)), Decimal(0))
        for counts in product(*(range(m + 1) for m in most))
        if sum(n * p.pack_size for n, p in zip(counts, packs, strict=True)) >= needed
    ]
    assert cost <= min(others)


NO_TRIMS = SourcedTrims(
    frozenset(),
    TrimWork(
        {},
        {},
        (),
        builders.given("joints", 0.0, ""),
        {},
        builders.given("mitres", 0.0, ""),
        builders.given("made up", 0.0, ""),
    ),
)


def bought_of(needed: dict[str, Figure], to_cover: dict[str, float], prices: PriceBook) -> Bought:
    """What is bought for these needs, of a job without trims or van stock."""
    lacks = [
        Lack(
            item=item,
            words=item,
            stage=Stage.LAMINATE,
            net=figure,
            waste_factor=builders.given("waste factor", 1.0, "times"),
            gross=figure,
            from_stock=None,
            to_buy=figure,
            wanted=to_cover[item],
            to_cover=to_cover[item],
            cut=False,
        )
        for item, figure in needed.items()
    ]
    return buy([(NO_TRIMS, lacks)], prices)


def test_a_purchase_adds_up() -> None:
    book = PriceBook({"resin": (pack(20, "70.00"), pack(5, "24.00"))})
    needed = {"resin": builders.given("resin", 22.0, "kg")}
    made = bought_of(needed, {"resin": 22.0}, book)
    bought = made.purchases
    assert list(made.split) == []
    assert bought["resin"].bought.number == pytest.approx(25.0)
    assert bought["resin"].spare.number == pytest.approx(3.0)
    assert bought["resin"].cost.money == Decimal("94.00")


def test_an_item_without_a_price_is_not_bought_for_nothing() -> None:
    needed = {"resin": builders.given("resin", 22.0, "kg")}
    made = bought_of(needed, {"resin": 22.0}, PriceBook({}))
    assert (made.purchases, made.order.suppliers, list(made.split)) == ({}, (), [])


def family(*offers: tuple[str, float, str, str]) -> PriceBook:
    packs: dict[str, tuple[PackPrice, ...]] = {}
    for item, size, price, supplier in offers:
        made = replace(pack(size, price, supplier), item=item)
        packs[item] = (*packs.get(item, ()), made)
    return PriceBook(packs)


NEEDED = {
    "resin": builders.given("resin", 18.0, "kg"),
    "topcoat": builders.given("topcoat", 9.0, "kg"),
}
TO_COVER = {"resin": 18.9, "topcoat": 9.45}


def test_resin_and_topcoat_come_from_one_supplier() -> None:
    """Resin, topcoat and catalyst of one make. Common practice, no source."""
    book = family(
        ("resin", 20, "60.00", "Gannet"),
        ("resin", 20, "70.00", "Fulmar"),
        ("topcoat", 10, "80.00", "Gannet"),
        ("topcoat", 10, "60.00", "Fulmar"),
    )
    made = bought_of(NEEDED, TO_COVER, book)
    bought = made.purchases
    assert list(made.split) == []
    assert {p.packs[0].pack.supplier for p in bought.values()} == {"Fulmar"}
    assert sum(p.cost.money for p in bought.values()) == Decimal("130.00")


def test_a_family_nobody_has_whole_is_split_and_said_so() -> None:
    book = family(("resin", 20, "60.00", "Gannet"), ("topcoat", 10, "60.00", "Fulmar"))
    made = bought_of(NEEDED, TO_COVER, book)
    bought = made.purchases
    assert list(made.split) == ["resin"]
    assert set(bought) == {"resin", "topcoat"}


def test_the_spare_the_firm_wants_is_bought_as_well() -> None:
    book = PriceBook({"resin": (pack(20, "70.00"), pack(5, "24.00"))})
    needed = {"resin": builders.given("resin", 19.5, "kg")}
    bought = bought_of(needed, {"resin": 19.5 * 1.05}, book).purchases
    assert bought["resin"].bought.number == pytest.approx(25.0)
    assert bought["resin"].spare.number == pytest.approx(5.5)


# Amounts that no sum of 6, 9 and 20 makes: the “McNugget” problem, whose largest is the Frobenius
# number 43. Source: H. Picciotto's problem, OEIS A065003 (from memory).
NO_SUM = {1, 2, 3, 4, 5, 7, 8, 10, 11, 13, 14, 16, 17, 19, 22, 23, 25, 28, 31, 34, 37, 43}


def test_packs_of_6_9_and_20_make_every_amount_but_the_published_ones() -> None:
    packs = [pack(size, f"{size}.00") for size in (6, 9, 20)]
    missed = set()
    for amount in range(1, 80):
        counts = cheapest_packs(float(amount), packs)
        held = sum(packs[i].pack_size * n for i, n in counts.items())
        assert held >= amount
        if held != amount:
            missed.add(amount)
    assert missed == NO_SUM


def test_the_coins_on_which_the_greedy_way_fails() -> None:
    """Coins of 1, 3 and 4 make 6 as 3 + 3, not 4 + 1 + 1: a textbook example (from memory)."""
    packs = [pack(size, "1.00") for size in (1, 3, 4)]
    assert cheapest_packs(6.0, packs) == {1: 2}


def test_sizes_finer_than_the_grain_of_others_stay_exact() -> None:
    packs = [pack(0.333, "1.00"), pack(1.0, "3.10")]
    assert cheapest_packs(1.0, packs) == {1: 1}
    assert cheapest_packs(0.999, packs) == {0: 3}
    assert cheapest_packs(0.004, [pack(0.001, "1.00")]) == {0: 4}
