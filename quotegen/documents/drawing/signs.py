"""Hazard pictograms and safety signs of our own drawing, always printed with their words.

The pictograms follow the globally harmonised system (a symbol on a white diamond with a red frame),
the signs ISO 7010 (a white symbol on a blue disc: must be worn). Shape and symbol distinguish them
in black and white.
"""

from collections.abc import Mapping
from functools import cache

from markupsafe import Markup
from msgspec import Struct

from quotegen.documents.drawing import svg

SIDE = 20.0
PICTOGRAM_MM, SIGN_MM = 9.5, 8.0
_FRAME, _MUST, _BLACK = "#c4161c", "#0b4f8a", "#111111"
_DIAMOND = ((10, 1), (19, 10), (10, 19), (1, 10))


class SymbolView(Struct, frozen=True):
    """A sign with its words."""

    drawing: Markup
    words: str


@cache
def pictogram(code: str) -> Markup:
    """The hazard pictogram of a code such as GHS02; an undrawn code is our own fault."""
    words, symbol = _PICTOGRAMS[code]
    frame = svg.polygon(_DIAMOND, fill=svg.PAPER, stroke=_FRAME, stroke_width=1.2)
    return _picture(f"Hazard pictogram {code}: {words}", frame + symbol, PICTOGRAM_MM)


def pictogram_words(code: str) -> str:
    """The name of a pictogram, printed beside it."""
    return _PICTOGRAMS[code][0]


@cache
def sign(key: str, side_mm: float = SIGN_MM) -> Markup:
    """The round sign for protective equipment: `eyes`, `hands`, `breathing` or `other`."""
    words, symbol = _SIGNS[key]
    return _picture(f"Sign: {words}", svg.circle((10, 10), 9.4, fill=_MUST) + symbol, side_mm)


def sign_words(key: str) -> str:
    """The meaning of a sign for protective equipment, printed beside it."""
    return _SIGNS[key][0]


def _picture(title: str, content: Markup, side_mm: float) -> Markup:
    return svg.element(
        "svg",
        svg.element("title", title) + content,
        xmlns="http://www.w3.org/2000/svg",
        class_="sign",
        role="img",
        width=f"{svg.coordinate(side_mm)}mm",
        height=f"{svg.coordinate(side_mm)}mm",
        viewBox=f"0 0 {svg.coordinate(SIDE)} {svg.coordinate(SIDE)}",
    )


def _black(steps: str) -> Markup:
    return svg.path(steps, fill=_BLACK)


def _white(steps: str) -> Markup:
    return svg.path(steps, fill=svg.PAPER)


def _white_line(steps: str, width: float) -> Markup:
    return svg.path(
        steps,
        fill="none",
        stroke=svg.PAPER,
        stroke_width=width,
        stroke_linecap="round",
        stroke_linejoin="round",
    )


