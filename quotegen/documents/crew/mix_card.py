"""The mix card as a PDF: for whoever measures the catalyst, to hang up beside the buckets.

The mix card as whoever mixes reads it: what to wear, the millilitres, a box for every mix.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from typing import Any

from markupsafe import Markup
from msgspec import Struct

from quotegen import wording
from quotegen.documents.drawing.signs import sign, sign_words
from quotegen.documents.printing.design import Design
from quotegen.documents.printing.halves import MM_PER_PT, lines_of
from quotegen.documents.printing.paper import PictureBox, one_line
from quotegen.documents.printing.word_widths import words_width
from quotegen.documents.shared.mix_view import (
    asks_for_test,
    band_words,
    bands_by_table,
    dose_range,
    doses_by_size,
    limit_words,
    mix_mark,
    mix_tables,
    mixes_in_order,
    never_with_catalyst,
    no_mix,
    planned_mixes,
    small_mix_first,
)
from quotegen.documents.shared.risk_view import Pair
from quotegen.model.issue import Issue
from quotegen.model.safety import MethodStatement
from quotegen.model.settings import Settings
from quotegen.model.takeoff import Dose, Mixes, MixSize
from quotegen.phrases import capital, listed, small
from quotegen.reference.rule_keys import ON_MIX_CARD, MixSentence, SubstanceKey, TaskKey
from quotegen.safety.rules.text import told

_SIGN_MM = 11.0
_WORN = ("eyes", "hands", "breathing")
USES = {"resin": "for the laminate", "topcoat": "over the cured laminate"}
BESIDE_SIZES = 3
"""Materials stand on one page where no band has more sizes: their tables are beside each other."""
_ROOMY_LINES, _AIRY_LINES = 5, 3
"""Up to so many lines of boxes there is room for larger tables, and for larger words."""
LINE_MM, LEAD_PT, RUN_PT, MARK_PT, UNTICKED_PT = 188.0, 10.5, 11.5, 15.0, 9.4
"""A line of boxes, and the sizes of its lead, of what a run is for, in a box, and without boxes."""
BOX_MM, BESIDE_BOX_MM, BESIDE_RUN_MM = 9.8, 3.4, 3.0
"""What is inside a box at least, what its frame and the space about it take, and that of a run."""
UNTICKED_HIGH = 1 / 3
"""The height of a line of words by that of a line of boxes: see the style sheet."""


class Worn(Struct, frozen=True):
    """A sign for something to be worn, and its meaning."""

    drawing: Markup
    meaning: str


class SizeHead(Struct, frozen=True):
    """The head of a column: how much one mix is, and which mixes are of this size."""

    litres: str
    marks: tuple[str, ...]


class DoseRow(Struct, frozen=True):
    """One deck temperature: catalyst for each size [ml], and how soon a mix goes off.

    A cell is empty where nothing may be mixed.
    """

    deck: str
    note: str
    cells: tuple[str, ...]
    minutes: str


class MixRun(Struct, frozen=True):
    """Mixes one after the other of one size for the same strip, from the first to the last."""

    what: str
    litres: str
    marks: tuple[str, ...]

    @property
    def ends(self) -> tuple[str, ...]:
        """The first and the last of them, or the only one."""
        return tuple(dict.fromkeys((self.marks[0], self.marks[-1])))


class BandView(Struct, frozen=True):
    """The mixes of one material in one band of deck temperature.

    `title` and `limit` are of the band, `title` empty where one band is all. `below` and `above`
    are the temperatures out of bounds at its ends, empty where it has none. Its mixes have boxes
    to tick where it is `likely`; the other band is for a deck that turns out otherwise.
    """

    title: str
    limit: str
    likely: bool
    sizes: tuple[SizeHead, ...]
    below: str
    rows: tuple[DoseRow, ...]
    above: str
    runs: tuple[MixRun, ...]

    @property
    def unticked(self) -> str:
        """Its mixes in words, where they have no boxes."""
        return ", ".join(f"{run.what.lower()} {' to '.join(run.ends)}" for run in self.runs)

    @property
    def span(self) -> int:
        """The columns of the table beside that of the deck."""
        return len(self.sizes) + 1


class MaterialView(Struct, frozen=True):
    """One material; `key` is its code, by which the template tells the two frames apart."""

    key: str
    name: str
    use: str
    letter: str
    expected: tuple[str, ...]
    bands: tuple[BandView, ...]


class CardPage(Struct, frozen=True):
    """One page of the card; a `roomy` one has larger tables, an `airy` one larger words."""

    materials: tuple[MaterialView, ...]

    @property
    def lines(self) -> float:
        """How many lines of boxes there are, what only words take counted by its share."""
        return sum(_lines(one.name, band) for one in self.materials for band in one.bands)

    @property
    def narrow(self) -> bool:
        """Whether every table goes on half the width of the page."""
        bands = [band for one in self.materials for band in one.bands]
        return max(len(band.sizes) for band in bands) <= BESIDE_SIZES

    @property
    def beside(self) -> bool:
        """Whether the bands of one material stand beside each other."""
        return self.narrow and len(self.materials) == 1 and len(self.materials[0].bands) > 1

    @property
    def roomy(self) -> bool:
        """Whether no table stands below another, with few boxes under them."""
        stacked = any(len(one.bands) > 1 for one in self.materials) and not self.beside
        return not stacked and self.lines <= _ROOMY_LINES

    @property
    def airy(self) -> bool:
        """Whether there is room to set larger what stands under the tables."""
        return self.roomy or self.lines <= _AIRY_LINES


class MixCardView(Struct, frozen=True):
    """Everything the template of the mix card shows; each page stands by itself.

    `pages` are as few as the tables allow, `apart` one for each material, where those run on.
    """

    reference: str
    revision: str
    dated: str
    site_address: str
    build_up: str
    expected: tuple[str, ...]
    worn: tuple[Worn, ...]
    wear: str
    never: str
    rules: tuple[str, ...]
    emergencies: tuple[Pair, ...]
    no_mix: str
    give: str
    pages: tuple[CardPage, ...]
    apart: tuple[CardPage, ...]


def mix_card_view(statement: MethodStatement, issue: Issue) -> MixCardView:
    """The mix card in ready words, its emergencies those of the method statement."""
    materials = tuple(_materials(statement))
    together, apart = CardPage(materials), tuple(CardPage((one,)) for one in materials)
    resin = next(one for one in statement.substances if one.key == SubstanceKey.RESIN)
    return MixCardView(
        reference=issue.reference,
        revision=str(issue.revision),
        dated=wording.date(statement.dated),
        site_address=one_line(statement.enquiry.site_address),
        build_up=str(statement.build_up),
        expected=tuple(_expected(materials)),
        worn=tuple(Worn(sign(key, _SIGN_MM), capital(sign_words(key))) for key in _WORN),
        wear=_wear(statement),
        never=never_with_catalyst(),
        rules=(
            f"{told(MixSentence.MEASURE)} {told(MixSentence.WARMER)}",
            small_mix_first(statement.settings),
            dose_range(statement.settings),
            told(MixSentence.DATA_SHEET_FIRST),
            resin.mixing,
        ),
        emergencies=tuple(
            Pair(note.title, note.text) for note in statement.emergency if note.key in ON_MIX_CARD
        ),
        no_mix=no_mix(),
        give=wording.percent(statement.settings.number("pot_life_give_pct")),
        pages=(together,) if together.narrow else apart,
        apart=apart,
    )


def _expected(materials: Sequence[MaterialView]) -> Iterator[str]:
    """What to go by on the deck expected, said once for the materials it is the same for."""
    said: dict[str, list[str]] = {}
    for one in materials:
        for words in one.expected:
            said.setdefault(words, []).append(one.key)
    for words, keys in said.items():
        yield f"{capital(listed(keys))}: {small(words)}"


def _lines(name: str, band: BandView) -> float:
    """How many lines of boxes a band of a material takes, or its words where it has no boxes."""
    if not band.likely:
        words = Markup("<strong>If the deck is {}, {}:</strong> {}. Tick on the back.")
        said = words.format(band.title, name.lower(), band.unticked)
        return lines_of(said, LINE_MM / UNTICKED_PT / MM_PER_PT) * UNTICKED_HIGH
    lead = f"{name}, deck {band.title} " if band.title else f"{name} "
    lines, used_mm = 1, words_width(lead, LEAD_PT * MM_PER_PT, bold=True)
    for run in band.runs:
        parts_mm = [_run_words_mm(run), *map(_box_mm, run.marks)]
        whole_mm = sum(parts_mm) + BESIDE_RUN_MM
        if used_mm + whole_mm > LINE_MM:
            lines, used_mm = lines + 1, 0.0
        if whole_mm <= LINE_MM:
            used_mm += whole_mm
            continue
        for part_mm in parts_mm:
            if used_mm + part_mm > LINE_MM:
                lines, used_mm = lines + 1, 0.0
            used_mm += part_mm
        used_mm = LINE_MM
    return lines


def _run_words_mm(run: MixRun) -> float:
    """How wide is what stands before the boxes of a run."""
    return words_width(f"{run.what}, {run.litres}", RUN_PT * MM_PER_PT)


def _box_mm(mark: str) -> float:
    """How wide the box of a mix is, with the space before it."""
    space_mm = words_width(" ", LEAD_PT * MM_PER_PT)
    return max(BOX_MM, words_width(mark, MARK_PT * MM_PER_PT)) + BESIDE_BOX_MM + space_mm


def _wear(statement: MethodStatement) -> str:
    """What the job asks for while mixing, as the method statement has it."""
    task = next(one for one in statement.protection if one.key == TaskKey.MIXING)
    return " ".join((task.eyes, task.hands, task.breathing))


def _materials(statement: MethodStatement) -> Iterator[MaterialView]:
    """Each material with its bands, taken together where a hot deck changes no mix."""
    limits, settings = statement.limits, statement.settings
    planned = planned_mixes(statement)
    tables = zip(bands_by_table(planned), mix_tables(planned, limits, settings), strict=True)
    for material, same in groupby(tables, key=lambda one: one[0][0].material):
        groups, mine = zip(*same, strict=True)
        bands = [band for group in groups for band in group]
        hot = _likely_hot(bands, [m for m in statement.option.mixes if m.material == material])
        yield MaterialView(
            key=material,
            name=material.upper(),
            use=USES[material],
            letter=mix_mark(material, 1)[0],
            expected=tuple(table.expected for table in mine if table.expected),
            bands=tuple(
                _band(group, statement, likely=any(one.hot in hot for one in group))
                for group in groups
            ),
        )


def _band(bands: Sequence[Mixes], statement: MethodStatement, *, likely: bool) -> BandView:
    first, limits = bands[0], statement.limits
    return BandView(
        title=band_words(first) if len(bands) == 1 else "",
        likely=likely,
        limit=limit_words(bands),
        sizes=tuple(_head(first, size) for size in first.sizes),
        below="" if first.hot else f"under {wording.plain(limits.least_c.number)} °C",
        rows=tuple(
            _row(doses, statement.settings) for doses in zip(*doses_by_size(bands), strict=True)
        ),
        above=f"over {wording.plain(limits.most_c.number)} °C" if bands[-1].hot else "",
        runs=tuple(_runs(first)),
    )


def _likely_hot(planned: Sequence[Mixes], measured: Sequence[Mixes]) -> set[bool]:
    """The bands, hot or not, in which the deck is expected: by the days planned, else by the row.

    The cool one where nobody knows.
    """
    for bands in (planned, measured):
        expected = {band.hot for band in bands if band.expected is not None}
        if expected:
            return expected
    return {False}


def _head(mixes: Mixes, size: MixSize) -> SizeHead:
    return SizeHead(
        f"{wording.number(size.litres.number, 1)} l",
        tuple(_spans(mixes, size.numbers)),
    )


def _spans(mixes: Mixes, numbers: Sequence[int]) -> Iterator[str]:
    """Numbers in words, those in a row together."""
    for _, group in groupby(enumerate(numbers), key=lambda pair: pair[1] - pair[0]):
        row = [number for _, number in group]
        first, last = (mix_mark(mixes.material, row[n], mixes.hot) for n in (0, -1))
        yield first if len(row) == 1 else f"{first}–{last}"


def _row(doses: Sequence[Dose], settings: Settings) -> DoseRow:
    deck_c, life = doses[0].deck_c, doses[0].pot_life_min
    return DoseRow(
        deck=f"{wording.plain(deck_c)} °C",
        note="test" if asks_for_test(deck_c, settings) else "",
        cells=tuple("" if one.ml is None else wording.plain(one.ml) for one in doses),
        minutes="" if life is None else f"{wording.number(life)} min",
    )


def _runs(mixes: Mixes) -> Iterator[MixRun]:
    """The boxes in laying order, a run for each strip and size."""
    for (litres, what), group in groupby(
        mixes_in_order(mixes), key=lambda mix: (mix.size.litres.number, mix.what)
    ):
        marks = tuple(mix_mark(mixes.material, mix.number, mixes.hot) for mix in group)
        yield MixRun(capital(what), f"{wording.number(litres, 1)} l", marks)


def _fill(statement: MethodStatement, issue: Issue, _box: PictureBox) -> Mapping[str, Any]:
    return {"card": mix_card_view(statement, issue)}


MIX_CARD = Design(
    "Mix card",
    "crew/mix_card.html",
    lambda statement: (statement.enquiry, statement.settings),
    _fill,
)
