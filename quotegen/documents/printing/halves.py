"""Two-column lists of about equal height, split before the engine lays them out.

The engine balances its own columns by laying out their contents again and again, which takes longer
than the rest of a paper. Here heights are estimated from the widths of the words.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from markupsafe import Markup

from quotegen.documents.printing.word_widths import words_width

SPACE_BETWEEN = 0.2
"""The space under a paragraph, in lines."""
INDENT_MM = 2.4
"""The indent of each depth: see `.deep1` in the style sheets."""
_DEEP = re.compile(r'class="deep(\d)"')
_BOLD = re.compile(r"</?strong>")
MM_PER_PT = 25.4 / 72


def halved(
    entries: Sequence[Any], caller: Callable[[Any], Markup], mm: float, pt: float
) -> tuple[tuple[Markup, ...], ...]:
    """The entries as the template writes them, in two columns read one after the other.

    Each line of the template is a paragraph, bold where it has `<strong>` and indented where its
    class is `deep1`, `deep2`... `mm` is the column width, `pt` the type size. A single entry stays
    in one column.
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
    """The number of entries in the first column that makes the taller column shortest.

    >>> [place_to_split(heights) for heights in ([1, 1, 4], [1, 1, 1], [1], [])]
    [2, 2, 1, 0]
    """
    places = range(len(heights), 0, -1)
    return min(places, key=lambda at: max(sum(heights[:at]), sum(heights[at:])), default=0)


def height(paragraph: str, ems: float, indent_ems: float) -> float:
    """The height of a paragraph of HTML [lines], set to a line width [em]."""
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
    """Each word, and whether it is bold."""
    for number, part in enumerate(_BOLD.split(paragraph)):
        for word in Markup(part).striptags().split():
            yield word, number % 2 == 1
