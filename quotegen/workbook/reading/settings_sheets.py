"""The firm's own settings, tables and terms, with the house defaults for blanks."""

from collections.abc import Mapping
from datetime import date
from functools import cache

from msgspec import Struct

from quotegen.model.settings import DefaultedSettings, FirmTables, Settings, Term, TermKind
from quotegen.problems import Place, Problem, problem
from quotegen.reference import house_rules
from quotegen.reference.house_rules import SettingKind
from quotegen.workbook.package.book import RawSheet
from quotegen.workbook.package.raw_cell import Raw
from quotegen.workbook.reading.cells import CellValue, read_cell
from quotegen.workbook.reading.firm_tables import read_firm_tables, standing
from quotegen.workbook.reading.moved_settings import moved, moved_codes
from quotegen.workbook.reading.rows import Row, read_rows
from quotegen.workbook.sheets.declaration import SETTING_SHEETS, setting_column, sheets
from quotegen.workbook.sheets.firm import TERMS, SettingSheet
from quotegen.working import Figure, Origin, Scalar, Source

_CODE, _VALUE = SettingSheet.code, SettingSheet.value


class SettingsRead(Struct, frozen=True):
    """The content of the sheets; `whole` is None if a setting only the firm knows is unsound.

    `defaulted` always exists, with the default of each setting that was not read and the house
    rows of each table that could not be.
    """

    defaulted: DefaultedSettings
    whole: Settings | None
    problems: tuple[Problem, ...]


def read_settings(book: str, found: Mapping[str, RawSheet]) -> SettingsRead:
    """The settings, tables and terms of a workbook, and all problems on their sheets.

    `found` are the workbook's sheets by declared name. A missing sheet or a blank row gives the
    defaults; for a setting that only the firm can know, that is a problem.
    """
    figures: dict[str, Figure] = {}
    tables, problems = read_firm_tables(book, found)
    for name in SETTING_SHEETS:
        if name in found:
            read, wrong = _setting_sheet(book, found[name], name, tables)
            problems += wrong
        else:
            read = {}
        for code, setting in _declared(name).items():
            figure = read.get(code) or default_figure(setting)
            if figure:
                figures[code] = figure
    terms, wrong = _terms(book, found.get(TERMS.name))
    kinds = house_rules.settings()
    defaulted = {code: figures[code] for code, kind in kinds.items() if kind.default is not None}
    whole = all(code in figures for code, kind in kinds.items() if kind.required)
    return SettingsRead(
        DefaultedSettings(defaulted, tables),
        Settings(figures, tables, terms) if whole else None,
        (*problems, *wrong),
    )


@cache
def default_figure(setting: SettingKind) -> Figure | None:
    """A setting's default with its basis, None where only the firm can know it."""
    if setting.default is None:
        return None
    raw = Raw(setting.default)
    place = Place("house rules", setting.sheet, "", setting.code)
    value = read_cell(raw, setting_column(setting), place)
    origin = Origin(Source.SETTING, f"{setting.sheet}, {setting.code}", setting.basis)
    return Figure(setting.words, _scalar(value), setting.unit, origin)


def default_terms() -> tuple[Term, ...]:
    """The terms used where the firm has written none."""
    return tuple(
        Term(TermKind(row["kind"]), row["applies_to"], row["text"]) for row in house_rules.terms()
    )


def _setting_sheet(
    book: str, raw: RawSheet, name: str, tables: FirmTables
) -> tuple[dict[str, Figure], list[Problem]]:
    rows, problems = read_rows(book, raw, sheets()[name])
    problems += moved(rows, tables)
    declared = _declared(name)
    figures: dict[str, Figure] = {}
    first: dict[str, Row] = {}
    faulty: set[str] = set()
    for row in rows:
        if not row.typed(_CODE) and not row.typed(_VALUE):
            continue
        written = row.get(_CODE) or ""
        code = written.casefold()
        problems += [found for found in row.problems if found.place != row.place(_VALUE)]
        if code in moved_codes():
            continue
        if code in first:
            problems.append(row.problem("setting-twice", _CODE, written))
        elif code and code not in declared:
            problems.append(row.problem("setting-unknown", _CODE, written))
        elif code:
            first[code] = row
            value = _value(row, declared[code])
            if isinstance(value, Problem):
                problems.append(value)
                faulty.add(code)
            elif value:
                figures[code] = value
    for code, setting in declared.items():
        if setting.required and code not in figures and code not in faulty:
            problems.append(_missing(book, setting, first.get(code)))
    return figures, problems


def _value(row: Row, setting: SettingKind) -> Figure | Problem | None:
    """One setting, read again as its own kind: the sheet reads its cell as text."""
    raw, place = row.raw(_VALUE), row.place(_VALUE)
    if raw is None:
        return None
    value = read_cell(raw, setting_column(setting), place)
    if isinstance(value, Problem):
        return value
    default = default_figure(setting)
    unchanged = default is not None and default.value == value
    note = standing(row.get(SettingSheet.basis) or "", setting.basis, unchanged)
    origin = Origin(Source.CELL, f"{place.sheet}!{place.cell}", note)
    return Figure(setting.words, _scalar(value), setting.unit, origin)


def _missing(book: str, setting: SettingKind, row: Row | None) -> Problem:
    place = row.place(_VALUE) if row else Place(book, setting.sheet, "", setting.words)
    return problem("setting-missing", place, setting.code, words=setting.words, sheet=setting.sheet)


def _terms(book: str, raw: RawSheet | None) -> tuple[tuple[Term, ...], list[Problem]]:
    if raw is None:
        return default_terms(), []
    rows, problems = read_rows(book, raw, TERMS)
    for row in rows:
        problems += row.problems
    if not rows or not (rows[0].headed(TERMS.kind) and rows[0].headed(TERMS.text)):
        return default_terms(), problems
    terms = (
        Term(row[TERMS.kind], row.get(TERMS.applies_to) or "", row[TERMS.text])
        for row in rows
        if not row.problems
    )
    return tuple(terms), problems


def _declared(name: str) -> dict[str, SettingKind]:
    return {c: s for c, s in house_rules.settings().items() if s.sheet == name}


def _scalar(value: CellValue | Problem | None) -> Scalar:
    """A setting's value, a date as its ISO text; no setting is a list of choices."""
    if isinstance(value, date):
        return value.isoformat()
    if value is None or isinstance(value, Problem | tuple):
        raise TypeError(f"not the value of a setting: {value!r}")
    return value
