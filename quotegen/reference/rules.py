"""The safety rules: the consequences of the facts of a job.

Each `rules/*.toml` is one table of rules with their source and the date they were last checked. A
condition names facts; a rule applies when all of its `all_of` and, if it has `any_of`, at least one
of those are present or unknown. There is no "not": a fact can only add a rule, never remove one.
Each record defines what its rows may hold; relations between tables are checked here. A wrong rule
table is our own fault and raises `ReferenceFileError`.
"""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from datetime import date
from functools import cache
from itertools import groupby
from pathlib import Path
from typing import Any, Generic, ParamSpec, TypeAlias, TypeVar, cast

from msgspec import structs

from quotegen.machine.day import day_in_force
from quotegen.reference import house_rules
from quotegen.reference.item_kinds import ItemKind
from quotegen.reference.life import Keyed, all_in_force, in_force, in_turn
from quotegen.reference.loader import subject
from quotegen.reference.remarks import RemarkKey, checked_words
from quotegen.reference.rule_keys import (
    AccessReason,
    AirSentence,
    BeforeKey,
    CardSentence,
    DangerKey,
    EdgeSentence,
    EmergencyKey,
    GloveSentence,
    JobSentence,
    LadderGround,
    LadderSentence,
    LimitSentence,
    MixSentence,
    OpeningSentence,
    PlanPart,
    SheetSentence,
    SubstanceKey,
    TaskKey,
    Told,
    VanPart,
)
from quotegen.reference.rule_records import (
    BeforeRule,
    Condition,
    Conditional,
    Danger,
    EmergencyNote,
    FactRule,
    HazardRule,
    Heading,
    KitRule,
    LookRule,
    MatrixRule,
    NoteRule,
    OtherThing,
    PairRow,
    PairRule,
    PlanNote,
    ProtectionRule,
    Rule,
    SentenceRule,
    StepRule,
    StockRule,
    SubstanceRule,
    TitledNote,
)
from quotegen.tables import ReferenceFileError, Table, by_key, known_key, rows, tables

RULES = Path(__file__).parent / "rules"
TITLED = frozenset({"care", "emergency", "law", "marks", "notice", "stored"})
"""The tables of notes with printed titles; the notes of other tables have none."""
NOTES = (*sorted(TITLED), "cautions", "people", "photos", "waste")
"""All tables of notes but for those of the plan."""

SENTENCES: Mapping[type[RemarkKey], str] = {
    AccessReason: "access.toml",
    LadderGround: "ladder.toml",
    Told: "told.toml",
    LadderSentence: "ladder_use.toml",
    GloveSentence: "gloves.toml",
    AirSentence: "air.toml",
    LimitSentence: "limits.toml",
    EdgeSentence: "edge.toml",
    MixSentence: "mixing.toml",
    CardSentence: "card.toml",
    OpeningSentence: "openings.toml",
    JobSentence: "job.toml",
    SheetSentence: "sheet.toml",
}
"""The tables of sentences that the program picks, by the kind of their keys."""

AnyRule: TypeAlias = Rule | SentenceRule | LookRule | PairRule | MatrixRule
"""A row with a key, a source and a life."""

_ASKED = {"emergency": EmergencyKey}
_TITLED_PARTS = frozenset(PlanPart) - {PlanPart.NOTICE, PlanPart.RULES, PlanPart.PARTICULAR}
_Read = TypeVar("_Read", bound=Rule)
_Row = TypeVar("_Row", bound=Keyed)


_Asked = ParamSpec("_Asked")


class _OfTheDay(Generic[_Asked, _Row]):
    """A table read once, of which a caller gets the rows in force on the day.

    `every` gives all of them, whatever the day.
    """

    def __init__(self, read: Callable[_Asked, tuple[_Row, ...]]) -> None:
        self.__wrapped__ = read
        self.__doc__ = read.__doc__
        self.every = cast(Callable[_Asked, tuple[_Row, ...]], cache(read))
        self._on: dict[tuple[Any, ...], tuple[_Row, ...]] = {}

    def cache_clear(self) -> None:
        """Read the table again when it is next asked for."""
        self.every = cast(Callable[_Asked, tuple[_Row, ...]], cache(self.__wrapped__))
        self._on.clear()

    def __call__(self, *asked: _Asked.args, **named: _Asked.kwargs) -> tuple[_Row, ...]:
        day = day_in_force()
        key = (day, *asked)
        if key not in self._on:
            self._on[key] = _of_the_day(self.every(*asked, **named), day)
        return self._on[key]


