"""Joints of trims chosen together with the lengths, against sums by hand and another search."""

import math
from decimal import Decimal
from itertools import combinations

import highspy
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from quotegen.takeoff.trims.cutting import Cut, CutRules, Run, Stock, cut_runs

THREE_METRES = (Stock(3000.0, Decimal("11.40")),)
SNIPS = CutRules(lap_mm=50, least_mm=300, saw_mm=0, joint=Decimal("6.00"))


def made(*runs_mm: float, rules: CutRules = SNIPS) -> Cut:
    """The runs cut from 3 m lengths: every run covered with its laps, no length overfilled."""
    runs = tuple(Run(f"edge {i}", float(mm)) for i, mm in enumerate(runs_mm))
    cut = cut_runs(runs, THREE_METRES, rules)
    for run in runs:
        pieces = pieces_of(cut, run.edge)
        laps_mm = (len(pieces) - 1) * rules.lap_mm
        assert sum(pieces) - laps_mm == pytest.approx(run.length_mm, abs=1e-3)
        assert min(pieces) >= min(rules.least_mm, run.length_mm) - 1e-3
    for _, length in cut.lengths:
        saws_mm = (len(length.pieces) - 1) * rules.saw_mm
        used_mm = sum(piece.length_mm for piece in length.pieces) + saws_mm
        assert used_mm <= length.stock_mm + 1e-3
    return cut


def pieces_of(cut: Cut, edge: str) -> list[float]:
    return sorted(p.length_mm for _, length in cut.lengths for p in length.pieces if p.edge == edge)


def test_snips_take_nothing_off_and_a_saw_its_cut() -> None:
    """Three times 1000 is 3000: one length with snips. Sawn, 3 x 1000 + 2 x 3 = 3006: two."""
    assert len(made(1000, 1000, 1000).lengths) == 1
    assert len(made(1000, 1000, 1000, rules=replace(SNIPS, saw_mm=3)).lengths) == 2


def test_one_more_joint_saves_a_length() -> None:
    """Four edges of 2000: each its own length, since two are 4000. With one joint: 8000 and a lap
    of 50 are 8050, and three lengths are 9000; one edge is then 1000 and 1050, but 2000 + 1050 does
    not fit, so two edges have to be jointed: 2000 and 1000, 2000 and 1000 leave 2 x 1050 = 2100,
    which fit one length. A joint at 6 pounds saves 11.40 once; two, at 12 pounds, do not."""
    dear = made(2000, 2000, 2000, 2000)
    assert (len(dear.lengths), dear.joints, dear.proved) == (4, 0, True)
    cheap = made(2000, 2000, 2000, 2000, rules=replace(SNIPS, joint=Decimal("5.00")))
    assert (len(cheap.lengths), cheap.joints, cheap.proved) == (3, 2, True)


def test_four_lengths_done_in_three_with_one_joint() -> None:
    """Edges of 1950, 1950, 1950 and 2900: any two are over 3000, so four lengths. With one joint,
    1950 as 1000 and 1000: 1950 + 1000 = 2950 twice, and 2900: three."""
    cut = made(1950, 1950, 1950, 2900)
    assert (len(cut.lengths), cut.joints, cut.proved) == (3, 1, True)
    assert sorted(len(pieces_of(cut, f"edge {i}")) for i in range(4)) == [1, 1, 1, 2]


def test_a_run_is_made_of_even_pieces_where_that_takes_no_more() -> None:
    """6 m: 6000 + 2 laps of 50 = 6100 in thirds, and no stub of 300 at the end."""
    assert pieces_of(made(6000), "edge 0") == pytest.approx([6100 / 3] * 3)
    assert pieces_of(made(3100), "edge 0") == pytest.approx([1575, 1575])  # 3100 + 50, halved


def test_pieces_are_as_even_as_the_lengths_allow() -> None:
    """Two runs of 3745, each 3795 with its lap, and three lengths: halves of 1897.5 do not share a
    length, half a length each does: 1500 and 2295."""
    cut = made(3745, 3745)
    assert len(cut.lengths) == 3
    for edge in ("edge 0", "edge 1"):
        assert pieces_of(cut, edge) == pytest.approx([1500, 2295], abs=1e-3)


@given(st.lists(st.integers(40, 120), min_size=1, max_size=3))
@settings(max_examples=40)
def test_no_choice_of_joints_costs_less(tens: list[int]) -> None:
    """For every number of lengths and every choice of which run has a piece in
    which, a linear program says whether pieces can be found (joints free, one above the fewest)."""
    runs_mm = [50.0 * n for n in tens]
    cut = made(*runs_mm)
    assert cut.proved
    cost = len(cut.lengths) * Decimal("11.40") + cut.joints * SNIPS.joint
    assert cost == cheapest(runs_mm)


def cheapest(runs_mm: list[float]) -> Decimal:
    """The least cost, by trying lengths and joints in turn of what they cost."""
    fewest = [max(1, math.ceil((mm - 50) / 2950)) if mm > 3000 else 1 for mm in runs_mm]
    found = []
    for lengths in range(1, sum(fewest) + 1):
        for joint in range(2 ** len(runs_mm)):
            counts = [n + (joint >> i & 1) for i, n in enumerate(fewest)]
            if max(counts) <= lengths and possible(runs_mm, counts, lengths):
                joints = sum(counts) - len(counts)
                found.append(lengths * Decimal("11.40") + joints * SNIPS.joint)
    return min(found)


def possible(runs_mm: list[float], counts: list[int], lengths: int) -> bool:
    """Whether runs in so many pieces come out of so many lengths."""
    if sum(mm + (n - 1) * 50 for mm, n in zip(runs_mm, counts, strict=True)) > lengths * 3000:
        return False
    return any(fits(runs_mm, served) for served in servings(counts, lengths))


def servings(counts: list[int], lengths: int) -> list[tuple[tuple[int, ...], ...]]:
    """Which lengths serve which run; the first run takes the first lengths."""
    served: list[tuple[tuple[int, ...], ...]] = [(tuple(range(counts[0])),)]
    for n in counts[1:]:
        served = [(*old, new) for old in served for new in combinations(range(lengths), n)]
    return served


def fits(runs_mm: list[float], served: tuple[tuple[int, ...], ...]) -> bool:
    """Whether pieces can be found, by a linear program in whose places nothing is whole."""
    model = highspy.Highs()
    model.silent()
    pieces = {
        (run, length): model.addVariable(lb=min(300.0, runs_mm[run]), ub=3000.0)
        for run, lengths in enumerate(served)
        for length in lengths
    }
    for run, lengths in enumerate(served):
        whole_mm = runs_mm[run] + (len(lengths) - 1) * 50
        model.addConstr(sum(pieces[run, length] for length in lengths) == whole_mm)
    for one in {length for _, length in pieces}:
        model.addConstr(sum(mm for (_, length), mm in pieces.items() if length == one) <= 3000.0)
    model.run()
    return bool(model.getModelStatus() == highspy.HighsModelStatus.kOptimal)


def test_too_many_ways_prove_nothing() -> None:
    """Two stock lengths and eight edges: the list stands, and nothing is claimed of it."""
    two = (*THREE_METRES, Stock(2400.0, Decimal("9.00")))
    runs = tuple(Run(f"edge {i}", 1300.0 + 150 * i) for i in range(8))
    cut = cut_runs(runs, two, SNIPS)
    assert not cut.proved
    assert sum(len(pieces_of(cut, run.edge)) for run in runs) == 8 + cut.joints
