"""The ways of filling stock lengths, and the cheapest set of them that cuts every piece.

A way says how many pieces of each size come out of one stock length. Which ways to buy is an
integer program (P. Gilmore and R. Gomory, A linear programming approach to the cutting-stock
problem, Operations Research 9, 1961), with every way written down. Its linear relaxation is close
once the number of lengths of each stock is whole, so the search branches on those numbers, the
cheapest branch first, and looks for whole ways only where they are.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from heapq import heappop, heappush
from math import ceil, floor
from typing import Any

_SLACK_MM = 1e-6
_SLACK = 1e-6
_MOST_WAYS = 20_000
_MOST_BRANCHES = 2_000
_MOST_NODES = 2_000
_SHARES_OF_ROOM = (0.125, 0.25, 0.5, 1.0)

Way = tuple[int, ...]
Limits = tuple[tuple[int, float], ...]


@dataclass(frozen=True, slots=True)
class Bar:
    """A stock length as the search sees it: the room in it [mm] and its cost in whole units."""

    room_mm: float
    cost: int


@dataclass(order=True, frozen=True, slots=True)
class _Branch:
    """Least cost known of the lists within some limits on the number of each bar."""

    cost: int
    order: int
    limits: Limits = field(compare=False)


def cheapest_ways(
    sizes_mm: Sequence[float], wanted: Sequence[int], bars: Sequence[Bar]
) -> list[tuple[int, Way]] | None:
    """The bars to buy, by place, and how each is filled, at the least cost; None without proof.

    `sizes_mm` and the room of a bar both include one saw cut, so that n pieces and n cuts fit a
    length with its own cut added. Equal costs: the first list found. The same question always has
    the same answer: the search is limited by steps, not by time.

    >>> cheapest_ways([2000.0, 1000.0], [1, 2], [Bar(3000.0, 5), Bar(2000.0, 4)])
    [(1, (1, 0)), (1, (0, 2))]
    """
    ways: list[tuple[int, Way]] = []
    for i, bar in enumerate(bars):
        cheaper_mm = max((b.room_mm for b in bars if b.cost < bar.cost), default=0.0)
        for way in _fillings(sizes_mm, wanted, bar.room_mm):
            if sum(n * mm for n, mm in zip(way, sizes_mm, strict=True)) > cheaper_mm:
                ways.append((i, way))
            if len(ways) > _MOST_WAYS:
                return None
    try:
        chosen = _Search(ways, wanted, bars).best()
    except _GivenUpError:
        return None
    return [way for way, times in zip(ways, chosen, strict=True) for _ in range(times)]


def _fillings(sizes: Sequence[float], most: Sequence[int], room: float) -> Iterator[Way]:
    """Every way of filling a length to which no further piece can be added."""
    counts = [0] * len(sizes)

    def fill(i: int, left: float) -> Iterator[Way]:
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


class _GivenUpError(Exception):
    """The search has taken its most steps."""


class _Search:
    """Best-first search over limits on the number of each bar."""

    def __init__(
        self, ways: Sequence[tuple[int, Way]], wanted: Sequence[int], bars: Sequence[Bar]
    ) -> None:
        self.ways = ways
        self.wanted = wanted
        self.bars = bars
        self.relaxed = self._program(range(len(ways)))
        self.relaxed.setOptionValue("presolve", "off")
        self.root_cost = 0.0
        self.root_extra: list[float] = []

    def best(self) -> list[int]:
        """How often to cut each way."""
        from highspy import HighsModelStatus  # noqa: PLC0415 - only where a bound does not settle it

        self.relaxed.run()
        self.root_cost = self.relaxed.getObjectiveValue()
        self.root_extra = list(self.relaxed.getSolution().col_dual)
        unlimited: Limits = ((0, float("inf")),) * len(self.bars)
        waiting = [_Branch(ceil(self.root_cost - _SLACK), 0, unlimited)]
        for tried in range(1, _MOST_BRANCHES):
            branch = heappop(waiting)
            self._limit(self.relaxed, branch.limits)
            self.relaxed.run()
            if self.relaxed.getModelStatus() != HighsModelStatus.kOptimal:
                continue
            relaxed_cost = self.relaxed.getObjectiveValue()
            cost = max(branch.cost, ceil(relaxed_cost - _SLACK))
            if waiting and waiting[0].cost < cost:
                heappush(waiting, _Branch(cost, 2 * tried, branch.limits))
                continue
            parts = self._parts(branch.limits)
            if not parts:
                found = self._whole(branch.limits, cost, cost - relaxed_cost)
                if found is not None:
                    return found
                cost, parts = cost + 1, [branch.limits]
            for i, limits in enumerate(parts):
                heappush(waiting, _Branch(cost, 2 * tried + i, limits))
        raise _GivenUpError

    def _parts(self, limits: Limits) -> list[Limits]:
        """The limits split at the bar whose number is least whole; none where all are whole."""
        numbers = [0.0] * len(self.bars)
        for (bar, _), times in zip(self.ways, self.relaxed.getSolution().col_value, strict=True):
            numbers[bar] += times
        apart = [abs(number - round(number)) for number in numbers]
        bar = max(range(len(apart)), key=apart.__getitem__)
        if apart[bar] < _SLACK:
            return []
        least, most = limits[bar]
        below = floor(numbers[bar])
        return [
            (*limits[:bar], part, *limits[bar + 1 :])
            for part in ((least, below), (below + 1, most))
        ]

    def _whole(self, limits: Limits, cost: int, room: float) -> list[int] | None:
        """A list within the limits at this cost; None where there is none.

        A list costs what the relaxation costs and the reduced costs of its ways, so a way whose
        reduced cost is above the room left, here or without limits, is in no such list. Ways of
        small reduced cost are tried alone first: few, and mostly enough.
        """
        extra = list(self.relaxed.getSolution().col_dual)
        tried: list[int] = []
        for share in _SHARES_OF_ROOM:
            root_room = share * (cost - self.root_cost)
            kept = [
                i
                for i, (here, root) in enumerate(zip(extra, self.root_extra, strict=True))
                if here <= room + _SLACK and root <= root_room + _SLACK
            ]
            if kept != tried:
                found = self._solved(kept, limits, cost)
                if found is not None:
                    return found
            tried = kept
        return None

    def _solved(self, kept: Sequence[int], limits: Limits, cost: int) -> list[int] | None:
        """A list of the ways kept at this cost; None where there is none."""
        from highspy import HighsModelStatus, HighsVarType  # noqa: PLC0415 - as above

        program = self._program(kept)
        self._limit(program, limits)
        program.changeColsIntegrality(
            len(kept), list(range(len(kept))), [HighsVarType.kInteger] * len(kept)
        )
        program.setOptionValue("objective_target", cost + 0.5)
        program.setOptionValue("mip_max_nodes", _MOST_NODES)
        program.run()
        status = program.getModelStatus()
        if status == HighsModelStatus.kInfeasible:
            return None
        if status not in (HighsModelStatus.kOptimal, HighsModelStatus.kObjectiveTarget):
            raise _GivenUpError
        if program.getObjectiveValue() > cost + 0.5:
            return None
        times = [0] * len(self.ways)
        for i, value in zip(kept, program.getSolution().col_value, strict=True):
            times[i] = round(value)
        return times

    def _program(self, kept: Sequence[int]) -> Any:
        """Cover every piece with the ways kept, then a row for the number of each bar."""
        from highspy import Highs, kHighsInf  # noqa: PLC0415 - as above

        program: Any = Highs()  # type: ignore[no-untyped-call]
        program.silent()
        program.setOptionValue("threads", 1)
        for needed in self.wanted:
            program.addRow(float(needed), kHighsInf, 0, [], [])
        for _ in self.bars:
            program.addRow(0.0, kHighsInf, 0, [], [])
        for i in kept:
            bar, way = self.ways[i]
            rows = [row for row, n in enumerate(way) if n]
            entries = [*(float(way[row]) for row in rows), 1.0]
            program.addCol(
                float(self.bars[bar].cost),
                0.0,
                kHighsInf,
                len(entries),
                [*rows, len(self.wanted) + bar],
                entries,
            )
        return program

    def _limit(self, program: Any, limits: Limits) -> None:
        for bar, (least, most) in enumerate(limits):
            program.changeRowBounds(len(self.wanted) + bar, float(least), float(most))
