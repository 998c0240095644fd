"""The strict loader of the rule tables: what a fact of the job brings with it.

Each `rules/*.toml` is one table of rules with their source and the day they were last checked.
A condition names facts, and a rule stands when all of its `all_of` and, where it has `any_of`,
at least one of those are present or not known. There is no "not": a fact can only add a rule,
never take one away. A wrong rule table is our own fault and raises `ReferenceFileError`.
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from quotegen.reference.loader import CONFIRMED, ReferenceFileError, subject
from quotegen.reference.rule_keys import DangerKey, EmergencyKey, PlanPart, SubstanceKey, TaskKey
from quotegen.reference.rule_records import (
    Basis,
    Condition,
    ControlRule,
    Danger,
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
from quotegen.reference.tables import Row, keyed, known, tables

RULES = Path(__file__).parent / "rules"
OFTEN = range(1, 11)
TITLED = frozenset({"care", "emergency", "law", "marks", "notice", "stored"})
"""The tables of notes whose titles are printed; the notes of the others have none."""

_ASKED = {"emergency": EmergencyKey}
_TITLED_PARTS = frozenset(PlanPart) - {PlanPart.NOTICE, PlanPart.RULES, PlanPart.PARTICULAR}


@cache
def facts() -> Mapping[str, FactRule]:
    """Every named fact by its key."""
    rows = _rows("facts.toml", "fact")
    found = {row["key"]: _fact(row) for row in rows}
    if len(found) != len(rows):
        raise ReferenceFileError("facts.toml: a fact is declared twice")
    return found


@cache
def matrix() -> MatrixRule:
    """The matrix every rating is read on."""
    (row,) = _rows("matrix.toml", "matrix")
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
    rows = keyed("hazards.toml", _rows("hazards.toml", "hazard"))
    return tuple(_hazard(row) for row in rows.values())


@cache
def substances() -> tuple[SubstanceRule, ...]:
    """Every dangerous substance, in the order of the table."""
    rows = keyed("substances.toml", _rows("substances.toml", "substance"), SubstanceKey)
    return tuple(_substance(row) for row in rows.values())


@cache
def incompatible() -> tuple[PairRule, ...]:
    """What never meets what, in the order of the table."""
    file = "incompatible.toml"
    found = tables(table_file(file), "danger", "other", "pair")
    dangers = {
        key: Danger(*_only(row, f"{file}, {key}", "key", "words"))
        for key, row in keyed(file, found["danger"], DangerKey).items()
    }
    others = keyed(file, found["other"])
    return tuple(_pair(row, dangers, others) for row in found["pair"])


@cache
def protection() -> tuple[ProtectionRule, ...]:
    """What to wear, by task."""
    rows = keyed("protection.toml", _rows("protection.toml", "task"), TaskKey)
    return tuple(_protection(row) for row in rows.values())


@cache
def steps() -> tuple[StepRule, ...]:
    """The steps of the work, in order."""
    return tuple(_step(row) for row in keyed("steps.toml", _rows("steps.toml", "step")).values())


@cache
def notes(name: str) -> tuple[NoteRule, ...]:
    """The notes of one kind: the rows of `rules/<name>.toml`."""
    file = f"{name}.toml"
    rows = keyed(file, _rows(file, "note"), _ASKED.get(name))
    return tuple(_note(row, file, titled=name in TITLED) for row in rows.values())


@cache
def plan() -> Mapping[PlanPart, tuple[NoteRule, ...]]:
    """The notes of the construction phase plan, by the part of the paper they stand in."""
    file = "plan.toml"
    read = tables(table_file(file), "heading", "note")
    rows = keyed(file, [*read["heading"], *read["note"]])
    headings = {
        row["key"]: _only(row, f"{file}, {row['key']}", "key", "title")[1]
        for row in read["heading"]
    }
    found: dict[PlanPart, tuple[NoteRule, ...]] = dict.fromkeys(PlanPart, ())
    for key, row in rows.items():
        if key in headings:
            continue
        part = PlanPart(known(row.get("part", ""), list(PlanPart), f"{file}, {key}, part"))
        found[part] = (*found[part], _plan_note(row, part, headings))
    return found


_BASIS = ("source", "confirmed", "checked")
_WHEN = ("any_of", "all_of")


def _rows(file_name: str, name: str) -> list[Row]:
    """The rows of a file that holds one kind of them."""
    return tables(table_file(file_name), name)[name]


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


def _fact(row: Row) -> FactRule:
    key, words = _only(row, "facts.toml", "key", "words", besides=["ask"])
    return FactRule(key, words, row.get("ask", False))


def _hazard(row: Row) -> HazardRule:
    where = f"hazards.toml, {row['key']}"
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


def _control(row: Row, where: str) -> ControlRule:
    level, text = _only(row, where, "level", "text", besides=_WHEN)
    return ControlRule(level, Line(text, _when(row, where)))


def _worse(row: Row, where: str, often: int) -> Worse:
    (rating,) = _only(row, where, "rating", besides=(*_WHEN, "often"))
    return Worse(_rating(rating, where), _when(row, where), _often(row.get("often", often), where))


def _often(often: int, where: str) -> int:
    if often not in OFTEN:
        raise ReferenceFileError(f"{where}: how often is from {OFTEN[0]} to {OFTEN[-1]}")
    return often


def _substance(row: Row) -> SubstanceRule:
    where = f"substances.toml, {row['key']}"
    key, name, amount, signal, codes, limits, storage, mixing, *rest = _only(
        row, where, "key", "name", "amount", "signal", "codes", "limits", "storage", "mixing",
        "keep_from", "spill", "fire", "first_aid", "waste", besides=(*_BASIS, *_WHEN, "short"),
    )  # fmt: skip
    keep_from, spill, fire, aid, waste = rest
    for code in codes:
        known(code, subject("hazard_statements"), f"{where}, codes")
    for limit in limits:
        known(limit, subject("exposure_limits"), f"{where}, limits")
    return SubstanceRule(
        key, name, row.get("short", name), amount, _when(row, where), signal, tuple(codes),
        tuple(limits),
        _lines(storage, where), mixing, keep_from, spill, fire,
        tuple(tuple(_only(part, where, "route", "text")) for part in aid), waste,
        _basis(row, where),
    )  # fmt: skip


def _protection(row: Row) -> ProtectionRule:
    where = f"protection.toml, {row['key']}"
    key, task, *parts = _only(
        row, where, "key", "task", "eyes", "hands", "breathing", "other",
        besides=(*_BASIS, *_WHEN, "gloves"),
    )  # fmt: skip
    eyes, hands, breathing, other = (_lines(part, where) for part in parts)
    gloves = _gloves(row["gloves"], where) if "gloves" in row else None
    return ProtectionRule(
        key, task, _when(row, where), eyes, gloves, hands, breathing, other, _basis(row, where)
    )


def _gloves(row: Mapping[str, Any], where: str) -> GloveRule:
    against, spell_min = _only(row, where, "against", "spell_min")
    for substance in against:
        known(substance, subject("gloves"), f"{where}, gloves")
    return GloveRule(tuple(against), spell_min)


def _pair(row: Row, dangers: Mapping[str, Danger], others: Mapping[str, Row]) -> PairRule:
    where = f"incompatible.toml, {row.get('between', '?')}"
    between, words, danger = _only(row, where, "between", "words", "danger", besides=_BASIS)
    ours = {rule.key for rule in substances()}
    one, other = (known(key, ours | set(others), where) for key in between)
    if not {one, other} & ours:
        raise ReferenceFileError(f"{where}: neither is a substance of the table")
    one_words, other_words = words
    what = dangers[known(danger, dangers, where)]
    return PairRule((one, other), (one_words, other_words), what, _basis(row, where))


def _step(row: Row) -> StepRule:
    where = f"steps.toml, {row['key']}"
    key, title, phase, lines, hold = _only(
        row, where, "key", "title", "phase", "lines", "hold", besides=(*_BASIS, *_WHEN)
    )
    return StepRule(
        key, title, phase, _when(row, where), _lines(lines, where), _lines(hold, where),
        _basis(row, where),
    )  # fmt: skip


def _note(row: Row, file_name: str, *, titled: bool) -> NoteRule:
    where = f"{file_name}, {row['key']}"
    named = ("title",) if titled else ()
    key, text, *_ = _only(row, where, "key", "text", *named, besides=(*_BASIS, *_WHEN))
    line = Line(text, _when(row, where))
    return NoteRule(key, key, row.get("title", ""), line, _basis(row, where))


def _plan_note(row: Row, part: PlanPart, headings: Mapping[str, str]) -> NoteRule:
    """A note of the plan: under a heading it shares, under a title of its own, or under none."""
    alone = {name: row[name] for name in row if name not in ("part", "heading")}
    if "heading" not in row:
        return _note(alone, "plan.toml", titled=part in _TITLED_PARTS)
    where = f"plan.toml, {row['key']}, heading"
    heading = known(row["heading"], headings, where)
    if part not in _TITLED_PARTS:
        raise ReferenceFileError(f"{where}: nothing of the part {part} has one")
    bare = _note(alone, "plan.toml", titled=False)
    return replace(bare, heading=heading, title=headings[heading])


def table_file(file_name: str) -> Path:
    """Where a table lies, in whichever folder of the rules."""
    (found,) = RULES.rglob(file_name)
    return found
