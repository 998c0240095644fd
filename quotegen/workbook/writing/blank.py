"""The blank workbook: its initial rows, and one example marked as such."""

from collections.abc import Mapping
from pathlib import Path

from quotegen.problems import Problem
from quotegen.reference import house_rules
from quotegen.reference.house_rules import SettingKind
from quotegen.workbook.reading.settings_sheets import OWN_FIGURE
from quotegen.workbook.sheets.declaration import JOB_SHEETS, SETTING_SHEETS, sheets
from quotegen.workbook.writing.writing import CellIn, RowsIn, write_workbook

_NO_EXAMPLE = ("Outline",)


def write_blank(path: Path) -> Problem | None:
    """Write a new workbook to fill in; return a problem if it could not be written.

    It holds every default with its basis, and a row marked EXAMPLE that is never read. An existing
    file is left as it is.
    """
    rows = starting_rows()
    for name in JOB_SHEETS:
        if name not in _NO_EXAMPLE:
            rows[name] = [example_row(name)]
    return write_workbook(path, rows)


def starting_rows(firm: Mapping[str, CellIn] | None = None) -> dict[str, RowsIn]:
    """The initial rows of the settings sheets and of Terms.

    `firm` gives values of settings by code; the others keep their defaults.
    """
    given = firm or {}
    unknown = set(given) - set(house_rules.settings())
    if unknown:
        raise KeyError(f"no such settings: {sorted(unknown)}")
    rows: dict[str, RowsIn] = {"Terms": [dict(row) for row in house_rules.terms()]}
    for name in SETTING_SHEETS:
        rows[name] = [
            _setting_row(setting, given)
            for setting in house_rules.settings().values()
            if setting.sheet == name
        ]
    return rows


def example_row(name: str) -> dict[str, CellIn]:
    """The example row of a sheet, assembled from its columns' examples."""
    return {
        column.field: column.example
        for column in sheets()[name].columns
        if column.example is not None
    }


def _setting_row(setting: SettingKind, given: Mapping[str, CellIn]) -> dict[str, CellIn]:
    changed = setting.code in given and given[setting.code] != setting.default
    return {
        "code": setting.code,
        "words": setting.words,
        "value": given.get(setting.code, setting.default),
        "unit": setting.unit,
        "basis": OWN_FIGURE if changed else setting.basis,
    }
