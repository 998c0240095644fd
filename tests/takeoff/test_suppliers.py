"""Suppliers and packs, against every possible combination and against an integer program."""

from collections.abc import Sequence
from decimal import Decimal
from itertools import product
from typing import Any

import highspy
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quotegen.model.settings import PackPrice, PriceBook
from quotegen.takeoff.buying.suppliers import (
    DELIVERY,
    MOST_FREE_SUPPLIERS,
    Choice,
    Lot,
    Way,
    best_choice,
)
from tests.takeoff.shops import book

SUPPLIERS = ("Gannet", "Fulmar", "Skua")


def chosen(prices: PriceBook, *lots: Lot) -> Choice:
    found = best_choice([Way(lots)], prices)
    assert found is not None
    return found


def test_one_delivery_can_be_worth_dearer_packs() -> None:
    """By hand: split 90 + 40 + 15 + 25 = 170; Gannet alone 90 + 50 + 15 = 155."""
    prices = book(
        ("resin", "Gannet", 20, "90"),
        ("acetone", "Gannet", 5, "50"),
        ("acetone", "Fulmar", 5, "40"),
        ("delivery", "Gannet", 1, "15"),
        ("delivery", "Fulmar", 1, "25"),
    )
    found = chosen(prices, Lot((("resin", 18.0),)), Lot((("acetone", 4.0),)))
    assert found.suppliers == ("Gannet",)
    assert (found.cost, found.deliveries, found.total) == (Decimal(140), Decimal(15), Decimal(155))


def test_a_second_delivery_can_be_worth_it() -> None:
    """By hand: Gannet alone 90 + 80 + 15 = 185; split 90 + 40 + 15 + 25 = 170."""
    prices = book(
        ("resin", "Gannet", 20, "90"),
        ("acetone", "Gannet", 5, "80"),
        ("acetone", "Fulmar", 5, "40"),
        ("delivery", "Gannet", 1, "15"),
        ("delivery", "Fulmar", 1, "25"),
    )
    found = chosen(prices, Lot((("resin", 18.0),)), Lot((("acetone", 4.0),)))
    assert (found.suppliers, found.total) == (("Fulmar", "Gannet"), Decimal(170))


def test_of_equal_cost_the_fewest_suppliers_then_the_least_left_over() -> None:
    prices = book(
        ("resin", "Gannet", 20, "90"),
        ("acetone", "Fulmar", 5, "40"),
        ("acetone", "Gannet", 25, "40"),
    )
    found = chosen(prices, Lot((("resin", 18.0),)), Lot((("acetone", 4.0),)))
    assert found.suppliers == ("Gannet",)
    alike = book(("acetone", "Fulmar", 25, "40"), ("acetone", "Gannet", 5, "40"))
    assert chosen(alike, Lot((("acetone", 4.0),))).suppliers == ("Gannet",)


def test_nothing_to_buy_is_an_empty_order_and_what_nobody_has_is_none() -> None:
    prices = book(("resin", "Gannet", 20, "90"), ("acetone", "Fulmar", 5, "40"))
    assert chosen(prices).total == 0
    family = Lot((("resin", 1.0), ("acetone", 1.0)), one_supplier=True)
    assert best_choice([Way((family,))], prices) is None


def test_the_only_supplier_of_something_is_in_however_dear_its_delivery() -> None:
    prices = book(
        ("resin", "Gannet", 20, "90"),
        ("acetone", "Gannet", 5, "60"),
        ("acetone", "Fulmar", 5, "40"),
        ("delivery", "Gannet", 1, "500"),
    )
    found = chosen(prices, Lot((("resin", 18.0),)), Lot((("acetone", 4.0),)))
    assert (found.suppliers, found.total) == (("Fulmar", "Gannet"), Decimal(630))


def test_more_suppliers_than_can_be_tried_are_told_of_and_still_serve_everything() -> None:
    names = [f"Supplier {n}" for n in range(MOST_FREE_SUPPLIERS + 2)]
    rows = [("resin", name, 20.0, "90") for name in names[:-2]]
    rows += [("topcoat", name, 20.0, "90") for name in names[:-2]]
    rows += [("acetone", name, 5.0, "40") for name in names[-2:]]
    lots = [Lot(((item, 1.0),)) for item in ("resin", "topcoat", "acetone")]
    found = chosen(book(*rows), *lots)
    assert found.limited
    assert found.total == 220
    assert not chosen(book(*rows), *lots[:2]).limited


AMOUNTS = st.integers(1, 18).map(lambda n: n / 2)
OFFERS = st.lists(
    st.tuples(st.sampled_from(SUPPLIERS), st.sampled_from([1, 2.5, 4]), st.integers(3, 30)),
    min_size=1,
    max_size=3,
    unique_by=lambda offer: offer[:2],
)
CHARGES = st.tuples(*(st.integers(0, 20) for _ in SUPPLIERS))
Offer = tuple[str, float, int]


def small(offers: Sequence[Sequence[Offer]], charges: Sequence[int]) -> PriceBook:
    rows = [
        (item, supplier, size, str(price))
        for item, offered in zip(ITEMS, offers, strict=False)
        for supplier, size, price in offered
    ]
    rows += [
        (DELIVERY, supplier, 1.0, str(charge))
        for supplier, charge in zip(SUPPLIERS, charges, strict=True)
        if charge
    ]
    return book(*rows)


ITEMS = ("resin", "acetone", "topcoat")


