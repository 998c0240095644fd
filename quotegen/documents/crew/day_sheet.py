"""The day sheet as a PDF: for the crew, to work by and to write on.

The day sheet as the crew reads it: the days along the clock, and what to write down.
"""

from collections.abc import Iterator, Mapping, Sequence
from operator import itemgetter
from typing import Any

from markupsafe import Markup
from msgspec import Struct
from msgspec.structs import replace

from quotegen import wording
from quotegen.days.climate import dew_point_c, least_deck_temperature_c
from quotegen.days.first_day import first_day_of
from quotegen.documents.drawing.day_chart import clock, day_chart, why_refused
from quotegen.documents.printing.design import Design
from quotegen.documents.printing.paper import PictureBox, one_line
from quotegen.documents.shared.before_words import waits_for
from quotegen.documents.shared.first_day_words import first_day_words
from quotegen.documents.shared.limit_lines import DECK_STEP_C, limit_lines, wind_line
from quotegen.documents.shared.mix_view import (
    amount_words,
    changed_when_hot,
    mix_mark,
    mixes_in_order,
)
from quotegen.documents.shared.risk_view import Pair
from quotegen.model.days import Spell, WorkDay, WorkPlan
from quotegen.model.issue import Issue
from quotegen.model.safety import MethodStatement
from quotegen.model.settings import Mixed
from quotegen.model.takeoff import Mixes, Phase
from quotegen.phrases import capital, small
from quotegen.reference.loader import figure
from quotegen.reference.rule_keys import LimitSentence, MixSentence
from quotegen.safety.facts.day_store import day_store
from quotegen.safety.rules.store_words import stored_words
from quotegen.safety.rules.text import told
from quotegen.units import round_up

AIR_C = (5, 7, 9, 11, 13, 15, 17, 20, 23, 26)
HUMIDITY_PCT = (50, 55, 60, 65, 70, 75, 80, 85)
READING_LINES = 5
_EVERY_DAY = {Phase.OPEN, Phase.WASTE, Phase.CLOSE}
"""The parts of the work whose holds are of every day they go on."""
_COATS = {Phase.LAY: Mixed.RESIN, Phase.COAT: Mixed.TOPCOAT}


class SpellView(Struct, frozen=True):
    """One part of a day: its number in the chart, when, what, the deck to expect, the holds."""

    number: str
    times: str
    what: str
    deck: str
    holds: tuple[str, ...]


class DayView(Struct, frozen=True):
    """One day of work; `last_topcoat` says until when topcoat may be begun, if it is that day.

    `stored` is the flammable liquid that comes, stands on site and stays the night; empty on a day
    that neither brings nor uses any. `around` is what holds the whole day: its light and its wind.
    """

    title: str
    around: tuple[str, ...]
    last_topcoat: str
    stored: str
    spells: tuple[SpellView, ...]


class MixLine(Struct, frozen=True):
    """One mix to be written down: which, how much, for what."""

    number: str
    litres: str
    words: str


class LeastDeck(Struct, frozen=True):
    """One row of the table of the least deck temperature: air, and a cell for each humidity."""

    air: str
    cells: tuple[str, ...]


class DaySheetView(Struct, frozen=True):
    """Everything the template of the day sheet shows but for the head.

    `warned` is None where a forecast covers the days and lets them be worked.
    """

    reference: str
    revision: str
    dated: str
    site_address: str
    build_up: str
    waits_for: str
    first_day: str
    in_charge: str
    warned: Pair | None
    measured: bool
    chart: Markup
    days: tuple[DayView, ...]
    every_day: tuple[str, ...]
    limits: tuple[str, ...]
    humidities: tuple[str, ...]
    least_decks: tuple[LeastDeck, ...]
    read_higher: str
    reading_lines: int
    photos: tuple[str, ...]
    mixes: tuple[MixLine, ...]
    smaller_hot: bool


