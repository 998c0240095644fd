"""mypy refuses a figure in no unit, and inputs that are not those of the formula (`tools/`)."""

from pathlib import Path

import mypy.api

from tests.builders import ROOT

CALLS = """
from collections.abc import Callable, Sequence
from decimal import Decimal
from functools import partial
from typing import Any, TypedDict, overload
from quotegen.units import Unit
from quotegen.working import Figure, Value, derive


def area(width_m: float, out_m: float = 1.0) -> float: return 0.0
def cost(parts: Sequence[Decimal]) -> Decimal: return parts[0]
def ring(points: tuple[tuple[float, float], ...]) -> float: return 0.0
def any_of(thing: Any, **rest: float) -> float: return 0.0
@overload
def either(one: float) -> float: ...
@overload
def either(*, many: Sequence[float]) -> float: ...
def either(one: float = 0.0, many: Sequence[float] = ()) -> float: return 0.0


class Sizes(TypedDict):
    width_m: Figure
    out_m: Figure


def calls(
    one: Figure,
    many: list[Figure],
    sizes: Sizes,
    loose: dict[str, Figure],
    perhaps: Figure | list[Figure],
    unknown: Callable[..., Value],
    unnamed: Callable[[float], float],
) -> None:
    derive("right", Unit.M2, area, width_m=one, out_m=one)
    derive("right", Unit.M2, area, width_m=one)
    derive("right", Unit.M2, area, **sizes)
    derive("right", Unit.GBP, cost, parts=many)
    derive("right", Unit.GBP, cost, parts=(one, one))
    derive("right", Unit.GBP, cost, parts=[])
    derive("right", Unit.M2, ring, points=one)
    derive("right", Unit.M2, any_of, thing=one, other=one)
    derive("right", Unit.M2, any_of, thing=many)
    derive("right", Unit.M2, either, many=many)
    derive("right", Unit.M2, unknown, whatever=one)
    derive("right", Unit.M2, unnamed, whatever=one)
    derive("wrong", Unit.M2, area, width_m=one, out_mm=one)  # call-arg "out_mm" is no parameter
    derive("wrong", Unit.M2, area, out_m=one)  # call-arg "width_m" of area is not given
    derive("wrong", Unit.GBP, cost)  # call-arg "parts" of cost is not given
    derive("wrong", Unit.GBP, cost, **sizes)  # call-arg not given; is no parameter; is no parameter
    derive("wrong", Unit.GBP, cost, parts=one)  # arg-type takes several figures, and gets one
    derive("wrong", Unit.M2, area, width_m=many)  # arg-type takes one figure, and gets several
    derive("wrong", Unit.M2, area, width_m=(one, one))  # arg-type and gets several
    derive("wrong", Unit.M2, area, width_m=perhaps)  # arg-type takes one figure, and gets several
    derive("wrong", Unit.M2, ring, points=many)  # arg-type takes one figure, and gets several
    derive("wrong", Unit.M2, either, neither=one)  # call-arg is not given; is no parameter
    derive("wrong", Unit.M2, area, **loose)  # arg-type Inputs are spread from a TypedDict
    derive("wrong", Unit.M2, partial(area, out_m=2.0), width_m=one)  # arg-type a name of its own
    derive("wrong", Unit.M2, lambda width_m: 1.0, width_m=one)  # arg-type a name of its own
    derive("wrong", Unit.M2, cost, parts=many)  # arg-type money
    derive("wrong", Unit.GBP, area, width_m=one)  # arg-type money
"""
"""Calls that are right, and wrong ones with the code and the words of each fault behind them."""


UNITS = """
from quotegen.units import Unit
from quotegen.working import chosen
chosen("a", 1.0, Unit.MM, "why")
chosen("a", 1.0, "mm", "why")  # arg-type incompatible type "str"
chosen("a", 1.0, Unit.MILES, "why")  # attr-defined no attribute "MILES"
"""


def test_mypy_refuses_each_wrong_call_and_no_right_one(tmp_path: Path) -> None:
    """One run for all. The codes are mypy's own, as for a call that misses an argument."""
    config = tmp_path / "mypy.ini"
    plugin = ROOT / "tools" / "mypy_derive.py"
    config.write_text(f"[mypy]\nplugins = {plugin}\n", encoding="utf-8")
    snippets = {tmp_path / "calls.py": CALLS, tmp_path / "given.py": UNITS}
    for path, source in snippets.items():
        path.write_text(source, encoding="utf-8")
    said, _, _ = mypy.api.run(
        [*map(str, snippets), f"--config-file={config}", f"--cache-dir={tmp_path}"]
    )
    for path, source in snippets.items():
        found = faults_of(path, said)
        for number, line in enumerate(source.splitlines(), 1):
            call, _, wanted = line.partition("  # ")
            code, _, words = wanted.partition(" ")
            faults = found.get(number, [])
            assert len(faults) == (len(words.split("; ")) if words else 0), (call, faults)
            for fault, part in zip(faults, words.split("; "), strict=False):
                assert part in fault, call
                assert fault.endswith(f"[{code}]"), call
        assert found, said


def faults_of(path: Path, said: str) -> dict[int, list[str]]:
    """What mypy says is wrong on each line of a file."""
    found: dict[int, list[str]] = {}
    for line in said.splitlines():
        _, its, rest = line.partition(f"{path.name}:")
        number, is_error, fault = rest.partition(": error: ")
        if its and is_error:
            found.setdefault(int(number), []).append(fault)
    return found
