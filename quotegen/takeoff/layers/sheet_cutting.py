"""Deck pieces cut from whole sheets: strips ripped along the sheet, then cross-cut.

Pieces are taken in two orders, widest first and longest first, each into the strip that it fits
best; the order that takes fewer sheets is cut.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from quotegen.model.roof import BoardKind
from quotegen.takeoff.layers.joists import SLACK_MM

PieceSize = tuple[float, float]
"""Width along the joists and length across them [mm]."""
CutPlace = tuple[int, float, float]
"""The sheet, and where the piece lies on it along and across [mm]."""


@dataclass(slots=True)
class _Shelf:
    """A strip ripped from a sheet, filled along its length."""

    sheet: int
    y_mm: float
    width_mm: float
    used_mm: float


def cut_places(sizes: Sequence[PieceSize], kind: BoardKind, saw_mm: float) -> tuple[CutPlace, ...]:
    """Where each piece is cut, in the order of the sizes: from the fewest sheets found."""
    widest = sorted(range(len(sizes)), key=lambda i: (-sizes[i][0], -sizes[i][1], i))
    longest = sorted(range(len(sizes)), key=lambda i: (-sizes[i][1], -sizes[i][0], i))
    found = [_fitted(sizes, order, kind, saw_mm) for order in (widest, longest)]
    return min(found, key=lambda places: max(sheet for sheet, _, _ in places))


def _fitted(
    sizes: Sequence[PieceSize], order: Sequence[int], kind: BoardKind, saw_mm: float
) -> tuple[CutPlace, ...]:
    """Each piece in the strip it fits best, a tongued board giving one strip."""
    shelves: list[_Shelf] = []
    ripped: list[float] = []
    places: dict[int, CutPlace] = {}
    for i in order:
        short_mm, long_mm = sizes[i]
        wide_mm = kind.width_mm if kind.tongued else short_mm
        fitting = [
            shelf
            for shelf in shelves
            if shelf.width_mm + SLACK_MM >= wide_mm
            and kind.length_mm - shelf.used_mm + SLACK_MM >= long_mm
        ]
        if fitting:
            shelf = min(fitting, key=lambda s: (s.width_mm, kind.length_mm - s.used_mm))
        else:
            shelf = _new_shelf(wide_mm, kind, saw_mm, ripped)
            shelves.append(shelf)
        places[i] = (shelf.sheet, shelf.used_mm, shelf.y_mm)
        shelf.used_mm += long_mm + saw_mm
    return tuple(places[i] for i in range(len(sizes)))


def _new_shelf(width_mm: float, kind: BoardKind, saw_mm: float, ripped: list[float]) -> _Shelf:
    """A strip from a sheet already ripped, where there is room, or from a new sheet."""
    room = [i for i, used in enumerate(ripped) if kind.width_mm - used + SLACK_MM >= width_mm]
    if room:
        sheet = min(room, key=lambda i: kind.width_mm - ripped[i])
    else:
        sheet = len(ripped)
        ripped.append(0.0)
    shelf = _Shelf(sheet, ripped[sheet], width_mm, 0.0)
    ripped[sheet] += width_mm + saw_mm
    return shelf
