"""The records of the safety rules, as their tables hold them.

A `key` is what a rule is joined by; its title or name is only printed. A field is a key of the
table and what may stand in it, so the table is refused where it says anything else.
"""

from datetime import date
from typing import Annotated, Any, ClassVar

from msgspec import Meta, field

from quotegen.reference.rule_keys import PlanPart
from quotegen.tables import Confirmed, Key, Number, Said, Table

Often = Annotated[int, Meta(ge=1, le=10)]


class Condition(Table, frozen=True):
    """Facts that must all be present, and facts of which one must be; empty means always."""

    any_of: tuple[str, ...] = ()
    all_of: tuple[str, ...] = ()

    @property
    def facts(self) -> tuple[str, ...]:
        """Every fact the condition names."""
        return (*self.all_of, *self.any_of)


class Conditional:
    """What stands under the condition written beside it."""

    __slots__ = ()
    any_of: tuple[str, ...]
    all_of: tuple[str, ...]

    @property
    def when(self) -> Condition:
        """The condition it stands under."""
        return Condition(self.any_of, self.all_of)


class Line(Table, Conditional, frozen=True, kw_only=True):
    """A sentence or two with the condition under which it is printed.

    A file may write one that stands always as its bare text.
    """

    text: str
    any_of: tuple[str, ...] = ()
    all_of: tuple[str, ...] = ()

    @classmethod
    def spelled_out(cls, row: Any) -> Any:
        """The line as a table."""
        return {"text": row} if isinstance(row, str) else row


class Basis(Table, frozen=True):
    """Where a rule comes from and how and when that was last checked."""

    source: str
    confirmed: Confirmed
    checked: date


class Sourced(Table, frozen=True, kw_only=True):
    """What has its basis written beside it."""

    source: Said
    confirmed: Confirmed
    checked: date

    @property
    def basis(self) -> Basis:
        """Where it comes from."""
        return Basis(self.source, self.confirmed, self.checked)


class Rule(Sourced, Conditional, frozen=True, kw_only=True):
    """A rule with a key of its own and a condition it stands under whole."""

    LINES: ClassVar[tuple[str, ...]] = ()

    key: Key
    any_of: tuple[str, ...] = ()
    all_of: tuple[str, ...] = ()

    @classmethod
    def spelled_out(cls, row: Any) -> Any:
        """The rule with each of its lines as a table."""
        if not isinstance(row, dict):
            return row
        shorter = {name: row[name] for name in cls.LINES if isinstance(row.get(name), list)}
        lines = {name: list(map(Line.spelled_out, given)) for name, given in shorter.items()}
        return row | lines


class SentenceRule(Sourced, frozen=True, kw_only=True):
    """A sentence that the program picks by its key; no fact of the table brings it in."""

    key: Key
    text: Said


class FactRule(Table, frozen=True):
    """A named fact: `words` follows "whether" and says the answer that needs more care.

    `ask` says that somebody has to be asked; the others are seen by looking.
    """

    key: str
    words: str
    ask: bool = False


class ControlRule(Table, Conditional, frozen=True, kw_only=True):
    """A control, its place in the order of control, and the facts it needs."""

    level: str
    text: str
    any_of: tuple[str, ...] = ()
    all_of: tuple[str, ...] = ()

    @property
    def line(self) -> Line:
        """The sentence with its condition."""
        return Line(text=self.text, any_of=self.any_of, all_of=self.all_of)


class Worse(Table, Conditional, frozen=True, kw_only=True):
    """A rating before controls that holds instead where these facts are present.

    `often` holds beside the hazard's own where one of them is known to be so; the highest counts.
    """

    rating: tuple[int, int]
    any_of: tuple[str, ...] = ()
    all_of: tuple[str, ...] = ()
    often: Often = 1


class HazardRule(Rule, frozen=True, kw_only=True):
    """A hazard, the facts that bring it in, what is done, and the ratings before and after.

    `often` says how often it hurts people in this trade, 1 to 10: a house judgement that decides
    among equal ratings which injury is named first, and nothing else.
    """

    hazard: str
    who: str
    injury: str
    controls: tuple[ControlRule, ...] = field(name="control")
    before: tuple[int, int]
    worse: tuple[Worse, ...] = ()
    after: tuple[int, int]
    often: Often


class MatrixRule(Sourced, frozen=True, kw_only=True):
    """The words of the matrix and its bands, by likelihood and then severity from 1.

    While a fact of `never_low` is present nothing is rated low: every control rests on it.
    """

    likelihood: tuple[str, ...]
    severity: tuple[str, ...]
    bands: tuple[tuple[str, ...], ...]
    kept_up: tuple[str, ...] = field(name="never_low")

    @property
    def never_low(self) -> Condition:
        """The facts that keep every rating from being low."""
        return Condition(any_of=self.kept_up)


class FirstAid(Table, frozen=True):
    """What is done when a substance has got in by a route."""

    route: str
    text: str


class SubstanceRule(Rule, frozen=True, kw_only=True):
    """A dangerous substance; `amount` says what the take-off gives, empty for dusts."""

    LINES = ("storage",)

    name: str
    short_name: str = field(default="", name="short")
    amount: str
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
        """What it is called in a row of others."""
        return self.short_name or self.name


class GloveRule(Table, frozen=True):
    """What the gloves of a task have to hold, and for how long a spell [min]."""

    against: tuple[str, ...]
    spell_min: Number


class Danger(Table, frozen=True):
    """What happens when two things meet that should not."""

    key: Key
    words: str


class OtherThing(Table, frozen=True):
    """A thing that is no substance of the table and must not meet one."""

    key: Key


class Pair(Sourced, frozen=True, kw_only=True):
    """Two things that never meet, how each is called in the row of the other."""

    between: tuple[str, str]
    words: tuple[str, str]


class PairRow(Pair, frozen=True, kw_only=True):
    """A pair as its table has it: `danger` is the key of what happens."""

    danger: str


class PairRule(Pair, frozen=True, kw_only=True):
    """A pair with what happens."""

    danger: Danger


class ProtectionRule(Rule, frozen=True, kw_only=True):
    """What to wear for one task; `gloves` only where chemicals are handled."""

    LINES = ("eyes", "hands", "breathing", "other")

    task: str
    eyes: tuple[Line, ...]
    gloves: GloveRule | None = None
    hands: tuple[Line, ...]
    breathing: tuple[Line, ...]
    other: tuple[Line, ...]


class StepRule(Rule, frozen=True, kw_only=True):
    """One step of the work, its lines, and what must be true before going on.

    `phase` is the part of the day's plan it belongs to.
    """

    LINES = ("lines", "hold")

    title: str
    phase: str
    lines: tuple[Line, ...]
    hold: tuple[Line, ...]


class NoteRule(Rule, frozen=True, kw_only=True):
    """A note: an emergency, a duty of a person, a paper to keep, a caution."""

    text: str

    @property
    def title(self) -> str:
        """What it stands under in print; empty where that is nothing."""
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
    """A note that stands under a title of its own."""

    title: Said


class Heading(Table, frozen=True):
    """A heading that notes of the plan share."""

    key: Key
    title: Said


class PlanNote(NoteRule, frozen=True, kw_only=True):
    """A note of the plan: under a heading it shares, under a title of its own, or under none."""

    part: PlanPart
    title: str = ""
    shared: Key | None = field(default=None, name="heading")

    @property
    def heading(self) -> str:
        """The key of the heading it shares with others; otherwise its own."""
        return self.shared or self.key
