"""Which option a quote advises, and why: by the rules of `advice.toml`, or as the owner says."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from functools import cache

from msgspec import Struct
from msgspec.structs import replace

from quotegen.model.choices import (
    INSULATED,
    OVER_OLD_DECK,
    BuildUp,
    Covering,
    DeckCondition,
    EdgeKind,
    PriceBasis,
)
from quotegen.model.enquiry import Enquiry
from quotegen.model.quote import Advice, Quote, QuotedOption
from quotegen.reference import loader as reference
from quotegen.reference.firm.advice import AdviceRule, AdviceRules, advice_rules
from quotegen.reference.remark_keys import AdviceKey
from quotegen.reference.remarks import Remark, remark
from quotegen.reference.rule_keys import BeforeKey
from quotegen.tables import known_key
from quotegen.units import Unit
from quotegen.working import Figure, derive

_LEAST = "flat_roofs.upstand_mm"
_SAME_BUT_DECK: Mapping[BuildUp, BuildUp] = {
    BuildUp.CAP_OVER: BuildUp.NEW_DECK,
    BuildUp.CAP_OVER_INSULATED: BuildUp.NEW_DECK_INSULATED,
    BuildUp.NEW_DECK: BuildUp.CAP_OVER,
    BuildUp.NEW_DECK_INSULATED: BuildUp.CAP_OVER_INSULATED,
}
"""The build-ups that differ in nothing but the deck."""
_HEATED = {True: "heated", False: "not_heated", None: "heat_not_known"}
_OF_INSULATED = {
    "insulated": "insulation_priced",
    "check_wanted": "insulation_unchecked",
    "low_upstand": "insulation_low",
}
"""What is a fact of the other options too where it holds of every option with insulation."""

FACTS = frozenset(
    {
        *("insulated", "plain", "over_old_deck", "new_deck", *_HEATED.values()),
        *("no_deck", "deck_not_seen", "deck_not_sound", "boards_found"),
        *("low_upstand", "upstand_not_known", "check_wanted", "control_settled"),
        *("spares_check", "small_extra", "large_extra", "no_extra", "longer_guarantee"),
        *_OF_INSULATED.values(),
    }
)
"""The facts of an option that a rule may name."""


class _Case(Struct, frozen=True):
    """An option with the facts that hold of it and what fills the words of the rules."""

    option: QuotedOption
    facts: frozenset[str]
    fills: Mapping[str, Figure | str]

    def fits(self, rule: AdviceRule) -> bool:
        """Whether all facts of a rule hold."""
        return self.facts.issuperset(rule.all_of)

    def bars(self) -> list[AdviceRule]:
        """What speaks against it."""
        return [rule for rule in _rules().bars if self.fits(rule)]

    def said(self, rule: AdviceRule) -> Remark:
        """A rule as something to say of it."""
        key = AdviceKey(rule.key)
        return remark(key, **{name: self.fills[name] for name in key.figures})


def advise(quote: Quote) -> Advice:
    """The option advised and why; what the owner advises comes before the rules.

    What speaks against the option is said with it, whoever advises it. None is advised where each
    has something against it for which it never is; that is then all that is said.
    """
    cases = _cases(quote)
    own = [case for case in cases if case.option.build_up is quote.enquiry.advised]
    pool = own or _allowed(cases)
    if not pool:
        against = {bar.key: case.said(bar) for case in cases for bar in case.bars() if bar.never}
        return Advice(None, against=tuple(against.values()))
    reasons: list[AdviceRule] = []
    for group in _rules().choices:
        rule = next((rule for rule in group if any(case.fits(rule) for case in pool)), None)
        if rule is not None:
            pool = [case for case in pool if case.fits(rule)]
            reasons.insert(0, rule)
    chosen = pool[0]
    own_words = quote.enquiry.advised_because if own else ""
    return Advice(
        chosen.option.build_up,
        because=tuple(chosen.said(rule) for rule in reasons if rule.stays or not own_words),
        against=tuple(chosen.said(bar) for bar in chosen.bars()),
        own_words=own_words,
        by_owner=bool(own),
    )


def before_a_visit(advice: Advice) -> Advice | None:
    """What may be advised of a roof nobody has looked at closely: only what the owner says."""
    return replace(advice, because=()) if advice.by_owner else None


def _allowed(cases: Sequence[_Case]) -> list[_Case]:
    """The options with the least against them, without those that are never advised."""
    allowed = [case for case in cases if not any(bar.never for bar in case.bars())]
    least = min((len(case.bars()) for case in allowed), default=0)
    return [case for case in allowed if len(case.bars()) == least]


def _cases(quote: Quote) -> list[_Case]:
    """Every option with its facts, those too that it has beside the others."""
    cases = [
        _Case(option, frozenset(_facts(quote, option)), _fills(quote, option))
        for option in quote.options
    ]
    insulated = [case.facts for case in cases if "insulated" in case.facts]
    shared = frozenset.intersection(*insulated) if insulated else frozenset()
    priced = {said for fact, said in _OF_INSULATED.items() if fact in shared}
    by_build_up = {case.option.build_up: case for case in cases}
    found = []
    for case in cases:
        other = by_build_up.get(_SAME_BUT_DECK[case.option.build_up])
        facts, fills = _beside(case, other, quote) if other else (set(), {})
        found.append(_Case(case.option, case.facts | priced | facts, {**case.fills, **fills}))
    return found


def _beside(case: _Case, other: _Case, quote: Quote) -> tuple[set[str], dict[str, Figure | str]]:
    """What an option is beside the same with the other deck: the check it spares, what it costs."""
    if other.bars():
        spared = "check_wanted" in other.facts - case.facts and "new_deck" in case.facts
        return ({"spares_check"} if spared else set()), {}
    over, new = case.option, other.option
    if over.build_up not in OVER_OLD_DECK:
        over, new = new, over
    extra = derive(
        "extra for a new deck",
        Unit.GBP,
        extra_cost,
        dearer=new.totals.total,
        cheaper=over.totals.total,
    )
    most = Decimal(str(quote.settings.number("small_extra_pct")))
    small = extra.money * 100 <= over.totals.total.money * most
    facts = {"small_extra" if small else "large_extra"}
    if extra.money <= 0:
        facts.add("no_extra")
    if new.guarantee_years.number > over.guarantee_years.number:
        facts.add("longer_guarantee")
    return facts, {"extra": extra, "years": new.guarantee_years, "fewer": over.guarantee_years}


def _facts(quote: Quote, option: QuotedOption) -> list[str]:
    """The facts of an option that do not depend on the others."""
    enquiry = quote.enquiry
    facts = ["insulated" if option.build_up in INSULATED else "plain"]
    facts.append("over_old_deck" if option.build_up in OVER_OLD_DECK else "new_deck")
    facts.append(_HEATED[enquiry.site.heated_below])
    facts += _deck_facts(enquiry)
    left = option.take_off.upstand_left_mm
    if left is None and quote.take_off.outline.edges_of(EdgeKind.WALL):
        facts.append("upstand_not_known")
    elif left is not None and left.number < reference.figure(_LEAST).number:
        facts.append("low_upstand")
    heavier = option.take_off.weight_change_pct
    most = quote.settings.number("weight_change_pct")
    before = quote.start.before.get(option.build_up) if quote.start else None
    items = before.items if before else ()
    if any(item.key is BeforeKey.STRUCTURE and not item.done for item in items) or (
        not items and heavier is not None and heavier.number > most
    ):
        facts.append("check_wanted")
    if any(item.key is BeforeKey.CONTROL and item.done for item in items):
        facts.append("control_settled")
    return facts


def _deck_facts(enquiry: Enquiry) -> list[str]:
    """What is known of the old deck."""
    existing = enquiry.existing
    if existing.deck is None and existing.covering is Covering.NONE:
        return ["no_deck"]
    facts = []
    if existing.condition is None:
        facts.append("deck_not_seen")
    elif existing.condition is not DeckCondition.SOUND:
        facts.append("deck_not_sound")
    if any(finding.basis is PriceBasis.BOARD for finding in enquiry.findings):
        facts.append("boards_found")
    return facts


def _fills(quote: Quote, option: QuotedOption) -> dict[str, Figure | str]:
    """What fills the words of the rules, apart from the money."""
    fills: dict[str, Figure | str] = {
        "condition": str(quote.enquiry.existing.condition or ""),
        "least": reference.figure(_LEAST),
    }
    left = option.take_off.upstand_left_mm
    return {**fills, "left": left} if left else fills


def extra_cost(dearer: Decimal, cheaper: Decimal) -> Decimal:
    """What one total is more than another: dearer - cheaper [GBP]; below nothing if it is less.

    >>> extra_cost(Decimal("1906.93"), Decimal("1891.66"))
    Decimal('15.27')
    """
    return dearer - cheaper


@cache
def _rules() -> AdviceRules:
    """The rules, none of which waits for a fact that there is not."""
    rules = advice_rules()
    for rule in (*rules.bars, *(rule for group in rules.choices for rule in group)):
        for fact in rule.all_of:
            known_key(fact, FACTS, f"advice.toml, {rule.key}")
    return rules
