"""What a job waits for, in the same words on every paper: the order, the statement, the quote."""

from collections.abc import Sequence

from msgspec import Struct

from quotegen import wording
from quotegen.model.prestart.record import BeforeItem, BeforeStart, Payer
from quotegen.model.safety import MethodStatement
from quotegen.phrases import listed
from quotegen.reference import rules
from quotegen.reference.loader import figure
from quotegen.reference.rule_keys import BeforeKey
from quotegen.reference.rule_records import BeforeRule

_WEEK = 7
EXTRA = "extra"
"""Of what is not in the price: the paper says beside it who pays."""
_COSTS = {Payer.IN_PRICE: "in the price", Payer.NOBODY: "nothing"}


class SettledFirst(Struct, frozen=True):
    """One thing as we tell the customer; not `sure` while it may turn out not to be needed."""

    what: str
    who: str
    cost: str
    takes: str
    sure: bool


def waits_for(statement: MethodStatement) -> str:
    """Everything not settled, to follow "waiting for"; empty once all is settled."""
    waiting = open_words(statement.before)
    return listed(waiting) if waiting else ""


def open_words(before: BeforeStart) -> tuple[str, ...]:
    """The things not settled, each to follow "waiting for"."""
    return tuple(_filled(_rule(item.key).waits, item, before) for item in before.open_items)


def hold_lines(before: BeforeStart) -> tuple[str, ...]:
    """What holds the start: a line for each paper we must have, one for everything else."""
    held = [_rule(item.key).hold for item in before.open_items if _rule(item.key).hold]
    others = [
        _filled(_rule(item.key).waits, item, before)
        for item in before.open_items
        if not _rule(item.key).hold
    ]
    return (*held, *((f"NO START before {listed(others)}.",) if others else ()))


def papers_first(before: BeforeStart) -> tuple[str, ...]:
    """What is open and has to be in hand on site as a paper, as it follows "waiting for"."""
    held = [item for item in before.open_items if _rule(item.key).hold]
    return tuple(_filled(_rule(item.key).waits, item, before) for item in held)


def settled_first(item: BeforeItem, before: BeforeStart, letters: Sequence[str]) -> SettledFirst:
    """One unsettled thing as we tell the customer, with the letters of the options that need it."""
    rule = _rule(item.key)
    what = _filled(rule.what, item, before)
    if letters:
        what = f"{what} ({'option' if len(letters) == 1 else 'options'} {listed(letters)})"
    return SettledFirst(what, rule.who, _cost(item), _takes(item, before), item.sure)


def days_words(days: int) -> str:
    """A wait in weeks if it is whole weeks, otherwise in days.

    >>> days_words(14), days_words(3), days_words(15)
    ('2 weeks', '3 days', '15 days')
    """
    if days and days % _WEEK == 0:
        return wording.count(days / _WEEK, "week", "weeks")
    return wording.count(float(days), "day", "days")


def _takes(item: BeforeItem, before: BeforeStart) -> str:
    if item.until is not None and _said_yes(before):
        return f"until {wording.short_day(item.until)}"
    if item.expected_on is not None:
        return f"about {wording.short_day(item.expected_on)}"
    return days_words(int(item.wait.number)) if item.wait else "up to you"


def _cost(item: BeforeItem) -> str:
    """Who pays; an amount only if the firm, or whoever does it, has given one."""
    if item.pays is not Payer.DIRECT:
        return _COSTS[item.pays]
    return f"{EXTRA}, about {wording.money(item.cost.money)}" if item.cost else EXTRA


def _filled(words: str, item: BeforeItem, before: BeforeStart) -> str:
    """The words with the days to cancel, and the last of them once the customer has said yes."""
    days = figure("consumer_contracts.cancellation_days").number
    until = f" (until {wording.short_day(item.until)})" if item.until and _said_yes(before) else ""
    return words.format(cancel_days=wording.count(days, "day", "days"), until=until)


def _said_yes(before: BeforeStart) -> bool:
    return all(one.key is not BeforeKey.ACCEPTANCE for one in before.open_items)


def _rule(key: BeforeKey) -> BeforeRule:
    return next(rule for rule in rules.before() if rule.key == key)
