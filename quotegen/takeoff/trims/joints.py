"""Where runs of trim are jointed, and from which lengths their pieces come, at the least cost.

A way of using a stock length says which whole pieces come out of it and which runs have a piece in
it; how long those pieces are is left open. Lengths used in one way are alike: the pieces of a run
in them can be shared out evenly without breaking any rule, so it is enough to know how many lengths
are used in each way and how much of each run they give together. That is a mixed integer program
without the joints being fixed beforehand. No run has two pieces in one length: one piece would do.
A run has one joint at most above the fewest that the shortest length asks for: nobody patches an
edge together. Limits: the solver looks at so many nodes, not so many seconds.
"""

from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import Any

from msgspec import Struct

from quotegen.takeoff.trims.fillings import Bar, covering_program
from quotegen.takeoff.trims.quick_list import fewest_pieces

_SLACK_MM = 1e-6
_MOST_WAYS, _MOST_OF_SEVERAL = 600, 40
"""Ways written down at most, of one stock length and of several: those take far longer."""
_OVER_COST = 1e4
_MOST_NODES = 40


class Joints(Struct, frozen=True):
    """How runs may be jointed [mm]: lap, shortest piece, saw cut; and what a joint costs.

    The cost is in the whole units of the bars.
    """

    lap_mm: float
    least_mm: float
    saw_mm: float
    cost: int


class Used(Struct, frozen=True):
    """One length bought, by the place of its bar: whole pieces by size, and the runs it serves."""

    bar: int
    whole: tuple[int, ...]
    runs: tuple[int, ...]


class Cheaper(Struct, frozen=True):
    """What a list has to beat: its cost with a joint for every piece, and how many lengths.

    It takes `least` lengths at least; and at most `most`, where there is one stock only.
    """

    cost: int
    least: int
    most: int | None


class Jointed(Struct, frozen=True):
    """The lengths to buy, none where no cheaper list was found.

    `proved` says that no other lengths and joints cost less.
    """

    used: tuple[Used, ...]
    proved: bool


class Serving(Struct, frozen=True):
    """What one length gives to runs: the room in it [mm], saw cuts left out, and to which."""

    room_mm: float
    runs: tuple[int, ...]


def cheaper_joints(
    runs_mm: Sequence[float],
    sizes_mm: Sequence[float],
    wanted: Sequence[int],
    bars: Sequence[Bar],
    rules: Joints,
    beat: Cheaper,
) -> Jointed | None:
    """The lengths that give every run and every whole piece at the least cost, if it beats a list.

    The room of a bar includes one saw cut, sizes and runs do not. None where there are too many
    ways to write down.

    >>> found = cheaper_joints(
    ...     [1900.0] * 3, [], [], [Bar(3000.0, 1140)], Joints(50.0, 300.0, 0.0, 500),
    ...     Cheaper(3 * 1140 + 3 * 500, 2, 2),
    ... )
    >>> len(found.used), sum(len(one.runs) for one in found.used), found.proved
    (2, 4, True)
    """
    most = _MOST_WAYS if len(bars) == 1 else _MOST_OF_SEVERAL
    ways: list[Used] = []
    for way in _ways(runs_mm, sizes_mm, wanted, bars, rules):
        ways.append(way)
        if len(ways) > most:
            return None
    return _solved(ways, runs_mm, sizes_mm, wanted, bars, rules, beat)


def level_pieces(
    runs_mm: Sequence[float], servings: Sequence[Serving], rules: Joints
) -> list[list[float]]:
    """How long the pieces of each run are in the lengths that serve it, as even as they can be.

    The least difference between the longest and the shortest piece of a run, over the runs the
    greatest first and then their sum. Inputs and result [mm], a list for each length in the order
    of its runs.

    >>> level_pieces([6000.0], [Serving(3000.0, (0,))] * 3, Joints(50.0, 300.0, 0.0, 1))
    [[2033.333333], [2033.333333], [2033.333333]]
    """
    from highspy import Highs, kHighsInf  # noqa: PLC0415 - only where there are joints

    program: Any = Highs()
    program.silent()
    places = [(i, run) for i, serving in enumerate(servings) for run in serving.runs]
    for _, run in places:
        program.addVar(min(rules.least_mm, runs_mm[run]), kHighsInf)
    worst = program.getNumCol()
    program.addVar(0.0, kHighsInf)
    program.changeColCost(worst, float(len(runs_mm)))
    for run, length_mm in enumerate(runs_mm):
        longest, shortest = program.getNumCol(), program.getNumCol() + 1
        program.addVar(0.0, kHighsInf)
        program.addVar(0.0, kHighsInf)
        program.changeColCost(longest, 1.0)
        program.changeColCost(shortest, -1.0)
        mine = [column for column, (_, served) in enumerate(places) if served == run]
        whole_mm = length_mm + (len(mine) - 1) * rules.lap_mm
        program.addRow(whole_mm, whole_mm, len(mine), mine, [1.0] * len(mine))
        program.addRow(0.0, kHighsInf, 3, [worst, longest, shortest], [1.0, -1.0, 1.0])
        for column in mine:
            program.addRow(0.0, kHighsInf, 2, [longest, column], [1.0, -1.0])
            program.addRow(0.0, kHighsInf, 2, [column, shortest], [1.0, -1.0])
    for i, serving in enumerate(servings):
        inside = [column for column, (length, _) in enumerate(places) if length == i]
        over = program.getNumCol()  # what the solver before took for nothing: a hair at most
        program.addVar(0.0, kHighsInf)
        program.changeColCost(over, _OVER_COST)
        entries = [1.0] * len(inside) + [-1.0]
        program.addRow(-kHighsInf, serving.room_mm, len(entries), [*inside, over], entries)
    program.run()
    found = iter(round(mm, 6) for mm in program.getSolution().col_value[: len(places)])
    return [[next(found) for _ in serving.runs] for serving in servings]


