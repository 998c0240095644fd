"""The ways of filling stock lengths, and the cheapest set of them that cuts every piece.

A way says how many pieces of each size come out of one stock length. Which ways to buy is an
integer program (P. Gilmore and R. Gomory, A linear programming approach to the cutting-stock
problem, Operations Research 9, 1961), with every way written down. The solver is limited by the
nodes it may look at, not by time, so the same question has the same answer on any machine.
"""

from collections.abc import Iterator, Sequence
from typing import Any

from msgspec import Struct

_SLACK_MM = 1e-6
_MOST_WAYS = 20_000
"""Ways written down at most, shared among the stock lengths: with several each takes longer."""
_MOST_NODES = 20

Filling = tuple[int, ...]


class Bar(Struct, frozen=True):
    """A stock length as the solver sees it: the room in it [mm] and its cost in whole units."""

    room_mm: float
    cost: int


class Filled(Struct, frozen=True):
    """The bars to buy, by place, each with the way it is filled.

    `proved` says that nothing costs less.
    """

    bars: tuple[tuple[int, Filling], ...]
    proved: bool


def cheapest_ways(
    sizes_mm: Sequence[float], wanted: Sequence[int], bars: Sequence[Bar]
) -> Filled | None:
    """The bars to buy and how each is filled, at the least cost found.

    `sizes_mm` and the room of a bar both include one saw cut, so that n pieces and n cuts fit a
    length with its own cut added. None where there are too many ways to write down, or where the
    solver comes to nothing.

    >>> cheapest_ways([2000.0, 1000.0], [1, 2], [Bar(3000.0, 5), Bar(2000.0, 4)])
    Filled(bars=((1, (1, 0)), (1, (0, 2))), proved=True)
    """
    ways: list[tuple[int, Filling]] = []
    for i, bar in enumerate(bars):
        cheaper_mm = max((b.room_mm for b in bars if b.cost < bar.cost), default=0.0)
        for way in _fillings(sizes_mm, wanted, bar.room_mm):
            if sum(n * mm for n, mm in zip(way, sizes_mm, strict=True)) > cheaper_mm:
                ways.append((i, way))
            if len(ways) > _MOST_WAYS / len(bars):
                return None
    return _solved(ways, wanted, bars)


def _fillings(sizes: Sequence[float], most: Sequence[int], room: float) -> Iterator[Filling]:
    """Every way of filling a length to which no further piece can be added."""
    counts = [0] * len(sizes)

    def fill(i: int, left: float) -> Iterator[Filling]:
        if i == len(sizes):
            full = all(
                count == limit or left + _SLACK_MM < size
                for count, limit, size in zip(counts, most, sizes, strict=True)
            )
            if full and any(counts):
                yield tuple(counts)
            return
        for n in range(min(most[i], int((left + _SLACK_MM) // sizes[i])), -1, -1):
            counts[i] = n
            yield from fill(i + 1, left - n * sizes[i])
        counts[i] = 0

    yield from fill(0, room)


def covering_program(wanted: Sequence[int], most_nodes: int) -> Any:
    """A program of the solver with a row for each size: at least so many pieces of it."""
    from highspy import Highs, kHighsInf  # noqa: PLC0415 - only where a bound does not settle it

    program: Any = Highs()
    program.silent()
    for option, value in {"threads": 1, "mip_max_nodes": most_nodes, "mip_rel_gap": 0.0}.items():
        program.setOptionValue(option, value)
    for needed in wanted:
        program.addRow(float(needed), kHighsInf, 0, [], [])
    return program


def _solved(
    ways: Sequence[tuple[int, Filling]], wanted: Sequence[int], bars: Sequence[Bar]
) -> Filled | None:
    """How often each way is cut: whole numbers that cover every piece at the least cost."""
    from highspy import (  # noqa: PLC0415 - only where a bound does not settle it
        HighsModelStatus,
        HighsVarType,
        SolutionStatus,
        kHighsInf,
    )

    program = covering_program(wanted, _MOST_NODES)
    for bar, way in ways:
        rows = [row for row, n in enumerate(way) if n]
        entries = [float(way[row]) for row in rows]
        program.addCol(float(bars[bar].cost), 0.0, kHighsInf, len(rows), rows, entries)
    whole = [HighsVarType.kInteger] * len(ways)
    program.changeColsIntegrality(len(ways), list(range(len(ways))), whole)
    program.run()
    if program.getInfo().primal_solution_status != SolutionStatus.kSolutionStatusFeasible:
        return None
    times = program.getSolution().col_value
    bought = [way for way, n in zip(ways, times, strict=True) for _ in range(round(n))]
    return Filled(tuple(bought), program.getModelStatus() == HighsModelStatus.kOptimal)
