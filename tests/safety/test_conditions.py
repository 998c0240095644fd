"""Every rule in every table fires on a job made for it and is absent from another.

The jobs run all the way from enquiry through take-off to statement; each is cached by the facts
added and removed.
"""

from collections.abc import Iterator
from functools import cache
from itertools import chain

import pytest

from quotegen.model.safety import Band, Known, MethodStatement
from quotegen.reference import rules
from quotegen.reference.rule_records import Condition
from tests.safety import jobs
from tests.safety.conditions import ELSEWHERE, TABLES, Rule, every_rule, is_printed, stands

RULES = every_rule()
CONDITIONAL = [rule for rule in RULES if rule.conditions]
ALWAYS: dict[tuple[str, str], str] = {
    ("cautions", "data-sheet-first"): "every job uses products with a data sheet",
    ("cautions", "stop"): "any job can differ from its paper",
    ("steps", "arrive"): "every job begins so",
    ("steps", "close"): "every roof is opened, and may not be hard by the evening",
    ("steps", "protect"): "something always lies below the edge",
    ("steps", "check"): "every roof is looked at before anything is laid on it",
    ("steps", "clear"): "every job leaves waste and ends so",
    ("emergency", "ring-999"): "an emergency needs no reason",
    ("emergency", "nearest-hospital"): "an emergency needs no reason",
    ("emergency", "afterwards"): "what has happened is written down, whatever it was",
    ("marks", "work-gloves"): "every job handles sharp things",
    ("marks", "boots"): "every job has nails on the ground",
    ("van", "papers"): "the crew has its papers on every job",
    ("van", "first-aid-kit"): "First Aid Regulations 1981: at every place of work",
    ("van", "washing"): "CDM Regulations 2015, schedule 2: on every project",
    ("van", "work-gloves"): "every job handles sharp things",
    ("van", "boots"): "every job has nails on the ground",
    ("van", "closing-sheet"): "any roof may be caught open by rain or night",
    ("van", "dust-sheets"): "something always lies below the edge",
    ("van", "signs"): "CDM Regulations 2015, regulation 18: on every site",
    ("van", "strip-tools"): "every job is done with tools",
    ("waste", "transfer-notes"): "every load of waste has one",
    ("waste", "carrier"): "waste is carried on every job",
    ("photos", "before"): "every roof is photographed before it is touched",
    ("photos", "finished"): "every roof is photographed when it is done",
    ("care", "keep-off"): "every roof is soft at first",
    ("care", "going-up"): "every roof can be fallen from",
    ("care", "ladders"): "every roof has edges a ladder may be leant on",
    ("care", "cleaning"): "every roof gathers leaves",
    ("care", "harms"): "every roof is of the same resin",
    ("care", "look"): "every roof is looked over",
    ("plan", "contractor"): "we are a contractor on every job",
    ("plan", "our-part"): "every job is counted against the limits of the notice",
    ("plan", "before-the-start"): "CDM Regulations 2015, regulation 15(5): on every project",
    ("plan", "every-day"): "every day of every job",
    ("plan", "something-differs"): "any job can differ from its paper",
    ("plan", "toilet"): "CDM Regulations 2015, schedule 2: on every project",
    ("plan", "washing"): "CDM Regulations 2015, schedule 2: on every project",
    ("plan", "drink"): "CDM Regulations 2015, schedule 2: on every project",
    ("plan", "rest-and-clothes"): "CDM Regulations 2015, schedule 2: on every project",
    ("plan", "kept-out"): "CDM Regulations 2015, regulation 18: on every site",
    ("plan", "fit"): "a rule of every site",
    ("plan", "leaving"): "a rule of every site",
    ("plan", "contractor-signs"): "we are a contractor on every job",
    ("plan", "ring-999"): "an emergency needs no reason",
    ("plan", "first-aid"): "First Aid Regulations 1981: at every place of work",
    ("plan", "nearest-hospital"): "an emergency needs no reason",
    ("plan", "everyone-out"): "CDM Regulations 2015, regulations 30 and 31: on every site",
    ("plan", "afterwards"): "what has happened is written down, whatever it was",
}
"""Every rule without a condition, and why it may have none."""

EVERY_JOB = {
    "boards": "every build-up lays boards",
    "resin": "every build-up is laminated",
    "topcoat": "every build-up is topcoated",
    "catalyst": "every build-up is laminated",
    "acetone": "every build-up is laminated",
    "adhesive": "every roof has trims",
    "power_tools": "every build-up lays boards and resin",
}
"""Facts every roof of today brings; their absence is tested on a take-off without those needs."""


ONE_OR_THE_OTHER: dict[frozenset[str], str] = {
    frozenset({"open_joists", "deck_stays"}): "an old deck comes off or stays; either can give way",
    frozenset({"platform", "no_place_away_from_edges"}): (
        "without a platform only a roof within reach is worked on, and that one is all edge"
    ),
}
"""Facts of which every roof worked on has one, so that a rule on either stands on every job."""


