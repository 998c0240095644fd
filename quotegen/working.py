"""Figures that explain themselves: a value, its unit, and where it came from.

A `Figure` was either given (its basis is an `Origin`: a cell, a rate, a published value, a choice
of the program) or worked out (its basis is a `Step`: a pure formula and the figures put into it).
Formulas know nothing of this; `derive` calls one and records the step, so the trail cannot change
the answer.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from decimal import Decimal
from enum import StrEnum
from typing import Any, Final, TypeAlias, TypeVar

from msgspec import Struct

from quotegen.units import Unit

Scalar: TypeAlias = float | int | Decimal | str | bool
Value: TypeAlias = Scalar | tuple["Value", ...]
_Formula = TypeVar("_Formula", bound=Callable[..., Value])
_Alike: TypeAlias = tuple[tuple[str, ...], bool]
_ALIKE: Final[dict[Callable[..., Any], _Alike]] = {}
"""For each formula: the parameters that share a unit, and whether the result does too."""


class MixedUnitsError(TypeError):
    """An attempt to add or compare figures of different units: our own fault."""


def alike(*parameters: str, result: bool = True) -> Callable[[_Formula], _Formula]:
    """Mark a formula that adds or compares: the named parameters must share a unit.

    So must the result, unless it is a ratio or a count (`result=False`). `derive` refuses any
    mixture.
    """

    def marked(formula: _Formula) -> _Formula:
        _ALIKE[formula] = (parameters, result)
        return formula

    return marked


class Source(StrEnum):
    """The kinds of place a given figure can come from."""

    CELL = "cell"
    SETTING = "setting"
    REFERENCE = "reference"
    PRICE = "price list"
    CHOICE = "choice of the program"
    LINE = "worked out at the line"


class Origin(Struct, frozen=True):
    """The source of a given figure: its kind, its place in words, and its standing."""

    source: Source
    place: str
    note: str = ""


class Step(Struct, frozen=True):
    """One step of working: a pure formula and the figures put into it, by parameter."""

    formula: Callable[..., Any]
    inputs: Mapping[str, "Figure | tuple[Figure, ...]"]

    @property
    def formula_name(self) -> str:
        """The dotted name by which the formula can be found and called again."""
        return f"{self.formula.__module__}.{self.formula.__qualname__}"

    @property
    def meaning(self) -> str:
        """The first paragraph of the formula's docstring."""
        text = (self.formula.__doc__ or "").strip()
        return " ".join(text.split("\n\n")[0].split())

    def recompute(self) -> Any:
        """Call the formula again with the recorded inputs."""
        return self.formula(**{name: _plain(given) for name, given in self.inputs.items()})


class Figure(Struct, frozen=True):
    """A value with a plain name, a unit and a basis."""

    name: str
    value: Value
    unit: Unit
    basis: Origin | Step

    @property
    def number(self) -> float:
        """The value as a float; a non-numeric figure is our own fault."""
        if isinstance(self.value, bool | str | tuple):
            raise TypeError(f"{self.name} is not a number: {self.value!r}")
        return float(self.value)

    @property
    def money(self) -> Decimal:
        """The value as Decimal pounds; a figure that is not money is our own fault."""
        if not isinstance(self.value, Decimal):
            raise TypeError(f"{self.name} is not money: {self.value!r}")
        return self.value

    @property
    def text(self) -> str:
        """The value as text; a figure that is not text is our own fault."""
        if not isinstance(self.value, str):
            raise TypeError(f"{self.name} is not text: {self.value!r}")
        return self.value

    def renamed(self, name: str) -> "Figure":
        """The figure under another name."""
        return Figure(name, self.value, self.unit, self.basis)

    def walk(self) -> Iterator["Figure"]:
        """Yield this figure and every figure below it in its working."""
        yield self
        if isinstance(self.basis, Step):
            for given in self.basis.inputs.values():
                for figure in given if isinstance(given, tuple) else (given,):
                    yield from figure.walk()

    def to_data(self) -> dict[str, Any]:
        """The figure and its whole working as plain data for JSON."""
        data: dict[str, Any] = {
            "name": self.name,
            "value": _jsonable(self.value),
            "unit": self.unit,
        }
        if isinstance(self.basis, Origin):
            data["from"] = {"source": str(self.basis.source), "place": self.basis.place}
            if self.basis.note:
                data["from"]["note"] = self.basis.note
            return data
        data["formula"] = self.basis.formula_name
        data["meaning"] = self.basis.meaning
        data["inputs"] = {
            name: [f.to_data() for f in given] if isinstance(given, tuple) else given.to_data()
            for name, given in self.basis.inputs.items()
        }
        return data


