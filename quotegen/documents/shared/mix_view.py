"""The mixes of a job as tables for the person measuring the catalyst."""

from collections.abc import Sequence
from itertools import groupby

from msgspec import Struct
from msgspec.structs import replace

from quotegen import wording
from quotegen.model.choices import Vessel
from quotegen.model.safety import MethodStatement, WorkingLimits
from quotegen.model.settings import Mixed, Settings
from quotegen.model.takeoff import Dose, Mixes, MixSize, Phase
from quotegen.phrases import capital, listed
from quotegen.reference import rules
from quotegen.reference.rule_keys import DangerKey, MixSentence, SubstanceKey
from quotegen.safety.rules.text import told
from quotegen.takeoff.layers.catalyst import card_temperatures, dose, least_c, ml_per_kg, vessels
from quotegen.takeoff.layers.mixes import mix_mass_kg
from quotegen.takeoff.layers.trial_mix import wants_test_mix
from quotegen.units import round_down, round_up

_LITRE_STEP = 0.1
_ML_STEP = 0.1


class MixRow(Struct, frozen=True):
    """One row of a mix table: its label, and its cell under each deck temperature."""

    words: str
    cells: tuple[str, ...]


class MixTable(Struct, frozen=True):
    """The mixes of one material, all of one size, in one band of deck temperature or in both.

    `doses` are the catalyst. At the cold end of the cool band and the hot end of the hot one is a
    column outside the limits, where nothing is mixed.
    """

    title: str
    note: str
    expected: str
    temperatures: tuple[str, ...]
    doses: MixRow
    pot_life: MixRow


def mixing_rules(settings: Settings) -> tuple[str, ...]:
    """The rules for every mix table: when to test first, what a dose means, how sure it is."""
    return (
        told(MixSentence.MEASURE),
        told(MixSentence.WARMER),
        small_mix_first(settings),
        dose_range(settings),
        told(MixSentence.POT_LIFE, give=wording.percent(settings.number("pot_life_give_pct"))),
        told(MixSentence.DATA_SHEET_FIRST),
    )


def no_mix() -> str:
    """What is printed where nothing may be mixed."""
    return told(MixSentence.DO_NOT_MIX)


def dose_range(settings: Settings) -> str:
    """The share of catalyst by mass that contains every dose, and what measures it out.

    The millilitres to a kilogram are rounded inwards.
    """
    kg_per_l, mark_ml = settings.number("catalyst_kg_per_l"), settings.number("vessel_mark_ml")
    low, high = (settings.number(f"catalyst_{end}_pct") for end in ("least", "most"))
    least = round_up(ml_per_kg(low, kg_per_l), _ML_STEP)
    most = round_down(ml_per_kg(high, kg_per_l), _ML_STEP)
    holds_ml = settings.number("vessel_holds_ml")
    return told(
        MixSentence.DOSE_RANGE,
        low=wording.percent(low),
        high=wording.percent(high),
        density=f"{wording.exact(kg_per_l)} kg",
        least=f"{wording.plain(least)} ml",
        most=f"{wording.plain(most)} ml",
        vessel=f"{Vessel(settings.text('vessel'))} of {wording.plain(holds_ml)} ml",
        mark=f"{wording.exact(mark_ml)} ml",
    )


def ml_words(ml: float, settings: Settings) -> str:
    """A dose, and how it is measured where the vessel is filled more than once.

    Such as "110 ml = 2 × 50 + 10 ml", or "24 ml".
    """
    fills = fills_words(ml, settings)
    return f"{wording.plain(ml)} ml = {fills} ml" if fills else f"{wording.plain(ml)} ml"


def fills_words(ml: float, settings: Settings) -> str:
    """The vessel's fills that make up a dose: "2 × 50 + 10"; empty where one part of it does."""
    holds_ml = settings.number("vessel_holds_ml")
    full, rest = vessels(ml, holds_ml)
    if full == 0 or (full == 1 and not rest):
        return ""
    fills = f"{full} × {wording.plain(holds_ml)}" if full > 1 else wording.plain(holds_ml)
    return f"{fills} + {wording.plain(rest)}" if rest else fills


def amount_words(size: MixSize) -> str:
    """How much one mix is, by measure and by scales: "3.3 l = 3.63 kg"."""
    litres = wording.number(size.litres.number, 1)
    return f"{litres} l = {wording.number(size.mass_kg.number, 2)} kg"


def small_mix_first(settings: Settings) -> str:
    """When to try a small mix first, and its catalyst in each column it is dosed by."""
    litres = settings.number("test_mix_l")
    below_c, above_c = (settings.number(f"test_mix_{side}_c") for side in ("below", "above"))
    doses = "; ".join(_test_doses(material, litres, settings) for material in Mixed)
    return told(
        MixSentence.SMALL_MIX_FIRST,
        below=f"{wording.plain(below_c)} °C",
        above=f"{wording.plain(above_c)} °C",
        litres=f"{wording.plain(litres)} l",
        doses=capital(doses),
    )