def day_sheet_view(statement: MethodStatement, issue: Issue) -> DaySheetView:
    """The day sheet in ready words, its limits those of the method statement."""
    plan, waiting = statement.days, waits_for(statement)
    return DaySheetView(
        reference=issue.reference,
        revision=str(issue.revision),
        dated=wording.date(statement.dated),
        site_address=one_line(statement.enquiry.site_address),
        build_up=str(statement.build_up),
        waits_for=f"No start yet: waiting for {waiting}" if waiting else "",
        first_day=first_day_words(first_day_of(statement)),
        in_charge=statement.settings.text("supervisor"),
        warned=_warned(plan),
        measured=not plan.forecast,
        chart=day_chart(_from_the_first(plan)),
        days=tuple(_days(statement)),
        every_day=tuple(_every_day(statement)),
        limits=limit_lines(statement),
        humidities=tuple(f"{pct} %" for pct in HUMIDITY_PCT),
        least_decks=tuple(_least_decks(statement)),
        read_higher=told(LimitSentence.READ_HIGHER),
        reading_lines=READING_LINES,
        photos=statement.photos,
        mixes=tuple(_mixes(statement.option.mixes)),
        smaller_hot=changed_when_hot(statement.option.mixes),
    )


def _from_the_first(plan: WorkPlan) -> WorkPlan:
    """The plan without the days before the first one worked, which the crew has no use for."""
    if not plan.worked:
        return plan
    return replace(plan, days=plan.days[plan.days.index(plan.worked[0]) :])


def _warned(plan: WorkPlan) -> Pair | None:
    """What is said before the days: that they are not begun, or that no forecast covers them."""
    if plan.refused:
        why = why_refused(plan.refused)
        return Pair(told(LimitSentence.NO_START), told(LimitSentence.NO_START_WHY, why=why))
    if not plan.forecast:
        return Pair(told(LimitSentence.NOT_COVERED), told(LimitSentence.BY_THE_CLOCK))
    return None


def _days(statement: MethodStatement) -> Iterator[DayView]:
    begun: set[Phase] = set()
    store = day_store(statement.option, statement.days, statement.settings)
    shares = _opened_m2(statement)
    for day, there, opened_m2 in zip(statement.days.worked, store.days, shares, strict=False):
        rows = list(_beside(day, statement))
        begun -= _EVERY_DAY
        for number, spell in enumerate(day.spells, 1):
            anew = spell.phase not in begun
            opened = opened_m2 if anew and spell.phase is Phase.OPEN else None
            rows.append((spell.span.from_h, _spell(number, spell, statement, anew, opened)))
            begun.add(spell.phase)
        spells = [view for _, view in sorted(rows, key=itemgetter(0))]
        if day is statement.days.worked[-1] and Phase.AFTER not in begun:
            spells.append(_at_the_end(len(day.spells) + 1, statement))
        title = f"Day {day.number}"
        yield DayView(
            title=f"{title}: {wording.long_day(day.day)}" if day.day else title,
            around=tuple(_around(day)),
            last_topcoat=_last_topcoat(day),
            stored=stored_words(there, store.guide_l.number, last=day is statement.days.worked[-1]),
            spells=tuple(spells),
        )


def _opened_m2(statement: MethodStatement) -> list[float | None]:
    """How much of the roof each day opens [m2], by its hours; None where one day opens it all."""
    hours = [
        sum(one.span.to_h - one.span.from_h for one in day.spells if one.phase is Phase.OPEN)
        for day in statement.days.worked
    ]
    if sum(map(bool, hours)) <= 1:
        return [None] * len(hours)
    area_m2 = statement.take_off.outline.area_m2.number
    return [area_m2 * spent / sum(hours) for spent in hours]


def _beside(day: WorkDay, statement: MethodStatement) -> Iterator[tuple[float, SpellView]]:
    """The test mixes and the break of a day, by the hour at which they begin."""
    litres = f"{wording.plain(statement.settings.number('test_mix_l'))} l"
    for one in day.tests:
        coat = _COATS[one.coat]
        what = told(LimitSentence.TEST_MIX_ROW, coat=str(coat), litres=litres)
        holds = (told(MixSentence.BOTTLE_OPENED), told(MixSentence.TEST_MIX_APART))
        yield one.made_h, _row(one.made_h, one.hard_h, what, holds)
    if day.rest:
        rest = day.rest
        yield rest.from_h, _row(rest.from_h, rest.to_h, told(LimitSentence.BREAK_ROW))


def _row(from_h: float, to_h: float, what: str, holds: tuple[str, ...] = ()) -> SpellView:
    return SpellView("", f"{clock(from_h)} to {clock(to_h)}", what, "", holds)