def _of_the_day(rows: Sequence[_Row], day: date | None) -> tuple[_Row, ...]:
    """Those in force; of two with one key there is none without a day."""
    keys = [row.key for row in rows]
    if day is None and len(set(keys)) < len(keys):
        again = next(key for key in keys if keys.count(key) > 1)
        raise ReferenceFileError(f"{again} depends on the date")
    return all_in_force(rows, day)


@cache
def facts() -> Mapping[str, FactRule]:
    """Every named fact by key."""
    return by_key("facts.toml", rows(table_file("facts.toml"), "fact", FactRule))


def matrix() -> MatrixRule:
    """The risk matrix."""
    return in_force(every_matrix(), day_in_force(), "matrix.toml")


@cache
def every_matrix() -> tuple[MatrixRule, ...]:
    """The risk matrix, whatever the day."""
    file = "matrix.toml"
    found = _in_turn(file, rows(table_file(file), "matrix", MatrixRule))
    for made in found:
        _declared([made.never_low], file)
        many = len(made.severity)
        if len(made.bands) != len(made.likelihood) or any(len(band) != many for band in made.bands):
            raise ReferenceFileError(f"{file}: the bands do not fit the words")
    return found


@_OfTheDay
def hazards() -> tuple[HazardRule, ...]:
    """Every hazard, in the order of the table."""
    found = _rules("hazards.toml", "hazard", HazardRule)
    for rule in found:
        _check_hazard(rule)
    return found


@_OfTheDay
def substances() -> tuple[SubstanceRule, ...]:
    """Every dangerous substance, in the order of the table."""
    found = _rules("substances.toml", "substance", SubstanceRule, SubstanceKey)
    for rule in found:
        where = f"substances.toml, {rule.key}"
        _all_known(rule.codes, subject("hazard_statements"), f"{where}, codes")
        _all_known(rule.limits, subject("exposure_limits"), f"{where}, limits")
    return found


@_OfTheDay
def incompatible() -> tuple[PairRule, ...]:
    """The pairs that must never meet, in the order of the table."""
    file = "incompatible.toml"
    found = tables(table_file(file), danger=Danger, other=OtherThing, pair=PairRow)
    dangers = by_key(file, found["danger"], DangerKey)
    others = by_key(file, found["other"])
    return tuple(_pair(row, dangers, others) for row in _in_turn(file, found["pair"]))


@_OfTheDay
def protection() -> tuple[ProtectionRule, ...]:
    """Protective equipment by task."""
    found = _rules("protection.toml", "task", ProtectionRule, TaskKey)
    for rule in found:
        against = rule.gloves.against if rule.gloves else ()
        _all_known(against, subject("gloves"), f"protection.toml, {rule.key}, gloves")
    return found


@_OfTheDay
def steps() -> tuple[StepRule, ...]:
    """The steps of the work, in order."""
    return _rules("steps.toml", "step", StepRule)


@_OfTheDay
def van_kit() -> tuple[KitRule, ...]:
    """The firm's own kit that goes on the van, part by part."""
    found = _in_turn("van.toml", _van()["kit"])
    _each_declared(found, "van.toml")
    return tuple(sorted(found, key=lambda one: tuple(VanPart).index(one.part)))


@cache
def van_stock_rules() -> Mapping[ItemKind, StockRule]:
    """When bought things go on the van, by kind: every kind except hire, once each."""
    found: dict[ItemKind, StockRule] = {}
    for rule in _van()["stock"]:
        for kind in rule.kinds:
            if kind in found:
                raise ReferenceFileError(f"van.toml: the kind {kind} stands twice")
            found[kind] = rule
    for item in house_rules.items().values():
        if not item.hired and item.kind is not ItemKind.DELIVERY:
            known_key(item.kind, found, "van.toml, stock")
    return found


