"""The site card: one sheet in a plastic pocket, read at arm's length in the rain.

Its front is the first page of the method statement too; its back is the mix card. It works nothing
out: every figure is read where the other papers read it, and what is shortened here is in full on
the back or on the statement.
"""

from collections.abc import Iterator, Mapping
from typing import Any

from markupsafe import Markup
from msgspec import Struct

from quotegen import wording
from quotegen.days.first_day import first_day_of
from quotegen.documents.drawing.day_chart import why_refused
from quotegen.documents.drawing.signs import sign
from quotegen.documents.printing.design import Design
from quotegen.documents.printing.paper import PictureBox, one_line
from quotegen.documents.safety.access_view import kept_clear
from quotegen.documents.safety.mix_card import mix_card_view
from quotegen.documents.shared.before_words import open_words, papers_first
from quotegen.documents.shared.first_day_words import first_day_words, standing_of
from quotegen.documents.shared.limit_lines import limits_of, wind_limits
from quotegen.documents.shared.mix_view import (
    MixTable,
    amount_words,
    bands_by_table,
    deck_expected,
    dose_to_go_by,
    doses_of,
    mix_tables,
    ml_words,
    never_with_catalyst,
    no_mix,
    planned_mixes,
)
from quotegen.documents.shared.risk_view import Pair
from quotegen.model.choices import PLATFORMS, Access
from quotegen.model.issue import Issue
from quotegen.model.safety import Known, MethodStatement
from quotegen.model.takeoff import Mixes
from quotegen.phrases import capital, listed
from quotegen.reference.loader import entry, figure
from quotegen.reference.rule_keys import CardSentence, EmergencyKey, LimitSentence, TaskKey
from quotegen.safety.rules.platform_words import platform_lines, rail_words, toe_words
from quotegen.safety.rules.text import told

EYE_SIGN_MM = 13.0
HOLDS_NAMED = 5
"""So many open things are named before the start; more are counted, with where they are."""
WEAK = ("fragile_deck", "rooflights", "openings", "open_joists")
"""The facts with which somebody could go through the roof."""
SHORT = {
    LimitSentence.TEMPERATURE: CardSentence.TEMPERATURE,
    LimitSentence.TOPCOAT: CardSentence.TOPCOAT,
    LimitSentence.DEW_POINT: CardSentence.DEW_POINT,
    LimitSentence.HUMIDITY: CardSentence.HUMIDITY,
    LimitSentence.MOISTURE: CardSentence.MOISTURE,
    LimitSentence.RAIN: CardSentence.RAIN,
    LimitSentence.RECOAT: CardSentence.RECOAT,
    LimitSentence.EXPECTED_DECK: CardSentence.EXPECTED_DECK,
    LimitSentence.NOT_MEASURED: CardSentence.NOT_MEASURED,
}
"""The short form of every limit."""


class CardMix(Struct, frozen=True):
    """One material on the deck expected: its mix, the catalyst, the minutes in the bucket.

    `dose` is empty where no deck is expected or the other table has it; `go_by` then says so.
    """

    name: str
    amount: str
    dose: str
    minutes: str
    go_by: str


class SiteCardView(Struct, frozen=True):
    """Everything the front of the site card shows; empty in `people` is a line to write on."""

    reference: str
    site_address: str
    build_up: str
    days: str
    people: tuple[Pair, ...]
    refused: str
    holds: tuple[str, ...]
    not_known: str
    injuries: tuple[str, ...]
    limits: tuple[Pair, ...]
    goggles: Markup
    eyes: str
    eye: str
    never: str
    fire: str
    ring: str
    hospital: str
    roof: str
    edge: tuple[Pair, ...]
    mixes: tuple[CardMix, ...]
    other_decks: str


def site_card_view(statement: MethodStatement, issue: Issue) -> SiteCardView:
    """The front of the site card in ready words."""
    address = one_line(statement.enquiry.site_address)
    mixing = next(task for task in statement.protection if task.key == TaskKey.MIXING)
    minutes = wording.count(entry("first_aid.eye_minutes").value, "minute", "minutes")
    refused = statement.days.refused
    hospital = next(n for n in statement.emergency if n.key == EmergencyKey.NEAREST_HOSPITAL)
    return SiteCardView(
        reference=issue.reference,
        site_address=address,
        build_up=str(statement.build_up),
        days=_days(statement),
        people=tuple(_people(statement)),
        refused=(
            told(LimitSentence.DO_NOT_START, why=why_refused(refused))
            if refused is not None
            else ""
        ),
        holds=tuple(_holds(statement)),
        not_known=_not_known(statement),
        injuries=tuple(capital(injury) for injury in statement.injuries),
        limits=tuple(_limits(statement)),
        goggles=sign("eyes", EYE_SIGN_MM),
        eyes=mixing.eyes,
        eye=told(CardSentence.EYE, eye_minutes=minutes),
        never=never_with_catalyst(),
        fire=told(CardSentence.FIRE),
        ring=told(CardSentence.RING_999, address=address),
        hospital=hospital.title,
        roof=_roof(statement),
        edge=tuple(_edge(statement)),
        mixes=tuple(_mixes(statement)),
        other_decks=told(CardSentence.OTHER_DECKS),
    )


def _days(statement: MethodStatement) -> str:
    """The days of work, or what is known of the first of them."""
    first, plan = first_day_of(statement), statement.days
    dates = [wording.short_day(day.day) for day in plan.worked if day.day is not None]
    if plan.refused is not None or not plan.forecast or not dates:
        return capital(first_day_words(first))
    span = dates[0] if len(dates) == 1 else f"{dates[0]} to {dates[-1]}"
    return f"{capital(standing_of(first))}: {span}"


