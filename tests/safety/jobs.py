"""Jobs for the tests of safety, measured by the real take-off."""

from dataclasses import replace
from typing import Any

from quotegen.model.enquiry import (
    Below,
    Covering,
    Deck,
    DeckCondition,
    Enquiry,
    Existing,
    Occupier,
    SiteFacts,
)
from quotegen.model.safety import Fact, Known, MethodStatement
from quotegen.model.takeoff import OptionTakeOff, TakeOff
from quotegen.reference import rules
from quotegen.safety.facts import Job, facts_of
from quotegen.safety.statement import make_statement
from quotegen.takeoff.measure import measure
from tests import builders

SETTINGS = builders.settings()
NOTHING_NEAR = SiteFacts(
    heated_below=False,
    overhead_cables=False,
    flue_near=False,
    cars_near=False,
    asbestos_surveyed=True,
    room_for_tower=True,
    nesting_birds=False,
    lone_work=False,
)


def plain_enquiry(**changes: Any) -> Enquiry:
    """An empty modern house, a felt roof over the garden, a mild day, everything known."""
    made = builders.enquiry(
        occupier=Occupier.EMPTY,
        below=(Below.GARDEN,),
        site=NOTHING_NEAR,
        year_built=builders.given("year built", 2006.0, ""),
        deck_c=builders.given("deck expected", 15.0, "°C"),
        air_c=builders.given("air expected", 15.0, "°C"),
        humidity_pct=builders.given("humidity expected", 70.0, "%"),
        existing=Existing(
            Covering.FELT, builders.given("layers", 2.0, "layers"), Deck.SHEET, DeckCondition.SOUND
        ),
    )
    return replace(made, **changes)


def take_off(enquiry: Enquiry) -> TakeOff:
    """The take-off of an enquiry that can be measured."""
    measured, _ = measure(enquiry, SETTINGS, builders.prices(), builders.TODAY)
    assert measured is not None
    return measured


def statement(enquiry: Enquiry) -> MethodStatement:
    """The method statement of an enquiry."""
    return make_statement(take_off(enquiry), SETTINGS, builders.TODAY)


def job(enquiry: Enquiry) -> Job:
    """What the facts of an enquiry's first build-up are read off."""
    measured = take_off(enquiry)
    return Job(enquiry, measured.outline, measured.options[0], SETTINGS)


def facts(enquiry: Enquiry) -> dict[str, Fact]:
    """The facts of an enquiry's first build-up."""
    return dict(facts_of(job(enquiry)))


def made_up_facts(known: dict[str, Known], others: Known = Known.NO) -> dict[str, Fact]:
    """Every declared fact, as given or as the others."""
    return {
        key: Fact(key, rule.words, known.get(key, others), "made up")
        for key, rule in rules.facts().items()
    }


def without_needs(option: OptionTakeOff, *items: str) -> OptionTakeOff:
    """The option as if it took none of these items."""
    return replace(option, needs=tuple(n for n in option.needs if n.item not in items))


def all_text(made: MethodStatement) -> str:
    """Every sentence of a statement that comes from the rule tables, in one text."""
    parts: list[str] = [made.ladder_note, *made.injuries, *made.people, *made.waste_notes]
    parts += made.cautions
    for step in made.steps:
        parts += [step.title, *step.lines, step.hold_point]
    for risk in made.risks:
        parts += [risk.hazard, risk.who, *(control.text for control in risk.controls)]
        parts += [*risk.because, *risk.assumed]
    for one in made.substances:
        parts += [one.name, *one.storage, one.keep_from, one.spill, one.fire, one.waste]
        parts += [text for pair in (*one.statements, *one.first_aid) for text in pair]
        parts += one.limits
    for worn in made.protection:
        parts += [worn.task, worn.eyes, worn.hands, worn.breathing, worn.other]
    parts += [text for pair in made.emergency for text in pair]
    return "\n".join(parts)
