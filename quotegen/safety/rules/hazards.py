"""Facts matched to the table of hazards: which the job has, what is done, and the ratings."""

from collections.abc import Mapping, Sequence
from functools import cache

from msgspec import Struct

from quotegen.model.safety import Band, Control, Fact, Known, Level, Matrix, Rating, Risk
from quotegen.reference import rules
from quotegen.reference.rule_records import ControlRule, HazardRule
from quotegen.safety.facts.facts import because, holds
from quotegen.safety.rules.text import Numbers, TextPlace, with_figures
from quotegen.tables import member

INJURIES_NAMED = 3
_ORDER = tuple(Level)


class Match(Struct, frozen=True):
    """A hazard the facts bring in, with the controls they call for.

    `because` are the facts of the hazard itself; `unknown` those not known about it, its controls
    and its rating.
    """

    rule: HazardRule
    controls: tuple[ControlRule, ...]
    because: tuple[Fact, ...]
    unknown: tuple[Fact, ...]
    before: Rating
    after: Rating
    often: int


def stated_matrix() -> Matrix:
    """The matrix every rating is read from, as printed."""
    table = rules.matrix()
    bands = tuple(tuple(map(_band, row)) for row in table.bands)
    return Matrix(table.likelihood, table.severity, bands)


def rating(likelihood: int, severity: int) -> Rating:
    """A rating with its band on the stated matrix.

    >>> rating(1, 3).band
    <Band.MEDIUM: 'medium'>
    """
    band = _band(rules.matrix().bands[likelihood - 1][severity - 1])
    return Rating(likelihood, severity, band)


def match(rule: HazardRule, facts: Mapping[str, Fact]) -> Match | None:
    """A rule on the facts of a job; None where none of its facts is present.

    What is not known counts as present, and keeps the rating after controls from being low; so
    does not knowing who is in charge or gives first aid, on which every control rests.
    """
    levels = {one.level: level_of(rule, one) for one in rule.controls}
    if not holds(rule.when, facts):
        return None
    controls = sorted(
        (control for control in rule.controls if holds(control.line.when, facts)),
        key=lambda control: _ORDER.index(levels[control.level]),
    )
    worse = [one for one in rule.worse if holds(one.when, facts)]
    before = max(
        [rule.before, *(one.rating for one in worse)],
        key=lambda pair: (pair[0] * pair[1], pair[1]),
    )
    rest = [*(control.line.when for control in controls), *(one.when for one in worse)]
    behind = dict.fromkeys(fact for when in (rule.when, *rest) for fact in because(when, facts))
    unknown = tuple(fact for fact in behind if fact.known is Known.UNKNOWN)
    seen = [one for one in worse if any(f.known is Known.YES for f in because(one.when, facts))]
    never_low = bool(unknown) or holds(rules.matrix().never_low, facts)
    return Match(
        rule,
        tuple(controls),
        because(rule.when, facts),
        unknown,
        rating(*before),
        _after(rule, never_low),
        max([rule.often, *(one.often for one in seen)]),
    )


def level_of(rule: HazardRule, control: ControlRule) -> Level:
    """How a control works, by the key its table gives."""
    return _level(control.level, f"hazards.toml, {rule.key}, level")


def risks(
    facts: Mapping[str, Fact], words: Mapping[str, str], numbers: Numbers
) -> tuple[Risk, ...]:
    """Every hazard of the job with its controls, in the order of the table."""
    found = (match(rule, facts) for rule in rules.hazards())
    return tuple(_risk(one, words, numbers) for one in found if one)


def likely_injuries(found: Sequence[Risk]) -> tuple[str, ...]:
    """The injuries to name first on this job: those of the highest rated risks."""
    return tuple(dict.fromkeys(risk.injury for risk in worst_first(found)))[:INJURIES_NAMED]


def main_dangers(found: Sequence[Risk]) -> tuple[Risk, ...]:
    """The risks that share the highest rating of the job before controls."""
    ranked = worst_first(found)
    return tuple(risk for risk in ranked if _score(risk) == _score(ranked[0]))


def worst_first(found: Sequence[Risk]) -> tuple[Risk, ...]:
    """The risks by their rating before controls.

    Among equals the most severe come first, then what is known to be there, then what happens more
    often in this trade.
    """
    return tuple(
        sorted(
            found,
            key=lambda risk: (
                -_score(risk),
                -risk.before.severity,
                not risk.because,
                -risk.often,
            ),
        )
    )


def unknown_worst_first(facts: Mapping[str, Fact], found: Sequence[Risk]) -> tuple[Fact, ...]:
    """What is not known about a job, by the worst risk that depends on the answer."""
    waiting = [key for risk in worst_first(found) for key in risk.assumed]
    unknown = [fact for fact in facts.values() if fact.known is Known.UNKNOWN]
    return tuple(
        sorted(
            unknown,
            key=lambda fact: waiting.index(fact.key) if fact.key in waiting else len(waiting),
        )
    )


@cache
def _level(key: str, where: str) -> Level:
    return member(Level, key, where)


@cache
def _band(key: str) -> Band:
    return member(Band, key, "matrix.toml, bands")


def _score(risk: Risk) -> int:
    return risk.before.likelihood * risk.before.severity


def _after(rule: HazardRule, never_low: bool) -> Rating:
    likelihood, severity = rule.after
    while never_low and rating(likelihood, severity).band is Band.LOW:
        likelihood += 1
    return rating(likelihood, severity)


def _risk(found: Match, words: Mapping[str, str], numbers: Numbers) -> Risk:
    rule = found.rule
    return Risk(
        key=rule.key,
        hazard=rule.hazard,
        who=rule.who,
        injury=rule.injury,
        controls=tuple(
            Control(
                level_of(rule, control),
                with_figures(control.line.text, words),
                numbers.get(TextPlace("hazards", rule.key, rule.controls.index(control)), ""),
            )
            for control in found.controls
        ),
        before=found.before,
        after=found.after,
        often=found.often,
        because=tuple(fact.key for fact in found.because if fact.known is Known.YES),
        assumed=tuple(fact.key for fact in found.unknown),
        steps=rule.steps,
    )
