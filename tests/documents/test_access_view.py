"""Ladder, guard rails, barriers and inspections as the method statement prints them."""

from datetime import date
from typing import Any

from quotegen.documents.safety.access_view import access_rows, ladder_pairs
from quotegen.model.choices import Access
from quotegen.model.enquiry import Enquiry
from tests import builders
from tests.safety import jobs


def rows(enquiry: Enquiry) -> dict[str, str]:
    return {row.name: row.words for row in access_rows(jobs.statement(enquiry))}


def on_a_scaffold(**changes: Any) -> Enquiry:
    return jobs.plain_enquiry(access=Access.SCAFFOLD, **changes)


def test_the_rails_stand_beside_the_published_figures() -> None:
    # Work at Height Regulations 2005, schedule 2: 950 and 470 mm; HSE: 100 mm. 1000 - 550 by hand.
    said = rows(on_a_scaffold())["Guard rails"]
    for part in ("(at least 950)", "(not over 470)", "(at least 100)", "largest gap 450 mm"):
        assert part in said


def test_the_dates_of_inspection_are_printed_when_the_start_is_known() -> None:
    # Work at Height Regulations 2005, regulation 12: within 7 days; 24 hours; 3 months.
    said = rows(on_a_scaffold(start_on=date(2026, 3, 2)))["Inspections"]
    assert "on 2 March 2026; 9 March 2026 if it still stands" in said
    assert "within 24 hours" in said
    assert "3 months after" in said
    assert (
        "Before first use, then every 7 days while it stands."
        in rows(on_a_scaffold())["Inspections"]
    )


def test_a_low_platform_is_inspected_before_use_and_not_by_the_week() -> None:
    low = builders.roof(height_mm=builders.given("height", 1900.0, "mm"))
    assert "7 days" not in rows(on_a_scaffold(roof=low))["Inspections"]


def test_the_ground_kept_clear_grows_with_the_height() -> None:
    # House rule, by hand: 2.6 m gives the least, 2 m; 6 m gives 4.5 m. 7 m of open edge and two
    # corners: 15 and 25 m of barrier.
    high = builders.roof(height_mm=builders.given("height", 6000.0, "mm"))
    assert "2 m out from every open edge, about 15 m" in rows(on_a_scaffold())["Kept clear below"]
    assert (
        "4.5 m out from every open edge, about 25 m"
        in rows(on_a_scaffold(roof=high))["Kept clear below"]
    )
    unknown = builders.roof(height_mm=None)
    assert "Measure the height first" in rows(on_a_scaffold(roof=unknown))["Kept clear below"]


def test_the_load_stands_in_the_line_of_the_ladder() -> None:
    # 110 + 15 + 10 kg of 150 kg (BS EN 131-2), by hand.
    pairs = {p.name: p.words for p in ladder_pairs(jobs.statement(jobs.ladder_enquiry()))}
    assert pairs["One person and tools, of its rating"] == "135 of 150 kg"


def test_from_the_ground_none_of_it_is_printed() -> None:
    low = builders.canted_bay(height_mm=builders.given("height", 1800.0, "mm"))
    assert rows(jobs.plain_enquiry(roof=low, access=Access.GROUND)) == {}


def test_on_a_ladder_there_are_no_rails_and_nothing_to_inspect() -> None:
    assert set(rows(jobs.ladder_enquiry())) == {"Kept clear below"}
