"""The mix card, the back of the site card: for whoever measures the catalyst, by the buckets.

What to wear, the millilitres, a box for every mix. It is always one page: where the boxes would
run on, a material of many mixes has a line for strokes instead.
"""

from collections.abc import Iterator, Sequence
from itertools import groupby
from math import ceil

from markupsafe import Markup
from msgspec import Struct

from quotegen import wording
from quotegen.documents.drawing.signs import sign, sign_words
from quotegen.documents.printing.halves import MM_PER_PT, lines_of
from quotegen.documents.printing.paper import one_line
from quotegen.documents.printing.word_widths import words_width
from quotegen.documents.shared.mix_view import (
    amount_words,
    band_words,
    bands_by_table,
    dose_range,
    doses_of,
    fills_words,
    mix_mark,
    mix_tables,
    never_with_catalyst,
    no_mix,
    planned_mixes,
    small_mix_first,
)
from quotegen.documents.shared.risk_view import Pair
from quotegen.model.issue import Issue
from quotegen.model.safety import MethodStatement
from quotegen.model.settings import Settings
from quotegen.model.takeoff import Dose, Mixes
from quotegen.phrases import capital, listed, small
from quotegen.reference.rule_keys import ON_MIX_CARD, MixSentence, SubstanceKey, TaskKey
from quotegen.safety.rules.text import told
from quotegen.takeoff.layers.catalyst import least_c
from quotegen.takeoff.layers.trial_mix import wants_test_mix

_SIGN_MM = 11.0
_WORN = ("eyes", "hands", "breathing")
USES = {"resin": "for the laminate", "topcoat": "over the cured laminate"}
_ROOMY_LINES = 4
"""Up to so many lines of boxes there is room for larger tables and words."""
MOST_BOXES = 26
"""Up to so many mixes of a band have a box each; more have a line for strokes."""
LINE_MM, RUN_PT, MARK_PT = 188.0, 12.0, 15.0
"""A line of boxes, and the sizes of what says the strips, and of what is in a box."""
BOX_MM, BESIDE_BOX_MM = 9.8, 3.4
"""What is inside a box at least, and what its frame and the space about it take."""
UNTICKED_HIGH = 1 / 2
"""The height of a line of words by that of a line of boxes: see the style sheet."""


class Worn(Struct, frozen=True):
    """A sign for something to be worn, and its meaning."""

    drawing: Markup
    meaning: str


class DoseRow(Struct, frozen=True):
    """One deck temperature: catalyst for a mix [ml], how it is measured, how soon it goes off.

    `ml` is empty where nothing may be mixed, `fills` where the vessel is filled but once.
    """

    deck: str
    note: str
    ml: str
    fills: str
    minutes: str


class BandView(Struct, frozen=True):
    """The mixes of one material in one band of deck temperature.

    `title` is of the band, empty where one band is all; `amount` is one mix by measure and by
    scales, `ends` the first and the last mix, `parts` says which of them each strip is laid with.
    `below` and `above` are the temperatures out of bounds at its ends, empty where it has none. Its
    `marks` have boxes to tick where it is `likely`; the other band is for a deck that turns out
    otherwise. Where it is not `boxed` a line for strokes is in place of the boxes.
    """

    title: str
    amount: str
    ends: str
    likely: bool
    boxed: bool
    below: str
    rows: tuple[DoseRow, ...]
    above: str
    marks: tuple[str, ...]
    parts: str


class MaterialView(Struct, frozen=True):
    """One material; `key` is its code, by which the template tells the two frames apart."""

    key: str
    name: str
    use: str
    letter: str
    expected: tuple[str, ...]
    bands: tuple[BandView, ...]


class MixCardView(Struct, frozen=True):
    """Everything the template of the mix card shows; a `roomy` one has larger tables and words."""

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
    materials: tuple[MaterialView, ...]

    @property
    def lines(self) -> float:
        """How many lines of boxes there are, what only words take counted by its share."""
        return sum(_lines(band) for one in self.materials for band in one.bands)

    @property
    def beside(self) -> bool:
        """Whether the bands of one material stand beside each other."""
        return len(self.materials) == 1 and len(self.materials[0].bands) > 1

    @property
    def roomy(self) -> bool:
        """Whether no table stands below another, with few boxes under them."""
        stacked = any(len(one.bands) > 1 for one in self.materials) and not self.beside
        return not stacked and self.lines <= _ROOMY_LINES


def mix_card_view(statement: MethodStatement, issue: Issue) -> MixCardView:
    """The mix card in ready words, its emergencies those of the method statement."""
    materials = tuple(_materials(statement))
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
        materials=materials,
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
    """How many lines of boxes a band takes, or its words where it has no boxes."""
    if not band.likely:
        return UNTICKED_HIGH
    if not band.boxed:
        return 1 + UNTICKED_HIGH
    boxes = ceil(sum(map(_box_mm, band.marks)) / LINE_MM)
    return boxes + lines_of(band.parts, LINE_MM / RUN_PT / MM_PER_PT) * UNTICKED_HIGH


def _box_mm(mark: str) -> float:
    """How wide the box of a mix is, with the space before it."""
    space_mm = words_width(" ", RUN_PT * MM_PER_PT)
    return max(BOX_MM, words_width(mark, MARK_PT * MM_PER_PT)) + BESIDE_BOX_MM + space_mm


def _wear(statement: MethodStatement) -> str:
    """What the job asks for while mixing, as the method statement has it."""
    task = next(one for one in statement.protection if one.key == TaskKey.MIXING)
    return " ".join((task.eyes, task.gloves, task.hands, task.breathing))


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
    first, settings = bands[0], statement.settings
    coldest_c = settings.number(least_c(first.material))
    return BandView(
        title=band_words(first) if len(bands) == 1 else "",
        amount=amount_words(first.size),
        ends=_ends(first, 1, first.size.count),
        likely=likely,
        boxed=first.size.count <= MOST_BOXES,
        below="" if first.hot else f"under {wording.plain(coldest_c)} °C",
        rows=tuple(_row(one, settings) for one in doses_of(bands, settings)),
        above=(f"over {wording.plain(statement.limits.most_c.number)} °C" if bands[-1].hot else ""),
        marks=tuple(mix_mark(first.material, n, first.hot) for n in range(1, first.size.count + 1)),
        parts=_parts(first),
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


def _row(dose: Dose, settings: Settings) -> DoseRow:
    life = dose.pot_life_min
    return DoseRow(
        deck=f"{wording.plain(dose.deck_c)} °C",
        note="test" if wants_test_mix(settings, dose.deck_c) else "",
        ml="" if dose.ml is None else wording.plain(dose.ml),
        fills="" if dose.ml is None else fills_words(dose.ml, settings),
        minutes="" if life is None else f"{wording.number(life)} min",
    )


def _ends(mixes: Mixes, first: int, last: int) -> str:
    """The first and the last of some mixes: "R2–R4", or "R2" where that is all."""
    marks = (mix_mark(mixes.material, number, mixes.hot) for number in (first, last))
    return "–".join(dict.fromkeys(marks))


def _parts(mixes: Mixes) -> str:
    """Which mixes each part of the work is laid with; empty where one part or mix is all."""
    parts = mixes.size.parts
    if len(parts) == 1 or mixes.size.count == 1:
        return ""
    return capital(
        ", ".join(f"{part.words} {_ends(mixes, part.first, part.last)}" for part in parts)
    )