def _van() -> Mapping[str, tuple[Any, ...]]:
    return tables(table_file("van.toml"), kit=KitRule, stock=StockRule)


@_OfTheDay
def before() -> tuple[BeforeRule, ...]:
    """What may have to be settled before a job starts, in the order of the table."""
    found = _rules("prestart.toml", "before", BeforeRule, BeforeKey)
    for rule in found:
        _all_known(rule.sure_by, facts(), f"prestart.toml, {rule.key}, sure_by")
        codes = [code for code in (rule.wait, rule.cost) if code]
        _all_known(codes, house_rules.settings(), f"prestart.toml, {rule.key}")
    return found


@_OfTheDay
def looks() -> tuple[LookRule, ...]:
    """How what is not known is found out on a visit; no fact is found out in two ways."""
    file = "survey.toml"
    found = _in_turn(file, _survey()["look"])
    told = [fact for rule in {rule.key: rule for rule in found}.values() for fact in rule.facts]
    _all_known(told, facts(), f"{file}, facts")
    if len(told) != len(set(told)):
        raise ReferenceFileError(f"{file}: a fact stands twice")
    return found


@_OfTheDay
def look_first() -> tuple[NoteRule, ...]:
    """What is said at the top of the survey sheet, before anyone looks."""
    return _in_turn("survey.toml", _survey()["first"])


def _survey() -> Mapping[str, tuple[Any, ...]]:
    return tables(table_file("survey.toml"), first=NoteRule, look=LookRule)


@_OfTheDay
def notes(name: str) -> tuple[NoteRule, ...]:
    """The notes of one kind: the rows of `rules/<name>.toml`."""
    kind = EmergencyNote if name == "emergency" else TitledNote if name in TITLED else NoteRule
    return _rules(f"{name}.toml", "note", kind, _ASKED.get(name))


def plan() -> Mapping[PlanPart, tuple[NoteRule, ...]]:
    """The notes of the construction phase plan, by part of the paper."""
    return {part: _of_the_day(notes, day_in_force()) for part, notes in every_plan_note().items()}


@cache
def every_plan_note() -> Mapping[PlanPart, tuple[NoteRule, ...]]:
    """The notes of the plan, whatever the day, by part of the paper."""
    file = "plan.toml"
    read = tables(table_file(file), heading=Heading, note=PlanNote)
    unlike = {note.key: note for note in _in_turn(file, read["note"])}
    by_key(file, [*read["heading"], *unlike.values()])
    headings = by_key(file, read["heading"])
    _each_declared(read["note"], file)
    found: dict[PlanPart, tuple[NoteRule, ...]] = dict.fromkeys(PlanPart, ())
    for note in read["note"]:
        found[note.part] = (*found[note.part], _plan_note(note, headings))
    return found


@_OfTheDay
def sentences(kind: type[RemarkKey]) -> tuple[SentenceRule, ...]:
    """The sentences of one table, one for each key of its kind."""
    file = SENTENCES[kind]
    found = _in_turn(file, rows(table_file(file), "sentence", SentenceRule))
    for one in found:
        last = {each.key: each.text for each in found} | {one.key: one.text}
        checked_words(file, last, kind)
    return found


def sentence_words(kind: type[RemarkKey]) -> Mapping[str, str]:
    """The words of one table of sentences, by their keys."""
    return _sentence_words(kind, day_in_force())


@cache
def _sentence_words(kind: type[RemarkKey], _day: date | None) -> Mapping[str, str]:
    return {one.key: one.text for one in sentences(kind)}


def every_rule() -> Mapping[str, tuple[AnyRule, ...]]:
    """All rules that have a key, whatever the day, by the name of their table."""
    found: dict[str, tuple[AnyRule, ...]] = {
        "hazards": hazards.every(),
        "substances": substances.every(),
        "protection": protection.every(),
        "steps": steps.every(),
        "van": van_kit.every(),
        "prestart": before.every(),
        "survey": (*look_first.every(), *looks.every()),
        "incompatible": incompatible.every(),
        "matrix": every_matrix(),
        "plan": tuple(note for part in every_plan_note().values() for note in part),
    }
    found |= {name: notes.every(name) for name in NOTES}
    return found | {SENTENCES[kind].partition(".")[0]: sentences.every(kind) for kind in SENTENCES}


