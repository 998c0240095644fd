"""Rooflights, pipes and outlets in words: what, where, and what to mark by hand."""

from collections.abc import Iterator

from quotegen import wording
from quotegen.model.choices import OpeningKind
from quotegen.model.enquiry import Enquiry, Opening
from quotegen.phrases import capital
from quotegen.takeoff.shape.openings import PlacedOpening, unplaced_openings

_NAMES = {
    OpeningKind.ROOFLIGHT: ("rooflight", "rooflights"),
    OpeningKind.PIPE: ("pipe", "pipes"),
    OpeningKind.OUTLET: ("outlet", "outlets"),
}
_LEFT_OPEN = {
    OpeningKind.ROOFLIGHT: "cut the hole in place to the plan, do not board over it",
    OpeningKind.PIPE: "cut the boards round it",
    OpeningKind.OUTLET: "cut the boards round it",
}
NOT_SAID = (
    "Whether anything comes through this roof was not said: look from below and mark it here "
    "before boarding."
)


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
    return f"{capital(place_words(placed, behind))}: {_LEFT_OPEN[placed.kind]}."


def by_hand(enquiry: Enquiry) -> Iterator[str]:
    """What has to be marked by hand on the plan of the boards, as sentences."""
    for opening in unplaced_openings(enquiry):
        words = opening_words(opening)
        one = opening.count.number == 1
        missing = "its place was not given: mark it" if one else "not placed: mark each"
        yield f"{words}: {missing} here before boarding."
    if not enquiry.openings and enquiry.site.through_roof is None:
        yield NOT_SAID


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
    name = str(placed.kind)
    return (f"{name}:", "do not", "board over"), (f"{name}: do not board over",), (name,)
