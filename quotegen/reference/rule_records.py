"""The records of the safety rules, as their tables hold them.

A rule is joined by its `key`; its title or name is only printed. The fields are the keys of the
table and their annotations the values allowed: anything else in a table is refused.
"""

from datetime import date
from typing import Annotated, Any, ClassVar, Literal

from msgspec import Meta, field

from quotegen.reference.item_kinds import ItemKind
from quotegen.reference.life import Lived
from quotegen.reference.rule_keys import PlanPart, VanPart
from quotegen.tables import Confirmed, Key, Number, Said, Table

Often = Annotated[int, Meta(ge=1, le=10)]


class Condition(Table, frozen=True):
    """Facts that must all be present, and facts of which one must be; empty means always."""

    any_of: tuple[str, ...] = ()
    all_of: tuple[str, ...] = ()

    @property
    def facts(self) -> tuple[str, ...]:
        """All facts named by the condition."""
        return (*self.all_of, *self.any_of)


class Conditional:
    """A record with a condition."""

    __slots__ = ()
    any_of: tuple[str, ...]
    all_of: tuple[str, ...]

    @property
    def when(self) -> Condition:
        """The condition it applies under."""
        return Condition(self.any_of, self.all_of)


class Line(Table, Conditional, frozen=True, kw_only=True):
    """A sentence or two, printed under a condition.

    A file may write an unconditional line as bare text. `sheet` puts it on the standing sheet: it
    names no figure of a job, and nobody needs it read out at that moment.
    """

    text: str
    sheet: bool = False
    any_of: tuple[str, ...] = ()
    all_of: tuple[str, ...] = ()

    @classmethod
    def spelled_out(cls, row: Any) -> Any:
        """Expand a bare text to a table."""
        return {"text": row} if isinstance(row, str) else row


class Basis(Table, frozen=True):
    """The source of a rule, its public address, and how and when it was last read."""

    source: str
    confirmed: Confirmed
    checked: date | None
    address: str


class Sourced(Lived, frozen=True, kw_only=True):
    """A record with a basis."""

    @property
    def basis(self) -> Basis:
        """The source, and how it was read."""
        return Basis(self.source, self.confirmed, self.checked, self.address)


class Rule(Sourced, Conditional, frozen=True, kw_only=True):
    """A rule with a key and a condition on the whole."""

    LINES: ClassVar[tuple[str, ...]] = ()

    key: Key
    any_of: tuple[str, ...] = ()
    all_of: tuple[str, ...] = ()

    @classmethod
    def spelled_out(cls, row: Any) -> Any:
        """Expand each bare line of the rule to a table."""
        if not isinstance(row, dict):
            return row
        shorter = {name: row[name] for name in cls.LINES if isinstance(row.get(name), list)}
        lines = {name: list(map(Line.spelled_out, given)) for name, given in shorter.items()}
        return row | lines


class SentenceRule(Sourced, frozen=True, kw_only=True):
    """A sentence that the program picks by its key; no fact brings it in."""

    key: Key
    text: Said


class FactRule(Table, frozen=True):
    """A named fact: `words` follows "whether" and states the answer that needs more care.

    `ask` means that somebody has to be asked; other facts are seen by looking.
    """

    key: str
    words: str
    ask: bool = False


class ControlRule(Table, Conditional, frozen=True, kw_only=True):
    """A control, its level in the order of control, and the facts it needs."""

    level: str
    text: str
    any_of: tuple[str, ...] = ()
    all_of: tuple[str, ...] = ()

    @property
    def line(self) -> Line:
        """The sentence with its condition."""
        return Line(text=self.text, any_of=self.any_of, all_of=self.all_of)


class Worse(Table, Conditional, frozen=True, kw_only=True):
    """A rating before controls that applies instead where these facts are present.

    `often` applies as well as the hazard's own where one of the facts is known to be present; the
    highest counts.
    """

    rating: tuple[int, int]
    any_of: tuple[str, ...] = ()
    all_of: tuple[str, ...] = ()
    often: Often = 1


class HazardRule(Rule, frozen=True, kw_only=True):
    """A hazard, the facts that bring it in, its controls, and the ratings before and after.

    `often` is how often it hurts people in this trade, 1 to 10: a house judgement used only to
    decide which injury is named first among equal ratings. `steps` are the steps of the work that
    keep to its controls.
    """

    hazard: str
    who: str
    injury: str
    controls: tuple[ControlRule, ...] = field(name="control")
    before: tuple[int, int]
    worse: tuple[Worse, ...] = ()
    after: tuple[int, int]
    often: Often
    steps: tuple[Key, ...] = ()


class MatrixRule(Sourced, frozen=True, kw_only=True):
    """The words of the matrix and its bands, by likelihood and then severity from 1.

    While a fact of `never_low` is present, no rating is low, because every control depends on it.
    """

    likelihood: tuple[str, ...]
    severity: tuple[str, ...]
    bands: tuple[tuple[str, ...], ...]
    kept_up: tuple[str, ...] = field(name="never_low")

    @property
    def key(self) -> str:
        """There is one at a time."""
        return "matrix"

    @property
    def never_low(self) -> Condition:
        """The facts that keep every rating from being low."""
        return Condition(any_of=self.kept_up)


class FirstAid(Table, frozen=True):
    """First aid for a substance by its route into the body."""

    route: str
    text: str