def says(rule: AnyRule) -> str:
    """What a rule is about, in the first words it prints."""
    if isinstance(rule, PairRule):
        return f"{' and '.join(rule.words)}: {rule.danger.words}"
    for name in ("hazard", "what", "text", "look", "task", "title", "name", "words"):
        words = getattr(rule, name, "")
        if words:
            return str(words)
    return rule.key


def table_file(file_name: str) -> Path:
    """The path of a table, in whichever rules folder it lies."""
    (found,) = RULES.rglob(file_name)
    return found


def _rules(file_name: str, name: str, kind: type[_Read], asked: Any = None) -> tuple[_Read, ...]:
    """The rules of a file that holds a single kind."""
    found = _in_turn(file_name, rows(table_file(file_name), name, kind))
    by_key(file_name, {rule.key: rule for rule in found}.values(), asked)
    _each_declared(found, file_name)
    return found


def _in_turn(file_name: str, records: Sequence[_Row]) -> tuple[_Row, ...]:
    """The rows of a table in its order; those of one key must follow one another in time."""
    for key, alike in groupby(sorted(records, key=_key), _key):
        in_turn(alike, f"{file_name}: the key {key}")
    return tuple(records)


def _key(row: Keyed) -> str:
    return row.key


def _each_declared(rules: Iterable[Rule], file_name: str) -> None:
    for rule in rules:
        _declared(_conditions(rule), f"{file_name}, {rule.key}")


def _declared(conditions: Iterable[Condition], where: str) -> None:
    undeclared = {fact for one in conditions for fact in one.facts} - set(facts())
    if undeclared:
        raise ReferenceFileError(f"{where}: there are no facts {sorted(undeclared)}")


def _conditions(thing: object) -> Iterator[Condition]:
    """Every condition in a rule: its own, and those of its lines, controls and ratings."""
    if isinstance(thing, Conditional):
        yield thing.when
    if isinstance(thing, Table):
        thing = structs.astuple(thing)
    for part in thing if isinstance(thing, tuple) else ():
        yield from _conditions(part)


def _all_known(keys: Iterable[str], there: Collection[str], where: str) -> None:
    for key in keys:
        known_key(key, there, where)


def _check_hazard(rule: HazardRule) -> None:
    """Refuse a hazard that nothing brings in, or a rating outside the matrix."""
    where = f"hazards.toml, {rule.key}"
    if not rule.when.facts:
        raise ReferenceFileError(f"{where}: a hazard needs a fact that brings it in")
    likelihoods = min(len(made.likelihood) for made in every_matrix())
    severities = min(len(made.severity) for made in every_matrix())
    for rating in (rule.before, rule.after, *(worse.rating for worse in rule.worse)):
        if not (1 <= rating[0] <= likelihoods and 1 <= rating[1] <= severities):
            raise ReferenceFileError(f"{where}: the rating {rating} is off the matrix")
    _all_known(rule.steps, {step.key for step in steps.every()}, f"{where}, steps")


def _pair(
    row: PairRow, dangers: Mapping[str, Danger], others: Mapping[str, OtherThing]
) -> PairRule:
    where = f"incompatible.toml, {row.between}"
    ours = {rule.key for rule in substances.every()}
    _all_known(row.between, ours | set(others), where)
    if ours.isdisjoint(row.between):
        raise ReferenceFileError(f"{where}: neither is a substance of the table")
    danger = dangers[known_key(row.danger, dangers, where)]
    return PairRule(**(structs.asdict(row) | {"danger": danger}))


def _plan_note(note: PlanNote, headings: Mapping[str, Heading]) -> PlanNote:
    """A note of the plan with the title of its shared heading."""
    where = f"plan.toml, {note.key}"
    titled = note.part in _TITLED_PARTS
    if note.shared and not titled:
        raise ReferenceFileError(f"{where}, heading: nothing of the part {note.part} has one")
    if bool(note.title) != (titled and not note.shared):
        raise ReferenceFileError(f"{where}: a title is missing, or stands where none is printed")
    if not note.shared:
        return note
    heading = headings[known_key(note.shared, headings, f"{where}, heading")]
    return structs.replace(note, title=heading.title)
