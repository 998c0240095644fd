"""All declared sheets by name, and the content of the settings' cells.

The blank workbook, the reader, the checks of single cells and the guide's page of columns are all
driven by the sheets declared in `sheets/`.
"""

from collections.abc import Mapping
from functools import cache

from quotegen.reference.house_rules import SettingKind
from quotegen.units import Unit
from quotegen.workbook.sheets.columns import YES_NO, AnyColumn, CellKind, Column, Sheet, sizes_of
from quotegen.workbook.sheets.details import BEFORE_START, EXTRAS, FINDINGS, OPENINGS, OUTLINE
from quotegen.workbook.sheets.done_jobs import DONE_JOBS
from quotegen.workbook.sheets.enquiries import ENQUIRIES
from quotegen.workbook.sheets.firm import (
    BUSINESS,
    FORECAST,
    RATES,
    TERMS,
    VAN_STOCK,
    WASTE,
    SettingSheet,
)
from quotegen.workbook.sheets.firm_tables import CATALYST_DOSES, CURING_TIMES, MATERIAL_LOSSES
from quotegen.workbook.sheets.prices import PRICES

DETAILS = (OUTLINE, OPENINGS, FINDINGS, EXTRAS, BEFORE_START)
JOB_SHEETS = tuple(sheet.name for sheet in (ENQUIRIES, *DETAILS))
SETTING_SHEETS = tuple(sheet.name for sheet in (BUSINESS, RATES, WASTE))
TABLES = (CATALYST_DOSES, CURING_TIMES, MATERIAL_LOSSES)
TABLE_SHEETS = tuple(sheet.name for sheet in TABLES)
FORECAST_SHEET = FORECAST.name
STOCK_SHEET = VAN_STOCK.name
DONE_SHEET = DONE_JOBS.name
OPTIONAL_SHEETS = (FORECAST_SHEET, STOCK_SHEET, DONE_SHEET)
MAY_LACK = (BEFORE_START.name, *OPTIONAL_SHEETS)
"""The sheets that a workbook need not have: older ones have no sheet of what is done first."""
BOOK_SHEETS = (*JOB_SHEETS, *SETTING_SHEETS, *TABLE_SHEETS, TERMS.name, *OPTIONAL_SHEETS)
PRICE_SHEET = PRICES.name
GUIDE_SHEET = "How to fill this in"
LISTS_SHEET = "Lists"
MARKED_SHEET = "What is wrong"
LEFT_OVER_SHEET = "Left over"
OUR_SHEETS = (GUIDE_SHEET, LISTS_SHEET, MARKED_SHEET)
"""Sheets of our own that are never read, and of which nothing need be said."""


@cache
def sheets() -> Mapping[str, Sheet]:
    """All sheets by name: those of a workbook in order, then the price list's.

    >>> [column.heading for column in sheets()["Terms"].columns]
    ['Kind', 'Applies to', 'Text']
    """
    of_firm = (BUSINESS, RATES, WASTE, *TABLES, TERMS, FORECAST, VAN_STOCK, DONE_JOBS)
    return {sheet.name: sheet for sheet in (ENQUIRIES, *DETAILS, *of_firm, PRICES)}


@cache
def setting_column(setting: SettingKind) -> AnyColumn:
    """The content that a setting's value cell may hold, as a column."""
    kind = CellKind.LENGTH if setting.unit is Unit.MM else CellKind(setting.kind)
    limited = setting.kind in ("number", "money")
    return Column(
        heading=SettingSheet.value.heading,
        kind=kind,
        required=setting.required,
        prompt=setting.words,
        unit=setting.unit,
        least=setting.least if limited else None,
        most=setting.most if limited else None,
        whole=setting.whole,
        allowed=sizes_of(setting.allowed) if setting.allowed else (),
        choices=YES_NO if kind is CellKind.YES_NO else setting.choices,
    )
