"""The mixes of a job as tables for the person measuring the catalyst."""

from collections.abc import Sequence
from itertools import groupby

from msgspec import Struct
from msgspec.structs import replace

from quotegen import wording
from quotegen.model.safety import MethodStatement, WorkingLimits
from quotegen.model.settings import Mixed, Settings
from quotegen.model.takeoff import Dose, Mixes, MixSize, Phase
from quotegen.phrases import capital, listed
from quotegen.reference import rules
from quotegen.reference.rule_keys import DangerKey, MixSentence, SubstanceKey
from quotegen.safety.rules.text import told
from quotegen.takeoff.layers.catalyst import card_temperatures, dose, dose_by_mass_pct
from quotegen.units import round_up

_LITRE_STEP = 0.1
MASS_PLACES = 1


class MixRow(Struct, frozen=True):
    """One row of a mix table: its label, and its cell under each deck temperature."""

    words: str
    cells: tuple[str, ...]


class MixTable(Struct, frozen=True):
    """The mixes of one material, in one band of deck temperature or in both.

    At the cold end of the cool band and the hot end of the hot one is a column outside the limits,
    where nothing is mixed.
    """

    title: str
    note: str
    expected: str
    temperatures: tuple[str, ...]
    sizes: tuple[MixRow, ...]
    pot_life: MixRow


def mixing_rules(settings: Settings) -> tuple[str, ...]:
    """The rules for every mix table: when to test first, what a dose means, how sure it is."""
    ml_per_kg = settings.number("catalyst_ml_per_kg_per_pct")
    by_mass = dose_by_mass_pct(ml_per_kg, settings.number("catalyst_kg_per_l"))
    return (
        told(MixSentence.MEASURE),
        told(MixSentence.WARMER),
        small_mix_first(settings),
        dose_range(settings),
        told(
            MixSentence.BY_WEIGHT,
            dose=f"{wording.plain(ml_per_kg)} ml",
            share=f"{wording.number(by_mass, MASS_PLACES)}%",
        ),
        told(MixSentence.POT_LIFE, give=wording.percent(settings.number("pot_life_give_pct"))),
        told(MixSentence.DATA_SHEET_FIRST),
    )


def no_mix() -> str:
    """What stands where nothing may be mixed."""
    return told(MixSentence.DO_NOT_MIX)


def dose_range(settings: Settings) -> str:
    """The range of catalyst that contains every dose of the tables."""
    ml_per_kg = settings.number("catalyst_ml_per_kg_per_pct")
    ends = [settings.number(f"catalyst_{end}_pct") for end in ("least", "most")]
    least, most = (wording.plain(ml_per_kg * pct) for pct in ends)
    low, high = (wording.percent(pct) for pct in ends)
    return told(MixSentence.DOSE_RANGE, least=f"{least} ml", most=f"{most} ml", low=low, high=high)


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
    """The catalyst of a test mix, equal doses together: "resin 22 ml at 5 °C, ..."."""
    mass_kg = litres * settings.number(f"{material}_kg_per_l")
    doses = [dose(settings, material, mass_kg, deck_c) for deck_c in test_columns(settings)]
    parts = []
    for ml, same in groupby(doses, key=_dose):
        decks = [f"{wording.plain(one.deck_c)} °C" for one in same]
        parts.append(f"{ml} at {listed(decks)}" if len(decks) < len(doses) else ml)
    return f"{material} {', '.join(parts)}"


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
    mass_kg = mixes.sizes[0].mass_kg.number
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
    return len({(one.material, tuple(_amounts(one))) for one in mixes}) > len(
        {one.material for one in mixes}
    )


class OneMix(Struct, frozen=True):
    """One mix in laying order: its number, its size, and the strips it is for."""

    number: int
    size: MixSize
    what: str


def mixes_in_order(mixes: Mixes) -> tuple[OneMix, ...]:
    """The mixes of one material and band one by one, in the order of laying."""
    single = [
        OneMix(number, size, what)
        for size in mixes.sizes
        for number, what in zip(size.numbers, size.whats, strict=True)
    ]
    return tuple(sorted(single, key=lambda mix: mix.number))


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


