"""The declaration against the records it fills."""

import pytest
from msgspec.structs import fields

from quotegen.model.choices import Side, Size
from quotegen.model.enquiry import (
    Enquiry,
    Existing,
    Extra,
    Finding,
    MeasuredRoof,
    OutlineRow,
    PayingFacts,
    SiteFacts,
)
from quotegen.model.prestart.row import BeforeRow
from quotegen.model.settings import PackPrice
from quotegen.reference import house_rules
from quotegen.reference.item_kinds import ItemKind
from quotegen.workbook.reading.enquiry_rows import EDGES, SIZES
from quotegen.workbook.sheets.columns import CellKind, DeclarationError, Group
from quotegen.workbook.sheets.declaration import TABLE_SHEETS, setting_column, sheets
from quotegen.workbook.sheets.enquiries import ENQUIRIES
from quotegen.workbook.writing.columns_page import columns_page

MADE_OTHERWISE = {
    "place", "customer", "roof", "existing", "site", "openings", "findings", "extras",
    "before", "paying", "kind", "sizes", "edges", "outline_rows", "access_at", "start_at",
    "longer_at", "photo_at", "insulation_at", "insulation_layers_mm", "falls_at", "drop_at",
    "planned", "taken", "vat_at", "cis_at", "end_user_at",
}  # fmt: skip


def declared(sheet: str) -> set[str]:
    return {column.field for column in sheets()[sheet].columns}


def test_every_field_of_an_enquiry_has_its_column() -> None:
    for record in (Enquiry, MeasuredRoof, Existing, SiteFacts, PayingFacts):
        wanted = {field.name for field in fields(record)} - MADE_OTHERWISE
        assert wanted <= declared("Enquiries"), record
    assert {f"edge_{side}" for side in Side} <= declared("Enquiries")
    assert {side: column.field for side, column in EDGES.items()} == {s: f"edge_{s}" for s in Side}
    assert {"customer_name", "customer_kind", "bill_address", "email"} <= declared("Enquiries")


def test_every_field_of_the_other_records_has_its_column() -> None:
    for record, sheet in ((OutlineRow, "Outline"), (Finding, "Findings"), (Extra, "Extras")):
        places = {"place", "photo_at"}
        assert {field.name for field in fields(record)} - places <= declared(sheet)
    held = {field.name for field in fields(BeforeRow)} - {"place"}
    assert held == declared("Before the start") - {"ref", "note"}
    assert {field.name for field in fields(PackPrice)} - {"place"} == declared("Prices")


def test_sizes_stand_under_the_headings_of_the_model() -> None:
    for size in Size:
        column = SIZES[size]
        assert column.heading == size
        assert column.field == f"{size.name.lower()}_mm"
        assert column.kind is CellKind.LENGTH


def test_no_heading_and_no_field_stands_twice_on_a_sheet() -> None:
    for sheet in sheets().values():
        headings = {column.heading.casefold() for column in sheet.columns}
        fields_filled = {column.field for column in sheet.columns}
        assert len(headings) == len(fields_filled) == len(sheet.columns), sheet.name


def test_no_choice_of_several_holds_the_marks_that_stand_between_them() -> None:
    for sheet in sheets().values():
        several = [column for column in sheet.columns if column.kind is CellKind.CHOICES]
        assert not [c for column in several for c in column.choices if {";", ","} & set(c)]


def test_a_column_knows_the_name_it_is_declared_under() -> None:
    assert ENQUIRIES.humidity_pct.field == "humidity_pct"
    assert ENQUIRIES.humidity_pct in ENQUIRIES.columns
    assert ENQUIRIES.columns[0] is ENQUIRIES.ref


def test_an_item_size_needs_a_kind_that_comes_in_sizes() -> None:
    with pytest.raises(DeclarationError, match="resin comes in no sizes"):
        Group("Sizes").item_size("Resin", "Which.", ItemKind.RESIN)
    sizes = (ENQUIRIES.board_mm, ENQUIRIES.mat_g_m2)
    assert [column.unit for column in sizes] == ["mm", "g/m2"]


def test_every_default_is_allowed_by_its_own_rule() -> None:
    for setting in house_rules.settings().values():
        column = setting_column(setting)
        if isinstance(setting.default, float | int):
            assert column.least is not None
            assert column.most is not None
            assert column.least <= setting.default <= column.most, setting.code
        elif setting.default is not None and column.choices:
            assert setting.default in column.choices, setting.code


def test_prompts_fit_what_a_spreadsheet_shows() -> None:
    # Excel's limits for a validation prompt: 255 characters, its title 32.
    for sheet in sheets().values():
        for column in sheet.columns:
            assert column.prompt
            assert len(column.prompt) <= 255, column.heading


def test_no_prompt_shows_the_name_of_another() -> None:
    """A brace is left where the words of a name were meant to be put in."""
    for sheet in sheets().values():
        assert not [c.heading for c in sheet.columns if set("{}") & set(c.prompt + c.needed)]


def test_the_page_names_every_heading_code_and_item() -> None:
    page = columns_page()
    for sheet in sheets().values():
        assert f"## {sheet.name}\n" in page
    plain = ("Enquiries", "Outline", "Openings", "Findings", "Extras", "Terms", "Prices")
    for name in (*plain, *TABLE_SHEETS):
        for column in sheets()[name].columns:
            assert f"| {column.heading} |" in page
    for code in (*house_rules.settings(), *house_rules.items()):
        assert f"| `{code}` |" in page
