"""The strict loader of the rule tables: what a fact of the job brings with it.

Each `rules/*.toml` is one table of rules with their source and the day they were last checked.
A condition names facts, and a rule stands when all of its `all_of` and, where it has `any_of`,
at least one of those are present or not known. There is no "not": a fact can only add a rule,
never take one away. A wrong rule table is our own fault and raises `ReferenceFileError`.
"""

import tomllib
from collections.abc import Iterable, Mapping
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from quotegen.reference.loader import CONFIRMED, ReferenceFileError
from quotegen.reference.rule_records import (
    Basis,
    Condition,
    ControlRule,
    FactRule,
    GloveRule,
    HazardRule,
    Line,
    MatrixRule,
    NoteRule,
    PairRule,
    ProtectionRule,
    StepRule,
    SubstanceRule,
    Worse,
)

RULES = Path(__file__).parent / "rules"
OFTEN = range(1, 11)


@cache
def facts() -> Mapping[str, FactRule]:
    """Every named fact by its key."""
    rows = _table("facts.toml", "fact")
    found = {row["key"]: _fact(row) for row in rows}
    if len(found) != len(rows):
        raise ReferenceFileError("facts.toml: a fact is declared twice")
    return found


@cache
def matrix() -> MatrixRule:
    """The matrix every rating is read on."""
    (row,) = _table("matrix.toml", "matrix")
    likelihood, severity, bands, never_low = _only(
        row, "matrix.toml", "likelihood", "severity", "bands", "never_low", besides=_BASIS
    )
    made = MatrixRule(
        tuple(likelihood), tuple(severity), tuple(map(tuple, bands)),
        _when({"any_of": never_low}, "matrix.toml"), _basis(row, "matrix.toml"),
    )  # fmt: skip
    if len(made.bands) != len(likelihood) or any(len(b) != len(severity) for b in made.bands):
        raise ReferenceFileError("matrix.toml: the bands do not fit the words")
    return made


@cache
def hazards() -> tuple[HazardRule, ...]:
    """Every hazard, in the order of the table."""
    found = tuple(_hazard(row) for row in _table("hazards.toml", "hazard"))
    if len({rule.key for rule in found}) != len(found):
        raise ReferenceFileError("hazards.toml: a hazard stands twice")
    return found


@cache
def substances() -> tuple[SubstanceRule, ...]:
    """Every dangerous substance, in the order of the table."""
    return tuple(_substance(row) for row in _table("substances.toml", "substance"))


@cache
def incompatible() -> tuple[PairRule, ...]:
    """What never meets what, in the order of the table."""
    return tuple(_pair(row) for row in _table("incompatible.toml", "pair"))


@cache
def protection() -> tuple[ProtectionRule, ...]:
    """What to wear, by task."""
    return tuple(_protection(row) for row in _table("protection.toml", "task"))


@cache
def steps() -> tuple[StepRule, ...]:
    """The steps of the work, in order."""
    return tuple(_step(row) for row in _table("steps.toml", "step"))


@cache
def notes(table: str) -> tuple[NoteRule, ...]:
    """The notes of one kind: the rows of `rules/<table>.toml`."""
    return tuple(_note(row, f"{table}.toml") for row in _table(f"{table}.toml", "note"))


@cache
def plan() -> Mapping[str, tuple[NoteRule, ...]]:
    """The notes of the construction phase plan, by the part of the paper they stand in."""
    found: dict[str, tuple[NoteRule, ...]] = {}
    for row in _table("plan.toml", "note"):
        part = row.get("part")
        if not part:
            raise ReferenceFileError(f"plan.toml, {row.get('title', '?')}: no part")
        said = _note({key: row[key] for key in row if key != "part"}, "plan.toml")
        found[part] = (*found.get(part, ()), said)
    return found


_BASIS = ("source", "confirmed", "checked")
_WHEN = ("any_of", "all_of")


def _table(file_name: str, table: str) -> list[dict[str, Any]]:
    with (RULES / file_name).open("rb") as file:
        content = tomllib.load(file)
    if set(content) != {table}:
        raise ReferenceFileError(f"{file_name}: only [[{table}]] tables belong here")
    rows: list[dict[str, Any]] = content[table]
    return rows


def _only(
    row: Mapping[str, Any], where: str, *needed: str, besides: Iterable[str] = ()
) -> tuple[Any, ...]:
    missing = set(needed) - set(row)
    unknown = set(row) - set(needed) - set(besides)
    if missing or unknown:
        raise ReferenceFileError(f"{where}: missing {sorted(missing)}, unknown {sorted(unknown)}")
    return tuple(row[key] for key in needed)


def _basis(row: Mapping[str, Any], where: str) -> Basis:
    source, confirmed, checked = (row.get(key) for key in _BASIS)
    if not source or confirmed not in CONFIRMED or not isinstance(checked, date):
        raise ReferenceFileError(f"{where}: source, confirmed or checked is missing or wrong")
    return Basis(source, confirmed, checked)


def _when(row: Mapping[str, Any], where: str) -> Condition:
    made = Condition(tuple(row.get("any_of", ())), tuple(row.get("all_of", ())))
    undeclared = set(made.facts) - set(facts())
    if undeclared:
        raise ReferenceFileError(f"{where}: there are no facts {sorted(undeclared)}")
    return made