def _amounts(mixes: Mixes) -> list[tuple[int, float]]:
    return [(size.count, size.litres.number) for size in mixes.sizes]


def _table(bands: Sequence[Mixes], limits: WorkingLimits, settings: Settings) -> MixTable:
    """One table: deck temperatures across, mixes down, millilitres between."""
    rows = doses_by_size(bands)
    heads = [_column(dose.deck_c, settings) for dose in rows[0]]
    least, most = (wording.plain(end.number) for end in (limits.least_c, limits.most_c))
    return MixTable(
        title=_title(bands),
        note=_note(bands),
        expected=_expected(bands, rows[0], settings),
        temperatures=_between_limits(bands, heads, f"under {least} °C", f"over {most} °C"),
        sizes=tuple(
            MixRow(
                _size(size),
                _between_limits(bands, [_dose(dose) for dose in row], no_mix(), no_mix()),
            )
            for size, row in zip(bands[0].sizes, rows, strict=True)
        ),
        pot_life=MixRow(
            "Goes off in the bucket in about",
            _between_limits(bands, [_minutes(dose) for dose in rows[0]], "", ""),
        ),
    )


def doses_by_size(bands: Sequence[Mixes]) -> list[list[Dose]]:
    """The doses of each mix size over the temperatures of all bands, in sequence."""
    sizes = zip(*(band.sizes for band in bands), strict=True)
    return [[dose for size in same for dose in size.doses] for same in sizes]


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
    litres = wording.plain(min(band.limit_l.number for band in bands))
    return told(MixSentence.LARGEST_MIX, litres=f"{litres} l")


def _note(bands: Sequence[Mixes]) -> str:
    litres = wording.number(round_up(bands[0].total_l.number, _LITRE_STEP), 1)
    return f"{limit_words(bands)}; {litres} l in all"


def _column(deck_c: float, settings: Settings) -> str:
    """The heading of a column, with a word where a test mix comes first."""
    deck = f"{wording.plain(deck_c)} °C"
    return told(MixSentence.TEST_FIRST, deck=deck) if asks_for_test(deck_c, settings) else deck


def asks_for_test(deck_c: float, settings: Settings) -> bool:
    """Whether a deck is so cold or so hot that a test mix comes first."""
    below_c, above_c = (settings.number(f"test_mix_{side}_c") for side in ("below", "above"))
    return not below_c < deck_c < above_c


def _between_limits(
    bands: Sequence[Mixes], cells: Sequence[str], cold: str, hot: str
) -> tuple[str, ...]:
    """The cells with those outside the limits added at the ends of the table."""
    before = () if bands[0].hot else (cold,)
    after = (hot,) if bands[-1].hot else ()
    return (*before, *cells, *after)


def _size(size: MixSize) -> str:
    mixes = wording.count(size.count, "mix", "mixes")
    litres = wording.number(size.litres.number, 1)
    mass = wording.number(size.mass_kg.number, 1)
    return f"{mixes} of {litres} l ({mass} kg)"


def _dose(dose: Dose) -> str:
    return no_mix() if dose.ml is None else f"{wording.plain(dose.ml)} ml"


def _minutes(dose: Dose) -> str:
    return no_mix() if dose.pot_life_min is None else f"{wording.number(dose.pot_life_min)} min"


def _expected(bands: Sequence[Mixes], doses: Sequence[Dose], settings: Settings) -> str:
    """The column to go by on the expected deck: the warmer one, tested first if need be."""
    expected = next((band.expected for band in bands if band.expected is not None), None)
    if expected is None:
        return ""
    deck = f"{wording.plain(expected.deck_c)} °C"
    if expected.ml is None:
        return told(MixSentence.EXPECTED_NOT_MIXED, deck=deck, no_mix=no_mix())
    warmer = [dose.deck_c for dose in doses if dose.deck_c >= expected.deck_c]
    column = f"{wording.plain(warmer[0])} °C" if warmer else told(MixSentence.HOTTER_TABLE)
    tested = asks_for_test(expected.deck_c, settings)
    go_by = MixSentence.GO_BY_TEST_FIRST if tested else MixSentence.GO_BY
    return told(go_by, deck=deck, column=column)
