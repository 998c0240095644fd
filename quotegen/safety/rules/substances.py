"""The dangerous substances of the job: what they are, how much, and how to treat them."""

from collections.abc import Iterable, Mapping

from quotegen.model.safety import Fact, Substance
from quotegen.phrases import capital
from quotegen.reference import rules
from quotegen.reference.loader import entry, subject
from quotegen.reference.rule_records import Danger, SubstanceRule
from quotegen.safety.facts.facts import holds
from quotegen.safety.rules.exposure import limit_line
from quotegen.safety.rules.text import printed, with_figures

_CORROSION = "GHS05"
_EXCLAMATION = "GHS07"
_BREATHING_ALLERGY = "H334"
_PICTOGRAM = "GHS"


def pictograms(codes: Iterable[str]) -> tuple[str, ...]:
    """The pictograms that hazard statements call for, with the dropping rules of article 26.

    Beside the corrosion pictogram, and beside the health hazard for breathing allergy, the
    exclamation mark is left out where only irritation or skin allergy would call for it.
    Source: GB CLP Regulation, annex V and article 26.

    >>> pictograms(["H242", "H302", "H314"])
    ('GHS02', 'GHS05', 'GHS07')
    >>> pictograms(["H314", "H319"])
    ('GHS05',)
    """
    kept = set(codes)
    if kept & set(entry(f"pictograms.{_CORROSION}").value):
        kept -= set(entry("pictograms.dropped_beside_GHS05").value)
    if _BREATHING_ALLERGY in kept:
        kept -= set(entry("pictograms.dropped_beside_H334").value)
    called_for = (key for key in sorted(subject("pictograms")) if key.startswith(_PICTOGRAM))
    return tuple(key for key in called_for if kept & set(entry(f"pictograms.{key}").value))


def statement_text(code: str) -> str:
    """The statutory text of a hazard statement.

    >>> statement_text("H226")
    'Flammable liquid and vapour'
    """
    return str(entry(f"hazard_statements.{code}").value)


def substances_of(facts: Mapping[str, Fact], words: Mapping[str, str]) -> tuple[Substance, ...]:
    """Every dangerous substance the facts bring in, with the amount the take-off gives."""
    return tuple(
        _substance(rule, facts, words) for rule in rules.substances() if holds(rule.when, facts)
    )


def kept_from(key: str, rest: str) -> str:
    """What a substance must never meet: every pair it is in, by what would happen, then the rest.

    >>> kept_from("acetone", "flames")
    'Catalyst (can explode); flames'
    """
    by_danger: dict[Danger, list[str]] = {}
    for pair in rules.incompatible():
        for this, other in ((0, 1), (1, 0)):
            if pair.between[this] == key:
                by_danger.setdefault(pair.danger, []).append(pair.words[other])
    parts = [f"{', '.join(words)} ({danger.words})" for danger, words in by_danger.items()]
    said = "; ".join([*parts, *([rest] if rest else ())])
    return capital(said)


def _substance(
    rule: SubstanceRule, facts: Mapping[str, Fact], words: Mapping[str, str]
) -> Substance:
    return Substance(
        key=rule.key,
        name=rule.name,
        short=rule.short,
        signal=rule.signal,
        pictograms=pictograms(rule.codes),
        statements=tuple((code, statement_text(code)) for code in rule.codes),
        limits=tuple(limit_line(key) for key in rule.limits),
        amount=with_figures(rule.amount, words),
        storage=printed(rule.storage, facts, words),
        mixing=with_figures(rule.mixing, words),
        keep_from=kept_from(rule.key, with_figures(rule.keep_from, words)),
        spill=with_figures(rule.spill, words),
        fire=with_figures(rule.fire, words),
        first_aid=tuple((aid.route, with_figures(aid.text, words)) for aid in rule.first_aid),
        waste=with_figures(rule.waste, words),
    )
