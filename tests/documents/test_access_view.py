"""Ladder, guard rails, barriers and inspections as the method statement prints them."""

from datetime import date
from typing import Any

from quotegen.documents.safety.access_view import access_rows, kept_clear, ladder_pairs
from quotegen.documents.safety.site_card import site_card_view
from quotegen.model.choices import Access, Below, Size
from quotegen.model.enquiry import Enquiry
from tests import builders
from tests.documents.conftest import ISSUE, first_issue
from tests.safety import jobs


def rows(enquiry: Enquiry) -> dict[str, str]:
    return {row.name: row.words for row in access_rows(jobs.statement(enquiry))}


def clear(enquiry: Enquiry) -> str:
    """The ground kept clear, which stands on the card alone."""
    edge = site_card_view(jobs.statement(enquiry), ISSUE).edge
    return next(row.words for row in edge if row.name == "Keep clear")


def platform(enquiry: Enquiry) -> str:
    """What the card says of the platform, then what the statement says of it."""
    edge = site_card_view(jobs.statement(enquiry), ISSUE).edge
    first = next(row.words for row in edge if row.name == "Platform")
    return f"{first} {rows(enquiry)['Platform']}"


def on_a_scaffold(**changes: Any) -> Enquiry:
    return jobs.plain_enquiry(access=Access.SCAFFOLD, **changes)


def test_the_rails_stand_beside_the_published_figures() -> None:
    # Work at Height Regulations 2005, schedule 2: 950 and 470 mm; HSE: 100 mm. 1000 - 550 by hand.
    made = jobs.statement(on_a_scaffold())
    card = {row.name: row.words for row in site_card_view(made, ISSUE).edge}
    # The roof is stood on, 300 mm above the boards: 1300 mm; 383 mm apart, at 530 and 910.
    assert "rails at 530, 910 and 1300 mm" in card["Rails"]
    (edge,) = [risk for risk in made.risks if risk.key == "fall-from-edge"]
    (guard,) = [one for one in edge.controls if one.text.startswith("Guard every open edge")]
    assert guard.number
    for part in ("rail 950 mm or higher", "no gap over 470 mm", "toe board 100 mm or higher"):
        assert part in guard.text


def test_card_and_hire_order_have_the_same_rails() -> None:
    for enquiry, kind, rails in (
        (on_a_scaffold(), "scaffold_hire", "rails at 530, 910 and 1300 mm"),
        (
            jobs.plain_enquiry(access=Access.TOWER, roof=builders.canted_bay()),
            "tower_hire",
            "rails at 550 and 1000 mm",
        ),
    ):
        made = jobs.statement(enquiry)
        card = {one.name: one.words for one in site_card_view(made, first_issue(made)).edge}
        for said in (card["Rails"], made.asked[kind]):
            assert f"toe board 150 mm, {rails}" in said.replace(" (at least 100)", "")


def test_the_dates_of_inspection_are_printed_when_the_start_is_known() -> None:
    # Work at Height Regulations 2005, regulation 12: within 7 days; 24 hours; 3 months.
    said = rows(on_a_scaffold(start_on=date(2026, 3, 2)))["Inspections"]
    assert "on 2 March 2026; 9 March 2026 if it still stands" in said
    made = jobs.statement(on_a_scaffold(start_on=date(2026, 3, 2)))
    (kept,) = [one for risk in made.risks for one in risk.controls if "within 24 hours" in one.text]
    assert kept.number
    assert "3 months after" in kept.text
    assert (
        "Before first use, then every 7 days while it stands."
        in rows(on_a_scaffold())["Inspections"]
    )


def test_a_low_platform_is_inspected_before_use_and_not_by_the_week() -> None:
    low = builders.roof(height_mm=builders.given("height", 1900.0, "mm"))
    said = rows(on_a_scaffold(roof=low))["Inspections"]
    assert "7 days" not in said
    assert "within 24 hours, kept 3 months after" in said


def test_the_ground_kept_clear_grows_with_the_height() -> None:
    # House rule, by hand: 2.6 m gives the least, 2 m; 6 m gives 4.5 m. 7 m of open edge and two
    # corners: 15 and 25 m of barrier.
    high = builders.roof(height_mm=builders.given("height", 6000.0, "mm"))
    assert "2 m out from every open edge, about 15 m" in clear(on_a_scaffold())
    assert "4.5 m out from every open edge, about 25 m" in clear(on_a_scaffold(roof=high))
    unknown = builders.roof(height_mm=None)
    assert "Measure the height first" in clear(on_a_scaffold(roof=unknown))


