"""The method statement of one enquiry, put together from the facts of the job."""

from collections.abc import Mapping
from datetime import date

from quotegen.model.enquiry import BuildUp
from quotegen.model.safety import Fact, MethodStatement
from quotegen.model.settings import Settings
from quotegen.model.takeoff import OptionTakeOff, TakeOff
from quotegen.reference import rules
from quotegen.safety.climate import working_limits
from quotegen.safety.facts import Job, facts_of, holds
from quotegen.safety.hazards import likely_injuries, risks, stated_matrix
from quotegen.safety.ladders import ladder_for
from quotegen.safety.protection import protection_of
from quotegen.safety.steps import work_steps
from quotegen.safety.substances import substances_of
from quotegen.safety.text import fill
from quotegen.safety.words import job_words

_MOST_WORK = tuple(BuildUp)


def make_statement(take_off: TakeOff, settings: Settings, dated: date) -> MethodStatement:
    """Write the method statement for the accepted build-up, or for the one with the most work.

    Whatever is not known is treated as the answer that needs more care, and the risks say so.
    """
    enquiry = take_off.enquiry
    option, accepted = choose_option(take_off)
    job = Job(enquiry, take_off.outline, option, settings)
    facts = facts_of(job)
    ladder, ladder_note = ladder_for(enquiry.roof.height_mm, option.access.chosen)
    limits = working_limits(enquiry, settings)
    words = job_words(job, ladder, limits)
    found = risks(facts, words)
    return MethodStatement(
        enquiry=enquiry,
        take_off=take_off,
        option=option,
        settings=settings,
        dated=dated,
        accepted=accepted,
        facts=facts,
        ladder=ladder,
        ladder_note=ladder_note,
        limits=limits,
        injuries=likely_injuries(found),
        steps=work_steps(facts, words),
        risks=found,
        matrix=stated_matrix(),
        substances=substances_of(facts, words),
        protection=protection_of(facts, words),
        marks=_titled("marks", facts, words),
        emergency=_titled("emergency", facts, words),
        people=_texts("people", facts, words),
        waste_notes=_texts("waste", facts, words),
        cautions=_texts("cautions", facts, words),
    )


def choose_option(take_off: TakeOff) -> tuple[OptionTakeOff, bool]:
    """The build-up to write for, and whether the customer has accepted it.

    Until one is accepted it is the one with the most hours, and of equals the fuller build-up.
    """
    for option in take_off.options:
        if option.build_up is take_off.enquiry.accepted:
            return option, True
    most = max(
        take_off.options,
        key=lambda option: (
            option.programme.person_hours.number,
            _MOST_WORK.index(option.build_up),
        ),
    )
    return most, False


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
