"""The mix card as whoever mixes reads it: what to wear, the millilitres, a box for every mix."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from markupsafe import Markup

from quotegen.documents.mix_view import (
    NO_MIX,
    mix_mark,
    mix_tables,
    mixes_in_order,
    mixing_rules,
    never_together,
    planned_mixes,
)
from quotegen.documents.paper import capital, one_line
from quotegen.documents.risk_view import Pair
from quotegen.documents.signs import sign, sign_words
from quotegen.documents.wording import Wording
from quotegen.model.issue import Issue
from quotegen.model.safety import MethodStatement
from quotegen.model.takeoff import Dose, Mixes, MixSize
from quotegen.units import whole_number

SIGN_MM = 12.0
WORN = ("eyes", "hands", "breathing")
MIXING = "Measuring and mixing catalyst"
EYE, CALL, HOT_BUCKET = "In an eye", "Ring 999", "Hot bucket"
USES = {"resin": "for the laminate", "topcoat": "over the cured laminate"}
BESIDE_SIZES = 3
ONE_PAGE_LINES = 6
"""One page holds both materials when no band has more sizes and the boxes take no more lines."""
ROOMY_LINES = 5
LINE_MM, LEAD_MM, LETTER_MM, BOX_MM = 188.0, 44.0, 2.0, 9.6
"""What a line of boxes holds, and about what its lead, a letter of a label and a box take."""


@dataclass(frozen=True, slots=True)
class Worn:
    """A sign for something to be worn, and its meaning."""

    drawing: Markup
    meaning: str


@dataclass(frozen=True, slots=True)
class SizeHead:
    """The head of a column: how much one mix is, and which mixes are of this size."""

    litres: str
    marks: str


@dataclass(frozen=True, slots=True)
class DoseRow:
    """One deck temperature: catalyst for each size [ml], and how soon a mix goes off.

    A cell is empty where nothing may be mixed.
    """

    deck: str
    note: str
    cells: tuple[str, ...]
    minutes: str


@dataclass(frozen=True, slots=True)
class Run:
    """Mixes one after the other of one size for the same strip, each with its box."""

    words: str
    marks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BandView:
    """The mixes of one material in one band of deck temperature.

    `title` and `limit` are of the band, `title` empty where one band is all. `below` and `above`
    are the temperatures out of bounds at its ends, empty where it has none.
    """

    title: str
    limit: str
    sizes: tuple[SizeHead, ...]
    below: str
    rows: tuple[DoseRow, ...]
    above: str
    runs: tuple[Run, ...]

    @property
    def span(self) -> int:
        """The columns of the table beside that of the deck."""
        return len(self.sizes) + 1


@dataclass(frozen=True, slots=True)
class MaterialView:
    """One material; `key` is its code, by which the template tells the two frames apart."""

    key: str
    name: str
    use: str
    letter: str
    expected: tuple[str, ...]
    bands: tuple[BandView, ...]


@dataclass(frozen=True, slots=True)
class CardPage:
    """One page of the card; a `roomy` one is set in larger type."""

    materials: tuple[MaterialView, ...]

    @property
    def lines(self) -> int:
        """About how many lines the boxes take."""
        return sum(_lines(band.runs) for one in self.materials for band in one.bands)

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
    def fits(self) -> bool:
        """Whether its tables and boxes go on one page."""
        return self.narrow and self.lines <= ONE_PAGE_LINES


@dataclass(frozen=True, slots=True)
class MixCardView:
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


def mix_card_view(statement: MethodStatement, issue: Issue, wording: Wording) -> MixCardView:
    """The mix card in ready words, its emergencies those of the method statement."""
    materials = tuple(_materials(statement, wording))
    together = CardPage(materials)
    resin = next(one for one in statement.substances if one.key == "resin")
    return MixCardView(
        reference=issue.reference,
        revision=str(issue.revision),
        dated=wording.date(statement.dated),
        site_address=one_line(statement.enquiry.site_address),
        build_up=str(statement.build_up),
        expected=tuple(dict.fromkeys(words for one in materials for words in one.expected)),
        worn=tuple(Worn(sign(key, SIGN_MM), capital(sign_words(key))) for key in WORN),
        wear=_wear(statement),
        never=never_together("catalyst"),
        rules=(*mixing_rules(statement.settings, wording), resin.mixing),
        emergencies=tuple(
            Pair(name, words)
            for name, words in statement.emergency
            if name in (EYE, CALL, HOT_BUCKET)
        ),
        no_mix=NO_MIX,
        give=wording.percent(statement.settings.number("pot_life_give_pct")),
        pages=(together,) if together.fits else tuple(CardPage((one,)) for one in materials),
    )


def _lines(runs: Sequence[Run]) -> int:
    """About how many lines the boxes of a band take across the page."""
    wide_mm = sum(LETTER_MM * len(run.words) + BOX_MM * len(run.marks) for run in runs)
    return whole_number((LEAD_MM + wide_mm) / LINE_MM)


def _wear(statement: MethodStatement) -> str:
    """What the job asks for while mixing, as the method statement has it."""
    task = next(one for one in statement.protection if one.task == MIXING)
    return " ".join((task.eyes, task.hands, task.breathing))


def _materials(statement: MethodStatement, wording: Wording) -> Iterator[MaterialView]:
    """Each material with its bands, taken together where a hot deck changes no mix."""
    limits, settings = statement.limits, statement.settings
    tables = mix_tables(planned_mixes(statement), limits, settings, wording)
    at = iter(tables)
    for material, found in groupby(statement.option.mixes, key=lambda one: one.material):
        bands = list(found)
        groups = [[band] for band in bands]
        mine = [next(at)]
        if mine[0].title == capital(material):
            groups = [bands]
        else:
            mine += [next(at) for _ in bands[1:]]
        yield MaterialView(
            key=material,
            name=material.upper(),
            use=USES[material],
            letter=mix_mark(material, 1)[0],
            expected=tuple(
                f"{capital(material)}: {table.expected[:1].lower()}{table.expected[1:]}"
                for table in mine
                if table.expected
            ),
            bands=tuple(_band(group, statement, wording) for group in groups),
        )


def _band(bands: Sequence[Mixes], statement: MethodStatement, wording: Wording) -> BandView:
    first, settings, limits = bands[0], statement.settings, statement.limits
    columns = [
        [dose for size in sizes for dose in size.doses]
        for sizes in zip(*(band.sizes for band in bands), strict=True)
    ]
    return BandView(
        title=_title(first, wording) if len(bands) == 1 else "",
        limit=f"no mix over {wording.plain(min(band.limit_l.number for band in bands))} l",
        sizes=tuple(_head(first.material, size, wording) for size in first.sizes),
        below="" if first.hot else f"under {wording.plain(limits.least_c.number)} °C",
        rows=tuple(
            _row(doses, settings.number("test_mix_below_c"), settings.number("test_mix_above_c"),
                 wording)
            for doses in zip(*columns, strict=True)
        ),
        above=f"over {wording.plain(limits.most_c.number)} °C" if bands[-1].hot else "",
        runs=tuple(_runs(first, wording)),
    )  # fmt: skip


def _title(mixes: Mixes, wording: Wording) -> str:
    start = wording.plain(mixes.hot_from_c.number)
    return f"{start} °C or more" if mixes.hot else f"under {start} °C"


def _head(material: str, size: MixSize, wording: Wording) -> SizeHead:
    return SizeHead(
        f"{wording.number(size.litres.number, 1)} l",
        ", ".join(_spans(material, size.numbers)),
    )


def _spans(material: str, numbers: Sequence[int]) -> Iterator[str]:
    """Numbers in words, those in a row together."""
    for _, group in groupby(enumerate(numbers), key=lambda pair: pair[1] - pair[0]):
        row = [number for _, number in group]
        first, last = mix_mark(material, row[0]), mix_mark(material, row[-1])
        yield first if len(row) == 1 else f"{first} to {last}"


def _row(
    doses: Sequence[Dose], test_below_c: float, test_above_c: float, wording: Wording
) -> DoseRow:
    deck_c, life = doses[0].deck_c, doses[0].pot_life_min
    return DoseRow(
        deck=f"{wording.plain(deck_c)} °C",
        note="" if test_below_c < deck_c < test_above_c else "test",
        cells=tuple("" if one.ml is None else wording.plain(one.ml) for one in doses),
        minutes="" if life is None else f"{wording.number(life)} min",
    )


def _runs(mixes: Mixes, wording: Wording) -> Iterator[Run]:
    """The boxes in laying order, a run for each strip and size."""
    for (litres, what), group in groupby(
        mixes_in_order(mixes), key=lambda mix: (mix.size.litres.number, mix.what)
    ):
        marks = tuple(mix_mark(mixes.material, mix.number, mixes.hot) for mix in group)
        yield Run(f"{capital(what)}: {wording.number(litres, 1)} l", marks)
