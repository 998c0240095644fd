"""Cutting runs of trim from stock lengths at the least cost, and the proof that it is the least.

A run longer than a length is made of lapped pieces. A quick list (longest piece first, each into
the fullest length that takes it) is often proved best by a lower bound. Where it is not, the
cheapest ways of filling lengths are searched for (`fillings`).
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

_SLACK_MM = 1e-6


class Run(Struct, frozen=True):
    """A length of trim to be made up along an edge [mm], or along what else its words say."""

    edge: str
    length_mm: float
    along: Along = Along.EDGE


class Stock(Struct, frozen=True):
    """A length that can be bought [mm] and what one costs [GBP]."""

    length_mm: float
    cost: Decimal


class CutRules(Struct, frozen=True):
    """How runs are made up [mm]: lap at a joint, shortest piece worth fitting, saw cut."""

    lap_mm: float
    least_mm: float
    saw_mm: float


class Cut(Struct, frozen=True):
    """The lengths bought, by the place of their stock in the offer, and how each is cut.

    `proved` says that no other choice of lengths costs less.
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

    Where it does not, whichever of its list and the quick one costs less.
    """
    longest_mm = max(stock.length_mm for stock in stocks)
    pieces = [
        Piece(length_mm, run.edge, run.along)
        for run in runs
        for length_mm in pieces_along(run.length_mm, longest_mm, rules.lap_mm, rules.least_mm)
    ]
    joints = len(pieces) - len(runs)
    plain = [(_longest(stocks), cut) for cut in _best_fit(pieces, longest_mm, rules.saw_mm)]
    if len(stocks) == 1 and len(plain) == least_lengths(
        [piece.length_mm + rules.saw_mm for piece in pieces], longest_mm + rules.saw_mm
    ):
        return Cut(tuple(plain), joints, proved=True)
    solved, proved = _solved(pieces, stocks, rules.saw_mm)
    if not proved and (not solved or _cost(plain, stocks) <= _cost(solved, stocks)):
        return Cut(tuple(plain), joints, proved=False)
    return Cut(tuple(solved), joints, proved)


def _cost(lengths: Sequence[tuple[int, CutLength]], stocks: Sequence[Stock]) -> Decimal:
    return sum((stocks[i].cost for i, _ in lengths), Decimal(0))


def least_lengths(pieces_mm: Sequence[float], stock_mm: float) -> int:
    """A number of stock lengths below which no cutting list can go: the bound L2.

    For each k up to half a length: pieces longer than stock - k stand alone; those over half
    each need a length; what the rest exceeds the room beside them in, divided by the length and
    rounded up. Inputs [mm]. Source: S. Martello and P. Toth, Knapsack Problems, Wiley 1990,
    chapter 8, bound L2.

    >>> least_lengths([2000, 2000, 1050], 3000), least_lengths([1950, 1050], 3000)
    (3, 1)
    """
    small = sorted({0.0, *(mm for mm in pieces_mm if mm <= stock_mm / 2)})
    return max((_bound(pieces_mm, stock_mm, k) for k in small), default=0)


def pieces_along(length_mm: float, stock_mm: float, lap_mm: float, least_mm: float) -> list[float]:
    """The pieces that make a run: full lengths, each lapped on the last, and the rest.

    n = ceil((run - lap) / (stock - lap)) pieces; the last is run + (n - 1) x (lap - stock), and
    where that is shorter than the least the piece before gives up the difference. Inputs and
    result [mm]. Laps: common practice, no source.

    >>> pieces_along(6000, 3000, 50, 0), pieces_along(2950, 3000, 50, 300)
    ([3000, 3000, 100], [2950])
    >>> pieces_along(6000, 3000, 50, 300)
    [3000, 2800, 300]
    """
    pieces: list[float] = []
    left = length_mm
    while left > stock_mm + _SLACK_MM:
        pieces.append(stock_mm)
        left -= stock_mm - lap_mm
    pieces.append(left)
    if len(pieces) > 1 and left < least_mm:
        pieces[-2] -= least_mm - left
        pieces[-1] = least_mm
    return pieces


def _longest(stocks: Sequence[Stock]) -> int:
    """The cheapest of the longest stocks."""
    longest_mm = max(stock.length_mm for stock in stocks)
    fitting = [i for i, stock in enumerate(stocks) if stock.length_mm == longest_mm]
    return min(fitting, key=lambda i: stocks[i].cost)


def _best_fit(pieces: Sequence[Piece], stock_mm: float, saw_mm: float) -> list[CutLength]:
    """Longest piece first, each into the fullest length that takes it."""
    lengths: list[list[Piece]] = []
    left: list[float] = []
    for piece in sorted(pieces, key=lambda p: (-p.length_mm, p.edge)):
        fitting = [i for i, mm in enumerate(left) if mm + _SLACK_MM >= piece.length_mm]
        if fitting:
            best = min(fitting, key=lambda i: left[i])
            lengths[best].append(piece)
            left[best] -= piece.length_mm + saw_mm
        else:
            lengths.append([piece])
            left.append(stock_mm - piece.length_mm - saw_mm)
    return [_cut_length(cut, stock_mm, saw_mm) for cut in lengths]


def _cut_length(pieces: Sequence[Piece], stock_mm: float, saw_mm: float) -> CutLength:
    used = sum(piece.length_mm for piece in pieces) + saw_mm * (len(pieces) - 1)
    rest = stock_mm - used
    return CutLength(stock_mm, tuple(pieces), rest - saw_mm if rest > saw_mm else 0.0)


def _solved(
    pieces: Sequence[Piece], stocks: Sequence[Stock], saw_mm: float
) -> tuple[list[tuple[int, CutLength]], bool]:
    """The best list found and whether that is proved; costs count in their common divisor."""
    sizes = sorted({piece.length_mm for piece in pieces}, reverse=True)
    wanted = Counter(piece.length_mm for piece in pieces)
    pence = [int(stock.cost * 100) for stock in stocks]
    unit = gcd(*pence) or 1
    found = cheapest_ways(
        [size + saw_mm for size in sizes],
        [wanted[size] for size in sizes],
        [Bar(s.length_mm + saw_mm, p // unit) for s, p in zip(stocks, pence, strict=True)],
    )
    if found is None:
        return [], False
    waiting = {size: deque(p for p in pieces if p.length_mm == size) for size in sizes}
    lengths = []
    for i, way in found.bars:
        taken = [
            waiting[size].popleft()
            for size, n in zip(sizes, way, strict=True)
            for _ in range(min(n, len(waiting[size])))
        ]
        lengths.append((i, _cut_length(taken, stocks[i].length_mm, saw_mm)))
    return lengths, found.proved


def _bound(pieces_mm: Sequence[float], stock_mm: float, k: float) -> int:
    alone = [mm for mm in pieces_mm if mm > stock_mm - k]
    over_half = [mm for mm in pieces_mm if stock_mm - k >= mm > stock_mm / 2]
    rest = [mm for mm in pieces_mm if stock_mm / 2 >= mm >= k and mm > 0]
    room = len(over_half) * stock_mm - sum(over_half)
    beyond = max(0.0, sum(rest) - room)
    return len(alone) + len(over_half) + int(-(-(beyond - _SLACK_MM) // stock_mm))
