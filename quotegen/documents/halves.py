"""Lists in two columns of about the same height, split before the engine lays them out.

The engine's own columns are balanced by laying out what is in them again and again, which takes
longer than all the rest of a paper. Here the heights are reckoned from the widths of the words.
"""

from collections.abc import Callable, Sequence
from functools import cache
from typing import Any

from markupsafe import Markup
from PIL import ImageFont

from quotegen.documents.pdf import FONT_FOLDER

SPACE_BETWEEN = 0.2
"""The space under a paragraph, in lines."""
_SIZE = 100
_MM_PER_PT = 25.4 / 72


def halved(
    entries: Sequence[Any], caller: Callable[[Any], Markup], mm: float, pt: float
) -> tuple[tuple[Markup, ...], ...]:
    """The entries as the template writes them, in two columns that read one after the other.

    A line of the template is a paragraph. `mm` is the width of a column, `pt` the size of its
    letters. One entry stays one column.
    """
    ems = mm / _MM_PER_PT / pt
    written = tuple(caller(entry) for entry in entries)
    place = place_to_split(
        [sum(height(Markup(line).striptags(), ems) for line in one.splitlines()) for one in written]
    )
    return tuple(part for part in (written[:place], written[place:]) if part)


def place_to_split(heights: Sequence[float]) -> int:
    """After how many entries to begin the second column, so that the higher one is least high.

    >>> [place_to_split(heights) for heights in ([1, 1, 4], [1, 1, 1], [1], [])]
    [2, 2, 1, 0]
    """
    places = range(len(heights), 0, -1)
    return min(places, key=lambda at: max(sum(heights[:at]), sum(heights[at:])), default=0)


def height(words: str, ems: float) -> float:
    """How high a paragraph is [lines] that is set in lines of this width [em]."""
    lines, room = 0, 0.0
    for word in words.split():
        wide = _width(word)
        if wide > room:
            lines, room = lines + 1, ems
        room -= wide + _width(" ")
    return lines + SPACE_BETWEEN


@cache
def _width(word: str) -> float:
    """How wide a word is set [em]."""
    return _font().getlength(word) / _SIZE


@cache
def _font() -> ImageFont.FreeTypeFont:
    """The packaged font, its kerning left out."""
    file = FONT_FOLDER / "SourceSansPro-Regular.ttf"
    return ImageFont.truetype(file, _SIZE, layout_engine=ImageFont.Layout.BASIC)