def test_a_tower_is_never_sheeted_netted_or_boarded() -> None:
    """The British tower trade association's questions on safety: sheeting overturns a tower."""
    for below in ((Below.GARDEN,), (Below.DRIVE, Below.DOORWAY)):
        tower = jobs.statement(
            jobs.plain_enquiry(access=Access.TOWER, roof=builders.canted_bay(), below=below)
        )
        assert tower.option.access.chosen is Access.TOWER
        said = {row.name: row.words for row in access_rows(tower)}
        assert kept_clear(tower).endswith(
            "No room: stop while anyone passes, or wait for a scaffold. "
            "Never sheet, net or board a tower."
        )
        text = jobs.all_text(tower)
        assert "Never sheet, net or board a tower: the wind can push it over." in text
        for flies in ("rick guard", "etting", "is sheeted", "sheets the platform", "heet the plat"):
            assert flies not in text, flies
            assert not any(flies in words for words in said.values()), flies
            assert flies not in tower.asked["tower_hire"]
        scaffold = jobs.statement(on_a_scaffold(below=below))
        said = {row.name: row.words for row in access_rows(scaffold)}
        assert "the scaffolder sheets the platform" in kept_clear(scaffold)
        assert ("Brick guards" in said["Platform"]) is (Below.DRIVE in below)
        assert "Never sheet" not in jobs.all_text(scaffold)


def test_the_load_stands_in_the_line_of_the_ladder() -> None:
    # 110 + 15 + 10 kg of 150 kg (BS EN 131-2), by hand.
    pairs = {p.name: p.words for p in ladder_pairs(jobs.statement(jobs.ladder_enquiry()))}
    assert pairs["One person and tools, of its rating"] == "135 of 150 kg"


def test_from_the_ground_none_of_it_is_printed() -> None:
    low = builders.canted_bay(height_mm=builders.given("height", 1800.0, "mm"))
    assert rows(jobs.plain_enquiry(roof=low, access=Access.GROUND)) == {}


def test_on_a_ladder_there_are_no_rails_and_nothing_to_inspect() -> None:
    assert rows(jobs.ladder_enquiry()) == {}
    assert clear(jobs.ladder_enquiry())


PORCH = builders.roof(sizes={Size.WIDTH: 1800, Size.PROJECTION: 1200})


def test_a_platform_nobody_leaves_stands_below_the_edge_with_rails_all_round() -> None:
    """Edge 2.6 m - 0.9 m; rail 1000 mm above the boards, over 950 (WAHR 2005, schedule 2).

    BS EN 12811-1, table 3: class 3, 2.0 kN/m2, 2000 / 9.81 = 203.9 kg, shown as 200.
    """
    said = platform(jobs.plain_enquiry(access=Access.TOWER, roof=builders.canted_bay()))
    assert "About 1.7 m up, 900 mm below the edge; top rail at least 2.7 m up." in said
    assert "all four sides" in said
    assert "Load class 3, 2 kN/m² (200 kg a square metre)" in said
    assert "Brick guards" not in said  # a garden below


def test_round_a_roof_that_is_stood_on_the_rail_is_measured_from_its_edge() -> None:
    """Edge 2.6 m - 0.3 m; 2.6 + 1.0 m of rail, over the 950 mm of WAHR 2005, schedule 2."""
    said = platform(on_a_scaffold(below=(Below.PAVEMENT,)))
    assert "About 2.3 m up, 300 mm below the edge; top rail at least 3.6 m up." in said
    assert "1000 mm above the edge of the roof, as that is stood on" in said
    assert "Brick guards, as people pass below." in said
    unknown = platform(on_a_scaffold(roof=builders.roof(height_mm=None)))
    assert unknown.startswith("Measure the height first: 300 mm below the edge.")


def test_every_place_of_the_tower_is_named_in_the_work_and_nobody_steps_off_it() -> None:
    made = jobs.statement(jobs.plain_enquiry(access=Access.TOWER, roof=PORCH))
    (step,) = [step for step in made.steps if step.key == "access"]
    assert any("in turn: right, front and left." in line for line in step.lines)
    assert "At each new place" in step.hold_point
    text = jobs.all_text(made)
    assert "Nobody steps, kneels or sits on the roof at any time" in text
    assert "The tower is moved empty of people and things" in text
    # Nothing of it on a roof that is stood on behind a scaffold.
    other = jobs.all_text(jobs.statement(on_a_scaffold(roof=PORCH)))
    assert "moved empty" not in other
    assert "Nobody steps on to the roof while an edge of it is unguarded" in other


def test_the_hire_line_says_in_one_line_what_platform_is_wanted() -> None:
    asked = jobs.statement(jobs.plain_enquiry(access=Access.TOWER, roof=PORCH)).asked["tower_hire"]
    assert asked == (
        "For a roof edge 2.6 m up. Platform 1.7 m up, top rail at least 2.7 m up; guard rails and "
        "toe boards on all four sides; from its boards: toe board 150 mm, rails at 550 and "
        "1000 mm; load class 3, 2 kN/m²."
    )
    asked = jobs.statement(on_a_scaffold(below=())).asked["scaffold_hire"]
    assert "outside and at both ends, 1000 mm above the roof edge" in asked
    assert "Brick guards" in asked  # nobody has said what lies below
    assert asked.endswith("A way up.")