def _line(given: str | dict[str, Any], where: str) -> Line:
    row = {"text": given} if isinstance(given, str) else given
    (text,) = _only(row, where, "text", besides=_WHEN)
    return Line(text, _when(row, where))


def _lines(given: Iterable[str | dict[str, Any]], where: str) -> tuple[Line, ...]:
    return tuple(_line(part, where) for part in given)


def _rating(given: Any, where: str) -> tuple[int, int]:
    likelihood, severity = given
    if not (
        1 <= likelihood <= len(matrix().likelihood) and 1 <= severity <= len(matrix().severity)
    ):
        raise ReferenceFileError(f"{where}: the rating {given} is off the matrix")
    return likelihood, severity


def _fact(row: dict[str, Any]) -> FactRule:
    key, words = _only(row, "facts.toml", "key", "words", besides=["ask"])
    return FactRule(key, words, row.get("ask", False))


def _hazard(row: dict[str, Any]) -> HazardRule:
    where = f"hazards.toml, {row.get('key', '?')}"
    key, hazard, who, injury, before, after, often, controls = _only(
        row, where, "key", "hazard", "who", "injury", "before", "after", "often", "control",
        besides=(*_BASIS, *_WHEN, "worse"),
    )  # fmt: skip
    when = _when(row, where)
    if not when.facts:
        raise ReferenceFileError(f"{where}: a hazard needs a fact that brings it in")
    return HazardRule(
        key, hazard, who, injury, when,
        controls=tuple(_control(part, where) for part in controls),
        before=_rating(before, where),
        worse=tuple(_worse(part, where, often) for part in row.get("worse", ())),
        after=_rating(after, where),
        often=_often(often, where),
        basis=_basis(row, where),
    )  # fmt: skip


def _control(row: dict[str, Any], where: str) -> ControlRule:
    level, text = _only(row, where, "level", "text", besides=_WHEN)
    return ControlRule(level, Line(text, _when(row, where)))


def _worse(row: dict[str, Any], where: str, often: int) -> Worse:
    (rating,) = _only(row, where, "rating", besides=(*_WHEN, "often"))
    return Worse(_rating(rating, where), _when(row, where), _often(row.get("often", often), where))


def _often(often: int, where: str) -> int:
    if often not in OFTEN:
        raise ReferenceFileError(f"{where}: how often is from {OFTEN[0]} to {OFTEN[-1]}")
    return often


def _substance(row: dict[str, Any]) -> SubstanceRule:
    where = f"substances.toml, {row.get('key', '?')}"
    key, name, amount, signal, codes, limits, storage, mixing, *rest = _only(
        row, where, "key", "name", "amount", "signal", "codes", "limits", "storage", "mixing",
        "keep_from", "spill", "fire", "first_aid", "waste", besides=(*_BASIS, *_WHEN),
    )  # fmt: skip
    keep_from, spill, fire, aid, waste = rest
    return SubstanceRule(
        key, name, amount, _when(row, where), signal, tuple(codes), tuple(limits),
        _lines(storage, where), mixing, keep_from, spill, fire,
        tuple(tuple(_only(part, where, "route", "text")) for part in aid), waste,
        _basis(row, where),
    )  # fmt: skip


def _protection(row: dict[str, Any]) -> ProtectionRule:
    where = f"protection.toml, {row.get('task', '?')}"
    task, *parts = _only(
        row, where, "task", "eyes", "hands", "breathing", "other",
        besides=(*_BASIS, *_WHEN, "gloves"),
    )  # fmt: skip
    eyes, hands, breathing, other = (_lines(part, where) for part in parts)
    gloves = _gloves(row["gloves"], where) if "gloves" in row else None
    return ProtectionRule(
        task, _when(row, where), eyes, gloves, hands, breathing, other, _basis(row, where)
    )


def _gloves(row: Mapping[str, Any], where: str) -> GloveRule:
    against, spell_min = _only(row, where, "against", "spell_min")
    return GloveRule(tuple(against), spell_min)


def _pair(row: dict[str, Any]) -> PairRule:
    where = f"incompatible.toml, {row.get('between', '?')}"
    between, words, danger = _only(row, where, "between", "words", "danger", besides=_BASIS)
    (one, other), (one_words, other_words) = between, words
    if not {one, other} & {rule.key for rule in substances()}:
        raise ReferenceFileError(f"{where}: neither is a substance of the table")
    return PairRule((one, other), (one_words, other_words), danger, _basis(row, where))


def _step(row: dict[str, Any]) -> StepRule:
    where = f"steps.toml, {row.get('key', '?')}"
    key, title, phase, lines, hold = _only(
        row, where, "key", "title", "phase", "lines", "hold", besides=(*_BASIS, *_WHEN)
    )
    return StepRule(
        key, title, phase, _when(row, where), _lines(lines, where), _lines(hold, where),
        _basis(row, where),
    )  # fmt: skip


def _note(row: dict[str, Any], file_name: str) -> NoteRule:
    where = f"{file_name}, {row.get('title', '?')}"
    title, text = _only(row, where, "title", "text", besides=(*_BASIS, *_WHEN))
    return NoteRule(title, Line(text, _when(row, where)), _basis(row, where))
