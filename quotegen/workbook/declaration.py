"""The one declaration of every sheet and column.

`sheets/*.toml` say what stands in a workbook: the blank workbook, the reader, the checks of
single cells and the page of columns in the guide are all driven by it. The loader is strict: a
declaration that is wrong is our own fault and raises `DeclarationError`.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Any

from quotegen.model import choices, settings, weather
from quotegen.reference import house_rules
from quotegen.reference.house_rules import SettingKind

FOLDER = Path(__file__).parent / "sheets"
JOB_SHEETS = ("Enquiries", "Outline", "Openings", "Findings", "Extras")
SETTING_SHEETS = house_rules.SETTING_SHEETS
FORECAST_SHEET = "Forecast"
STOCK_SHEET = "Van stock"
OPTIONAL_SHEETS = (FORECAST_SHEET, STOCK_SHEET)
BOOK_SHEETS = (*JOB_SHEETS, *SETTING_SHEETS, "Terms", *OPTIONAL_SHEETS)
PRICE_SHEET = "Prices"
GUIDE_SHEET = "How to fill this in"
LISTS_SHEET = "Lists"
EXAMPLE_REF = "EXAMPLE"
YES_NO = ("yes", "no")
LONGEST_LINE = 300
"""Characters of a name, an address or the like, unless a column or a setting says otherwise."""


class DeclarationError(Exception):
    """A file that declares sheets and columns is wrong."""


class CellKind(StrEnum):
    """What a cell may hold."""

    TEXT = "text"
    DATE = "date"
    NUMBER = "number"
    LENGTH = "length"
    MONEY = "money"
    CHOICE = "choice"
    CHOICES = "choices"
    YES_NO = "yes/no"


Example = str | float | int | date


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading, the field it fills, and what its cells may hold.

    A number is whole where `whole`, one of `allowed` where there are any, and from `least` to
    `most` where those are given. A length without a unit whose size is under `doubt_below` is
    asked about, never guessed. Words have `longest` characters at most.
    """

    heading: str
    field: str
    kind: CellKind
    required: bool = False
    prompt: str = ""
    unit: str = ""
    least: float | None = None
    most: float | None = None
    doubt_below: float = 0.0
    whole: bool = False
    allowed: tuple[float, ...] = ()
    longest: int = LONGEST_LINE
    choices: tuple[str, ...] = ()
    earliest: date | None = None
    latest: date | None = None
    example: Example | None = None
    group: str = ""
    width: float = 12.0

    @property
    def needed(self) -> str:
        """What has to be typed, in a few words."""
        if self.choices:
            return f"one of {', '.join(self.choices)}"
        if self.allowed:
            return f"one of {', '.join(f'{value:g}' for value in self.allowed)}"
        words = {
            CellKind.TEXT: "some words",
            CellKind.DATE: "a date such as 25/11/2026",
            CellKind.LENGTH: "a length in millimetres, or with its unit",
            CellKind.MONEY: "an amount in pounds",
        }
        return words.get(self.kind, "a whole number" if self.whole else "a number")


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet: its name, what it is for, and its columns from left to right."""

    name: str
    about: str
    columns: tuple[Column, ...]

    def column(self, field: str) -> Column:
        """The column that fills a field; a field nobody declared is our own fault."""
        for found in self.columns:
            if found.field == field:
                return found
        raise DeclarationError(f"{self.name} has no column for {field}")


@cache
def sheets() -> Mapping[str, Sheet]:
    """Every sheet by its name: those of a workbook in their order, then the price list's.

    >>> sheets()["Enquiries"].column("width_mm").heading
    'Width along wall (mm)'
    """
    found: dict[str, Sheet] = {}
    for path in sorted(FOLDER.glob("*.toml")):
        with path.open("rb") as file:
            content = tomllib.load(file)
        if set(content) != {"sheet", "column"}:
            raise DeclarationError(f"{path.name}: only [[sheet]] and [[column]] belong here")
        columns = tuple(_column(path.name, row) for row in content["column"])
        _refuse_repeats(path.name, columns)
        for row in content["sheet"]:
            found[row["name"]] = Sheet(row["name"], row["about"], columns)
    if set(found) != {*BOOK_SHEETS, PRICE_SHEET}:
        raise DeclarationError(f"the sheets declared are {sorted(found)}")
    return {name: found[name] for name in (*BOOK_SHEETS, PRICE_SHEET)}


@cache
def setting_column(setting: SettingKind) -> Column:
    """What the value cell of one setting may hold, in the terms of a column."""
    kind = CellKind.LENGTH if setting.unit == "mm" else CellKind(setting.kind)
    limited = setting.kind in ("number", "money")
    return Column(
        heading=sheets()[setting.sheet].column("value").heading,
        field=setting.code,
        kind=kind,
        required=setting.required,
        prompt=setting.words,
        unit=setting.unit,
        least=setting.least if limited else None,
        most=setting.most if limited else None,
        whole=setting.whole,
        allowed=_thicknesses(setting.allowed) if setting.allowed else (),
        choices=YES_NO if kind is CellKind.YES_NO else setting.choices,
    )


_REQUIRED_KEYS = {"heading", "field", "kind", "prompt", "group", "width"}
_OPTIONAL_KEYS = {"required", "unit", "least", "most", "doubt_below", "whole", "allowed"}
_OPTIONAL_KEYS |= {"choices", "only", "earliest", "latest", "example", "longest"}
_NUMERIC = (CellKind.NUMBER, CellKind.LENGTH, CellKind.MONEY)


def _column(file_name: str, row: dict[str, Any]) -> Column:
    where = f"{file_name}, {row.get('heading', '?')}"
    missing = _REQUIRED_KEYS - set(row)
    unknown = set(row) - _REQUIRED_KEYS - _OPTIONAL_KEYS
    if missing or unknown:
        raise DeclarationError(f"{where}: missing {sorted(missing)}, unknown {sorted(unknown)}")
    kind = CellKind(row["kind"])
    allowed = _thicknesses(row["allowed"]) if "allowed" in row else ()
    if kind in _NUMERIC and not allowed and not {"least", "most"} <= set(row):
        raise DeclarationError(f"{where}: a number needs its least and most")
    if kind is CellKind.DATE and not {"earliest", "latest"} <= set(row):
        raise DeclarationError(f"{where}: a date needs its earliest and latest")
    return Column(
        heading=row["heading"],
        field=row["field"],
        kind=kind,
        required=row.get("required", False),
        prompt=row["prompt"],
        unit=row.get("unit", ""),
        least=row.get("least"),
        most=row.get("most"),
        doubt_below=row.get("doubt_below", 0.0),
        whole=row.get("whole", False),
        allowed=allowed,
        longest=row.get("longest", LONGEST_LINE),
        choices=_choices(where, kind, row),
        earliest=row.get("earliest"),
        latest=row.get("latest"),
        example=row.get("example"),
        group=row["group"],
        width=row["width"],
    )


_LISTS = (choices, settings, weather)


def _choices(where: str, kind: CellKind, row: dict[str, Any]) -> tuple[str, ...]:
    if kind is CellKind.YES_NO:
        return YES_NO
    if kind not in (CellKind.CHOICE, CellKind.CHOICES):
        return ()
    name = row["choices"]
    enum = next((getattr(room, name) for room in _LISTS if hasattr(room, name)), None)
    if enum is None:
        raise DeclarationError(f"{where}: there is no list {name}")
    listed = tuple(str(member) for member in enum)
    only = tuple(row.get("only", listed))
    if not set(only) <= set(listed):
        raise DeclarationError(f"{where}: {only} are not all in {listed}")
    if kind is CellKind.CHOICES and any(mark in choice for choice in only for mark in ";,"):
        raise DeclarationError(f"{where}: a choice of several may hold no ; or ,")
    return only


def _thicknesses(prefix: str) -> tuple[float, ...]:
    """The figures at the end of the item codes that begin so, such as 18 of `deck_board_18`."""
    found = house_rules.sizes(prefix)
    if not found:
        raise DeclarationError(f"no item begins with {prefix}")
    return found


def _refuse_repeats(file_name: str, columns: tuple[Column, ...]) -> None:
    for what in ("heading", "field"):
        seen = [getattr(column, what) for column in columns]
        if len(set(seen)) != len(seen):
            raise DeclarationError(f"{file_name}: a {what} is declared twice")
