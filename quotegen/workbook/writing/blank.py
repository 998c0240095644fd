"""The blank workbook: its initial rows, and one example marked as such."""

from collections.abc import Mapping, Sequence
from pathlib import Path

from quotegen.model.settings import Curing, Lost, Mixed
from quotegen.problems import Problem
from quotegen.reference import house_rules
from quotegen.reference.firm import house_tables
from quotegen.reference.house_rules import SettingKind
from quotegen.tables import member
from quotegen.workbook.reading.firm_tables import OWN_FIGURE
from quotegen.workbook.sheets.columns import Example
from quotegen.workbook.sheets.declaration import JOB_SHEETS, SETTING_SHEETS, sheets
from quotegen.workbook.sheets.firm_tables import CATALYST_DOSES, CURING_TIMES, MATERIAL_LOSSES
from quotegen.workbook.writing.folding import FOLD_HEAD
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
    return write_workbook(path, rows, folded=True)


def starting_rows(firm: Mapping[str, CellIn] | None = None) -> dict[str, RowsIn]:
    """The initial rows of the settings sheets, the tables and Terms.

    On each of those sheets the settings that are shown come first, then the heading of the others.
    `firm` gives values of settings by code; the others keep their defaults.
    """
    given = firm or {}
    unknown = set(given) - set(house_rules.settings())
    if unknown:
        raise KeyError(f"no such settings: {sorted(unknown)}")
    rows: dict[str, RowsIn] = {
        **table_rows(),
        "Terms": [dict(row) for row in house_rules.terms()],
    }
    for name in SETTING_SHEETS:
        shown, folded = house_rules.of_sheet(name)
        rows[name] = [
            *(_setting_row(setting, given) for setting in shown),
            *([FOLD_HEAD] if folded else ()),
            *(_setting_row(setting, given) for setting in folded),
        ]
    return rows


def table_rows() -> dict[str, Sequence[Mapping[str, Example | None]]]:
    """The rows with which the sheets of the firm's tables begin."""
    doses, curing = house_tables.doses(), house_tables.curing()
    return {
        CATALYST_DOSES.name: [
            {
                "material": member(Mixed, row.material, CATALYST_DOSES.name),
                "deck_c": row.deck_c,
                "dose_pct": row.dose_pct,
                "basis": row.basis,
            }
            for row in doses
        ],
        CURING_TIMES.name: [
            {
                "stage": member(Curing, row.stage, CURING_TIMES.name),
                "deck_c": row.deck_c,
                "hours": row.hours,
                "basis": row.basis,
            }
            for row in curing
        ],
        MATERIAL_LOSSES.name: [
            {
                "material": member(Lost, row.material, MATERIAL_LOSSES.name),
                "plain_pct": row.plain_pct,
                "cut_up_pct": row.cut_up_pct,
                "basis": row.basis,
            }
            for row in house_tables.losses()
        ],
    }


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