def _test_doses(material: Mixed, litres: float, settings: Settings) -> str:
    """The catalyst of a test mix, equal doses together: "resin (0.55 kg) 19 ml at 5 °C, ..."."""
    mass_kg = mix_mass_kg(litres, settings.number(f"{material}_kg_per_l"))
    doses = [dose(settings, material, mass_kg, deck_c) for deck_c in test_columns(settings)]
    mixed = [one for one in doses if one.ml is not None]
    parts = []
    for ml, same in groupby(mixed, key=lambda one: _dose(one, settings)):
        decks = [f"{wording.plain(one.deck_c)} °C" for one in same]
        parts.append(f"{ml} at {listed(decks)}" if len(decks) < len(mixed) else ml)
    return f"{material} ({wording.number(mass_kg, 2)} kg) {', '.join(parts) or no_mix()}"


def test_columns(settings: Settings) -> tuple[float, ...]:
    """The columns of a mix table [°C] used to dose a deck that needs a test mix.

    A deck between two columns goes by the warmer, so the column above the cold mark may be one of
    them.
    """
    below_c, above_c = (settings.number(f"test_mix_{side}_c") for side in ("below", "above"))
    step_c = settings.number("card_step_c")
    return tuple(
        deck_c
        for deck_c in card_temperatures(settings)
        if deck_c - step_c < below_c or deck_c >= above_c
    )


def planned_mixes(statement: MethodStatement) -> tuple[Mixes, ...]:
    """The mixes of the build-up with the expected deck: by the forecast where there is one."""
    plan, mixes = statement.days, statement.option.mixes
    if not plan.forecast:
        return mixes
    coldest = {
        material: min(
            (
                spell.deck_c[0]
                for day in plan.worked
                for spell in day.spells
                if spell.phase is phase and spell.deck_c
            ),
            default=None,
        )
        for material, phase in ((Mixed.RESIN, Phase.LAY), (Mixed.TOPCOAT, Phase.COAT))
    }
    return tuple(_expecting(one, coldest[one.material], statement.settings) for one in mixes)


def _expecting(mixes: Mixes, deck_c: float | None, settings: Settings) -> Mixes:
    if deck_c is None or (deck_c >= mixes.hot_from_c.number) is not mixes.hot:
        return replace(mixes, expected=None)
    mass_kg = mixes.size.mass_kg.number
    return replace(mixes, expected=dose(settings, mixes.material, mass_kg, deck_c))


def mix_tables(
    mixes: Sequence[Mixes], limits: WorkingLimits, settings: Settings
) -> tuple[MixTable, ...]:
    """The mixes of every material: one table where a hot deck changes no mix, else one per band."""
    return tuple(_table(bands, limits, settings) for bands in bands_by_table(mixes))


def bands_by_table(mixes: Sequence[Mixes]) -> tuple[tuple[Mixes, ...], ...]:
    """The bands of every material by the table that shows them, in the order of the tables."""
    found: list[tuple[Mixes, ...]] = []
    for _, same in groupby(mixes, key=lambda one: one.material):
        bands = tuple(same)
        found += [(band,) for band in bands] if changed_when_hot(bands) else [bands]
    return tuple(found)


def changed_when_hot(mixes: Sequence[Mixes]) -> bool:
    """Whether the mixes of any material differ on a hot deck."""
    amounts = {(one.material, one.size.count, one.size.litres.number) for one in mixes}
    return len(amounts) > len({one.material for one in mixes})


class OneMix(Struct, frozen=True):
    """One mix in laying order: its number, its size, and the strips it is for."""

    number: int
    size: MixSize
    what: str


def mixes_in_order(mixes: Mixes) -> tuple[OneMix, ...]:
    """The mixes of one material and band one by one, in the order of laying."""
    return tuple(
        OneMix(
            n, mixes.size, _from_to([p.words for p in mixes.size.parts if p.first <= n <= p.last])
        )
        for n in range(1, mixes.size.count + 1)
    )


def _from_to(words: Sequence[str]) -> str:
    """The first and the last of some parts, in words."""
    return " to ".join((words[0], words[-1])) if len(words) > 2 else listed(words)


def mix_mark(material: str, number: int, hot: bool = False) -> str:
    """The name of a mix on every paper: the letter of its material and its number.

    The smaller mixes of a hot deck are prefixed with H.

    >>> mix_mark("topcoat", 2), mix_mark("resin", 1, hot=True)
    ('T2', 'HR1')
    """
    return f"{'H' if hot else ''}{capital(material)[0]}{number}"


def never_together(substance: SubstanceKey) -> tuple[str, ...]:
    """The things that must never meet a substance because together they can explode."""
    return tuple(
        pair.words[1 - pair.between.index(substance)]
        for pair in rules.incompatible()
        if substance in pair.between and pair.danger.key == DangerKey.EXPLODES
    )


