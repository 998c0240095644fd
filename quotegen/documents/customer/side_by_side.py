"""Options side by side: their lists merged into the rows of one table."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import TypeVar

from msgspec import Struct

from quotegen import wording
from quotegen.documents.shared.remark_words import SaidLine
from quotegen.model.quote import QuotedOption
from quotegen.phrases import without_stop
from quotegen.reference.remark_keys import Undone
from quotegen.reference.remarks import Remark, RemarkKey, written
from quotegen.reference.rule_keys import Told

_T = TypeVar("_T")

NOTHING, TICK = "–", "✓"
FIGURES: Mapping[RemarkKey, tuple[str, str]] = {
    Undone.UPSTAND: ("Upstand left at the wall, where {least:mm} is advised", "{left:mm}"),
    Told.HEAVIER: (
        "Heavier, of what we take off and put on, covering and deck alone; the structure is "
        "checked before we start. Load on the joists in kN/m², without snow and people",
        "{change:whole}%, {load:hundredth}",
    ),
}
"""What several options are told by figures side by side: the words of the row, and of a cell."""


class LineRow(Struct, frozen=True):
    """One line of a table with its cell for each option."""

    words: str
    cells: tuple[str, ...]


class Widths(Struct, frozen=True):
    """Widths by how many options there are: of the words of a row, and of one option's cell."""

    label: str
    cell: str


WIDTHS = {
    1: Widths("72%", "28%"),
    2: Widths("56%", "22%"),
    3: Widths("55%", "15%"),
    4: Widths("52%", "12%"),
}
MARK_WIDTHS = {2: Widths("72%", "14%"), 3: WIDTHS[3], 4: WIDTHS[4]}
"""The same where a cell holds a mark or a short figure; up to two options stand beside the rest."""


def merged(lists: Iterable[Sequence[_T]]) -> tuple[_T, ...]:
    """One list of all entries that keeps the order of each list where they agree.

    >>> merged([("strip", "edges"), ("strip", "deck", "edges")])
    ('strip', 'deck', 'edges')
    >>> merged([("strip", "cap", "edges"), ("strip", "deck", "edges")])
    ('strip', 'cap', 'deck', 'edges')
    >>> merged([("over", "edge"), ("up", "deck", "edge"), ("up", "deck", "warm", "over", "edge")])
    ('up', 'deck', 'warm', 'over', 'edge')
    """
    left = [list(dict.fromkeys(entries)) for entries in lists]
    found: list[_T] = []
    while any(left):
        heads = [entries[0] for entries in left if entries]
        later = {one for entries in left for one in entries[1:]}
        found.append(next((head for head in heads if head not in later), heads[0]))
        left = [[one for one in entries if one != found[-1]] for entries in left]
    return tuple(found)


def told_apart(words: Iterable[_T]) -> tuple[tuple[_T, int], ...]:
    """Entries, each with its count of earlier occurrences, so that equal ones stay distinct.

    >>> told_apart(["fascia", "fascia"])
    (('fascia', 0), ('fascia', 1))
    """
    seen: Counter[_T] = Counter()
    found = []
    for word in words:
        found.append((word, seen[word]))
        seen[word] += 1
    return tuple(found)


def figure_rows(lists: Sequence[Sequence[Remark]]) -> tuple[LineRow, ...]:
    """A row for each of `FIGURES` that any option has, with the figure of each option.

    >>> figure_rows([(), ()])
    ()
    """
    found = []
    for key, (words, figures) in FIGURES.items():
        columns = [next((one for one in said if one.key is key), None) for said in lists]
        some = next((one for one in columns if one), None)
        if some:
            label = written(some, {key: words})
            cells = tuple(written(one, {key: figures}) if one else NOTHING for one in columns)
            found.append(LineRow(label, cells))
    return tuple(found)


def shared_rows(rows: Sequence[LineRow]) -> tuple[tuple[LineRow, ...], tuple[LineRow, ...]]:
    """The rows that every option has alike, and those in which the options differ.

    >>> shared_rows([LineRow("tower", (TICK, TICK)), LineRow("new deck", (NOTHING, TICK))])[1]
    (LineRow(words='new deck', cells=('–', '✓')),)
    """
    alike = [row for row in rows if NOTHING not in row.cells]
    return tuple(alike), tuple(row for row in rows if row not in alike)


def price_rows(options: Sequence[QuotedOption]) -> tuple[LineRow, ...]:
    """The lines of all options with each one's amount, matched by key, not by words."""
    words = {line.key: line.words for option in options for line in option.lines}
    columns = [
        {line.key: wording.money(line.amount.money) for line in option.lines} for option in options
    ]
    return tuple(
        LineRow(without_stop(words[key]), tuple(column.get(key, NOTHING) for column in columns))
        for key in merged(tuple(column) for column in columns)
    )


def same_days_note(options: Sequence[QuotedOption]) -> str:
    """Why lines of the same work differ: the days paid are shared over the lines of an option.

    Empty unless every option pays as many days of as many people.
    """
    programmes = [option.take_off.programme for option in options]
    visits = {(one.paid_days.number, one.crew.number) for one in programmes}
    if len(options) < 2 or len(visits) > 1:
        return ""
    return "Our days on site cost the same whichever you choose, shared over the lines."


def marked_rows(lists: Sequence[Sequence[SaidLine]], mark: str) -> tuple[LineRow, ...]:
    """A row of marks for each entry, showing which options have it; rows of one key stay together.

    If an option has something twice, such as the same work in two places, it gets two rows.

    >>> left, less, heavy = (
    ...     SaidLine(Undone.UPSTAND, "9 mm left"),
    ...     SaidLine(Undone.UPSTAND, "7 mm left"),
    ...     SaidLine(Told.HEAVIER, "heavy"),
    ... )
    >>> [row.words for row in marked_rows([(left, heavy), (less,)], "x")]
    ['9 mm left', '7 mm left', 'heavy']
    >>> short, long = SaidLine(Undone.UPSTAND, "trims"), SaidLine(Undone.UPSTAND, "more trims")
    >>> timber = SaidLine(Undone.FALL_STAYS, "timber")
    >>> [row.words for row in marked_rows([(short,), (timber, long)], "x")]
    ['timber', 'trims', 'more trims']
    """
    columns = [told_apart(entries) for entries in lists]
    rows = merged(columns)
    keys = merged([line.key for line in entries] for entries in lists)
    return tuple(
        LineRow(row[0].words, tuple(mark if row in entries else NOTHING for entries in columns))
        for row in sorted(rows, key=lambda row: keys.index(row[0].key))
    )
