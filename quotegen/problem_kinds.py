"""Every kind of problem, declared once in `problem_kinds.toml`: code, severity, meaning, cure.

The problems page of the documentation is made from `PROBLEM_KINDS`. A wrong declaration is our own
fault and raises.
"""

from collections.abc import Mapping
from enum import StrEnum
from pathlib import Path

from msgspec import structs

from quotegen.tables import Table, content, made

FILE = Path(__file__).with_suffix(".toml")


class Severity(StrEnum):
    """A stop prevents the papers of that enquiry; a warning is reported alongside them."""

    STOP = "stop"
    WARN = "warn"


class _Declared(Table, frozen=True):
    """A kind as declared in its table."""

    severity: Severity
    meaning: str
    message: str
    cure: str


class Kind(_Declared, frozen=True, kw_only=True):
    """One kind of problem: its code, meaning, message and cure."""

    code: str


def _declared() -> Mapping[str, Kind]:
    """The kinds in file order; an unknown, missing or repeated key is refused."""
    return {
        code: Kind(**structs.asdict(made(table, _Declared, f"{FILE.name}, {code}")), code=code)
        for code, table in content(FILE).items()
    }


PROBLEM_KINDS: Mapping[str, Kind] = _declared()
"""Every kind of problem by its code."""
