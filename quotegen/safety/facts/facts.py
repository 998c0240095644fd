"""The named facts of one job, the evidence for each, and whether a rule's condition holds.

The keys and words of the facts are in `reference/rules/facts.toml`; reading them off the enquiry
and the take-off is the work of the modules for the work, the roof and the site.
"""

from collections.abc import Iterable, Mapping

from quotegen.model.safety import Fact
from quotegen.reference import rules
from quotegen.reference.rule_records import Condition
from quotegen.safety.facts.job import PlannedJob, Read
from quotegen.safety.facts.project import project_facts
from quotegen.safety.facts.roof_facts import ROOF_FACTS
from quotegen.safety.facts.site_facts import SITE_FACTS
from quotegen.safety.facts.work_facts import WORK_FACTS
from quotegen.tables import ReferenceFileError

_READ: Mapping[str, Read] = {**WORK_FACTS, **ROOF_FACTS, **SITE_FACTS}


def facts_of(job: PlannedJob) -> Mapping[str, Fact]:
    """Every named fact of a job, in the order of the table.

    A fact declared but not read here, or read but not declared, is our own fault.
    """
    declared = rules.facts()
    answers = {key: read(job) for key, read in _READ.items()}
    answers |= project_facts(job.enquiry, job.option)
    if set(declared) != set(answers):
        alone = sorted(set(declared) ^ set(answers))
        raise ReferenceFileError(f"facts.toml: declared or read alone: {alone}")
    return {key: Fact(key, rule.words, rule.ask, *answers[key]) for key, rule in declared.items()}


def some_facts(job: PlannedJob, keys: Iterable[str]) -> Mapping[str, Fact]:
    """Some facts of the work, the roof and the site, as `facts_of` gives them."""
    declared = rules.facts()
    return {
        key: Fact(key, declared[key].words, declared[key].ask, *_READ[key](job)) for key in keys
    }


def holds(condition: Condition, facts: Mapping[str, Fact]) -> bool:
    """Whether every fact of `all_of` and, if there are any, one of `any_of` is present."""
    one = not condition.any_of or any(facts[key].present for key in condition.any_of)
    return one and all(facts[key].present for key in condition.all_of)


def because(condition: Condition, facts: Mapping[str, Fact]) -> tuple[Fact, ...]:
    """The facts that make a condition hold, known or unknown."""
    return tuple(facts[key] for key in condition.facts if facts[key].present)
