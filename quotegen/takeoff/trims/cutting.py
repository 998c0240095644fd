"""Cutting runs of trim from stock lengths at the least cost, and the proof that it is the least.

A quick list (`quick_list`) is often proved best by a lower bound. Where it is not, the joints are
moved and made to save a length (`joints`), or, where all pieces are given, the cheapest ways of
filling lengths are searched for (`fillings`).
"""

from collections import Counter, deque
from collections.abc import Sequence
from decimal import Decimal
from functools import lru_cache
from math import gcd

from msgspec import Struct

from quotegen.model.choices import Along
from quotegen.model.takeoff import CutLength, Piece
from quotegen.takeoff.trims.fillings import Bar, cheapest_ways
from quotegen.takeoff.trims.joints import Cheaper, Joints, Serving, cheaper_joints, level_pieces
from quotegen.takeoff.trims.quick_list import (
    Length,
    RunPiece,
    best_fit,
    even_pieces,
    fewest_pieces,
    full_pieces,
    least_lengths,
)
from quotegen.units import PENNY, whole_number

_SLACK_MM = 1e-6


class Run(Struct, frozen=True):
    """A length of trim to be made up along an edge [mm], or along what else its words say.

    `pieces` is of how many even pieces it is made, more only where the lengths are too short; None
    where it is jointed as costs least.
    """

    edge: str
    length_mm: float
    along: Along = Along.EDGE
    pieces: int | None = None


class Stock(Struct, frozen=True):
    """A length that can be bought [mm] and what one costs [GBP]."""

    length_mm: float
    cost: Decimal


class CutRules(Struct, frozen=True):
    """How runs are made up [mm]: lap at a joint, shortest piece worth fitting, saw cut.

    `joint` is what one more joint must save [GBP] to be worth making; a penny at least, so that of
    lists that cost the same the one with fewer joints is taken.
    """

    lap_mm: float
    least_mm: float
    saw_mm: float
    joint: Decimal = PENNY


class Cut(Struct, frozen=True):
    """The lengths bought, by the place of their stock in the offer, and how each is cut.

    `proved` says that no other choice of lengths and joints costs less, a joint reckoned at what it
    has to save, with one joint at most in a run above the fewest. Runs whose pieces are given are
    not jointed otherwise.
    """

    lengths: tuple[tuple[int, CutLength], ...]
    joints: int
    proved: bool

    def count(self, stock: int) -> int:
        """How many lengths of one stock are bought."""
        return sum(1 for chosen, _ in self.lengths if chosen == stock)


@lru_cache(maxsize=1024)
def cut_runs(runs: tuple[Run, ...], stocks: tuple[Stock, ...], rules: CutRules) -> Cut:
    """The cheapest lengths that make up the runs, proved so wherever the solver gets to the end.

    A run is jointed once more where that saves enough, and its pieces are as even as the lengths
    allow. Where nothing is proved, the cheapest list found.
    """
    stock = _longest(stocks)
    longest_mm = stocks[stock].length_mm
    lengths = min(
        (
            best_fit(pieces, stock, longest_mm, rules.saw_mm)
            for pieces in _split(runs, longest_mm, rules)
        ),
        key=len,
    )
    least = _least(runs, longest_mm, rules)
    free = any(_free(run, rules) for run in runs)
    proved = len(stocks) == 1 and len(lengths) == least
    if not proved:
        lengths, filled = _filled(runs, stocks, rules, lengths)
        proved = len(stocks) == 1 and len(lengths) == least if free else filled
    if free and not proved:
        lengths, proved = _jointed(runs, stocks, rules, lengths, least)
    level = _levelled(lengths, runs, stocks, rules)
    pieces = sum(len(length.pieces) for length in level)
    return Cut(
        tuple((length.stock, _cut_length(length, runs, stocks, rules)) for length in level),
        pieces - len(runs),
        proved,
    )


def _free(run: Run, rules: CutRules) -> bool:
    """Whether a run may be jointed anywhere: it is long enough for two of the shortest pieces."""
    return run.pieces is None and run.length_mm + rules.lap_mm >= 2 * rules.least_mm


