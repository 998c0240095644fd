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
from quotegen.documents.printing.paper import PictureBox, one_line
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
    never_together,
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
from quotegen.units import whole_number

SIGN_MM = 11.0
WORN = ("eyes", "hands", "breathing")
USES = {"resin": "for the laminate", "topcoat": "over the cured laminate"}
BESIDE_SIZES = 3
ONE_PAGE_LINES = 5
"""One page holds both materials when no band has more sizes and the boxes take no more lines."""
ROOMY_LINES, AIRY_LINES = 5, 3
LINE_MM, LEAD_MM, LETTER_MM = 188.0, 45.0, 1.5
"""What a line of boxes holds, and what its lead and a letter of a label take."""
WORDS_BESIDE, WORDS_LINE, WORDS_HIGH = 55, 130, 1 / 3
"""Letters around mixes named without boxes, on a line of such, and its height by a box's."""
BOX_MM, MARK_MM, SPACE_MM = 14.1, 2.9, 6.0
"""What a box takes at least, a letter in it, and the space in and before it."""


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


class Run(Struct, frozen=True):
    """Mixes one after the other of one size for the same strip, from the first to the last."""

    what: str
    litres: str
    marks: tuple[str, ...]


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
    runs: tuple[Run, ...]

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
        """About how many lines of boxes there are, what only words take counted by its share."""
        return sum(_lines(band) for one in self.materials for band in one.bands)

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
        return not stacked and self.lines <= ROOMY_LINES

    @property
    def airy(self) -> bool:
        """Whether there is room to set larger what stands under the tables."""
        return self.roomy or self.lines <= AIRY_LINES

    @property
    def fits(self) -> bool:
        """Whether its tables and boxes go on one page."""
        return self.narrow and self.lines <= ONE_PAGE_LINES


class MixCardView(Struct, frozen=True):
    """Everything the template of the mix card shows; each page stands by itself."""

    reference: str
    revision: str
    dated: str
    site_address: str
    build_up: str
    expected: tuple[str, ...]
    worn: tuple[Worn, ...]
    wear: str
    never: tuple[str, ...]
    rules: tuple[str, ...]
    emergencies: tuple[Pair, ...]
    no_mix: str
    give: str
    pages: tuple[CardPage, ...]


def mix_card_view(statement: MethodStatement, issue: Issue) -> MixCardView:
    """The mix card in ready words, its emergencies those of the method statement."""
    materials = tuple(_materials(statement))
    together = CardPage(materials)
    resin = next(one for one in statement.substances if one.key == SubstanceKey.RESIN)
    return MixCardView(
        reference=issue.reference,
        revision=str(issue.revision),
        dated=wording.date(statement.dated),
        site_address=one_line(statement.enquiry.site_address),
        build_up=str(statement.build_up),
        expected=tuple(_expected(materials)),
        worn=tuple(Worn(sign(key, SIGN_MM), capital(sign_words(key))) for key in WORN),
        wear=_wear(statement),
        never=never_together(SubstanceKey.CATALYST),
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
        pages=(together,) if together.fits else tuple(CardPage((one,)) for one in materials),
    )


def _expected(materials: Sequence[MaterialView]) -> Iterator[str]:
    """What to go by on the deck expected, said once for the materials it is the same for."""
    said: dict[str, list[str]] = {}
    for one in materials:
        for words in one.expected:
            said.setdefault(words, []).append(one.key)
    for words, keys in said.items():
        yield f"{capital(listed(keys))}: {small(words)}"


def _lines(band: BandView) -> float:
    """About how many lines of boxes a band takes, or its words where it has no boxes."""
    if not band.likely:
        letters = sum(len(f"{run.what} {run.marks[0]} to {run.marks[-1]}, ") for run in band.runs)
        return whole_number((letters + WORDS_BESIDE) / WORDS_LINE) * WORDS_HIGH
    lines, used_mm = 1, LEAD_MM
    for run in band.runs:
        wide_mm = LETTER_MM * (len(run.what) + len(run.litres)) + sum(map(_box_mm, run.marks))
        if used_mm + wide_mm > LINE_MM:
            lines, used_mm = lines + whole_number(wide_mm / LINE_MM), 0.0
        used_mm += wide_mm % LINE_MM
    return lines


def _box_mm(mark: str) -> float:
    """About how wide the box of a mix is, with the space before it."""
    return max(BOX_MM, MARK_MM * len(mark) + SPACE_MM)


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


def _runs(mixes: Mixes) -> Iterator[Run]:
    """The boxes in laying order, a run for each strip and size."""
    for (litres, what), group in groupby(
        mixes_in_order(mixes), key=lambda mix: (mix.size.litres.number, mix.what)
    ):
        marks = tuple(mix_mark(mixes.material, mix.number, mixes.hot) for mix in group)
        yield Run(capital(what), f"{wording.number(litres, 1)} l", marks)


def _fill(statement: MethodStatement, issue: Issue, _box: PictureBox) -> Mapping[str, Any]:
    return {"card": mix_card_view(statement, issue)}


MIX_CARD = Design(
    "Mix card",
    "crew/mix_card.html",
    lambda statement: (statement.enquiry, statement.settings),
    _fill,
)