_FLAME = _black(
    "M10.4 4 C11 6.4 13.8 7.6 13.8 10.8 C13.8 13 12.2 14.2 10 14.2 C7.8 14.2 6.2 13 6.2 10.9 "
    "C6.2 9.4 7 8.4 7.7 7.3 C7.9 8.4 8.3 8.9 8.9 9.2 C8.7 7.2 9.3 5.4 10.4 4 Z "
    "M6.2 14.9 H13.8 V15.8 H6.2 Z"
)
_CORROSION = (
    _black("M4.6 6.9 L8.7 5.3 L9.2 6.5 L5.1 8.1 Z M15.4 6.9 L11.3 5.3 L10.8 6.5 L14.9 8.1 Z")
    + svg.circle((8.6, 8.6), 0.55, fill=_BLACK)
    + svg.circle((11.4, 8.6), 0.55, fill=_BLACK)
    + svg.circle((8.6, 10.4), 0.55, fill=_BLACK)
    + svg.circle((11.4, 10.4), 0.55, fill=_BLACK)
    + _black("M4.6 12.4 H7.6 L8.2 13.4 L9 12.4 H9.4 V14.2 H6.2 Z")
    + _black("M10.6 13.6 C11.6 12.2 12.4 12.6 13 11.8 L15.4 12.4 L13.6 14.2 H10.6 Z")
)
_EXCLAMATION = _black("M8.9 4.8 H11.1 L10.7 11.8 H9.3 Z") + svg.circle(
    (10, 13.8), 1.15, fill=_BLACK
)
_HEALTH = (
    svg.circle((10, 5.7), 1.75, fill=_BLACK)
    + _black("M5.6 15 C5.6 10.4 7.2 8.1 10 8.1 C12.8 8.1 14.4 10.4 14.4 15 Z")
    + _white(
        "M10 8.9 L10.5 10.6 L12.2 9.9 L11.4 11.5 L13.1 12 L11.4 12.5 L12.2 14.1 L10.5 13.4 "
        "L10 15 L9.5 13.4 L7.8 14.1 L8.6 12.5 L6.9 12 L8.6 11.5 L7.8 9.9 L9.5 10.6 Z"
    )
)
_ENVIRONMENT = _black(
    "M5 14.6 H15 V15.3 H5 Z M7.2 14.6 V9.6 L5.8 8 L6.4 7.5 L7.6 8.8 V6.2 H8.3 V8.6 L9.4 7.2 "
    "L10 7.7 L8.2 9.9 V14.6 Z M10 13.4 C11 11.8 13.4 11.6 14.6 12.9 L15.6 12.2 V14.2 L14.6 13.6 "
    "C13.4 14.8 11 14.8 10 13.4 Z"
)

_PICTOGRAMS: Mapping[str, tuple[str, Markup]] = {
    "GHS02": ("flammable", _FLAME),
    "GHS05": ("burns skin and eyes", _CORROSION),
    "GHS07": ("harmful, irritating", _EXCLAMATION),
    "GHS08": ("health hazard", _HEALTH),
    "GHS09": ("harms the environment", _ENVIRONMENT),
}

_GOGGLES = _white(
    "M3.4 8 H16.6 V9.4 C16.6 12 15.4 13 13.5 13 C11.8 13 11 12.2 10.6 11 C10.4 10.5 9.6 10.5 "
    "9.4 11 C9 12.2 8.2 13 6.5 13 C4.6 13 3.4 12 3.4 9.4 Z"
)
_HAND = _white_line("M7 9.4 V6 M9 8.8 V4.6 M11 8.8 V4.8 M13 9.4 V6 M5.2 12 L4.6 9.6", 1.5) + _white(
    "M6.2 8.8 H13.8 V12.4 C13.8 14.4 13 15.2 12.4 15.6 V16.6 H7.8 V15.4 C6.2 14.4 5 12.8 4.6 11.2 "
    "L6.2 11.6 Z"
)
_MASK = (
    _white("M6.4 6.4 H13.6 L14.6 10.4 C14.6 13 12.6 14.6 10 14.6 C7.4 14.6 5.4 13 5.4 10.4 Z")
    + svg.circle((6.4, 12.4), 2.0, fill=svg.PAPER, stroke=_MUST, stroke_width=0.7)
    + svg.circle((13.6, 12.4), 2.0, fill=svg.PAPER, stroke=_MUST, stroke_width=0.7)
    + svg.path("M8.4 9.4 H11.6", fill="none", stroke=_MUST, stroke_width=0.8)
)
_CLOTHES = _white(
    "M7.6 4 L10 5.4 L12.4 4 L15.4 6.6 L14 8.6 L12.8 7.8 V16.2 H10.6 V11.4 H9.4 V16.2 H7.2 V7.8 "
    "L6 8.6 L4.6 6.6 Z"
)

_SIGNS: Mapping[str, tuple[str, Markup]] = {
    "eyes": ("wear eye protection", _GOGGLES),
    "hands": ("wear gloves", _HAND),
    "breathing": ("wear breathing protection", _MASK),
    "other": ("wear protective clothing", _CLOTHES),
}
