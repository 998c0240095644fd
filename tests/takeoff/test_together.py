"""Several jobs bought together: never dearer than apart, cut together, van stock used once."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given as over
from hypothesis import settings as tuned
from hypothesis import strategies as st
from msgspec.structs import replace

from quotegen.model.choices import BuildUp, Size
from quotegen.model.enquiry import Enquiry
from quotegen.model.settings import PriceBook
from quotegen.model.several import Together
from quotegen.model.takeoff import TakeOff
from quotegen.reference import house_rules
from quotegen.reference.item_kinds import ItemKind
from quotegen.takeoff.measure import measure
from quotegen.takeoff.together import buy_together
from quotegen.working import Step
from tests import builders
from tests.takeoff.shops import pack

given = builders.given


def roof_of(ref: str, width_mm: float, projection_mm: float, **changes: Any) -> Enquiry:
    sizes = {Size.WIDTH: width_mm, Size.PROJECTION: projection_mm}
    made = builders.enquiry(builders.roof(sizes=sizes), ref=ref)
    return replace(made, **changes)


JOBS = (
    roof_of("T-01", 3000, 2000),
    roof_of("T-02", 2100, 1300),
    replace(builders.enquiry(builders.canted_bay()), ref="T-03"),
)


def bought(
    jobs: tuple[Enquiry, ...] = JOBS,
    prices: PriceBook | None = None,
    stock: dict[str, float] | None = None,
) -> Together:
    held = {
        item: given(f"{item} on the van", n, house_rules.items()[item].unit)
        for item, n in (stock or {}).items()
    }
    firm = replace(builders.settings(), van_stock=held)
    book = prices or builders.prices(without=())
    take_offs: list[TakeOff] = []
    for job in jobs:
        take_off, _ = measure(job, firm, book, builders.TODAY)
        assert take_off is not None
        take_offs.append(take_off)
    found = buy_together(take_offs, firm, book)
    assert found is not None
    return found


def test_one_job_is_not_several() -> None:
    take_off, _ = measure(JOBS[0], builders.settings(), builders.prices(), builders.TODAY)
    assert take_off is not None
    assert buy_together([take_off], builders.settings(), builders.prices()) is None


def test_three_deliveries_become_one_and_part_packs_are_shared() -> None:
    found = bought()
    apart = sum(figure.money for _, figure in found.apart)
    assert found.saves.money == apart - found.order.total.money
    assert found.saves.money > Decimal("40.00")
    assert found.order.deliveries.money == Decimal("20.00")
    for need in found.needs:
        assert need.gross.number == pytest.approx(sum(f.number for _, f in need.by_job))
        assert need.purchase is not None
        assert need.purchase.bought.number >= need.gross.number - 1e-9


def test_every_piece_of_every_job_is_cut_once_and_fits_its_length() -> None:
    saw_mm = builders.settings().number("saw_cut_mm")
    found = bought()
    pieces: dict[str, list[tuple[str, float]]] = {}
    for job in JOBS:
        take_off, _ = measure(job, builders.settings(), builders.prices(), builders.TODAY)
        assert take_off is not None
        for cut in take_off.options[0].cuts:
            pieces.setdefault(cut.item, []).extend(
                (f"{job.ref} {p.edge}", p.length_mm) for c in cut.lengths for p in c.pieces
            )
    for cut in found.cuts:
        got = [(p.edge, p.length_mm) for length in cut.lengths for p in length.pieces]
        assert sorted(got) == sorted(pieces[cut.item])
        for length in cut.lengths:
            taken = sum(p.length_mm + saw_mm for p in length.pieces) - saw_mm
            assert taken <= length.stock_mm + 1e-6
        purchase = next(need.purchase for need in found.needs if need.item == cut.item)
        assert purchase is not None
        assert sum(count.count for count in purchase.packs) == len(cut.lengths)
    assert {cut.item for cut in found.cuts} == set(pieces)


def test_the_accepted_build_up_is_bought_for_and_otherwise_the_first() -> None:
    both = (BuildUp.CAP_OVER, BuildUp.NEW_DECK)
    jobs = (
        replace(JOBS[0], build_ups=both, accepted=BuildUp.NEW_DECK),
        replace(JOBS[1], build_ups=both),
    )
    assert bought(jobs).jobs == (("T-01", BuildUp.NEW_DECK), ("T-02", BuildUp.CAP_OVER))


def test_screws_of_two_lengths_are_two_things() -> None:
    """60 mm through an 18 mm deck, longer through a cap over the old one: not from one box."""
    jobs = (
        replace(JOBS[0], build_ups=(BuildUp.NEW_DECK,)),
        replace(JOBS[1], build_ups=(BuildUp.CAP_OVER,)),
    )
    screws = [
        need
        for need in bought(jobs).needs
        if house_rules.items()[need.item].kind is ItemKind.DECK_SCREW
    ]
    assert [need.item for need in screws] == ["deck_screw_60", "deck_screw_70"]
    assert all(need.purchase for need in screws)


def test_the_van_is_emptied_once() -> None:
    clouts = next(n for n in bought().needs if n.item == "clout").gross.number
    found = bought(stock={"clout": clouts - 10})
    need = next(need for need in found.needs if need.item == "clout")
    assert need.from_stock is not None
    assert need.from_stock.number == pytest.approx(clouts - 10)
    assert need.purchase is not None
    assert need.purchase.needed.number == pytest.approx(10)


def test_two_jobs_keep_two_suppliers_where_one_for_both_is_dearer() -> None:
    """By hand: 19.5 kg and 2.5 kg of resin with the spare. Each its own: one of 20 kg at 20.00
    and one of 5 kg at 8.00; both from one: two of 20 kg, or five of 5 kg, at 40.00.
    """
    packs = dict(builders.prices().packs)
    packs["resin"] = (*packs["resin"], pack("resin", "Fulmar", 5.0, "8.00"))
    for item, size, price in (("topcoat", 1.0, "0.50"), ("catalyst", 100.0, "0.10")):
        names = ("Gannet Supplies", "Fulmar")
        packs[item] = tuple(pack(item, name, size, price) for name in names)
    jobs = (roof_of("T-01", 4000, 2000), roof_of("T-02", 1500, 600))
    resin = next(n for n in bought(jobs, PriceBook(packs)).needs if n.item == "resin")
    assert resin.purchase is not None
    taken = {(count.pack.supplier, count.count) for count in resin.purchase.packs}
    assert taken == {("Gannet Supplies", 1), ("Fulmar", 1)}
    assert resin.purchase.cost.money == Decimal("28.00")


def test_every_figure_comes_again_from_its_inputs() -> None:
    found = bought(stock={"clout": 60.0, "resin": 3.0})
    figures = [found.saves, found.order.total, *(figure for _, figure in found.apart)]
    for need in found.needs:
        figures += [need.gross, *([need.from_stock] if need.from_stock else [])]
        figures += [need.purchase.spare, need.purchase.cost] if need.purchase else []
    steps = 0
    for figure in (below for found_figure in figures for below in found_figure.walk()):
        if isinstance(figure.basis, Step):
            assert figure.basis.recompute() == figure.value, figure.name
            steps += 1
    assert steps > 200


PRICED = (
    "resin",
    "topcoat",
    "catalyst",
    "acetone",
    "clout",
    "bandage",
    "trim_wall",
    "corner_raised",
)
PACKS = st.tuples(st.sampled_from([0.5, 1.0, 2.0]), st.integers(4, 60))


@over(
    st.dictionaries(st.sampled_from(PRICED), PACKS),
    st.booleans(),
    st.integers(0, 30),
    st.dictionaries(st.sampled_from(["resin", "clout", "acetone", "bandage"]), st.floats(0, 80)),
)
@tuned(max_examples=25)
def test_together_is_never_dearer_than_apart(
    others: dict[str, tuple[float, int]], all_trims: bool, charge: int, stock: dict[str, float]
) -> None:
    """A second supplier with some items in other sizes, or with every trim in longer lengths."""
    packs = dict(builders.prices(without=()).packs)
    offers = {item: (packs[item][0].pack_size * f, str(p)) for item, (f, p) in others.items()}
    if all_trims:
        for item in packs:
            if item.startswith(("trim_", "corner_")):
                offers.setdefault(item, (5.0 if item.startswith("trim_") else 1.0, "26.00"))
    offers["delivery"] = (1.0, str(charge))
    for item, (size, price) in offers.items():
        packs[item] = (*packs[item], pack(item, "Fulmar", size, price, 90))
    found = bought(prices=PriceBook(packs), stock=stock)
    assert found.saves.money >= 0
    for one in found.order.suppliers:
        assert one.total.money == one.cost.money + (one.delivery.money if one.delivery else 0)
    assert found.order.total.money == sum(one.total.money for one in found.order.suppliers)
