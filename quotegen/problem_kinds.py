"""Every kind of problem, declared once in `problem_kinds.toml`: code, severity, meaning, cure.

The documentation page of problems is made from `KINDS`. A declaration that is wrong is our own
fault and raises.
"""

from collections.abc import Mapping
from enum import StrEnum
from pathlib import Path

from msgspec import structs

from quotegen.tables import Table, content, made

FILE = Path(__file__).with_suffix(".toml")


class Severity(StrEnum):
    """A stop keeps the papers of that enquiry from being made; a warning goes with them."""

    STOP = "stop"
    WARN = "warn"


class _Declared(Table, frozen=True):
    """A kind as its table has it, under its code."""

    severity: Severity
    meaning: str
    message: str
    cure: str


class Kind(_Declared, frozen=True, kw_only=True):
    """One kind of problem: what it is called, what it means, what to say and how to cure it.

    `message` and `cure` are format strings over `seen`, `heading` and the problem's details.
    """

    code: str


def _declared() -> Mapping[str, Kind]:
    """The kinds in their order; an unknown, missing or repeated key is refused."""
    return {
        code: Kind(**structs.asdict(made(table, _Declared, f"{FILE.name}, {code}")), code=code)
        for code, table in content(FILE).items()
    }


KINDS: Mapping[str, Kind] = _declared()
"""Every kind of problem by its code."""
