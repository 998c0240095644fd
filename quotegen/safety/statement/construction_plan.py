"""The construction phase plan of one enquiry, which every project needs, however small.

It says who is responsible for what, how the site is run and what has to be in place before the
start, and points to the method statement for what is done about each danger. Source: CDM
Regulations 2015 (SI 2015/51), regulations 12(2) and 15(5) and (6).
"""

from collections.abc import Mapping, Sequence

from msgspec.structs import replace

from quotegen import wording
from quotegen.model.safety import ConstructionPlan, MethodStatement, Notice, PlanEntry
from quotegen.reference import rules
from quotegen.reference.rule_keys import PlanPart
from quotegen.reference.rule_records import NoteRule
from quotegen.safety.facts.facts import holds
from quotegen.safety.facts.job import PlannedJob
from quotegen.safety.facts.project import notice_of
from quotegen.safety.rules.hazards import main_dangers
from quotegen.safety.rules.text import with_figures
from quotegen.safety.statement.firm_words import BLANK_LINE
from quotegen.safety.statement.words import job_words


def make_plan(statement: MethodStatement) -> ConstructionPlan:
    """Write the plan that goes with a method statement, from the same facts of the job."""
    notice = notice_of(statement.option)
    words = plan_words(statement, notice)
    printed = {
        part: tuple(note for note in notes if holds(note.line.when, statement.facts))
        for part, notes in rules.plan().items()
    }
    said = {part: _entries(notes, words) for part, notes in printed.items()}
    return ConstructionPlan(
        statement=statement,
        notice=notice,
        notice_lines=_texts(said[PlanPart.NOTICE]),
        people=said[PlanPart.PEOPLE],
        running=said[PlanPart.RUNNING],
        welfare=said[PlanPart.WELFARE],
        site_rules=_texts(said[PlanPart.RULES]),
        emergency=said[PlanPart.EMERGENCY],
        dangers=main_dangers(statement.risks),
        particular=_texts(said[PlanPart.PARTICULAR]),
        signing=said[PlanPart.SIGNING],
        checked=min(
            note.checked for notes in printed.values() for note in notes if note.checked is not None
        ),
    )


def plan_words(statement: MethodStatement, notice: Notice) -> Mapping[str, str]:
    """The placeholders of the rule tables and, besides, those of the plan alone."""
    enquiry, settings = statement.enquiry, statement.settings
    job = PlannedJob(
        enquiry, statement.take_off.outline, statement.option, settings, statement.days
    )
    return {
        **job_words(job, statement.ladder, statement.limits, statement.days),
        "blank": BLANK_LINE,
        "customer": enquiry.customer.name,
        "bill_address": " ".join(enquiry.customer.bill_address.split()),
        "firm": settings.text("firm_name"),
        "our_days": wording.count(notice.days.number, "day", "days"),
        "our_people": wording.count(notice.people.number, "person", "people"),
        "our_person_days": wording.count(notice.person_days.number, "person-day", "person-days"),
        "notice_days": wording.count(notice.days_limit.number, "working day", "working days"),
        "notice_people": wording.count(notice.people_limit.number, "person", "people"),
        "notice_person_days": wording.count(
            notice.person_days_limit.number, "person-day", "person-days"
        ),
    }


def _entries(notes: Sequence[NoteRule], words: Mapping[str, str]) -> tuple[PlanEntry, ...]:
    """The notes filled in, with those under one heading together where the first is."""
    found: dict[str, PlanEntry] = {}
    for note in notes:
        before = found.get(note.heading, PlanEntry(note.heading, note.title, ()))
        text = with_figures(note.line.text, words)
        found[note.heading] = replace(before, texts=(*before.texts, text))
    return tuple(found.values())


def _texts(entries: Sequence[PlanEntry]) -> tuple[str, ...]:
    return tuple(text for entry in entries for text in entry.texts)