def _split(
    runs: Sequence[Run], stock_mm: float, rules: CutRules
) -> tuple[list[RunPiece], list[RunPiece]]:
    """The fewest pieces of every run: all even, and those of free runs whole lengths and a rest."""
    even = [RunPiece(i, mm) for i, run in enumerate(runs) for mm in _even(run, stock_mm, rules)]
    full = [
        RunPiece(i, mm)
        for i, run in enumerate(runs)
        for mm in (
            full_pieces(run.length_mm, stock_mm, rules.lap_mm, rules.least_mm)
            if _free(run, rules)
            else _even(run, stock_mm, rules)
        )
    ]
    return even, full


def _even(run: Run, stock_mm: float, rules: CutRules) -> list[float]:
    fewest = fewest_pieces(run.length_mm, stock_mm, rules.lap_mm)
    return even_pieces(run.length_mm, max(run.pieces or 1, fewest), rules.lap_mm)


def _least(runs: Sequence[Run], stock_mm: float, rules: CutRules) -> int:
    """Lengths below which no list goes, wherever the joints: by what all takes, and by the pieces
    that are given."""
    pieces = [_even(run, stock_mm, rules) for run in runs]
    given = [
        mm for run, cut in zip(runs, pieces, strict=True) if not _free(run, rules) for mm in cut
    ]
    used_mm = sum(mm + rules.saw_mm for cut in pieces for mm in cut)
    room_mm = stock_mm + rules.saw_mm
    by_pieces = least_lengths([mm + rules.saw_mm for mm in given], room_mm)
    return max(by_pieces, whole_number((used_mm - _SLACK_MM) / room_mm))


def _longest(stocks: Sequence[Stock]) -> int:
    """The cheapest of the longest stocks."""
    longest_mm = max(stock.length_mm for stock in stocks)
    fitting = [i for i, stock in enumerate(stocks) if stock.length_mm == longest_mm]
    return min(fitting, key=lambda i: stocks[i].cost)


def _cost(
    lengths: Sequence[Length], runs: Sequence[Run], stocks: Sequence[Stock], rules: CutRules
) -> Decimal:
    """What the lengths cost, with the joints at what each has to save [GBP]."""
    joints = sum(len(length.pieces) for length in lengths) - len(runs)
    return sum((stocks[length.stock].cost for length in lengths), joints * rules.joint)


