"""Insulation of any thickness: what is laid, what it costs, how warm it is, and what it leaves.

The price of a layer here is the thickness in mm as pounds for a square metre and 10 more, so two
layers always cost more than one sheet of the same thickness. Sums by hand.
"""

from collections.abc import Sequence
from decimal import Decimal

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from msgspec.structs import replace

from quotegen.model.choices import BuildUp
from quotegen.model.settings import PriceBook
from quotegen.model.takeoff import OptionTakeOff, TakeOff
from quotegen.pricing.quote import make_quote
from quotegen.problems import Place, Problem
from quotegen.reference import house_rules
from quotegen.reference.item_kinds import ItemKind
from quotegen.reference.remark_keys import Task
from quotegen.takeoff.layers.thermal import cheapest_layers
from quotegen.takeoff.measure import measure
from tests import builders

CELL = Place(builders.BOOK, "Enquiries", "AB2", "Insulation (mm)")
LISTED = (25, 50, 80, 100, 120, 130, 140, 150)
FIRM = builders.settings()


def shop(listed: Sequence[int]) -> PriceBook:
    """A shop that sells these thicknesses alone, and longer screws at a higher price."""
    packs = {}
    for item, sold in builders.prices().packs.items():
        kind, size = house_rules.items()[item].kind, house_rules.items()[item].size
        if kind is ItemKind.INSULATION and size not in listed:
            continue
        price = Decimal(20)
        if size is not None and kind in (ItemKind.INSULATION, ItemKind.LONG_SCREW):
            price = Decimal(str(size)) + 10
        packs[item] = tuple(replace(pack, pack_price=price) for pack in sold)
    return PriceBook(packs)


def measured(
    insulation_mm: float, listed: Sequence[int] = LISTED
) -> tuple[TakeOff | None, list[Problem]]:
    enquiry = builders.enquiry(
        build_ups=(BuildUp.NEW_DECK_INSULATED,),
        insulation_mm=builders.given("insulation", float(insulation_mm), "mm"),
        insulation_at=CELL,
    )
    return measure(enquiry, FIRM, shop(listed), builders.TODAY)


def option(insulation_mm: float, listed: Sequence[int] = LISTED) -> OptionTakeOff:
    take_off, _ = measured(insulation_mm, listed)
    assert take_off is not None
    return take_off.options[0]


def bought(found: OptionTakeOff) -> list[tuple[str, float]]:
    """The insulation ordered and its net area [m2]."""
    return sorted(
        (need.item, need.net.number) for need in found.needs if need.kind is ItemKind.INSULATION
    )


@pytest.mark.parametrize(
    ("asked", "laid"),
    [
        (130, {"insulation_130": 6.0}),  # on the list
        (75, {"insulation_80": 6.0}),  # 90 GBP for 80 mm, 95 for 25 + 50
        (105, {"insulation_120": 6.0}),
        (170, {"insulation_50": 6.0, "insulation_120": 6.0}),  # the least sum: 170 + 20
        (200, {"insulation_50": 6.0, "insulation_150": 6.0}),  # 220 GBP, as 100 + 100
        (300, {"insulation_150": 12.0}),
    ],
)
def test_what_is_laid(asked: int, laid: dict[str, float]) -> None:
    """6 m2 of deck (3.0 x 2.0 m), in one layer or two."""
    assert dict(bought(option(asked))) == pytest.approx(laid)


def test_two_layers_take_twice_the_hours_of_laying() -> None:
    def hours(mm: int) -> float:
        lines = option(mm).labour
        return sum(line.hours.number for line in lines if line.key is Task.INSULATION)

    assert hours(170) == pytest.approx(2 * hours(150))


