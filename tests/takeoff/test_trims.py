"""Trims, cutting lists and corners.

These include the two near misses every roofer knows: two 3 m trims, once lapped, do not make 6.0 m
of wall, and one does not make 2.00 m and 1.05 m.
"""

import math
from decimal import Decimal
from itertools import permutations
from random import Random

import highspy
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from quotegen.model.choices import EdgeKind, OpeningKind, Shape, Side, Size, WallJoint
from quotegen.model.enquiry import Enquiry, Opening, OutlineRow
from quotegen.problems import Place
from quotegen.takeoff.basis.job import Job, make_job
from quotegen.takeoff.shape.geometry import end_growth_mm
from quotegen.takeoff.shape.outline import build_outline
from quotegen.takeoff.trims import cutting, fillings
from quotegen.takeoff.trims.cutting import (
    Cut,
    CutRules,
    Run,
    Stock,
    cut_runs,
)
from quotegen.takeoff.trims.quick_list import full_pieces, least_lengths
from quotegen.takeoff.trims.trim_plan import plan_trims, trim_line_mm
from quotegen.takeoff.trims.trims import TrimWork, cut_trims
from tests import builders

STOCK_MM, LAP_MM = 3000.0, 50.0
BUTTED = CutRules(lap_mm=0, least_mm=0, saw_mm=0)
THREE_METRES = (Stock(STOCK_MM, Decimal("11.40")),)


def work_of(enquiry: Enquiry) -> TrimWork:
    outline, _ = build_outline(enquiry, builders.settings())
    assert outline is not None
    job = make_job(enquiry, outline, builders.settings(), enquiry.build_ups[0])
    return cut_trims(job, plan_trims(job), builders.prices())


def lengths_of(work: TrimWork) -> dict[str, int]:
    return {cut.item: len(cut.lengths) for cut in work.cuts}


def cut_of(
    *pieces_mm: float, stocks: tuple[Stock, ...] = THREE_METRES, rules: CutRules = BUTTED
) -> Cut:
    """The cut of pieces none longer than a stock, checked piece by piece."""
    runs = tuple(Run(f"edge {i}", mm, pieces=1) for i, mm in enumerate(pieces_mm))
    made = cut_runs(runs, stocks, rules)
    cut = [p.length_mm for _, length in made.lengths for p in length.pieces]
    assert sorted(cut) == sorted(pieces_mm)
    for i, length in made.lengths:
        assert length.stock_mm == stocks[i].length_mm
        used = sum(p.length_mm for p in length.pieces) + rules.saw_mm * (len(length.pieces) - 1)
        assert used <= length.stock_mm + 1e-6
        assert length.left_mm <= length.stock_mm - used + 1e-6
    return made


def test_six_metres_of_wall_take_three_trims_once_lapped() -> None:
    """Common practice, no source: a 50 mm lap at each joint of 3 m trims."""
    pieces = full_pieces(6000, STOCK_MM, LAP_MM, 0)
    assert pieces == [3000, 3000, 100]
    lapped = cut_runs((Run("wall", 6000),), THREE_METRES, CutRules(LAP_MM, 0, 0))
    assert (len(lapped.lengths), lapped.joints) == (3, 2)
    assert full_pieces(6000, STOCK_MM, LAP_MM, 300) == [3000, 2800, 300]  # no sliver


def test_two_metres_and_a_metre_and_a_bit_take_two_trims() -> None:
    assert len(cut_of(2000, 1050).lengths) == 2
    assert len(cut_of(2000, 1000).lengths) == 1
    assert len(cut_of(2000, 1000, rules=CutRules(0, 0, 3)).lengths) == 2  # a saw cut too many


@given(st.integers(300, 20000))
def test_lapped_pieces_cover_the_run_exactly(run_mm: int) -> None:
    pieces = full_pieces(run_mm, STOCK_MM, LAP_MM, 300)
    assert sum(pieces) - (len(pieces) - 1) * LAP_MM == pytest.approx(run_mm)
    assert all(300 <= piece <= STOCK_MM for piece in pieces)


