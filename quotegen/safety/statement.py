"""The method statement of one enquiry, put together from the facts of the job."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from quotegen.model.choices import BuildUp
from quotegen.model.days import WorkPlan
from quotegen.model.safety import Fact, LawNote, MethodStatement
from quotegen.model.settings import Settings
from quotegen.model.takeoff import OptionTakeOff, TakeOff
from quotegen.reference import house_rules, rules
from quotegen.safety.climate import working_limits
from quotegen.safety.days import plan_days
from quotegen.safety.facts import facts_of, holds
from quotegen.safety.hazards import likely_injuries, risks, stated_matrix
from quotegen.safety.inspections import inspections_of
from quotegen.safety.job import Job
from quotegen.safety.keep_out import keep_out_of
from quotegen.safety.ladders import ladder_for
from quotegen.safety.protection import gloves_for_all, protection_of
from quotegen.safety.steps import work_steps
from quotegen.safety.substances import substances_of
from quotegen.safety.text import fill
from quotegen.safety.words import job_words
from quotegen.takeoff.guard_rails import planned_rails

_FULLEST = tuple(BuildUp)


@dataclass(frozen=True, slots=True)
class LaidOut:
    """The build-up a statement is for, whether the customer has accepted it, and its days."""

    option: OptionTakeOff
    accepted: bool
    days: WorkPlan


def lay_out(take_off: TakeOff, settings: Settings, dated: date) -> LaidOut:
    """The accepted build-up, or else the fullest one, laid out into days from a date on."""
    option, accepted = choose_option(take_off)
    enquiry = take_off.enquiry
    planned_deck = enquiry.deck_c or settings["planned_least_c"]
    plan = plan_days(option, settings, enquiry.start_on, dated, planned_deck.number)
    return LaidOut(option, accepted, plan)


def make_statement(
    take_off: TakeOff, settings: Settings, dated: date, laid_out: LaidOut | None = None
) -> MethodStatement:
    """Write the method statement for the accepted build-up, or else for the fullest one.

    `laid_out` are its days where they have been laid out already. Whatever is not known is treated
    as the answer that needs more care, and the risks say so.
    """
    enquiry = take_off.enquiry
    laid = laid_out or lay_out(take_off, settings, dated)
    option, plan = laid.option, laid.days
    job = Job(enquiry, take_off.outline, option, settings, plan)
    facts = facts_of(job)
    ladder, ladder_note = ladder_for(enquiry.roof.height_mm, option.access.chosen, settings)
    limits = working_limits(enquiry, settings)
    words = job_words(job, ladder, limits, plan)
    found = risks(facts, words)
    return MethodStatement(
        enquiry=enquiry,
        take_off=take_off,
        option=option,
        settings=settings,
        dated=dated,
        accepted=laid.accepted,
        facts=facts,
        days=plan,
        ladder=ladder,
        ladder_note=ladder_note,
        rails=planned_rails(settings),
        keep_out=keep_out_of(job),
        inspections=inspections_of(job),
        limits=limits,
        injuries=likely_injuries(found),
        steps=work_steps(facts, words),
        risks=found,
        matrix=stated_matrix(),
        substances=substances_of(facts, words),
        protection=protection_of(facts, words),
        marks=_titled("marks", facts, words),
        stored=_titled("stored", facts, words),
        emergency=_titled("emergency", facts, words),
        people=_texts("people", facts, words),
        waste_notes=_texts("waste", facts, words),
        law=_law(facts, words),
        cautions=_texts("cautions", facts, words),
        photos=_texts("photos", facts, words),
        notice=_titled("notice", facts, words),
        care=_titled("care", facts, words),
        asked=_asked(option, facts, words),
    )


def choose_option(take_off: TakeOff) -> tuple[OptionTakeOff, bool]:
    """The build-up to write for, and whether the customer has accepted it.

    Until one is accepted it is the one that lays most, whatever the day and the hours, so that
    the weather never decides what the statement is about.
    """
    for option in take_off.options:
        if option.build_up is take_off.enquiry.accepted:
            return option, True
    fullest = max(take_off.options, key=lambda option: _FULLEST.index(option.build_up))
    return fullest, False


def _law(facts: Mapping[str, Fact], words: Mapping[str, str]) -> tuple[LawNote, ...]:
    return tuple(
        LawNote(note.title, fill(note.line.text, words), note.basis.checked)
        for note in rules.notes("law")
        if holds(note.line.when, facts)
    )


def _asked(
    option: OptionTakeOff, facts: Mapping[str, Fact], words: Mapping[str, str]
) -> Mapping[str, str]:
    gear = {**words, "gloves": gloves_for_all(facts)}
    items = [house_rules.items()[need.item] for need in option.needs]
    return {item.code: fill(item.asks, gear) for item in items if item.asks}


def _texts(table: str, facts: Mapping[str, Fact], words: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(text for _, text in _titled(table, facts, words))


def _titled(
    table: str, facts: Mapping[str, Fact], words: Mapping[str, str]
) -> tuple[tuple[str, str], ...]:
    return tuple(
        (note.title, fill(note.line.text, words))
        for note in rules.notes(table)
        if holds(note.line.when, facts)
    )
