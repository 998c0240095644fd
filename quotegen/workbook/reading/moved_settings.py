"""Rows on an older workbook's settings sheets whose figures now have their own table.

Nothing anybody filled in there is lost silently: a figure that the table does not have stops the
papers; rows that agree with the table only need deleting.
"""

from collections.abc import Iterable, Mapping
from functools import cache

from msgspec import Struct

from quotegen import wording
from quotegen.model.settings import AtDeck, Curing, FirmTables, Lost, Mixed
from quotegen.problems import Problem
from quotegen.reference.firm import house_tables
from quotegen.tables import member
from quotegen.workbook.reading.cells import read_cell, shown
from quotegen.workbook.reading.rows import Row
from quotegen.workbook.sheets.columns import Column
from quotegen.workbook.sheets.firm import SettingSheet
from quotegen.workbook.sheets.firm_tables import CATALYST_DOSES, CURING_TIMES, MATERIAL_LOSSES
from quotegen.working import Figure

_CODE, _VALUE = SettingSheet.code, SettingSheet.value


class Moved(Struct, frozen=True):
    """Where the figure of a former setting stands: sheet, column, row, on how warm a deck [C]."""

    sheet: str
    column: Column[Figure]
    row: Mixed | Curing | Lost
    deck_c: float = 0.0

    @property
    def words(self) -> str:
        """The row and the column, as they are found on the sheet."""
        deck = "" if isinstance(self.row, Lost) else f" at {wording.exact(self.deck_c)} °C"
        return f"{self.row}{deck}, {self.column.heading}"

    def now(self, tables: FirmTables) -> float | None:
        """What the table says there, None where it has no such row."""
        if isinstance(self.row, Lost):
            loss = tables.losses[self.row]
            plain = self.column is MATERIAL_LOSSES.plain_pct
            return (loss.plain if plain else loss.cut_up).number
        rows = tables.doses[self.row] if isinstance(self.row, Mixed) else tables.curing[self.row]
        return _at(rows, self.deck_c)


@cache
def moved_codes() -> Mapping[str, Moved]:
    """The settings that older workbooks have and this one has as rows of a table, by code."""
    doses, curing, losses = CATALYST_DOSES, CURING_TIMES, MATERIAL_LOSSES
    found = {
        row.was: Moved(
            doses.name, doses.dose_pct, member(Mixed, row.material, doses.name), row.deck_c
        )
        for row in house_tables.doses()
    }
    found |= {
        row.was: Moved(
            curing.name, curing.hours, member(Curing, row.stage, curing.name), row.deck_c
        )
        for row in house_tables.curing()
    }
    for row in house_tables.losses():
        for code, column in zip(row.was, (losses.plain_pct, losses.cut_up_pct), strict=False):
            found[code] = Moved(losses.name, column, member(Lost, row.material, losses.name))
    return found


def moved(rows: Iterable[Row], tables: FirmTables) -> list[Problem]:
    """What to say about the rows with former codes: each that differs, the others by table."""
    problems: list[Problem] = []
    alike: dict[str, list[Row]] = {}
    for row in rows:
        there = moved_codes().get((row.get(_CODE) or "").casefold())
        if there is None:
            continue
        if _says_the_same(row, there, tables):
            alike.setdefault(there.sheet, []).append(row)
        else:
            problems.append(_differs(row, there, tables))
    for sheet, same in alike.items():
        count = wording.count(len(same), "row", "rows")
        first = same[0]
        seen = first.get(_CODE) or ""
        problems.append(first.problem("settings-left-over", _CODE, seen, sheet=sheet, count=count))
    return problems


def _says_the_same(row: Row, there: Moved, tables: FirmTables) -> bool:
    """Whether nothing would be lost with a row: it is blank, or the table says the same."""
    raw = row.raw(_VALUE)
    if raw is None:
        return True
    value = read_cell(raw, there.column, row.place(_VALUE))
    return value is None or value == there.now(tables)


def _differs(row: Row, there: Moved, tables: FirmTables) -> Problem:
    raw, now = row.raw(_VALUE), there.now(tables)
    return row.problem(
        "setting-moved",
        _VALUE,
        shown(raw.value) if raw else "",
        setting=row.get(_CODE) or "",
        sheet=there.sheet,
        row=there.words,
        now="nothing" if now is None else wording.exact(now),
    )


def _at(rows: Iterable[AtDeck], deck_c: float) -> float | None:
    return next((row.amount.number for row in rows if row.deck_c == deck_c), None)
