"""The cheapest set of fillings, against a textbook example and against exhaustive search."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen.takeoff.trims import fillings
from quotegen.takeoff.trims.fillings import Bar, cheapest_ways

SIZES = [900.0, 700.0, 400.0]


def test_the_paper_mill_of_the_textbook_takes_453_rolls() -> None:
    """V. Chvatal, Linear Programming (Freeman 1983), chapter 13: rolls of 100 in, relaxed optimum
    452.25. Numbers from memory."""
    bought = cheapest_ways([45.0, 36.0, 31.0, 14.0], [97, 610, 395, 211], [Bar(100.0, 1)])
    assert bought is not None
    assert (len(bought.bars), bought.proved) == (453, True)
    cut = [sum(way[size] for _, way in bought.bars) for size in range(4)]
    assert all(made >= wanted for made, wanted in zip(cut, [97, 610, 395, 211], strict=True))


@given(
    st.tuples(*[st.integers(0, 2)] * 3).filter(any),
    st.tuples(st.integers(1, 9), st.integers(1, 9)),
)
def test_no_other_choice_of_bars_is_cheaper(
    wanted: tuple[int, int, int], costs: tuple[int, int]
) -> None:
    """Against every number of each bar, and every way of putting the pieces into them.

    A longer bar may be the cheaper one here: nobody then buys the shorter.
    """
    bars = [Bar(1000.0, costs[0]), Bar(1700.0, costs[1])]
    bought = cheapest_ways(SIZES, wanted, bars)
    assert bought is not None
    assert bought.proved
    for i, way in bought.bars:
        used = sum(n * mm for n, mm in zip(way, SIZES, strict=True))
        assert 0 < used <= bars[i].room_mm
    cost = sum(bars[i].cost for i, _ in bought.bars)
    pieces = [mm for mm, n in zip(SIZES, wanted, strict=True) for _ in range(n)]
    choices = product(range(len(pieces) + 1), repeat=2)
    assert cost == min(
        short * costs[0] + long * costs[1]
        for short, long in choices
        if fits(pieces, [1000.0] * short + [1700.0] * long)
    )


def fits(pieces: list[float], rooms: list[float]) -> bool:
    """Whether the pieces go into the rooms, by trying each room for each piece."""
    if not pieces:
        return True
    return any(
        fits(pieces[1:], [*rooms[:i], room - pieces[0], *rooms[i + 1 :]])
        for i, room in enumerate(rooms)
        if room >= pieces[0]
    )


def test_too_many_ways_are_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fillings, "_MOST_WAYS", 1)
    assert cheapest_ways(SIZES, [1, 1, 1], [Bar(1000.0, 1)]) is None
