"""The rules by which an option is advised, and their words: `house/advice.toml`."""

from collections.abc import Mapping
from functools import cache

from quotegen.reference.house_rules import HOUSE
from quotegen.reference.remarks import RemarkKey, checked_words
from quotegen.tables import Key, Said, Table, by_key, tables


class AdviceRule(Table, frozen=True, kw_only=True):
    """A rule: the facts that an option must all have, and the words for the customer.

    `never` is of what speaks against an option, `stays` of what is said beside the owner's words.
    """

    key: Key
    all_of: tuple[str, ...]
    never: bool = False
    stays: bool = False
    text: Said
    basis: Said


class AdviceRules(Table, frozen=True):
    """The rules by kind: what speaks against an option, then the choices in turn."""

    bars: tuple[AdviceRule, ...]
    choices: tuple[tuple[AdviceRule, ...], ...]


@cache
def advice_rules() -> AdviceRules:
    """The rules in the order of the file."""
    found = tables(HOUSE / "advice.toml", bar=AdviceRule, insulation=AdviceRule, deck=AdviceRule)
    return AdviceRules(found["bar"], (found["insulation"], found["deck"]))


@cache
def advice_words(asked: type[RemarkKey]) -> Mapping[str, str]:
    """The words of the rules by the keys that are asked for."""
    rules = advice_rules()
    found = by_key("advice.toml", (*rules.bars, *(r for group in rules.choices for r in group)))
    return checked_words("advice.toml", {key: r.text for key, r in found.items()}, asked)
