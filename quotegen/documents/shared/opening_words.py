"""Rooflights, pipes and outlets in words: what, where, and what to mark by hand."""

from collections.abc import Iterator

from quotegen import wording
from quotegen.model.choices import OpeningKind
from quotegen.model.enquiry import Enquiry, Opening
from quotegen.phrases import capital
from quotegen.reference.rule_keys import OpeningSentence
from quotegen.safety.rules.text import told
from quotegen.takeoff.shape.openings import PlacedOpening, unplaced_openings

_NAMES = {
    OpeningKind.ROOFLIGHT: ("rooflight", "rooflights"),
    OpeningKind.PIPE: ("pipe", "pipes"),
    OpeningKind.OUTLET: ("outlet", "outlets"),
}
_LEFT_OPEN = {
    OpeningKind.ROOFLIGHT: OpeningSentence.BOARD_ROOFLIGHT,
    OpeningKind.PIPE: OpeningSentence.BOARD_ROUND,
    OpeningKind.OUTLET: OpeningSentence.BOARD_ROUND,
}


def opening_words(opening: Opening) -> str:
    """The number and size of an opening."""
    one, other = _NAMES[opening.kind]
    words = wording.count(opening.count.number, one, other)
    if opening.kind is OpeningKind.PIPE and opening.width_mm:
        words += f" {wording.mm(opening.width_mm.number)} across"
    elif opening.length_mm and opening.width_mm:
        length, width = opening.length_mm.number, opening.width_mm.number
        words += f" {wording.bare_mm(length)} × {wording.mm(width)}"
    return words


def place_words(placed: PlacedOpening, behind: str) -> str:
    """What an opening is and where its middle lies; `behind` is what lies behind the roof."""
    along, out = placed.spot.along_mm.number, placed.spot.out_mm.number
    return (
        f"{opening_words(placed.opening)}, middle {wording.bare_mm(along)} from the left, "
        f"{wording.mm(out)} from the {behind}"
    )


def boarding_words(placed: PlacedOpening, behind: str) -> str:
    """Where an opening lies and what is done with the boards there, as a sentence."""
    return told(_LEFT_OPEN[placed.kind], place=capital(place_words(placed, behind)))


def by_hand(enquiry: Enquiry) -> Iterator[str]:
    """What has to be marked by hand on the plan of the boards, as sentences."""
    for opening in unplaced_openings(enquiry):
        one = opening.count.number == 1
        mark = OpeningSentence.MARK_ONE if one else OpeningSentence.MARK_EACH
        yield told(mark, what=opening_words(opening))
    if not enquiry.openings and enquiry.site.through_roof is None:
        yield told(OpeningSentence.NOT_SAID)


def short_names(placed: PlacedOpening) -> tuple[tuple[str, ...], ...]:
    """The words to try beside an opening on a plan, in lines, the fullest first."""
    name, wide = str(placed.kind), wording.bare_mm(placed.wide_mm)
    if placed.kind is OpeningKind.ROOFLIGHT:
        return (name, f"{wide} × {wording.bare_mm(placed.deep_mm)}"), (name,)
    if placed.kind is OpeningKind.PIPE:
        return ((f"{name} {wide}",), (name,))
    return ((name,),)


def boarding_names(placed: PlacedOpening) -> tuple[tuple[str, ...], ...]:
    """The words to try beside an opening on the plan of the boards, in lines, the fullest first."""
    if placed.kind is not OpeningKind.ROOFLIGHT:
        return short_names(placed)
    name, words = str(placed.kind), told(OpeningSentence.KEEP_OPEN).split()
    middle = len(words) // 2
    first, rest = " ".join(words[:middle]), " ".join(words[middle:])
    return (f"{name}:", first, rest), (f"{name}: {first} {rest}",), (name,)
