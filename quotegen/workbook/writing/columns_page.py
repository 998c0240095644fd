"""The guide's page of all sheets and columns, made from the declaration."""

from collections.abc import Iterable, Mapping, Sequence

from quotegen import wording
from quotegen.reference import house_rules
from quotegen.reference.house_rules import SettingKind
from quotegen.workbook.sheets.columns import Example, Sheet
from quotegen.workbook.sheets.declaration import (
    JOB_SHEETS,
    OPTIONAL_SHEETS,
    PRICE_SHEET,
    SETTING_SHEETS,
    sheets,
)
from quotegen.workbook.writing.blank import table_rows
from quotegen.workbook.writing.guide_sheet import BOOK_ADVICE, PRICE_ADVICE, what_may_stand


def columns_page() -> str:
    """Markdown documentation of every sheet and column of the workbook and of a price list.

    >>> columns_page().splitlines()[0]
    '# Sheets and columns'
    """
    parts = [
        "# Sheets and columns",
        "This page is made from the same declaration as the blank workbook and the reader. Change"
        " the declaration, not this page.",
        _numbered(BOOK_ADVICE),
    ]
    for name in JOB_SHEETS:
        parts += _columns(sheets()[name])
    for name in SETTING_SHEETS:
        parts += _settings(sheets()[name])
    for name, rows in table_rows().items():
        parts += [*_columns(sheets()[name]), *_house_rows(sheets()[name], rows)]
    for name in ("Terms", *OPTIONAL_SHEETS):
        parts += _columns(sheets()[name])
    parts += [*_columns(sheets()[PRICE_SHEET]), _numbered(PRICE_ADVICE), *_items()]
    return "\n\n".join(parts) + "\n"


def _columns(sheet: Sheet) -> list[str]:
    rows = [
        (
            column.heading,
            "yes" if column.required else "",
            what_may_stand(column).removesuffix("; must be filled in"),
            _example(column.example),
            column.prompt,
        )
        for column in sheet.columns
    ]
    heads = ("Heading", "Must be filled in", "What you can put there", "Example", "Help")
    return [f"## {sheet.name}", sheet.about, _table(heads, rows)]


def _settings(sheet: Sheet) -> list[str]:
    shown, folded = (_settings_table(settings) for settings in house_rules.of_sheet(sheet.name))
    return [f"## {sheet.name}", sheet.about, shown, "Folded away below them:", folded]


def _settings_table(settings: Iterable[SettingKind]) -> str:
    rows = [
        (
            f"`{setting.code}`",
            setting.words,
            "" if setting.default is None else _plain(setting.default),
            setting.unit,
            _range(setting),
            setting.basis,
        )
        for setting in settings
    ]
    return _table(
        ("Code", "What it is", "Default", "Unit", "What you can put there", "Basis"), rows
    )


def _house_rows(sheet: Sheet, rows: Sequence[Mapping[str, Example | None]]) -> list[str]:
    """The rows a table begins with."""
    heads = [column.heading for column in sheet.columns]
    cells = [[_example(row[column.field]) for column in sheet.columns] for row in rows]
    return ["A blank workbook begins with these rows:", _table(heads, cells)]


def _items() -> list[str]:
    rows = [(f"`{i.code}`", i.words, i.unit) for i in house_rules.items().values()]
    return ["### Items", _table(("Item", "What it is", "Unit"), rows)]


def _range(setting: SettingKind) -> str:
    if setting.choices:
        words = ", ".join(setting.choices)
    elif setting.kind in ("number", "money"):
        words = f"{wording.typed(setting.least)} to {wording.typed(setting.most)}"
    else:
        words = setting.kind
    return f"{words}; must be filled in" if setting.required else words


def _example(example: Example | None) -> str:
    if example is None:
        return ""
    return _plain(example) if isinstance(example, str | float | int) else wording.typed_day(example)


def _plain(value: str | float) -> str:
    return value if isinstance(value, str) else wording.typed(value)


def _numbered(sentences: Iterable[str]) -> str:
    return "\n".join(f"{number}. {text}" for number, text in enumerate(sentences, start=1))


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    lines = [heads, ["---"] * len(heads), *rows]
    return "\n".join(f"| {' | '.join(cell.replace('|', '/') for cell in row)} |" for row in lines)