def _ways(
    runs_mm: Sequence[float],
    sizes_mm: Sequence[float],
    wanted: Sequence[int],
    bars: Sequence[Bar],
    rules: Joints,
) -> Iterator[Used]:
    """Every set of runs that can have a piece in a length, with every choice of whole pieces."""
    least_mm = [min(rules.least_mm, mm) + rules.saw_mm for mm in runs_mm]
    for place, bar in enumerate(bars):
        for whole in _whole_pieces(sizes_mm, wanted, bar.room_mm, rules.saw_mm):
            taken_mm = sum(n * (mm + rules.saw_mm) for n, mm in zip(whole, sizes_mm, strict=True))
            for size in range(len(runs_mm) + 1):
                fitting = [
                    some
                    for some in combinations(range(len(runs_mm)), size)
                    if taken_mm + sum(least_mm[run] for run in some) <= bar.room_mm + _SLACK_MM
                ]
                if not fitting:
                    break
                yield from (Used(place, whole, some) for some in fitting if some or any(whole))


def _whole_pieces(
    sizes_mm: Sequence[float], most: Sequence[int], room_mm: float, saw_mm: float
) -> Iterator[tuple[int, ...]]:
    """Every choice of whole pieces that fits a length, none at all among them."""
    if not sizes_mm:
        yield ()
        return
    each_mm = sizes_mm[0] + saw_mm
    for n in range(min(most[0], int((room_mm + _SLACK_MM) // each_mm)) + 1):
        for rest in _whole_pieces(sizes_mm[1:], most[1:], room_mm - n * each_mm, saw_mm):
            yield (n, *rest)


def _solved(
    ways: Sequence[Used],
    runs_mm: Sequence[float],
    sizes_mm: Sequence[float],
    wanted: Sequence[int],
    bars: Sequence[Bar],
    rules: Joints,
    beat: Cheaper,
) -> Jointed:
    """How many lengths are used in each way, and how much of each run they give together."""
    from highspy import (  # noqa: PLC0415 - only where a bound does not settle it
        HighsModelStatus,
        HighsVarType,
        SolutionStatus,
        kHighsInf,
    )

    program = covering_program(wanted, _MOST_NODES)
    longest_mm = max(bar.room_mm for bar in bars) - rules.saw_mm
    shortest_mm = min(bar.room_mm for bar in bars) - rules.saw_mm
    program.addRow(-kHighsInf, float(beat.cost - 1), 0, [], [])
    most = kHighsInf if beat.most is None else float(beat.most)
    program.addRow(float(beat.least), most, 0, [], [])
    money = len(wanted)
    first_sum = money + 2
    for length_mm in runs_mm:  # the pieces of a run, each less a lap, are the run less a lap
        rest_mm = length_mm - rules.lap_mm
        program.addRow(rest_mm, rest_mm, 0, [], [])
        fewest = fewest_pieces(length_mm, longest_mm, rules.lap_mm)
        most = fewest_pieces(length_mm, shortest_mm, rules.lap_mm) + 1
        program.addRow(float(fewest), float(most), 0, [], [])
    for way in ways:
        cost = float(bars[way.bar].cost + rules.cost * len(way.runs))
        rows = [row for row, n in enumerate(way.whole) if n]
        entries = [*(float(way.whole[row]) for row in rows), cost, 1.0]
        rows += [money, money + 1]
        for run in way.runs:
            rows += [first_sum + 2 * run, first_sum + 2 * run + 1]
            entries += [-rules.lap_mm, 1.0]
        program.addCol(cost, 0.0, kHighsInf, len(rows), rows, entries)
    program.changeColsIntegrality(
        len(ways), list(range(len(ways))), [HighsVarType.kInteger] * len(ways)
    )
    for column, way in enumerate(ways):
        _give(program, column, way, runs_mm, sizes_mm, bars[way.bar], rules, first_sum)
    program.run()
    if program.getInfo().primal_solution_status != SolutionStatus.kSolutionStatusFeasible:
        return Jointed((), program.getModelStatus() == HighsModelStatus.kInfeasible)
    times = program.getSolution().col_value[: len(ways)]
    used = tuple(way for way, n in zip(ways, times, strict=True) for _ in range(round(n)))
    return Jointed(used, program.getModelStatus() == HighsModelStatus.kOptimal)


def _give(
    program: Any,
    column: int,
    way: Used,
    runs_mm: Sequence[float],
    sizes_mm: Sequence[float],
    bar: Bar,
    rules: Joints,
    first_sum: int,
) -> None:
    """What the lengths used in one way give to each run: the least at least, within the room."""
    from highspy import kHighsInf  # noqa: PLC0415 - as above

    taken_mm = sum(n * (mm + rules.saw_mm) for n, mm in zip(way.whole, sizes_mm, strict=True))
    room_mm = bar.room_mm - taken_mm - rules.saw_mm * len(way.runs)
    given = []
    for run in way.runs:
        given.append(program.getNumCol())
        program.addCol(0.0, 0.0, kHighsInf, 1, [first_sum + 2 * run], [1.0])
        least_mm = min(rules.least_mm, runs_mm[run])
        program.addRow(0.0, kHighsInf, 2, [given[-1], column], [1.0, -least_mm])
    if given:
        entries = [1.0] * len(given) + [-room_mm]
        program.addRow(-kHighsInf, 0.0, len(entries), [*given, column], entries)