def without(keys: tuple[str, ...]) -> tuple[str, ...]:
    """The facts in the order in which taking one out does not bring another back."""
    last = ("fall_over_2m", "work_at_height", "platform", "strip")
    return (*(key for key in keys if key not in last), *(key for key in last if key in keys))


@cache
def made(
    brought: tuple[str, ...], lacking: tuple[str, ...] = (), first: tuple[str, ...] = ()
) -> MethodStatement:
    """A job without the first, then with what is brought, then without what is lacking."""
    base = jobs.PLAIN
    for key in first:
        base = jobs.LACKS[key](base)
    return jobs.made_for(brought, lacking, base)


def outer_facts(rule: Rule) -> tuple[str, ...]:
    """What has to be there for the conditions around a rule, one of each `any_of`."""
    *outer, own = rule.conditions
    return tuple(dict.fromkeys(chain.from_iterable(one_way(when, own) for when in outer)))


def one_way(when: Condition, own: Condition) -> tuple[str, ...]:
    """The facts that make a condition hold: all it needs, and the first any that serves."""
    shared = [key for key in when.any_of if key in own.facts]
    return (*when.all_of, *(shared or list(when.any_of))[:1])


def not_fired(rule: Rule) -> Iterator[str]:
    """What is wrong with a rule on jobs made for it: one for each fact that calls for it."""
    own = rule.conditions[-1]
    for key in own.any_of or ("",):
        others = tuple(other for other in own.any_of if other != key)
        wanted = (*outer_facts(rule), *own.all_of, *((key,) if key else ()))
        found = made(wanted, first=others)
        for fact in wanted:
            if not found.facts[fact].present:
                yield f"{rule.name}: no job brings {wanted}: {fact} is not there"
        if not stands(rule, found):
            yield f"{rule.name}: does not stand with {wanted}"
        if not is_printed(rule, found):
            yield f"{rule.name}: is not printed with {wanted}"


def not_absent(rule: Rule) -> Iterator[str]:
    """What is wrong with a rule on jobs that lack what it needs."""
    own = rule.conditions[-1]
    wanted = (*outer_facts(rule), *own.all_of, *own.any_of[:1])
    for lacking in [(key,) for key in own.all_of] + ([own.any_of] if own.any_of else []):
        if any(both <= set(lacking) for both in ONE_OR_THE_OTHER):
            continue
        found = made(tuple(key for key in wanted if key not in lacking), without(lacking))
        for fact in lacking:
            if found.facts[fact].known is not Known.NO:
                yield f"{rule.name}: {fact} is still there"
        if stands(rule, found):
            yield f"{rule.name}: stands without {lacking}"
        if is_printed(rule, found):
            yield f"{rule.name}: is printed without {lacking}"


def test_every_rule_fires_on_a_job_made_for_it() -> None:
    assert len(CONDITIONAL) > 400
    assert [fault for rule in CONDITIONAL for fault in not_fired(rule)] == []


def test_every_rule_is_absent_from_a_job_without_its_facts() -> None:
    assert [fault for rule in CONDITIONAL for fault in not_absent(rule)] == []


@pytest.mark.parametrize("both", ONE_OR_THE_OTHER, ids=sorted)
def test_every_job_has_one_or_the_other(both: frozenset[str]) -> None:
    for key in rules.facts():
        for found in (made((key,)), made((), (key,))):
            if found.facts["work_at_height"].present:
                assert any(found.facts[one].present for one in both)


def test_every_table_of_rules_is_looked_at() -> None:
    files = {path.stem for path in rules.RULES.rglob("*.toml")}
    assert files == set(TABLES) | set(ELSEWHERE)


def test_a_rule_without_a_condition_is_named_here_with_its_reason() -> None:
    bare = {(rule.table, rule.head) for rule in RULES if not rule.conditions}
    assert bare == set(ALWAYS)
    plain = made(())
    for rule in RULES:
        if not rule.conditions:
            assert is_printed(rule, plain), rule.name


def test_every_fact_can_be_brought_in_and_taken_out() -> None:
    assert set(jobs.BRINGS) == set(jobs.LACKS) == set(rules.facts())
    for key in rules.facts():
        assert made((key,)).facts[key].present, key
        assert made((), (key,)).facts[key].known is Known.NO, key


def test_what_every_job_brings_is_named_here() -> None:
    asked = [made((), (key,)).facts for key in rules.facts() if key not in EVERY_JOB]
    always = {key for key in rules.facts() if all(facts[key].present for facts in asked)}
    assert always >= set(EVERY_JOB)
    assert always - set(EVERY_JOB) == set()


@pytest.mark.parametrize("duty", ["nobody_in_charge", "no_first_aider"])
def test_nothing_is_low_while_a_duty_is_unnamed(duty: str) -> None:
    bands = {risk.after.band for risk in made(()).risks}
    unnamed = {risk.after.band for risk in made((duty,)).risks}
    assert Band.LOW in bands
    assert Band.LOW not in unnamed
