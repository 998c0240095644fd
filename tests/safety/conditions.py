"""Every rule of every table with its conditions, and whether a statement prints it.

A rule here is anything that may or may not be printed: a hazard, one of its controls or worse
ratings, a step or a line of it, a substance, a task, a note. Its `whens` are its conditions, the
outermost first.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import partial
from pathlib import Path
from typing import Any

from msgspec import Struct, structs
from msgspec.structs import fields

from quotegen.model.safety import ConstructionPlan, LawNote, MethodStatement, Note, PlanEntry
from quotegen.reference import rules
from quotegen.reference.rule_records import (
    BeforeRule,
    Condition,
    ControlRule,
    HazardRule,
    KitRule,
    Line,
    NoteRule,
    ProtectionRule,
    StepRule,
    SubstanceRule,
    Worse,
)
from quotegen.safety.facts.facts import holds
from quotegen.safety.statement.construction_plan import make_plan
from quotegen.tables import Table

TABLES: Mapping[str, Callable[[], Iterable[Any]]] = {
    "hazards": rules.hazards,
    "steps": rules.steps,
    "substances": rules.substances,
    "protection": rules.protection,
    "van": rules.van_kit,
    "prestart": rules.before,
    "plan": lambda: (note for notes in rules.plan().values() for note in notes),
    **{
        table: partial(rules.notes, table)
        for table in (
            "care",
            "cautions",
            "emergency",
            "law",
            "marks",
            "notice",
            "people",
            "photos",
            "stored",
            "waste",
        )
    },
}
ELSEWHERE = {
    "facts": "the facts themselves",
    "matrix": "one rule, tested by itself",
    "survey": "no conditions: each look names the facts it settles, tested with the survey sheet",
    "incompatible": "no conditions: a pair is printed in the rows of its substances",
    **dict.fromkeys(
        (Path(file).stem for file in rules.SENTENCES.values()),
        "no facts: the program picks a sentence by its key",
    ),
}
"""Tables that hold no conditions on facts, and why."""

_CONDITIONAL = (HazardRule, StepRule, SubstanceRule, ProtectionRule, BeforeRule)
"""The rules that stand or fall whole."""


class Rule(Struct, frozen=True):
    """One thing that may be printed, with its place and its conditions."""

    table: str
    head: str
    text: str
    worse: tuple[int, int] | None
    whens: tuple[Condition, ...]

    @property
    def name(self) -> str:
        """A short name for the report of a test."""
        said = f"worse {self.worse}" if self.worse else self.text
        return f"{self.table}: {self.head}: {said}"[:110]

    @property
    def conditions(self) -> tuple[Condition, ...]:
        """The conditions that are not empty."""
        return tuple(when for when in self.whens if when.facts)


def every_rule() -> list[Rule]:
    """Every rule of every table."""
    return [
        rule
        for table, read in TABLES.items()
        for row in read()
        for rule in _rules(table, row, row.heading if isinstance(row, NoteRule) else row.key, ())
    ]


def _rules(table: str, thing: Any, head: str, whens: tuple[Condition, ...]) -> Iterator[Rule]:
    if isinstance(thing, KitRule):
        yield Rule(table, head, thing.words, None, (*whens, thing.when))
    elif isinstance(thing, Line | ControlRule | NoteRule):
        yield Rule(table, head, thing.text, None, (*whens, thing.when))
    elif isinstance(thing, Worse):
        yield Rule(table, head, "", thing.rating, (*whens, thing.when))
    elif isinstance(thing, tuple):
        for part in thing:
            yield from _rules(table, part, head, whens)
    elif isinstance(thing, Table):
        if isinstance(thing, _CONDITIONAL):
            whens = (*whens, thing.when)
            yield Rule(table, head, "", None, whens)
        for part in structs.astuple(thing):
            yield from _rules(table, part, head, whens)


def stands(rule: Rule, made: MethodStatement) -> bool:
    """Whether the facts of a statement call for a rule."""
    return all(holds(when, made.facts) for when in rule.whens)


def is_printed(rule: Rule, made: MethodStatement) -> bool:
    """Whether a statement, or the construction phase plan made from it, prints a rule."""
    found = _PRINTED[rule.table](made, rule.head)
    if found is None:
        return False
    if rule.worse:
        (risk,) = [risk for risk in made.risks if risk.key == rule.head]
        before = risk.before.likelihood * risk.before.severity
        return before >= rule.worse[0] * rule.worse[1]
    pattern = re.compile(_pattern(rule.text), re.DOTALL)
    whole = pattern.fullmatch if rule.table == "plan" else pattern.search
    return not rule.text or any(whole(text) for text in found)


def _pattern(text: str) -> str:
    return ".*?".join(re.escape(part) for part in re.split(r"\{\w+\}", text))


def _texts(thing: Any) -> Iterator[str]:
    if isinstance(thing, str):
        yield thing
    elif isinstance(thing, tuple):
        for part in thing:
            yield from _texts(part)
    elif isinstance(thing, Struct):
        for field in fields(thing):
            yield from _texts(getattr(thing, field.name))


Printed = Callable[[MethodStatement, str], list[str] | None]


def _in_one(records: Callable[[MethodStatement], Iterable[Any]]) -> Printed:
    """The texts of the record with the rule's key; None where there is none."""

    def read(made: MethodStatement, head: str) -> list[str] | None:
        found = [list(_texts(one)) for one in records(made) if one.key == head]
        return found[0] if found else None

    return read


def _noted(records: Callable[[MethodStatement], Iterable[Note | LawNote]]) -> Printed:
    return lambda made, head: [note.text for note in records(made) if note.key == head]


_LAST: list[tuple[MethodStatement, ConstructionPlan]] = []


def _plan(made: MethodStatement) -> ConstructionPlan:
    """The plan of a statement, cached while the same statement is examined."""
    if not _LAST or _LAST[0][0] is not made:
        _LAST[:] = [(made, make_plan(made))]
    return _LAST[0][1]


def _plan_texts(made: MethodStatement, head: str) -> list[str]:
    """The texts under a heading of the plan, and those without a heading."""
    plan = _plan(made)
    parts = [getattr(plan, f.name) for f in fields(plan) if f.name not in ("statement", "dangers")]
    rows = [row for part in parts if isinstance(part, tuple) for row in part]
    under = [t for row in rows if isinstance(row, PlanEntry) and row.key == head for t in row.texts]
    return under + [row for row in rows if isinstance(row, str)]


_PRINTED: Mapping[str, Printed] = {
    "hazards": _in_one(lambda made: made.risks),
    "steps": _in_one(lambda made: made.steps),
    "substances": _in_one(lambda made: made.substances),
    "protection": _in_one(lambda made: made.protection),
    "van": _in_one(lambda made: made.kit),
    "prestart": _in_one(lambda made: made.before.items),
    "plan": _plan_texts,
    "law": _noted(lambda made: made.law),
    "marks": _noted(lambda made: made.marks),
    "emergency": _noted(lambda made: made.emergency),
    "stored": _noted(lambda made: made.stored),
    "notice": _noted(lambda made: made.notice),
    "care": _noted(lambda made: made.care),
    "people": lambda made, _: list(made.people),
    "photos": lambda made, _: [
        note.line.text for note in rules.notes("photos") if holds(note.line.when, made.facts)
    ],
    "waste": lambda made, _: [note.text for note in made.waste],
    "cautions": lambda made, _: list(made.cautions),
}
