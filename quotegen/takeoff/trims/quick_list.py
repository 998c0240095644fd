"""A cutting list made quickly, and the number of lengths below which none can go.

Each run is split into the fewest pieces; the longest piece is cut first, each from the fullest
length that still takes it.
"""

from collections.abc import Sequence

from msgspec import Struct

from quotegen.units import whole_number

_SLACK_MM = 1e-6


class RunPiece(Struct, frozen=True):
    """A piece of a run, which is named by its place among the runs, and how long it is [mm]."""

    run: int
    length_mm: float


class Length(Struct, frozen=True):
    """A stock length, by the place of its stock in the offer, and what comes out of it."""

    stock: int
    pieces: tuple[RunPiece, ...]


def best_fit(
    pieces: Sequence[RunPiece], stock: int, stock_mm: float, saw_mm: float
) -> list[Length]:
    """Longest piece first, each into the fullest length that takes it."""
    lengths: list[list[RunPiece]] = []
    left: list[float] = []
    for piece in sorted(pieces, key=lambda p: (-p.length_mm, p.run)):
        fitting = [i for i, mm in enumerate(left) if mm + _SLACK_MM >= piece.length_mm]
        if fitting:
            best = min(fitting, key=lambda i: left[i])
            lengths[best].append(piece)
            left[best] -= piece.length_mm + saw_mm
        else:
            lengths.append([piece])
            left.append(stock_mm - piece.length_mm - saw_mm)
    return [Length(stock, tuple(cut)) for cut in lengths]


def fewest_pieces(length_mm: float, stock_mm: float, lap_mm: float) -> int:
    """How many pieces a run takes at least: ceil((run - lap) / (stock - lap)).

    Inputs [mm]. Laps: common practice, no source.

    >>> fewest_pieces(3000, 3000, 50), fewest_pieces(5950, 3000, 50), fewest_pieces(6000, 3000, 50)
    (1, 2, 3)
    """
    if length_mm <= stock_mm + _SLACK_MM:
        return 1
    return whole_number((length_mm - lap_mm - _SLACK_MM) / (stock_mm - lap_mm))


def even_pieces(length_mm: float, pieces: int, lap_mm: float) -> list[float]:
    """The even pieces that make a run: each (run + (n - 1) x lap) / n.

    Inputs and result [mm].

    >>> even_pieces(6000, 4, 40)
    [1530.0, 1530.0, 1530.0, 1530.0]
    """
    return [(length_mm + (pieces - 1) * lap_mm) / pieces] * pieces


def full_pieces(length_mm: float, stock_mm: float, lap_mm: float, least_mm: float) -> list[float]:
    """The pieces that make a run of whole lengths, each lapped on the last, and the rest.

    The last is run + (n - 1) x (lap - stock), and where that is shorter than the least the piece
    before gives up the difference. Inputs and result [mm]. Laps: common practice, no source.

    >>> full_pieces(6000, 3000, 50, 0), full_pieces(2950, 3000, 50, 300)
    ([3000, 3000, 100], [2950])
    >>> full_pieces(6000, 3000, 50, 300)
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


def _bound(pieces_mm: Sequence[float], stock_mm: float, k: float) -> int:
    alone = [mm for mm in pieces_mm if mm > stock_mm - k]
    over_half = [mm for mm in pieces_mm if stock_mm - k >= mm > stock_mm / 2]
    rest = [mm for mm in pieces_mm if stock_mm / 2 >= mm >= k and mm > 0]
    room = len(over_half) * stock_mm - sum(over_half)
    beyond = max(0.0, sum(rest) - room)
    return len(alone) + len(over_half) + int(-(-(beyond - _SLACK_MM) // stock_mm))