@given(st.lists(st.integers(100, 3000), min_size=1, max_size=6))
@settings(max_examples=60)
def test_no_order_of_filling_takes_fewer_lengths(pieces_mm: list[int]) -> None:
    """Against first fit over every order of the pieces, which finds the best list there is."""
    best = min(first_fit(order) for order in permutations(pieces_mm))
    made = cut_of(*map(float, pieces_mm))
    assert made.proved
    assert len(made.lengths) == best
    assert least_lengths([float(mm) for mm in pieces_mm], STOCK_MM) <= best


def first_fit(pieces_mm: tuple[int, ...]) -> int:
    left: list[float] = []
    for piece in pieces_mm:
        for i, room in enumerate(left):
            if room >= piece:
                left[i] -= piece
                break
        else:
            left.append(STOCK_MM - piece)
    return len(left)


STOCKS = (
    Stock(2400.0, Decimal("9.00")),
    Stock(3000.0, Decimal("11.40")),
    Stock(3600.0, Decimal("12.90")),
)


@given(st.lists(st.integers(200, 2400), min_size=1, max_size=9))
@settings(max_examples=25)
def test_several_stock_lengths_against_another_formulation(pieces_mm: list[int]) -> None:
    """The assignment model of the textbooks (Martello and Toth 8.1), solved by HiGHS.

    Each possible length is open or not and of one stock; each piece goes to one open length.
    """
    made = cut_of(*map(float, pieces_mm), stocks=STOCKS, rules=CutRules(0, 0, 3))
    assert made.proved
    cost = sum(STOCKS[i].cost for i, _ in made.lengths)
    assert cost == assigned(pieces_mm, 3)


def assigned(pieces_mm: list[int], saw_mm: int) -> Decimal:
    model = highspy.Highs()
    model.silent()
    places = range(len(pieces_mm))
    opened = {
        (j, k): model.addBinary(obj=float(stock.cost))
        for j in places
        for k, stock in enumerate(STOCKS)
    }
    put = {(i, j): model.addBinary() for i in places for j in places}
    for i in places:
        model.addConstr(sum(put[i, j] for j in places) == 1)
    for j in places:
        load = sum((pieces_mm[i] + saw_mm) * put[i, j] for i in places)
        room = sum((stock.length_mm + saw_mm) * opened[j, k] for k, stock in enumerate(STOCKS))
        model.addConstr(load <= room)
        model.addConstr(sum(opened[j, k] for k in range(len(STOCKS))) <= 1)
    model.run()
    return Decimal(str(round(model.getInfo().objective_function_value, 2)))


def test_the_bound_against_the_book() -> None:
    """Nine items in bins of 100: L1 = 3, L2 = 4, and four bins are the optimum.

    S. Martello and P. Toth, Knapsack Problems (Wiley 1990), chapter 8; the weights from memory.
    """
    weights = [70.0, 60.0, 50.0, 33.0, 33.0, 33.0, 11.0, 7.0, 3.0]
    assert sum(weights) / 100 == pytest.approx(3)
    assert least_lengths(weights, 100.0) == 4
    made = cut_of(*weights, stocks=(Stock(100.0, Decimal(1)),))
    assert (len(made.lengths), made.proved) == (4, True)


T60_00 = (
    "495 474 473 472 466 450 445 444 439 430 419 414 410 395 372 370 366 366 366 363 "
    "361 357 355 351 350 350 347 320 315 307 303 299 298 298 292 288 287 283 275 275 "
    "274 273 273 272 272 271 269 269 268 263 262 261 259 258 255 254 252 252 252 251"
)


def test_the_published_instance_t60_00_is_solved_to_its_optimum() -> None:
    """Instance t60_00 of the OR-Library (J. E. Beasley; E. Falkenauer 1996): 60 items in bins of
    1000, optimum 20 bins. Sizes in tenths as published, read second-hand."""
    weights = [float(weight) for weight in T60_00.split()]
    assert (len(weights), sum(weights)) == (60, 20_000)
    made = cut_of(*weights, stocks=(Stock(1000.0, Decimal(1)),))
    assert (len(made.lengths), made.proved) == (20, True)