def _bars(stocks: Sequence[Stock], rules: CutRules) -> tuple[list[Bar], int]:
    """The stocks as the solver sees them, and a joint, in the common divisor of what they cost."""
    pence = [int(stock.cost / PENNY) for stock in stocks]
    joint = int(rules.joint / PENNY)
    unit = gcd(*pence, joint) or 1
    bars = [
        Bar(stock.length_mm + rules.saw_mm, p // unit)
        for stock, p in zip(stocks, pence, strict=True)
    ]
    return bars, joint // unit


def _jointed(
    runs: Sequence[Run],
    stocks: Sequence[Stock],
    rules: CutRules,
    quick: list[Length],
    least: int,
) -> tuple[list[Length], bool]:
    """The best list with the joints free, else the quick one; and whether that is proved."""
    longest_mm = max(stock.length_mm for stock in stocks)
    free = [i for i, run in enumerate(runs) if _free(run, rules)]
    given = [
        RunPiece(i, mm)
        for i, run in enumerate(runs)
        if i not in free
        for mm in _even(run, longest_mm, rules)
    ]
    sizes = sorted({piece.length_mm for piece in given}, reverse=True)
    wanted = Counter(piece.length_mm for piece in given)
    bars, joint = _bars(stocks, rules)
    joints = sum(piece.run in free for length in quick for piece in length.pieces)
    found = cheaper_joints(
        [runs[i].length_mm for i in free],
        sizes,
        [wanted[size] for size in sizes],
        bars,
        Joints(rules.lap_mm, rules.least_mm, rules.saw_mm, joint),
        Cheaper(
            sum(bars[length.stock].cost for length in quick) + joint * joints,
            least,
            len(quick) - 1 if len(stocks) == 1 else None,
        ),
    )
    if found is None or not found.used:
        return quick, found is not None and found.proved
    waiting = {size: deque(p for p in given if p.length_mm == size) for size in sizes}
    lengths = []
    for used in found.used:
        taken = [
            waiting[size].popleft()
            for size, n in zip(sizes, used.whole, strict=True)
            for _ in range(min(n, len(waiting[size])))
        ]
        served = [RunPiece(free[run], 0.0) for run in used.runs]
        lengths.append(Length(used.bar, (*served, *taken)))
    return lengths, found.proved


def _filled(
    runs: Sequence[Run], stocks: Sequence[Stock], rules: CutRules, quick: list[Length]
) -> tuple[list[Length], bool]:
    """The best list of pieces that are all given, and whether it is proved."""
    pieces = [piece for length in quick for piece in length.pieces]
    sizes = sorted({piece.length_mm for piece in pieces}, reverse=True)
    wanted = Counter(piece.length_mm for piece in pieces)
    bars, _ = _bars(stocks, rules)
    found = cheapest_ways(
        [size + rules.saw_mm for size in sizes], [wanted[size] for size in sizes], bars
    )
    if found is None:
        return quick, False
    waiting = {size: deque(p for p in pieces if p.length_mm == size) for size in sizes}
    lengths = []
    for i, way in found.bars:
        taken = [
            waiting[size].popleft()
            for size, n in zip(sizes, way, strict=True)
            for _ in range(min(n, len(waiting[size])))
        ]
        lengths.append(Length(i, tuple(taken)))
    dearer = _cost(quick, runs, stocks, rules) <= _cost(lengths, runs, stocks, rules)
    return (quick, False) if not found.proved and dearer else (lengths, found.proved)


def _levelled(
    lengths: Sequence[Length], runs: Sequence[Run], stocks: Sequence[Stock], rules: CutRules
) -> list[Length]:
    """The same lengths with the pieces of free runs as even as they allow."""
    counts = Counter(piece.run for length in lengths for piece in length.pieces)
    free = [i for i, run in enumerate(runs) if _free(run, rules) and counts[i] > 1]
    if all(_is_level(lengths, run) for run in free):
        free = []
    place = {run: i for i, run in enumerate(free)}
    fixed = {i: run.length_mm for i, run in enumerate(runs) if counts[i] == 1}
    servings = []
    for length in lengths:
        others = [
            fixed.get(piece.run, piece.length_mm)
            for piece in length.pieces
            if piece.run not in place
        ]
        saws_mm = (len(length.pieces) - 1) * rules.saw_mm
        room_mm = stocks[length.stock].length_mm - sum(others) - saws_mm
        served = tuple(place[piece.run] for piece in length.pieces if piece.run in place)
        servings.append(Serving(room_mm, served))
    level = (
        level_pieces(
            [runs[i].length_mm for i in free],
            servings,
            Joints(rules.lap_mm, rules.least_mm, rules.saw_mm, 0),
        )
        if place
        else [[] for _ in lengths]
    )
    made = []
    for length, found in zip(lengths, level, strict=True):
        new = iter(found)
        cut = [
            RunPiece(p.run, next(new) if p.run in place else fixed.get(p.run, p.length_mm))
            for p in length.pieces
        ]
        made.append(Length(length.stock, tuple(sorted(cut, key=lambda p: (-p.length_mm, p.run)))))
    return made


def _is_level(lengths: Sequence[Length], run: int) -> bool:
    pieces = [p.length_mm for length in lengths for p in length.pieces if p.run == run]
    return min(pieces) > 0 and max(pieces) - min(pieces) < _SLACK_MM


def _cut_length(
    length: Length, runs: Sequence[Run], stocks: Sequence[Stock], rules: CutRules
) -> CutLength:
    pieces = tuple(Piece(p.length_mm, runs[p.run].edge, runs[p.run].along) for p in length.pieces)
    used_mm = sum(piece.length_mm for piece in pieces) + rules.saw_mm * (len(pieces) - 1)
    stock_mm = stocks[length.stock].length_mm
    rest_mm = stock_mm - used_mm
    return CutLength(stock_mm, pieces, rest_mm - rules.saw_mm if rest_mm > rules.saw_mm else 0.0)