@given(
    st.lists(OFFERS, min_size=3, max_size=3),
    st.tuples(AMOUNTS, AMOUNTS, AMOUNTS),
    CHARGES,
    st.booleans(),
)
@settings(max_examples=80)
def test_no_combination_of_suppliers_and_packs_costs_less(
    offers: list[list[Offer]], amounts: tuple[float, ...], charges: tuple[int, ...], family: bool
) -> None:
    """Every number of every pack up to what the need takes, for every item, all combined."""
    prices = small(offers, charges)
    lots = lots_for(amounts, family)
    found = best_choice([Way(lots)], prices)
    costs = []
    for baskets in product(
        *(every_basket(need, offered) for need, offered in zip(amounts, offers, strict=True))
    ):
        used = [suppliers for _, suppliers in baskets]
        if family and len(used[0] | used[2]) > 1:
            continue
        deliveries = sum(charges[SUPPLIERS.index(s)] for s in frozenset().union(*used))
        costs.append(sum(cost for cost, _ in baskets) + deliveries)
    assert (found.total if found else None) == (min(costs) if costs else None)


def lots_for(amounts: Sequence[float], family: bool) -> tuple[Lot, ...]:
    pairs = list(zip(ITEMS, amounts, strict=True))
    if family:
        return Lot((pairs[0], pairs[2]), one_supplier=True), Lot((pairs[1],))
    return tuple(Lot((pair,)) for pair in pairs)


def every_basket(need: float, offers: Sequence[Offer]) -> set[tuple[int, frozenset[str]]]:
    most = [int(-(-need // size)) for _, size, _ in offers]
    found = set()
    for counts in product(*(range(m + 1) for m in most)):
        if sum(n * size for n, (_, size, _) in zip(counts, offers, strict=True)) >= need:
            cost = sum(n * price for n, (_, _, price) in zip(counts, offers, strict=True))
            used = frozenset(s for n, (s, _, _) in zip(counts, offers, strict=True) if n)
            found.add((cost, used))
    return found


def solved_by_highs(
    packs: Sequence[Sequence[PackPrice]], needs: Sequence[float], charges: Sequence[int]
) -> float:
    """Another formulation: whole packs, a yes or no for each supplier, linked by large bounds."""
    solver: Any = highspy.Highs()
    solver.silent()
    for option, value in (("mip_rel_gap", 0.0), ("mip_abs_gap", 1e-6), ("threads", 1)):
        solver.setOptionValue(option, value)
    for charge in charges:
        solver.addVar(0.0, 1.0)
        solver.changeColCost(solver.getNumCol() - 1, float(charge))
    for offered, need in zip(packs, needs, strict=True):
        columns = []
        for pack in offered:
            most = float(-(-need // pack.pack_size))
            solver.addVar(0.0, most)
            column = solver.getNumCol() - 1
            solver.changeColCost(column, float(pack.pack_price))
            supplier = SUPPLIERS.index(pack.supplier)
            solver.addRow(-highspy.kHighsInf, 0.0, 2, [column, supplier], [1.0, -most])
            columns.append(column)
        sizes = [pack.pack_size for pack in offered]
        solver.addRow(need, highspy.kHighsInf, len(columns), columns, sizes)
    every = list(range(solver.getNumCol()))
    kinds = [highspy.HighsVarType.kInteger] * len(every)
    solver.changeColsIntegrality(len(every), every, kinds)
    solver.run()
    assert solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return float(solver.getInfo().objective_function_value)


@given(
    st.lists(
        st.tuples(
            st.lists(
                st.tuples(
                    st.sampled_from(SUPPLIERS),
                    st.sampled_from([0.75, 1, 2.5, 5, 10, 20, 25]),
                    st.integers(5, 130),
                ),
                min_size=5,
                max_size=5,
                unique_by=lambda offer: offer[:2],
            ),
            st.integers(1, 240).map(lambda n: n / 4),
        ),
        min_size=1,
        max_size=3,
    ),
    CHARGES,
)
@settings(max_examples=40)
def test_five_sizes_each_as_a_general_integer_solver_has_it(
    wanted: list[tuple[list[Offer], float]], charges: tuple[int, ...]
) -> None:
    prices = small([offers for offers, _ in wanted], charges)
    items = ITEMS[: len(wanted)]
    lots = [Lot(((item, need),)) for item, (_, need) in zip(items, wanted, strict=True)]
    packs = [prices.of(item) for item in items]
    other = solved_by_highs(packs, [need for _, need in wanted], charges)
    assert float(chosen(prices, *lots).total) == pytest.approx(other, abs=1e-6)


@given(st.lists(OFFERS, min_size=3, max_size=3), st.tuples(AMOUNTS, AMOUNTS, AMOUNTS), CHARGES)
@settings(max_examples=60)
def test_never_dearer_than_one_supplier_and_more_never_costs_less(
    offers: list[list[Offer]], amounts: tuple[float, ...], charges: tuple[int, ...]
) -> None:
    prices, lots = small(offers, charges), lots_for(amounts, family=False)
    found = chosen(prices, *lots)
    for supplier in SUPPLIERS:
        alone = best_choice([Way(lots)], prices, frozenset({supplier}))
        if alone:
            assert found.total <= alone.total
            assert alone.suppliers == (supplier,)
    for n in range(len(amounts)):
        more = [a + (1.5 if n == k else 0) for k, a in enumerate(amounts)]
        assert chosen(prices, *lots_for(more, family=False)).total >= found.total


def test_the_cost_is_that_of_the_packs_and_deliveries_named() -> None:
    prices = small([[("Gannet", 4, 7)], [("Fulmar", 1, 3)]], (5, 6, 0))
    found = chosen(prices, Lot((("resin", 9.0),)), Lot((("acetone", 2.0),)))
    paid = sum(c.pack.pack_price * c.count for lot in found.packs for c in lot)
    assert (paid, found.cost) == (Decimal(27), Decimal(27))
    assert found.deliveries == Decimal(11)