def falkenauer_triplets(seed: int, bins: int) -> list[float]:
    """Items in threes that fill a bin of 1000 exactly, so that the optimum is known.

    The way the t-instances of the OR-Library (Falkenauer 1996) are made: each triplet has a first
    item of 380 to 490, a second of 250 up, and the rest, no item below 250.
    """
    random = Random(seed)
    items: list[float] = []
    for _ in range(bins):
        first = random.randint(380, 490)
        second = random.randint(250, (1000 - first) // 2)
        items += [float(first), float(second), float(1000 - first - second)]
    return items


@pytest.mark.parametrize("seed", range(4))
def test_triplets_are_packed_without_waste(seed: int) -> None:
    """Triplets of E. Falkenauer's kind (J. of Heuristics 2, 1996), 13 bins and 39 pieces."""
    made = cut_of(*falkenauer_triplets(seed, 13), stocks=(Stock(1000.0, Decimal(1)),))
    assert (len(made.lengths), made.proved) == (13, True)


def test_a_search_cut_short_proves_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Thirteen lengths hold the pieces; the quick list, of longest first, takes more."""
    monkeypatch.setattr(fillings, "_MOST_NODES", 0)
    cut_runs.cache_clear()
    pieces = falkenauer_triplets(0, 13)
    made = cut_of(*pieces, stocks=(Stock(1000.0, Decimal(1)),))
    cut_runs.cache_clear()
    assert not made.proved
    assert len(made.lengths) > 13
    assert sorted(piece.length_mm for _, cut in made.lengths for piece in cut.pieces) == (
        sorted(pieces)
    )


@pytest.mark.parametrize(
    ("found", "bought"), [(fillings.Filled(((0, (1,)),), False), 0), (None, 1)]
)
def test_what_is_not_proved_stands_where_it_costs_less(
    found: fillings.Filled | None, bought: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One piece of 2.4 m: the quick list takes a length of 3 m."""
    monkeypatch.setattr(cutting, "cheapest_ways", lambda *_: found)
    cut_runs.cache_clear()
    made = cut_of(2400.0, stocks=STOCKS[:2])
    cut_runs.cache_clear()
    assert ([stock for stock, _ in made.lengths], made.proved) == ([bought], False)


def test_a_bay_has_mitres_and_no_pre_formed_corner() -> None:
    """A canted bay has no corner a pre-formed piece fits. Common practice, no source."""
    work = work_of(builders.enquiry(builders.canted_bay()))
    assert dict(work.pre_formed) == {}
    assert work.mitres.number == 2
    drips = next(cut for cut in work.cuts if cut.item == "trim_drip")
    at_front = 25 * math.tan(math.radians(45 / 2))  # each end of a 45 degree turn: 10.4
    at_wall = 25.0  # 25 / tan 45
    assert sorted(round(p.length_mm) for c in drips.lengths for p in c.pieces) == [
        round(848.53 + at_front + at_wall + 50),  # and 50 for the mitre
        round(848.53 + at_front + at_wall + 50),
        round(1200 + 2 * at_front + 100),
    ]


def test_growth_of_a_facet_against_the_published_geometry() -> None:
    """d x tan(turn / 2) at each end: 50 mm out and 45 degree turns give 21 mm an end."""
    assert end_growth_mm(50, 135, neighbour_too=True) == pytest.approx(20.7, abs=0.05)
    square = [end_growth_mm(25, 90, neighbour_too=True), end_growth_mm(25, 270, True)]
    assert square == pytest.approx([25, -25])


def job_of(corners: list[tuple[float, float]], kinds: list[EdgeKind]) -> Job:
    """A job on a roof measured by offsets."""
    given = builders.given
    rows = tuple(
        OutlineRow(
            Place(builders.BOOK, "Outline", f"A{row}"),
            kind,
            along_mm=given("along", float(along), "mm"),
            out_mm=given("out", float(out), "mm"),
        )
        for row, ((along, out), kind) in enumerate(zip(corners, kinds, strict=True), start=2)
    )
    roof = builders.roof(Shape.MEASURED, sizes={}, edges={}, outline_rows=rows)
    enquiry = builders.enquiry(roof)
    outline, _ = build_outline(enquiry, builders.settings())
    assert outline is not None
    return make_job(enquiry, outline, builders.settings(), enquiry.build_ups[0])


PLAIN = [(0.0, 0.0), (3000.0, 0.0), (3000.0, 2000.0), (0.0, 2000.0)]
CROOKED = [(0.0, 0.0), (3100.0, 150.0), (3600.0, 1400.0), (2300.0, 1250.0), (1900.0, 2600.0)]


@pytest.mark.parametrize("corners", [PLAIN, CROOKED])
def test_drips_all_round_stand_on_the_offset_outline(corners: list[tuple[float, float]]) -> None:
    """Against shapely: the girth of the outline grown by the 25 mm of a batten, corners mitred."""
    job = job_of(corners, [EdgeKind.FREE_DRIP] * len(corners))
    lines_mm = sum(trim_line_mm(job, edge).number for edge in job.outline.edges)
    grown = Polygon(corners).buffer(25, join_style="mitre", mitre_limit=100)
    assert lines_mm == pytest.approx(grown.length)
    assert lines_mm != pytest.approx(Polygon(corners).length)


@pytest.mark.parametrize("at_left", [0.0, 1e-6, -1e-6, 500.0, -500.0])
def test_a_drip_in_line_with_a_wall_begins_where_the_wall_ends(at_left: float) -> None:
    """1 m of drip in line with 2 m of wall, or nearly: neither longer nor shorter at the wall."""
    corners = [(0.0, at_left), (2000.0, 0.0), (3000.0, 0.0), (3000.0, 2000.0), (0.0, 2000.0)]
    job = job_of(corners, [EdgeKind.WALL, *[EdgeKind.FREE_DRIP] * 4])
    assert trim_line_mm(job, job.outline.edges[1]).number == pytest.approx(1000 + 25)


def test_a_rectangle_with_a_drip_in_front_has_two_made_up_corners() -> None:
    """3 x 2 m: front 3000 + 2 x 25 + 2 x 50 and flashing 3000 + 2 x 100 take two lengths each."""
    work = work_of(builders.enquiry())
    assert dict(work.pre_formed) == {}
    assert (work.mitres.number, work.made_up.number) == (0, 2)
    expected = {"trim_wall": 1, "trim_flashing": 2, "trim_raised": 2, "trim_drip": 2}
    assert lengths_of(work) == expected


def test_two_walls_meeting_take_an_internal_corner_piece() -> None:
    edges = {
        Side.BACK: EdgeKind.WALL,
        Side.LEFT: EdgeKind.WALL,
        Side.FRONT: EdgeKind.FREE_DRIP,
        Side.RIGHT: EdgeKind.FREE_DRIP,
    }
    work = work_of(builders.enquiry(builders.roof(edges=edges)))
    assert dict(work.pre_formed) == {"corner_wall": 1, "corner_drip": 1}


def test_kept_lead_needs_no_flashing() -> None:
    kept = builders.enquiry(wall_joint=WallJoint.KEEP_LEAD)
    assert "trim_flashing" not in lengths_of(work_of(kept))
    unknown = builders.enquiry(wall_joint=None)
    assert "trim_flashing" in lengths_of(work_of(unknown))


def test_a_re_entrant_corner_is_mitred_by_hand() -> None:
    sizes = {
        Size.WIDTH: 5000.0,
        Size.PROJECTION: 4000.0,
        Size.NOTCH_WIDTH: 2000.0,
        Size.NOTCH_DEPTH: 1500.0,
    }
    edges = dict.fromkeys((Side.RIGHT, Side.FRONT, Side.LEFT, Side.NOTCH), EdgeKind.GUTTER_DRIP) | {
        Side.BACK: EdgeKind.WALL
    }
    work = work_of(builders.enquiry(builders.roof(Shape.L_SHAPE, sizes=sizes, edges=edges)))
    assert work.mitres.number == 1
    assert dict(work.pre_formed) == {"corner_drip": 3}


def test_a_rooflight_kerb_is_cut_as_four_sides() -> None:
    light = Opening(
        builders.enquiry().place,
        OpeningKind.ROOFLIGHT,
        builders.given("count", 2.0, "each"),
        builders.given("length", 1200.0, "mm"),
        builders.given("width", 900.0, "mm"),
    )
    work = work_of(builders.enquiry(openings=(light,)))
    flat = next(cut for cut in work.cuts if cut.item == "trim_flat")
    pieces = sorted(p.length_mm for c in flat.lengths for p in c.pieces)
    assert pieces == [1000] * 4 + [1300] * 4  # 50 mm for each mitred end
