"""The records of the safety rules, as their tables hold them.

A `key` is what a rule is joined by; its title or name is only printed.
"""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Condition:
    """Facts that must all be present, and facts of which one must be; empty means always."""

    any_of: tuple[str, ...] = ()
    all_of: tuple[str, ...] = ()

    @property
    def facts(self) -> tuple[str, ...]:
        """Every fact the condition names."""
        return (*self.all_of, *self.any_of)


@dataclass(frozen=True, slots=True)
class Line:
    """A sentence or two with the condition under which it is printed."""

    text: str
    when: Condition


@dataclass(frozen=True, slots=True)
class Basis:
    """Where a rule comes from and how and when that was last checked."""

    source: str
    confirmed: str
    checked: date


@dataclass(frozen=True, slots=True)
class FactRule:
    """A named fact: `words` follows "whether" and says the answer that needs more care.

    `ask` says that somebody has to be asked; the others are seen by looking.
    """

    key: str
    words: str
    ask: bool


@dataclass(frozen=True, slots=True)
class ControlRule:
    """A control, its place in the order of control, and the facts it needs."""

    level: str
    line: Line


@dataclass(frozen=True, slots=True)
class Worse:
    """A rating before controls that holds instead where these facts are present.

    `often` holds instead of the hazard's own where one of them is known to be so.
    """

    rating: tuple[int, int]
    when: Condition
    often: int


@dataclass(frozen=True, slots=True)
class HazardRule:
    """A hazard, the facts that bring it in, what is done, and the ratings before and after.

    `often` says how often it hurts people in this trade, 1 to 10: a house judgement that decides
    among equal ratings which injury is named first, and nothing else.
    """

    key: str
    hazard: str
    who: str
    injury: str
    when: Condition
    controls: tuple[ControlRule, ...]
    before: tuple[int, int]
    worse: tuple[Worse, ...]
    after: tuple[int, int]
    often: int
    basis: Basis


@dataclass(frozen=True, slots=True)
class MatrixRule:
    """The words of the matrix and its bands, by likelihood and then severity from 1.

    While a fact of `never_low` is present nothing is rated low: every control rests on it.
    """

    likelihood: tuple[str, ...]
    severity: tuple[str, ...]
    bands: tuple[tuple[str, ...], ...]
    never_low: Condition
    basis: Basis


@dataclass(frozen=True, slots=True)
class SubstanceRule:
    """A dangerous substance; `amount` says what the take-off gives, empty for dusts.

    `short` is what it is called in a row of others.
    """

    key: str
    name: str
    short: str
    amount: str
    when: Condition
    signal: str
    codes: tuple[str, ...]
    limits: tuple[str, ...]
    storage: tuple[Line, ...]
    mixing: str
    keep_from: str
    spill: str
    fire: str
    first_aid: tuple[tuple[str, str], ...]
    waste: str
    basis: Basis


@dataclass(frozen=True, slots=True)
class GloveRule:
    """What the gloves of a task have to hold, and for how long a spell [min]."""

    against: tuple[str, ...]
    spell_min: float


@dataclass(frozen=True, slots=True)
class Danger:
    """What happens when two things meet that should not."""

    key: str
    words: str


@dataclass(frozen=True, slots=True)
class PairRule:
    """Two things that never meet, how each is called in the row of the other, and what happens."""

    between: tuple[str, str]
    words: tuple[str, str]
    danger: Danger
    basis: Basis


@dataclass(frozen=True, slots=True)
class ProtectionRule:
    """What to wear for one task; `gloves` only where chemicals are handled."""

    key: str
    task: str
    when: Condition
    eyes: tuple[Line, ...]
    gloves: GloveRule | None
    hands: tuple[Line, ...]
    breathing: tuple[Line, ...]
    other: tuple[Line, ...]
    basis: Basis


@dataclass(frozen=True, slots=True)
class StepRule:
    """One step of the work, its lines, and what must be true before going on.

    `phase` is the part of the day's plan it belongs to.
    """

    key: str
    title: str
    phase: str
    when: Condition
    lines: tuple[Line, ...]
    hold: tuple[Line, ...]
    basis: Basis


@dataclass(frozen=True, slots=True)
class NoteRule:
    """A note: an emergency, a duty of a person, a paper to keep, a caution.

    `title` is what it stands under in print, empty where that is nothing. Notes that share a
    heading have its key and its title; any other note has its own key as `heading`.
    """

    key: str
    heading: str
    title: str
    line: Line
    basis: Basis