class SubstanceRule(Rule, frozen=True, kw_only=True):
    """A dangerous substance; `amount` is its quantity from the take-off, empty for dusts.

    `does` says in a few words what it can do to people.
    """

    LINES = ("storage",)

    name: str
    short_name: str = field(default="", name="short")
    amount: str
    does: Said
    signal: str
    codes: tuple[str, ...]
    limits: tuple[str, ...]
    storage: tuple[Line, ...]
    mixing: str
    keep_from: str
    spill: str
    fire: str
    first_aid: tuple[FirstAid, ...]
    waste: str

    @property
    def short(self) -> str:
        """The name used in a list of substances."""
        return self.short_name or self.name


class GloveRule(Table, frozen=True):
    """The gloves for a task: what they must resist, and for how long at a time [min]."""

    against: tuple[str, ...]
    spell_min: Number


class Danger(Table, frozen=True):
    """The danger when two incompatible things meet."""

    key: Key
    words: str


class OtherThing(Table, frozen=True):
    """Something outside the substance table that must not meet a substance in it."""

    key: Key


class KeptApart(Sourced, frozen=True, kw_only=True):
    """Two things that must never meet, and the name of each in the other's row."""

    between: tuple[str, str]
    words: tuple[str, str]

    @property
    def key(self) -> str:
        """The two, in the order of their names."""
        return " and ".join(sorted(self.between))


class PairRow(KeptApart, frozen=True, kw_only=True):
    """A pair as its table holds it: `danger` is the key of the consequence."""

    danger: str


class PairRule(KeptApart, frozen=True, kw_only=True):
    """A pair with the danger of their meeting."""

    danger: Danger


class ProtectionRule(Rule, frozen=True, kw_only=True):
    """Protective equipment for one task; `gloves` only where chemicals are handled."""

    LINES = ("eyes", "hands", "breathing", "other")

    task: str
    eyes: tuple[Line, ...]
    gloves: GloveRule | None = None
    hands: tuple[Line, ...]
    breathing: tuple[Line, ...]
    other: tuple[Line, ...]


class StepRule(Rule, frozen=True, kw_only=True):
    """One step of the work, its lines, and the condition for going on.

    `phase` is the part of the day's plan it belongs to.
    """

    LINES = ("lines", "hold")

    title: str
    phase: str
    lines: tuple[Line, ...]
    hold: tuple[Line, ...]


class KitRule(Rule, frozen=True, kw_only=True):
    """A thing the firm owns that goes on the van, every day or on the days of some phases.

    There are `many`, for each person where `each` says so.
    """

    part: VanPart
    words: Said
    many: Annotated[int, Meta(ge=1)] = 1
    each: Literal["job", "person"] = "job"
    phases: tuple[str, ...] = ()

    @property
    def line(self) -> Line:
        """The words with their condition."""
        return Line(text=self.words, any_of=self.any_of, all_of=self.all_of)


class StockRule(Table, frozen=True, kw_only=True):
    """When bought things go on the van: the first day of some phases, or the very first day."""

    kinds: tuple[ItemKind, ...]
    phases: tuple[str, ...]


class NoteRule(Rule, frozen=True, kw_only=True):
    """A note: an emergency, a duty of a person, a paper to keep, a caution."""

    text: str

    @property
    def title(self) -> str:
        """The printed title, empty where there is none."""
        return ""

    @property
    def heading(self) -> str:
        """The key of the heading it shares with others; otherwise its own."""
        return self.key

    @property
    def line(self) -> Line:
        """The text with its condition."""
        return Line(text=self.text, any_of=self.any_of, all_of=self.all_of)


class TitledNote(NoteRule, frozen=True, kw_only=True):
    """A note with a title of its own."""

    title: Said


class EmergencyNote(TitledNote, frozen=True, kw_only=True):
    """An emergency: its text is what is done at once, `more` what follows."""

    more: str = ""


class Heading(Table, frozen=True):
    """A heading shared by several notes of the plan."""

    key: Key
    title: Said


class PlanNote(NoteRule, frozen=True, kw_only=True):
    """A note of the plan: under a shared heading, its own title, or neither."""

    part: PlanPart
    title: str = ""
    shared: Key | None = field(default=None, name="heading")

    @property
    def heading(self) -> str:
        """The key of the heading it shares with others; otherwise its own."""
        return self.shared or self.key


class BeforeRule(Rule, frozen=True, kw_only=True):
    """Something to settle before the start: its words, what waits for it and who pays.

    `waits` follows "waiting for"; `what` and `who` are told to the customer; `hold` is the line of
    its own on the statement, empty where it needs none. `wait` and `cost` are codes of settings,
    empty where it takes no time of its own or nobody can say what it costs. It is sure to be needed
    where the facts of `sure_by` are known, or else those that bring it in.
    """

    sure_by: tuple[str, ...] = ()
    waits: Said
    what: Said
    who: Said
    hold: str = ""
    wait: str = ""
    cost: str = ""
    gates: Literal["ordering", "start"]
    pays: Literal["in-price", "direct", "nobody"]


class LookRule(Sourced, frozen=True, kw_only=True):
    """How some facts are found out on a visit: what to look at or ask, and a way to test it.

    The answer goes into `cells`: headings of the Enquiries sheet, or what rows of the Business
    sheet are called. What no cell settles is written down on the Findings sheet.
    """

    key: Key
    facts: tuple[str, ...]
    sheet: Literal["Enquiries", "Business", "Findings"] = "Enquiries"
    cells: tuple[Said, ...]
    look: Said
    test: Said