def never_with_catalyst() -> str:
    """The warning over the mix tables: all that explodes with catalyst, each with its NEVER."""
    first, *others = never_together(SubstanceKey.CATALYST)
    said = [told(MixSentence.NEVER_CATALYST, what=first)]
    said += [told(MixSentence.NEVER_WITH, what=other) for other in others]
    return told(MixSentence.CAN_EXPLODE, never=", ".join(said))


def _table(bands: Sequence[Mixes], limits: WorkingLimits, settings: Settings) -> MixTable:
    """One table: deck temperatures across, millilitres below."""
    doses = doses_of(bands, settings)
    least = wording.plain(settings.number(least_c(bands[0].material)))
    most = wording.plain(limits.most_c.number)
    return MixTable(
        title=_title(bands),
        note=_note(bands),
        expected=_expected(bands, doses, settings),
        temperatures=_between_limits(
            bands,
            [_column(one.deck_c, settings) for one in doses],
            f"under {least} °C",
            f"over {most} °C",
        ),
        doses=MixRow(
            _size(bands[0].size),
            _between_limits(bands, [_dose(one, settings) for one in doses], no_mix(), no_mix()),
        ),
        pot_life=MixRow(
            "Goes off in the bucket in about",
            _between_limits(bands, [_minutes(one) for one in doses], "", ""),
        ),
    )


def doses_of(bands: Sequence[Mixes], settings: Settings) -> list[Dose]:
    """The doses of a mix at the temperatures of all bands that the material is laid on."""
    coldest_c = settings.number(least_c(bands[0].material))
    return [one for band in bands for one in band.size.doses if one.deck_c >= coldest_c]


def _title(bands: Sequence[Mixes]) -> str:
    first = bands[0]
    if len(bands) > 1:
        return capital(first.material)
    return f"{capital(first.material)}, deck {'at ' if first.hot else ''}{band_words(first)}"


def band_words(mixes: Mixes) -> str:
    """The deck temperatures of a band, in words."""
    start = f"{wording.plain(mixes.hot_from_c.number)} °C"
    return f"{start} or more" if mixes.hot else f"under {start}"


def limit_words(bands: Sequence[Mixes]) -> str:
    """The largest mix over the bands of a material, in words."""
    litres = wording.number(round_down(min(band.limit_l.number for band in bands), _LITRE_STEP), 1)
    return told(MixSentence.LARGEST_MIX, litres=f"{litres} l")


def _note(bands: Sequence[Mixes]) -> str:
    litres = wording.number(round_up(bands[0].total_l.number, _LITRE_STEP), 1)
    return f"{limit_words(bands)}; {litres} l to lay"


def _column(deck_c: float, settings: Settings) -> str:
    """The heading of a column, with a word where a test mix comes first."""
    deck = f"{wording.plain(deck_c)} °C"
    return told(MixSentence.TEST_FIRST, deck=deck) if wants_test_mix(settings, deck_c) else deck


def _between_limits(
    bands: Sequence[Mixes], cells: Sequence[str], cold: str, hot: str
) -> tuple[str, ...]:
    """The cells with those outside the limits added at the ends of the table."""
    before = () if bands[0].hot else (cold,)
    after = (hot,) if bands[-1].hot else ()
    return (*before, *cells, *after)


def _size(size: MixSize) -> str:
    return f"{wording.count(size.count, 'mix', 'mixes')} of {amount_words(size)}"


def _dose(dose: Dose, settings: Settings) -> str:
    return no_mix() if dose.ml is None else ml_words(dose.ml, settings)


def _minutes(dose: Dose) -> str:
    return no_mix() if dose.pot_life_min is None else f"{wording.number(dose.pot_life_min)} min"


def _expected(bands: Sequence[Mixes], doses: Sequence[Dose], settings: Settings) -> str:
    """The column to go by on the expected deck: the warmer one, tested first if need be."""
    expected = deck_expected(bands)
    if expected is None:
        return ""
    deck = f"{wording.plain(expected.deck_c)} °C"
    if expected.ml is None:
        return told(MixSentence.EXPECTED_NOT_MIXED, deck=deck, no_mix=no_mix())
    by = dose_to_go_by(expected, doses)
    column = f"{wording.plain(by.deck_c)} °C" if by else told(MixSentence.HOTTER_TABLE)
    tested = wants_test_mix(settings, expected.deck_c)
    go_by = MixSentence.GO_BY_TEST_FIRST if tested else MixSentence.GO_BY
    return told(go_by, deck=deck, column=column)


def deck_expected(bands: Sequence[Mixes]) -> Dose | None:
    """The dose at the very deck expected for the mixes of one table, None where nobody knows it."""
    return next((band.expected for band in bands if band.expected is not None), None)


def dose_to_go_by(expected: Dose, doses: Sequence[Dose]) -> Dose | None:
    """The column to go by on the expected deck: the next warmer; None where the table ends."""
    return next((dose for dose in doses if dose.deck_c >= expected.deck_c), None)
