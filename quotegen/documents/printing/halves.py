"""Lists in two columns of about the same height, split before the engine lays them out.

The engine's own columns are balanced by laying out what is in them again and again, which takes
longer than all the rest of a paper. Here the heights are reckoned from the widths of the words.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from markupsafe import Markup

from quotegen.documents.printing.word_widths import words_width

SPACE_BETWEEN = 0.2
"""The space under a paragraph, in lines."""
INDENT_MM = 2.4
"""How much further in each depth stands: see `.deep1` in the style sheets."""
_DEEP = re.compile(r'class="deep(\d)"')
_BOLD = re.compile(r"</?strong>")
MM_PER_PT = 25.4 / 72


def halved(
    entries: Sequence[Any], caller: Callable[[Any], Markup], mm: float, pt: float
) -> tuple[tuple[Markup, ...], ...]:
    """The entries as the template writes them, in two columns that read one after the other.

    A line of the template is a paragraph, in bold where it says `<strong>`, and further in where
    its class is `deep1`, `deep2`... `mm` is the width of a column, `pt` the size of its letters.
    One entry stays one column.
    """
    em_mm = pt * MM_PER_PT
    written = tuple(caller(entry) for entry in entries)
    place = place_to_split(
        [
            sum(height(line, mm / em_mm, INDENT_MM / em_mm) for line in each.splitlines())
            for each in written
        ]
    )
    return tuple(part for part in (written[:place], written[place:]) if part)


def place_to_split(heights: Sequence[float]) -> int:
    """After how many entries to begin the second column, so that the higher one is least high.

    >>> [place_to_split(heights) for heights in ([1, 1, 4], [1, 1, 1], [1], [])]
    [2, 2, 1, 0]
    """
    places = range(len(heights), 0, -1)
    return min(places, key=lambda at: max(sum(heights[:at]), sum(heights[at:])), default=0)


def height(paragraph: str, ems: float, indent_ems: float) -> float:
    """How high a paragraph of HTML is [lines] that is set in lines of this width [em]."""
    deep = _DEEP.search(paragraph)
    ems -= int(deep.group(1)) * indent_ems if deep else 0.0
    lines = lines_of(paragraph, ems)
    return lines + SPACE_BETWEEN if lines else 0.0


def lines_of(paragraph: str, ems: float) -> int:
    """How many lines of this width [em] a paragraph of HTML takes."""
    lines, room = 0, 0.0
    for word, bold in _words(paragraph):
        wide = words_width(word, 1.0, bold=bold)
        if wide > room:
            lines, room = lines + 1, ems
        room -= wide + words_width(" ", 1.0, bold=bold)
    return lines


def _words(paragraph: str) -> Iterator[tuple[str, bool]]:
    """Each word, and whether it is set in bold."""
    for number, part in enumerate(_BOLD.split(paragraph)):
        for word in Markup(part).striptags().split():
            yield word, number % 2 == 1