def _around(day: WorkDay) -> Iterator[str]:
    """The light and the wind of a day."""
    if day.light and day.day:
        light = day.light
        yield told(
            LimitSentence.LIGHT,
            rises=clock(light.sunrise_h),
            sets=clock(light.sunset_h),
            last=clock(light.dusk_h),
        )
    if day.gust_mph is None:
        yield told(LimitSentence.GUST_UNKNOWN)
    else:
        yield told(LimitSentence.GUST_TO, gust=f"{wording.plain(day.gust_mph)} mph")


def _every_day(statement: MethodStatement) -> Iterator[str]:
    """What dark and wind stop on any day."""
    yield told(LimitSentence.DARK_STOPS)
    yield wind_line(statement)


def _at_the_end(number: int, statement: MethodStatement) -> SpellView:
    """Clearing up and handing over, where no hours of their own are planned for them."""
    steps = [step for step in statement.steps if step.phase is Phase.AFTER]
    return SpellView(
        number=str(number),
        times="then",
        what="; ".join(step.title for step in steps),
        deck="",
        holds=tuple(step.hold_point for step in steps if step.hold_point),
    )


def _last_topcoat(day: WorkDay) -> str:
    coats = any(spell.phase is Phase.COAT for spell in day.spells)
    if not coats or day.last_topcoat_h is None:
        return ""
    return told(LimitSentence.TOPCOAT_BY, time=clock(day.last_topcoat_h))


def _spell(
    number: int, spell: Spell, statement: MethodStatement, first: bool, opened_m2: float | None
) -> SpellView:
    """One part of a day: with its steps and holds where it is the `first` to speak of them."""
    steps = [step for step in statement.steps if step.phase is spell.phase] if first else []
    what = "; ".join(step.title for step in steps)
    if not what and first:
        what = _tasks(spell.phase, statement)
    elif not what:
        what = f"{capital(spell.phase)}, continued"
    if spell.abrade:
        what += f". {told(LimitSentence.ABRADE_FIRST)}"
    holds = [step.hold_point for step in steps if step.hold_point]
    if opened_m2 is not None:
        holds.insert(0, told(LimitSentence.OPEN_TODAY, area=f"{wording.number(opened_m2)} m²"))
    opened = told(MixSentence.BOTTLE_OPENED)
    if spell.phase in _COATS and not any(opened in words for words in holds):
        holds.append(opened)
    return SpellView(
        number=str(number),
        times=f"{clock(spell.span.from_h)} to {clock(spell.span.to_h)}",
        what=what,
        deck=_deck(spell),
        holds=tuple(holds),
    )


def _tasks(phase: Phase, statement: MethodStatement) -> str:
    """What is done in a part of the work that has no steps of its own."""
    tasks = [line.task for line in statement.option.labour if line.phase is phase]
    return capital("; ".join(small(task) for task in tasks))


def _deck(spell: Spell) -> str:
    if spell.deck_c is None:
        return ""
    coldest, warmest = (wording.number(c) for c in spell.deck_c)
    return f"{coldest} °C" if coldest == warmest else f"{coldest} to {warmest} °C"


def _least_decks(statement: MethodStatement) -> Iterator[LeastDeck]:
    """The least deck temperature by air and humidity; blank where the air is too humid."""
    limits = statement.limits
    magnus = (figure("dew_point.magnus_a").number, figure("dew_point.magnus_b_c").number)
    for air_c in AIR_C:
        cells = []
        for humidity_pct in HUMIDITY_PCT:
            dew_c = dew_point_c(air_c, humidity_pct, *magnus)
            least_c = least_deck_temperature_c(
                dew_c, limits.dew_margin_c.number, limits.least_c.number
            )
            cells.append(wording.number(round_up(least_c, DECK_STEP_C), 1))
        yield LeastDeck(f"{air_c} °C", tuple(cells))


def _mixes(mixes: Sequence[Mixes]) -> Iterator[MixLine]:
    """A line for each mix of the cool table, numbered by material in the order of laying."""
    for one in (band for band in mixes if not band.hot):
        for mix in mixes_in_order(one):
            litres = f"{capital(one.material)}, {amount_words(mix.size)}"
            yield MixLine(mix_mark(one.material, mix.number), litres, mix.what)


def _fill(statement: MethodStatement, issue: Issue, _box: PictureBox) -> Mapping[str, Any]:
    return {"day": day_sheet_view(statement, issue)}


DAY_SHEET = Design(
    "Day sheet",
    "crew/day_sheet.html",
    lambda statement: (statement.enquiry, statement.settings),
    _fill,
)
