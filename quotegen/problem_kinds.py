"""Every kind of problem, declared once in `problem_kinds.toml`: code, severity, meaning, cure.

The documentation page of problems is made from `KINDS`. A declaration that is wrong is our own
fault and raises.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

FILE = Path(__file__).with_suffix(".toml")


class Severity(StrEnum):
    """A stop keeps the papers of that enquiry from being made; a warning goes with them."""

    STOP = "stop"
    WARN = "warn"


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of problem: what it is called, what it means, what to say and how to cure it.

    `message` and `cure` are format strings over `seen`, `heading` and the problem's details.
    """

    code: str
    severity: Severity
    meaning: str
    message: str
    cure: str


def _declared() -> Mapping[str, Kind]:
    """The kinds in their order; an unknown, missing or repeated key is refused."""
    tables = tomllib.loads(FILE.read_text(encoding="utf-8"))
    return {
        code: Kind(code=code, **{**table, "severity": Severity(table["severity"])})
        for code, table in tables.items()
    }


KINDS: Mapping[str, Kind] = _declared()
"""Every kind of problem by its code."""
