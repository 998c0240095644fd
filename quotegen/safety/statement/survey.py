"""Whether too little is known of a job for a method statement, and what a visit has to find out."""

from collections.abc import Iterable, Mapping

from msgspec import Struct

from quotegen import wording
from quotegen.model.safety import Fact, Known, MethodStatement
from quotegen.model.settings import Settings
from quotegen.model.takeoff import TakeOff
from quotegen.phrases import listed
from quotegen.problems import Problem, problem
from quotegen.reference import rules
from quotegen.reference.rule_records import LookRule
from quotegen.safety.facts.facts import facts_of
from quotegen.safety.facts.job import PlannedJob
from quotegen.safety.rules.hazards import unknown_worst_first
from quotegen.safety.statement.laying_out import LaidOut
from quotegen.tables import ReferenceFileError


class Look(Struct, frozen=True):
    """One thing to look at or ask on the visit, and the facts not known that it settles."""

    rule: LookRule
    facts: tuple[Fact, ...]


def not_known(facts: Mapping[str, Fact]) -> int:
    """How many facts of a job are not known, as its statement lists them."""
    return sum(fact.known is Known.UNKNOWN for fact in facts.values())


def survey_first(facts: Mapping[str, Fact], settings: Settings) -> bool:
    """Whether more is not known than the firm lets a method statement be written with."""
    return not_known(facts) > settings.number("most_unknown")


def looks_for(statement: MethodStatement) -> tuple[Look, ...]:
    """What a visit has to find out, the worst first: every fact that is not known, once."""
    return _looks(unknown_worst_first(statement.facts, statement.risks))


def check_known(take_off: TakeOff, laid: LaidOut, settings: Settings) -> list[Problem]:
    """Whether so much is not known that the job gets a survey sheet and no method statement."""
    enquiry = take_off.enquiry
    job = PlannedJob(enquiry, take_off.outline, laid.option, settings, laid.days)
    facts = facts_of(job)
    if not survey_first(facts, settings):
        return []
    looks = _looks(fact for fact in facts.values() if fact.known is Known.UNKNOWN)
    cells = dict.fromkeys(look.rule.cells[0] for look in looks if look.rule.sheet != "Findings")
    return [
        problem(
            "survey-first",
            enquiry.place,
            str(not_known(facts)),
            enquiry.ref,
            most=wording.plain(settings.number("most_unknown")),
            cells=listed(tuple(cells)),
        )
    ]


def _looks(unknown: Iterable[Fact]) -> tuple[Look, ...]:
    """The looks that settle some facts, in the order of the first fact of each.

    A fact that no look settles is a fault of our own tables.
    """
    settled_by = {fact: rule for rule in rules.looks() for fact in rule.facts}
    found: dict[str, list[Fact]] = {}
    by_key = {rule.key: rule for rule in rules.looks()}
    for fact in unknown:
        if fact.key not in settled_by:
            raise ReferenceFileError(f"survey.toml: nothing says how to find out {fact.key}")
        found.setdefault(settled_by[fact.key].key, []).append(fact)
    return tuple(Look(by_key[key], tuple(facts)) for key, facts in found.items())