def test_u_value_upstand_and_weight_follow_what_is_laid() -> None:
    """By hand, 75 mm asked for and 80 mm laid.

    R = 0.14 + 0.080 / 0.022 + 0.036 / 0.13 = 4.0532 m2K/W (BS EN ISO 6946, without bridges), so
    U = 0.2467. The upstand of 180 mm loses 80 + 18 + 3 = 101 mm.
    """
    found, listed = option(75), option(80)
    assert found.u_value is not None
    assert found.u_value.number == pytest.approx(0.2467, abs=0.0001)
    assert found.upstand_left_mm is not None
    assert found.upstand_left_mm.number == pytest.approx(180 - 101)
    assert found.load_kn_m2 is not None
    assert listed.load_kn_m2 is not None
    assert found.load_kn_m2.number == pytest.approx(listed.load_kn_m2.number)
    assert [lift.mass_kg.number for lift in found.lifts] == pytest.approx(
        [lift.mass_kg.number for lift in listed.lifts]
    )


def test_a_sheet_of_each_layer_is_weighed_by_itself() -> None:
    """Nobody lifts two layers at once: 2.4 x 1.2 m of 50 and of 120 mm, not of 170 mm."""
    kg_m3 = FIRM.number("insulation_kg_m3")
    by_hand = {2.4 * 1.2 * mm / 1000 * kg_m3 for mm in (50, 120)}
    lifts = {lift.mass_kg.number for lift in option(170).lifts if "insulation board" in lift.words}
    assert sorted(lifts) == pytest.approx(sorted(by_hand))


def test_the_problem_names_the_cell_and_what_is_laid() -> None:
    _, problems = measured(170)
    (found,) = [p for p in problems if p.code == "insulation-laid"]
    assert found.place == CELL
    assert "170 mm in two layers, 50 mm and 120 mm" in found.message
    assert not [p for p in measured(130)[1] if p.code == "insulation-laid"]


def test_what_no_sheets_reach_is_not_priced_and_says_so() -> None:
    take_off, problems = measured(210, (25, 50, 100))
    assert take_off is None
    (found,) = [p for p in problems if p.code == "insulation-not-sold"]
    assert found.place == CELL
    assert "210 mm" in found.message
    assert "25 mm, 50 mm, 100 mm" in found.message


def test_a_listed_size_that_no_shop_has_is_asked_for_by_its_name() -> None:
    """With no insulation on any price list, the row to add is the one of the size asked for."""
    _, problems = measured(100, ())
    assert [p.seen for p in problems if p.code == "price-missing"] == ["insulation_100"]


@given(
    first=st.integers(20, 300),
    second=st.integers(20, 300),
    listed=st.sets(st.sampled_from((20, 30, 40, *LISTED, 160, 180, 200)), min_size=1),
)
@example(first=75, second=76, listed=set(LISTED))
@example(first=155, second=160, listed=set(LISTED))
@example(first=175, second=180, listed=set(LISTED))
def test_thicker_never_costs_less_nor_is_it_colder(
    first: int, second: int, listed: set[int]
) -> None:
    """Where no thinner sheet costs more than a thicker one."""
    thin, thick = sorted((first, second))
    shown = []
    for mm in (thin, thick):
        take_off, problems = measured(mm, sorted(listed))
        if take_off is None or any(p.code == "price-missing" for p in problems):
            return
        quote, _ = make_quote(take_off, FIRM, shop(sorted(listed)), builders.TODAY)
        u_value = take_off.options[0].u_value
        assert u_value is not None
        shown.append((quote.options[0].totals.total.money, -u_value.number))
    assert shown[0][0] <= shown[1][0]
    assert shown[0][1] <= shown[1][1]


@given(
    wanted=st.integers(20, 300),
    prices=st.dictionaries(st.integers(20, 200), st.integers(1, 99), min_size=1, max_size=8),
    second=st.integers(0, 20),
)
def test_no_dearer_way_is_taken(wanted: int, prices: dict[int, int], second: int) -> None:
    """Against every sheet and every pair tried one by one."""
    sold = [(float(mm), Decimal(gbp)) for mm, gbp in prices.items()]
    found = cheapest_layers((wanted, 316), sold, Decimal(second))
    costs = [gbp for mm, gbp in prices.items() if wanted <= mm <= 316]
    costs += [
        prices[a] + prices[b] + second for a in prices for b in prices if wanted <= a + b <= 316
    ]
    if not costs:
        assert found == ()
        return
    assert wanted <= sum(found) <= 316
    assert sum(prices[int(mm)] for mm in found) + second * (len(found) - 1) == min(costs)
