"""The pieces of the cutting list: numbered, grouped by cut, with their ends."""

from collections.abc import Iterator, Mapping, Sequence
from enum import Enum

from msgspec import Struct

from quotegen import wording
from quotegen.documents.drawing.plan_layout import edge_letters
from quotegen.model.choices import Along, EdgeKind
from quotegen.model.roof import Corner, CornerKind, Outline
from quotegen.model.takeoff import CutLength, CutList
from quotegen.takeoff.shape.geometry import mitre_deg
from quotegen.takeoff.trims.corners import BATTENED, CornerWork, corner_work

FLASHING = "trim_flashing"
_RIGHT_ANGLE = 90.0


class EndKind(Enum):
    """How the end of a piece is cut."""

    SQUARE = "square"
    MITRE = "mitre"
    MADE_UP = "made up on site, bandaged"
    CUT = "cut to the line"
    CORNER_PIECE = "corner piece"
    LAPPED = "laps the next piece"
    KERB_CORNER = "corner of the kerb"


class End(Struct, frozen=True):
    """One end of a piece: its kind, and in words with the edge it meets."""

    kind: EndKind
    words: str


SQUARE, LAPPED, KERB_CORNER = (
    End(kind, kind.value) for kind in (EndKind.SQUARE, EndKind.LAPPED, EndKind.KERB_CORNER)
)
"""Ends that meet no other edge."""


class NumberedPiece(Struct, frozen=True):
    """A numbered piece of trim with its two ends.

    `letter` is that of its edge on the plan, empty if it is on no edge of the roof.
    """

    number: int
    length_mm: float
    edge: str
    letter: str
    ends: tuple[End, End]


class WayOfCutting(Struct, frozen=True):
    """Lengths cut alike: for each place on a length, the pieces that come from it."""

    stock_mm: float
    places: tuple[tuple[NumberedPiece, ...], ...]
    left_mm: float
    keeps: bool

    @property
    def count(self) -> int:
        """The number of lengths cut this way."""
        return len(self.places[0])


def ways_of_cutting(cut: CutList, outline: Outline, first: int) -> tuple[WayOfCutting, ...]:
    """The lengths of a cutting list grouped by cut, with pieces numbered from `first`."""
    alike: dict[tuple[int, ...], list[CutLength]] = {}
    for length in cut.lengths:
        sizes = (length.stock_mm, *(piece.length_mm for piece in length.pieces))
        alike.setdefault(tuple(round(mm) for mm in sizes), []).append(length)
    ordered = [length for lengths in alike.values() for length in lengths]
    pieces = iter(_numbered(cut.item, ordered, outline, first))
    found = []
    for lengths in alike.values():
        cut_up = [[next(pieces) for _ in length.pieces] for length in lengths]
        one = lengths[0]
        places = tuple(zip(*cut_up, strict=True))
        found.append(WayOfCutting(one.stock_mm, places, one.left_mm, one.left_mm in cut.kept))
    return tuple(found)


def _numbered(
    item: str, lengths: Sequence[CutLength], outline: Outline, first: int
) -> Iterator[NumberedPiece]:
    """The pieces in cutting order.

    Where an edge needs several, the longest goes at its beginning and the shortest at its end.
    """
    pieces = [piece for length in lengths for piece in length.pieces]
    letters = dict(zip((edge.name for edge in outline.edges), edge_letters(outline), strict=True))
    for place, piece in enumerate(pieces):
        letter = letters.get(piece.edge, "") if piece.along is Along.EDGE else ""
        ends = (SQUARE, SQUARE)
        if letter:
            along = [n for n, other in enumerate(pieces) if other.edge == piece.edge]
            along.sort(key=lambda n: (-pieces[n].length_mm, n))
            start, end = _corners_of(piece.edge, outline)
            ends = (
                _end(item, start, piece.edge, outline, letters) if place == along[0] else LAPPED,
                _end(item, end, piece.edge, outline, letters) if place == along[-1] else LAPPED,
            )
        elif piece.along is Along.KERB:
            ends = (KERB_CORNER, KERB_CORNER)
        yield NumberedPiece(first + place, piece.length_mm, piece.edge, letter, ends)


def _corners_of(edge: str, outline: Outline) -> tuple[Corner, Corner]:
    """The corners at the start and the end of an edge."""
    start = next(corner for corner in outline.corners if corner.after == edge)
    end = next(corner for corner in outline.corners if corner.before == edge)
    return start, end


def _end(
    item: str,
    corner: Corner,
    edge: str,
    outline: Outline,
    letters: Mapping[str, str],
) -> End:
    """The end of a trim at a corner, named by the edge that it meets."""
    meets = letters[corner.after if corner.before == edge else corner.before]
    kinds: Mapping[str, EdgeKind] = {one.name: one.kind for one in outline.edges}
    before, after = kinds[corner.before], kinds[corner.after]
    if item != FLASHING:
        work = corner_work(corner, before, after)
        if work is CornerWork.PIECE:
            return _at(meets, EndKind.CORNER_PIECE)
        if work is CornerWork.MADE_UP:
            return _at(meets, EndKind.MADE_UP)
        if work is CornerWork.MITRE:
            return _at(meets, EndKind.MITRE, _off_square(mitre_deg(corner.interior_deg)))
        off_deg = abs(corner.interior_deg - _RIGHT_ANGLE)
        if corner.kind is not CornerKind.EXTERNAL and kinds[edge] in BATTENED:
            return _at(meets, EndKind.CUT, _off_square(off_deg))
    return _at(meets, EndKind.SQUARE)


def _off_square(turned_deg: float) -> str:
    return f", {wording.plain(round(turned_deg, 1))}° off the square"


def _at(meets: str, kind: EndKind, how: str = "") -> End:
    return End(kind, f"at {meets}: {kind.value}{how}")
