"""Sheets and columns, and the kinds of column a sheet may be declared with.

A sheet is a class whose attributes are its columns from left to right. A column is typed by the
value a row gives for it, so mypy knows `row.get(ENQUIRIES.humidity_pct)` as a `Figure` and
`row.get(ENQUIRIES.access)` as an `Access`, and an undeclared name is an error.
"""

import dataclasses
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from functools import cached_property
from typing import ClassVar, Generic, TypeAlias, TypedDict, TypeVar, Unpack

from msgspec import Struct

from quotegen import wording
from quotegen.reference import house_rules
from quotegen.reference.item_kinds import SIZE_UNITS, ItemKind
from quotegen.units import Unit
from quotegen.working import Figure

EXAMPLE_REF = "EXAMPLE"
YES_NO = ("yes", "no")
LONGEST_LINE = 300
"""The most characters of a name, an address or the like, unless its column or setting differs."""
UNLIMITED = 100_000
"""No limit: a reference has a length rule of its own."""
FIRST_DAY, LAST_DAY = date(2000, 1, 1), date(2099, 12, 31)


class DeclarationError(Exception):
    """A wrong declaration of a sheet or column, or a request for one that is not there."""


class CellKind(StrEnum):
    """The kinds of content of a cell."""

    TEXT = "text"
    DATE = "date"
    NUMBER = "number"
    LENGTH = "length"
    MONEY = "money"
    CHOICE = "choice"
    CHOICES = "choices"
    YES_NO = "yes/no"


Example: TypeAlias = str | float | int | date
Bounds: TypeAlias = tuple[float, float]
Given_co = TypeVar("Given_co", covariant=True)
_Choice = TypeVar("_Choice", bound=StrEnum)


@dataclass(frozen=True, slots=True, eq=False)
class Column(Generic[Given_co]):
    """One column: its heading, the field it fills, and the content its cells may hold.

    `Given_co` is the type a row gives for a filled cell; the methods of `Group` tie it to the kind
    of the cells. The field is the name of the column's attribute in its sheet. A number is a whole
    number if `whole`, one of `allowed` if there are any, and from `least` to `most` if given. A
    length below `doubt_below` without a unit is queried, never guessed. Words have `longest`
    characters at most. A `later` column was added since workbooks were first given out, so one may
    lack it: it is then as if left blank. A column equals only itself.
    """

    heading: str
    kind: CellKind
    prompt: str = ""
    group: str = ""
    unit: Unit = Unit.NONE
    least: float | None = None
    most: float | None = None
    doubt_below: float = 0.0
    whole: bool = False
    allowed: tuple[float, ...] = ()
    longest: int = LONGEST_LINE
    choices: tuple[str, ...] = ()
    earliest: date | None = None
    latest: date | None = None
    required: bool = False
    example: Example | None = None
    width: float = 12.0
    later: bool = False
    field: str = dataclasses.field(default="", init=False)

    def __set_name__(self, _owner: type, name: str) -> None:
        object.__setattr__(self, "field", name)

    @property
    def needed(self) -> str:
        """What to type, in a few words."""
        if self.choices:
            return f"one of {', '.join(self.choices)}"
        if self.allowed:
            return f"one of {', '.join(f'{wording.typed(value)}' for value in self.allowed)}"
        words = {
            CellKind.TEXT: "some words",
            CellKind.DATE: "a date such as 25/11/2026",
            CellKind.LENGTH: "a length in millimetres, or with its unit",
            CellKind.MONEY: "an amount in pounds",
        }
        return words.get(self.kind, "a whole number" if self.whole else "a number")


AnyColumn: TypeAlias = Column[object]


@dataclass(frozen=True, eq=False)
class Sheet:
    """One sheet: its name and purpose. The attributes of its class are its columns."""

    name: str
    about: str

    @cached_property
    def columns(self) -> tuple[AnyColumn, ...]:
        """The columns from left to right, those of a base class first."""
        declared = (vars(part).values() for part in reversed(type(self).__mro__))
        return tuple(found for part in declared for found in part if isinstance(found, Column))


