"""Cutting trims from stock lengths: best fit, and the lower bound that may prove it best."""

from collections.abc import Sequence

from quotegen.model.takeoff import CutLength, CutList, Piece

_SLACK_MM = 1e-6


def cut_list(item: str, words: str, pieces: Sequence[Piece], stock_mm: float) -> CutList:
    """A cutting list for the pieces, longest first, each into the fullest length that takes it.

    `least` is the bound of Martello and Toth; where the list meets it no shorter list exists.
    """
    lengths: list[list[Piece]] = []
    left: list[float] = []
    for piece in sorted(pieces, key=lambda p: (-p.length_mm, p.edge)):
        fitting = [i for i, mm in enumerate(left) if mm + _SLACK_MM >= piece.length_mm]
        if fitting:
            best = min(fitting, key=lambda i: left[i])
            lengths[best].append(piece)
            left[best] -= piece.length_mm
        else:
            lengths.append([piece])
            left.append(stock_mm - piece.length_mm)
    cuts = tuple(
        CutLength(tuple(cut), max(0.0, rest)) for cut, rest in zip(lengths, left, strict=True)
    )
    least = least_lengths([piece.length_mm for piece in pieces], stock_mm)
    return CutList(item, words, stock_mm, cuts, least)


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
