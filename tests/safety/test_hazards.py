"""The hazard table: every rule can apply and be absent, and the unknown never lessens a risk."""

from collections.abc import Mapping

from hypothesis import given
from hypothesis import strategies as st

from quotegen.model.choices import Below
from quotegen.model.safety import Band, Fact, Known, Level, Rating
from quotegen.reference import rules
from quotegen.safety.rules.hazards import (
    Match,
    level_of,
    likely_injuries,
    match,
    rating,
    risks,
    stated_matrix,
)
from tests.safety import jobs

HAZARDS = {rule.key: rule for rule in rules.hazards()}
YES, NO, UNKNOWN = Known.YES, Known.NO, Known.UNKNOWN
ORDER = list(Level)


class AnyWord(dict[str, str]):
    """Stands in for the figures of a job where only the rules are looked at."""

    def __missing__(self, key: str) -> str:
        return key


def matches(facts: Mapping[str, Fact]) -> dict[str, Match]:
    found = {key: match(rule, facts) for key, rule in HAZARDS.items()}
    return {key: one for key, one in found.items() if one}


def weight(one: Rating) -> tuple[int, int]:
    return one.likelihood * one.severity, one.severity


def nothing_lighter(before: Mapping[str, Match], after: Mapping[str, Match]) -> None:
    """Every hazard and control of the first is in the second, rated no lower."""
    for key, one in before.items():
        assert key in after
        assert set(one.controls) <= set(after[key].controls), key
        assert weight(one.before) <= weight(after[key].before), key
        assert weight(one.after) <= weight(after[key].after), key


def test_every_rule_fires_on_its_facts_and_is_absent_without() -> None:
    silent, always = [], []
    for key, rule in HAZARDS.items():
        for fact in rule.when.any_of or ("",):
            known = dict.fromkeys((*rule.when.all_of, *filter(None, (fact,))), YES)
            if not match(rule, jobs.made_up_facts(known)):
                silent.append((key, fact))
        if match(rule, jobs.made_up_facts({})) is not None:
            always.append(key)
    assert (silent, always) == ([], [])


def test_every_rule_fires_when_nothing_is_known() -> None:
    facts = jobs.made_up_facts({}, UNKNOWN)
    found = {key: match(rule, facts) for key, rule in HAZARDS.items()}
    assert [key for key, one in found.items() if not one or not one.unknown] == []
    assert {key: len(one.controls) for key, one in found.items() if one} == {
        key: len(rule.controls) for key, rule in HAZARDS.items()
    }
    assert [key for key, one in found.items() if one and one.after.band is Band.LOW] == []


@given(
    st.fixed_dictionaries({key: st.sampled_from(list(Known)) for key in rules.facts()}),
    st.sampled_from(list(rules.facts())),
)
def test_not_knowing_a_fact_never_removes_a_control_or_lowers_a_rating(
    known: dict[str, Known], forgotten: str
) -> None:
    facts = jobs.made_up_facts(known)
    forgetting = jobs.made_up_facts(known | {forgotten: UNKNOWN})
    nothing_lighter(matches(facts), matches(forgetting))


@given(st.fixed_dictionaries({key: st.sampled_from(list(Known)) for key in rules.facts()}))
def test_never_low_where_something_is_not_known(known: dict[str, Known]) -> None:
    for risk in risks(jobs.made_up_facts(known), AnyWord(), {}):
        assert risk.because or risk.assumed
        if risk.assumed:
            assert risk.after.band is not Band.LOW


def test_controls_stand_in_the_order_of_control() -> None:
    # Work at Height Regulations 2005, reg. 6; COSHH Regulations 2002, reg. 7: wear comes last.
    found = matches(jobs.made_up_facts({}, UNKNOWN))
    assert set(found) == set(HAZARDS)
    places = {
        key: [ORDER.index(level_of(one.rule, control)) for control in one.controls]
        for key, one in found.items()
    }
    assert [key for key, at in places.items() if at != sorted(at)] == []
    assert [key for key, at in places.items() if at[0] >= ORDER.index(Level.PROTECT)] == []


def test_boards_to_stand_on_are_asked_for_only_where_somebody_may_stand_on_the_roof() -> None:
    """Work at Height Regulations 2005, regulation 9: unknown keeps the boards."""
    weak = {"open_joists": YES, "fragile_deck": YES, "deck_stays": YES}

    def said(stood_on: Known) -> str:
        found = matches(jobs.made_up_facts(weak | {"roof_stood_on": stood_on}))
        return " ".join(control.text for control in found["fall-through"].controls)

    boards = ("stand on boards laid across", "spread the load on boards", "probed from boards")
    for stood_on in (YES, UNKNOWN):
        assert all(words in said(stood_on) for words in boards)
    assert not any(words in said(NO) for words in boards)
    for words in ("as fragile until probed", "Open only as many joists", "probed all over"):
        assert words in said(NO)


def test_a_fall_and_a_vapour_name_every_step_that_has_them() -> None:
    """All steps at the edge, and those that lay resin and topcoat; arriving, protecting what is
    below and mixing are done on the ground."""
    steps = {rule.key for rule in rules.steps()}
    on_the_ground = {"arrive", "protect", "ready"}
    assert set(HAZARDS["fall-from-edge"].steps) == steps - on_the_ground
    assert {"ready", "laminate", "topcoat"} <= set(HAZARDS["solvent-fire"].steps)


def test_controls_lessen_the_risk_and_never_its_severity_below_the_table() -> None:
    for rule in HAZARDS.values():
        (likely_before, severity_before), (likely_after, severity_after) = rule.before, rule.after
        assert likely_after < likely_before or severity_after < severity_before, rule.key
        assert severity_after == severity_before, rule.key


def test_the_matrix_is_three_by_three_and_rises_both_ways() -> None:
    matrix = stated_matrix()
    size = [Band.LOW, Band.MEDIUM, Band.HIGH]
    assert len(matrix.likelihood_words) == len(matrix.severity_words) == len(matrix.bands) == 3
    for row in matrix.bands:
        assert [size.index(band) for band in row] == sorted(size.index(band) for band in row)
    for column in zip(*matrix.bands, strict=True):
        assert [size.index(band) for band in column] == sorted(size.index(b) for b in column)
    assert rating(3, 3).band is Band.HIGH
    assert rating(1, 1).band is Band.LOW


def test_death_or_lasting_harm_is_never_low() -> None:
    assert all(rating(likelihood, 3).band is not Band.LOW for likelihood in (1, 2, 3))


def test_catalyst_in_the_eye_has_the_highest_rating() -> None:
    found = match(HAZARDS["catalyst-eye"], jobs.made_up_facts({"catalyst": YES}))
    assert found
    assert (found.before.likelihood, found.before.severity) == (3, 3)


def test_the_injuries_named_first_are_those_of_the_job() -> None:
    plain = jobs.statement(jobs.plain_enquiry()).injuries
    glass = jobs.statement(jobs.plain_enquiry(below=(Below.GLASS,))).injuries
    ladder = jobs.statement(jobs.ladder_enquiry()).injuries
    assert len(plain) == len(glass) == len(ladder) == 3
    assert len({plain, glass, ladder}) == 3
    assert HAZARDS["glass-below"].injury in glass
    assert HAZARDS["glass-below"].injury not in plain
    assert HAZARDS["ladder"].injury in ladder


def test_among_equals_what_is_known_comes_before_what_is_assumed() -> None:
    known = jobs.made_up_facts({"before_2000": UNKNOWN, "overhead_cables": YES})
    first, *_ = likely_injuries(risks(known, AnyWord(), {}))
    assert first == HAZARDS["cables"].injury
