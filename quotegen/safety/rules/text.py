"""Texts of the rule tables with the figures of the job put in.

A text that facts bring in can name any of the job's words, which are known only once there is a
job: one nobody knows is our own fault (`UnknownPlaceholder`), because a paper never has a gap. A
sentence picked by its key has what the key fills; that is checked when its table is read.
"""

from collections.abc import Collection, Iterable, Mapping
from string import Formatter
from typing import NamedTuple, TypeAlias

from quotegen.model.safety import Fact
from quotegen.reference import rules
from quotegen.reference.remarks import RemarkKey, remark, written
from quotegen.reference.rule_records import Line
from quotegen.safety.facts.facts import holds


class TextPlace(NamedTuple):
    """Where a text stands in the rule tables: the table, the row's key, which text of the row."""

    table: str
    key: str
    at: int = 0


Numbers: TypeAlias = Mapping[TextPlace, str]
"""The paragraph of the standing sheet for each text that stands on it."""


class UnknownPlaceholder(Exception):  # noqa: N818 - reads as what it is
    """A rule table names a figure the program does not have."""


def with_figures(text: str, words: Mapping[str, str]) -> str:
    """The text with every `{name}` replaced.

    >>> with_figures("Rinse for {eye_minutes}.", {"eye_minutes": "20 minutes"})
    'Rinse for 20 minutes.'
    """
    try:
        return text.format_map(words)
    except (KeyError, IndexError, ValueError) as fault:
        raise UnknownPlaceholder(f"{fault} in: {text}") from fault


def names_only(text: str, known: Collection[str]) -> bool:
    """Whether every placeholder of a text is among those known.

    >>> names_only("Rinse for {eye_minutes}.", {"eye_minutes"}), names_only("{a} of {b}", {"a"})
    (True, False)
    """
    return all(name in known for _, name, _, _ in Formatter().parse(text) if name is not None)


def told(key: RemarkKey, **words: str) -> str:
    """A sentence of the rule tables by its key, filled in with words.

    >>> from quotegen.reference.rule_keys import LadderSentence
    >>> told(LadderSentence.GROUND)
    'No ladder is needed: the work is done from the ground.'
    """
    return written(remark(key, **words), rules.sentence_words(type(key)))


def printed(
    lines: Iterable[Line], facts: Mapping[str, Fact], words: Mapping[str, str]
) -> tuple[str, ...]:
    """The lines whose facts are present, filled in, in their order."""
    return tuple(with_figures(line.text, words) for line in lines if holds(line.when, facts))
