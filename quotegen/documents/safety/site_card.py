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
from quotegen.documents.shared.before_words import open_words
from quotegen.documents.shared.first_day_words import first_day_words, standing_of
from quotegen.documents.shared.limit_lines import limits_of, wind_limits
from quotegen.documents.shared.mix_view import (
    amount_words,
    bands_by_table,
    deck_expected,
    dose_to_go_by,
    doses_of,
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
from quotegen.reference.loader import entry
from quotegen.reference.rule_keys import CardSentence, LimitSentence, TaskKey
from quotegen.safety.rules.platform_words import platform_lines
from quotegen.safety.rules.text import told

SIGN_MM = 13.0
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
    edge: tuple[str, ...]
    mixes: tuple[CardMix, ...]
    other_decks: str


def site_card_view(statement: MethodStatement, issue: Issue) -> SiteCardView:
    """The front of the site card in ready words."""
    address = one_line(statement.enquiry.site_address)
    mixing = next(task for task in statement.protection if task.key == TaskKey.MIXING)
    minutes = wording.count(entry("first_aid.eye_minutes").value, "minute", "minutes")
    refused = statement.days.refused
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
        goggles=sign("eyes", SIGN_MM),
        eyes=mixing.eyes,
        eye=told(CardSentence.EYE, eye_minutes=minutes),
        never=never_with_catalyst(),
        fire=told(CardSentence.FIRE),
        ring=told(CardSentence.RING_999, address=address),
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
    yield Pair("Who mixes", "")


def _holds(statement: MethodStatement) -> Iterator[str]:
    """What holds the start, named or counted, and the steps with a hold of their own."""
    waiting = open_words(statement.before)
    if len(waiting) > HOLDS_NAMED:
        count = wording.count(float(len(waiting)), "thing", "things")
        yield told(CardSentence.NO_START_MANY, count=count)
    elif waiting:
        yield told(CardSentence.NO_START, what=listed(waiting))
    steps = [str(number) for number, one in enumerate(statement.steps, 1) if one.hold_point]
    if steps:
        name = "step" if len(steps) == 1 else "steps"
        yield told(CardSentence.HOLDS, steps=f"{name} {listed(steps)}")


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
    yield _large(told(CardSentence.WIND_BOARDS, boards=wind["boards"]))
    yield _large(told(CardSentence.WIND_EDGE, edge=wind["edge"]))
    yield _large(told(CardSentence.OTHERWISE))


def _large(words: str) -> Pair:
    """A short form at its colon: the name of it, and what is large."""
    name, _, large = words.partition(": ")
    return Pair(name, large)


def _edge(statement: MethodStatement) -> Iterator[str]:
    """Where nobody stands, the platform with its rails, and the ground kept clear."""
    access = statement.option.access
    if access.stood_on:
        yield told(CardSentence.ON_THE_ROOF)
    elif access.chosen in PLATFORMS:
        yield told(CardSentence.OFF_THE_ROOF)
    elif access.chosen is Access.GROUND:
        yield told(CardSentence.FROM_GROUND)
    else:
        yield told(CardSentence.FROM_LADDER)
    if any(statement.facts[key].present for key in WEAK):
        yield told(CardSentence.WEAK)
    if access.chosen in PLATFORMS:
        rails = statement.rails
        yield " ".join(
            (
                *platform_lines(access, statement.settings)[:1],
                told(
                    CardSentence.RAILS,
                    top=wording.mm(rails.top_mm.number),
                    middle=wording.mm(rails.middle_mm.number),
                    toe=wording.mm(rails.toe_board_mm.number),
                    gap=wording.mm(rails.largest_gap_mm.number),
                ),
            )
        )
    if access.chosen is not Access.GROUND:
        yield kept_clear(statement)


def _mixes(statement: MethodStatement) -> Iterator[CardMix]:
    """The mix of each material on the deck expected."""
    tables = bands_by_table(planned_mixes(statement))
    for material in dict.fromkeys(bands[0].material for bands in tables):
        mine = [bands for bands in tables if bands[0].material == material]
        expected = [bands for bands in mine if deck_expected(bands) is not None]
        yield _mix(expected[0] if expected else mine[0], statement)


def _mix(bands: tuple[Mixes, ...], statement: MethodStatement) -> CardMix:
    settings, name = statement.settings, capital(bands[0].material)
    amount, expected = amount_words(bands[0].size), deck_expected(bands)
    by = dose_to_go_by(expected, doses_of(bands, settings)) if expected is not None else None
    if expected is None or (by is None and expected.ml is not None):
        return CardMix(name, amount, "", "", told(CardSentence.DECK_NOT_FORECAST))
    deck = f"deck {wording.plain(expected.deck_c)} °C"
    if expected.ml is None or by is None or by.ml is None or by.pot_life_min is None:
        return CardMix(name, amount, no_mix(), "", deck)
    return CardMix(
        name,
        amount,
        ml_words(by.ml, settings),
        f"{wording.number(by.pot_life_min)} min",
        f"{deck}: by {wording.plain(by.deck_c)} °C",
    )


def _fill(statement: MethodStatement, issue: Issue, _box: PictureBox) -> Mapping[str, Any]:
    return {"card": site_card_view(statement, issue), "mix": mix_card_view(statement, issue)}


SITE_CARD = Design(
    "Site card",
    "safety/site_card.html",
    lambda statement: (statement.enquiry, statement.settings),
    _fill,
)
"""The sheet for the pocket: the front, and the mix card as its back."""