def derive(
    name: str,
    unit: Unit,
    formula: Callable[..., Value],
    **inputs: Figure | Sequence[Figure],
) -> Figure:
    """Work out a figure by a pure formula and record the step.

    Each keyword is a parameter of the formula; a sequence of figures is passed as a tuple of
    values. A formula marked `alike` raises `MixedUnitsError` for figures of mixed units.

    >>> width = chosen("width", 2.0, Unit.M, "example")
    >>> length = chosen("length", 3.0, Unit.M, "example")
    >>> derive("area", Unit.M2, product, factors=[width, length]).value
    6.0
    """
    # Called some four hundred times per build-up, so the inputs are walked only once.
    kept: dict[str, Figure | tuple[Figure, ...]] = {}
    plain: dict[str, Any] = {}
    for key, given in inputs.items():
        if isinstance(given, Figure):
            kept[key], plain[key] = given, given.value
        else:
            kept[key] = figures = tuple(given)
            plain[key] = tuple([figure.value for figure in figures])
    step = Step(formula, kept)
    made = Figure(name, formula(**plain), unit, step)
    if formula in _ALIKE:
        _refuse_mixed(made, step, *_ALIKE[formula])
    return made


def chosen(name: str, value: Value, unit: Unit, reason: str) -> Figure:
    """A figure chosen by the program itself, with the reason."""
    return Figure(name, value, unit, Origin(Source.CHOICE, reason))


def from_line(figure: Figure, line: str) -> Figure:
    """A figure by the line of `explain` that gives its working, which is not repeated.

    For what many figures share and what itself rests on most of the take-off.
    """
    return Figure(figure.name, figure.value, figure.unit, Origin(Source.LINE, line))


def product(factors: Sequence[float]) -> float:
    """Multiply the parts together.

    >>> product((2.0, 3.0))
    6.0
    """
    result = 1.0
    for factor in factors:
        result *= factor
    return result


@alike("parts")
def total(parts: Sequence[float]) -> float:
    """Add the parts together.

    >>> total((2.0, 3.5))
    5.5
    """
    return float(sum(parts))


def _refuse_mixed(made: Figure, step: Step, parameters: tuple[str, ...], result: bool) -> None:
    """Raise for the first figure of a step whose unit differs from the others."""
    figures: list[Figure] = []
    for key in parameters:
        given = step.inputs[key]
        if isinstance(given, tuple):
            figures += given
        else:
            figures.append(given)
    if result:
        figures.append(made)
    unit = figures[0].unit if figures else made.unit
    for figure in figures:
        if figure.unit is not unit and figure.unit.adds_as is not unit.adds_as:
            raise MixedUnitsError(
                f"{step.formula_name} for {made.name!r}: {figures[0].name!r} is in “{unit}” "
                f"and {figure.name!r} in “{figure.unit}”"
            )


def _plain(given: Figure | tuple[Figure, ...]) -> Any:
    return tuple(f.value for f in given) if isinstance(given, tuple) else given.value


def _jsonable(value: Value) -> Any:
    if isinstance(value, Decimal):
        return str(value)
    if isinstance(value, tuple):
        return [_jsonable(part) for part in value]
    return value