def _people(statement: MethodStatement) -> Iterator[Pair]:
    named = statement.settings.text
    yield Pair("In charge", named("supervisor"))
    yield Pair("Telephone", named("emergency_phone"))
    yield Pair("First aid", named("first_aider"))
    yield Pair("Mixer: no name, no mix", "")


def _holds(statement: MethodStatement) -> Iterator[str]:
    """What holds the start, and what stops the job once it is begun.

    All that is open is named while it is little; else the papers to have in hand, the rest counted.
    """
    waiting = open_words(statement.before)
    if len(waiting) > HOLDS_NAMED:
        first = papers_first(statement.before)
        more = f"{len(waiting) - len(first)} more"
        yield told(CardSentence.NO_START_MANY, what=listed((*first, more)))
    elif waiting:
        yield told(CardSentence.NO_START, what=listed(waiting))
    holds = sum(bool(step.hold_point) for step in statement.steps)
    if holds:
        yield told(CardSentence.HOLDS, count=wording.count(float(holds), "hold", "holds"))
    if statement.facts["before_2000"].present:
        yield told(CardSentence.ASBESTOS)


def _not_known(statement: MethodStatement) -> str:
    """How many facts nobody knows; empty where all are known."""
    unknown = sum(fact.known is Known.UNKNOWN for fact in statement.facts.values())
    if not unknown:
        return ""
    count = wording.count(float(unknown), "thing", "things")
    return told(CardSentence.NOT_KNOWN, count=count)


def _limits(statement: MethodStatement) -> Iterator[Pair]:
    """Every stop limit: what is measured, and the figure that is printed large."""
    wind = wind_limits(statement)
    for key, figures in limits_of(statement):
        yield _large(told(SHORT[key], **figures))
    yield _large(told(CardSentence.WIND_BOARDS, boards=wind.boards))
    if wind.steady is None:
        yield _large(told(CardSentence.WIND_EDGE, edge=wind.edge))
    else:
        yield _large(told(CardSentence.WIND_TOWER, edge=wind.edge, steady=wind.steady))
    yield _large(told(CardSentence.OTHERWISE))


def _large(words: str) -> Pair:
    """A short form at its colon: the name of it, and what is large."""
    name, _, large = words.partition(": ")
    return Pair(name, large)


def _roof(statement: MethodStatement) -> str:
    """Whether anybody may be on the roof; nobody, unless every open edge is guarded at once."""
    access = statement.option.access
    if access.stood_on:
        return told(CardSentence.ON_THE_ROOF)
    if access.chosen in PLATFORMS:
        return told(CardSentence.OFF_THE_ROOF)
    if access.chosen is Access.GROUND:
        return told(CardSentence.FROM_GROUND)
    return told(CardSentence.FROM_LADDER)


def _edge(statement: MethodStatement) -> Iterator[Pair]:
    """Where one could go through, the platform with its rails, and the ground kept clear."""
    access = statement.option.access
    if any(statement.facts[key].present for key in WEAK):
        yield Pair("Underfoot", told(CardSentence.WEAK))
    if access.platform:
        yield Pair("Platform", " ".join(platform_lines(access, statement.settings)[:1]))
        rails = access.platform.rails
        guarded = told(
            CardSentence.RAILS,
            toe=toe_words(rails),
            rails=rail_words(rails),
            gap=wording.mm(figure("work_at_height.guard_gap_mm").number),
        )
        yield Pair("Rails", guarded)
    if access.chosen is not Access.GROUND:
        yield Pair("Keep clear", kept_clear(statement))


def _mixes(statement: MethodStatement) -> Iterator[CardMix]:
    """The mix of each material on the deck expected, with what its table says of that deck."""
    planned = planned_mixes(statement)
    tables = mix_tables(planned, statement.limits, statement.settings)
    both = list(zip(bands_by_table(planned), tables, strict=True))
    for material in dict.fromkeys(bands[0].material for bands, _ in both):
        mine = [one for one in both if one[0][0].material == material]
        expected = [one for one in mine if one[1].expected]
        yield _mix(*(expected or mine)[0], statement)


def _mix(bands: tuple[Mixes, ...], table: MixTable, statement: MethodStatement) -> CardMix:
    settings, expected = statement.settings, deck_expected(bands)
    name, amount = capital(bands[0].material), amount_words(bands[0].size)
    if expected is None:
        return CardMix(name, amount, "", "", told(CardSentence.DECK_NOT_FORECAST))
    by = dose_to_go_by(expected, doses_of(bands, settings))
    if expected.ml is None or (by is not None and by.ml is None):
        return CardMix(name, amount, no_mix(), "", table.expected)
    if by is None or by.ml is None or by.pot_life_min is None:
        return CardMix(name, amount, "", "", table.expected)
    minutes = f"{wording.number(by.pot_life_min)} min"
    return CardMix(name, amount, ml_words(by.ml, settings), minutes, table.expected)


def _fill(statement: MethodStatement, issue: Issue, _box: PictureBox) -> Mapping[str, Any]:
    return {"card": site_card_view(statement, issue), "mix": mix_card_view(statement, issue)}


SITE_CARD = Design(
    "Site card",
    "safety/site_card.html",
    lambda statement: (statement.enquiry, statement.settings),
    _fill,
)
"""The sheet for the pocket: the front, and the mix card as its back."""