class JobSheet(Sheet):
    """A sheet whose rows carry the reference of their roof."""

    ref: ClassVar[Column[str]]

    @property
    def field(self) -> str:
        """What the rows of one roof are called in its record: the name in small letters."""
        return self.name.lower().replace(" ", "_")


class Rest(TypedDict, total=False):
    """Options for a column of any kind."""

    required: bool
    example: Example
    width: float
    later: bool


class Group(Struct, frozen=True):
    """Columns side by side under headings of one tone; each method declares one."""

    name: str

    def reference(self, prompt: str) -> Column[str]:
        """The reference of a roof, with a length rule of its own."""
        return self.text(
            "Reference", prompt, UNLIMITED, required=True, example=EXAMPLE_REF, width=13
        )

    def text(
        self, heading: str, prompt: str, longest: int = LONGEST_LINE, **rest: Unpack[Rest]
    ) -> Column[str]:
        """Words."""
        return Column(heading, CellKind.TEXT, prompt, self.name, longest=longest, **rest)

    def day(self, heading: str, prompt: str, **rest: Unpack[Rest]) -> Column[date]:
        """A day of this century."""
        kind = CellKind.DATE
        return Column(heading, kind, prompt, self.name, earliest=FIRST_DAY, latest=LAST_DAY, **rest)

    def number(
        self,
        heading: str,
        prompt: str,
        between: Bounds,
        unit: Unit = Unit.NONE,
        whole: bool = False,
        **rest: Unpack[Rest],
    ) -> Column[Figure]:
        """A number within bounds."""
        kind, (least, most) = CellKind.NUMBER, between
        return Column(heading, kind, prompt, self.name, unit, least, most, whole=whole, **rest)

    def length(
        self,
        heading: str,
        prompt: str,
        between: Bounds,
        doubt_below: float = 20,
        **rest: Unpack[Rest],
    ) -> Column[Figure]:
        """A length within bounds [mm]."""
        kind, (least, most) = CellKind.LENGTH, between
        return Column(heading, kind, prompt, self.name, Unit.MM, least, most, doubt_below, **rest)

    def item_size(
        self, heading: str, prompt: str, of: ItemKind, **rest: Unpack[Rest]
    ) -> Column[Figure]:
        """One of the sizes in which a kind of item is listed [unit of the kind]."""
        allowed, unit = sizes_of(of), SIZE_UNITS[of]
        kind = CellKind.LENGTH if unit is Unit.MM else CellKind.NUMBER
        return Column(heading, kind, prompt, self.name, unit, allowed=allowed, **rest)

    def money(
        self, heading: str, prompt: str, between: Bounds, **rest: Unpack[Rest]
    ) -> Column[Figure]:
        """An amount without VAT [GBP]."""
        kind, (least, most) = CellKind.MONEY, between
        return Column(heading, kind, prompt, self.name, Unit.GBP, least, most, **rest)

    def choice(
        self,
        heading: str,
        prompt: str,
        listed: type[_Choice],
        only: tuple[_Choice, ...] = (),
        **rest: Unpack[Rest],
    ) -> Column[_Choice]:
        """One member of a list, or of `only` if given."""
        kind, members = CellKind.CHOICE, only or tuple(listed)
        return Column(heading, kind, prompt, self.name, choices=members, **rest)

    def choices(
        self, heading: str, prompt: str, listed: type[_Choice], **rest: Unpack[Rest]
    ) -> Column[tuple[_Choice, ...]]:
        """Members of a list, none of which may contain the separators."""
        kind, members = CellKind.CHOICES, tuple(listed)
        return Column(heading, kind, prompt, self.name, choices=members, **rest)

    def yes_no(self, heading: str, prompt: str, **rest: Unpack[Rest]) -> Column[bool]:
        """Yes or no."""
        return Column(heading, CellKind.YES_NO, prompt, self.name, choices=YES_NO, **rest)


def sizes_of(kind: ItemKind) -> tuple[float, ...]:
    """The sizes a kind of item is listed in; a kind without any is refused."""
    found = house_rules.sizes(kind)
    if not found:
        raise DeclarationError(f"{kind} comes in no sizes")
    return found
