"""Between the rows of a table by temperature."""

from collections.abc import Sequence
from itertools import pairwise


def interpolated(at: float, table: Sequence[tuple[float, float]]) -> float:
    """The value of a table at a place: linear between its rows, level outside them.

    The rows are (place, value), in order of place.

    >>> interpolated(12.5, ((10, 3.0), (15, 2.5))), interpolated(40, ((10, 3.0), (15, 2.5)))
    (2.75, 2.5)
    """
    if at <= table[0][0]:
        return table[0][1]
    for (low, at_low), (high, at_high) in pairwise(table):
        if at <= high:
            return at_low + (at_high - at_low) * (at - low) / (high - low)
    return table[-1][1]
