"""The method statement of one enquiry, put together from the facts of the job."""

from collections.abc import Mapping
from datetime import date
from types import MappingProxyType

from quotegen.model.safety import Fact, LawNote, MethodStatement, Note
from quotegen.model.settings import Settings
from quotegen.model.takeoff import OptionTakeOff, TakeOff
from quotegen.reference import house_rules, rules
from quotegen.safety.facts.facts import facts_of, holds
from quotegen.safety.facts.job import PlannedJob
from quotegen.safety.facts.limits import working_limits
from quotegen.safety.rules.hazards import likely_injuries, risks, stated_matrix
from quotegen.safety.rules.inspections import inspections_of
from quotegen.safety.rules.keep_out import keep_out_of
from quotegen.safety.rules.ladders import ladder_for
from quotegen.safety.rules.protection import gloves_for_all, protection_of
from quotegen.safety.rules.steps import work_steps
from quotegen.safety.rules.substances import substances_of
from quotegen.safety.rules.text import Numbers, TextPlace, with_figures
from quotegen.safety.rules.van_kit import kit_of
from quotegen.safety.statement.firm_words import firm_words
from quotegen.safety.statement.laying_out import LaidOut, lay_out
from quotegen.safety.statement.standing import sheet_numbers
from quotegen.safety.statement.words import job_words


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
    job = PlannedJob(enquiry, take_off.outline, option, settings, plan)
    facts = facts_of(job)
    ladder, ladder_note = ladder_for(enquiry.roof.height_mm, option.access.chosen, settings)
    limits = working_limits(enquiry, settings)
    words = job_words(job, ladder, limits, plan)
    numbers = sheet_numbers(firm_words(settings))
    found = risks(facts, words, numbers)
    return MethodStatement(
        enquiry=enquiry,
        take_off=take_off,
        option=option,
        settings=settings,
        dated=dated,
        accepted=laid.accepted,
        facts=facts,
        days=plan,
        before=laid.before,
        ladder=ladder,
        ladder_note=ladder_note,
        keep_out=keep_out_of(job),
        inspections=inspections_of(job),
        limits=limits,
        injuries=likely_injuries(found),
        steps=work_steps(facts, words, numbers),
        risks=found,
        matrix=stated_matrix(),
        substances=substances_of(facts, words, numbers),
        protection=protection_of(facts, words, numbers),
        marks=_notes("marks", facts, words, numbers),
        stored=_notes("stored", facts, words, numbers),
        emergency=_notes("emergency", facts, words, numbers),
        people=_texts("people", facts, words),
        waste=_notes("waste", facts, words, numbers),
        law=_law(facts, words, numbers),
        cautions=_texts("cautions", facts, words),
        photos=_texts("photos", facts, words),
        notice=_notes("notice", facts, words),
        care=_notes("care", facts, words),
        asked=_asked(option, facts, words),
        kit=kit_of(job, facts, words),
    )


def _law(
    facts: Mapping[str, Fact], words: Mapping[str, str], numbers: Numbers
) -> tuple[LawNote, ...]:
    return tuple(
        LawNote(
            note.key,
            note.title,
            with_figures(note.line.text, words),
            note.basis.checked,
            numbers.get(TextPlace("law", note.key), ""),
        )
        for note in rules.notes("law")
        if holds(note.line.when, facts)
    )


def _asked(
    option: OptionTakeOff, facts: Mapping[str, Fact], words: Mapping[str, str]
) -> Mapping[str, str]:
    gear = {**words, "gloves": gloves_for_all(facts)}
    items = [house_rules.items()[need.item] for need in option.needs]
    return {item.code: with_figures(item.asks, gear) for item in items if item.asks}


def _texts(table: str, facts: Mapping[str, Fact], words: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(note.text for note in _notes(table, facts, words))


def _notes(
    table: str,
    facts: Mapping[str, Fact],
    words: Mapping[str, str],
    numbers: Numbers = MappingProxyType({}),
) -> tuple[Note, ...]:
    """The notes of a table that hold, each with its paragraph of the standing sheet, if any."""
    return tuple(
        Note(
            note.key,
            note.title,
            with_figures(note.line.text, words),
            numbers.get(TextPlace(table, note.key), ""),
        )
        for note in rules.notes(table)
        if holds(note.line.when, facts)
    )
