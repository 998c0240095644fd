"""The firm's tables against its limits: a dose that is not allowed, decks that have no row."""

import pytest

from quotegen.model.settings import Curing, Mixed
from quotegen.takeoff.checks import check_settings
from quotegen.takeoff.layers.catalyst import dose_at
from quotegen.takeoff.table_checks import check_tables
from tests import builders


def test_the_house_tables_are_within_the_house_limits() -> None:
    assert check_settings(builders.settings(), "jobs.xlsx") == []


@pytest.mark.parametrize("dose", [0, 0.99, 4.01, 10])
def test_a_dose_below_one_or_above_four_per_cent_stops_at_its_cell(dose: float) -> None:
    """Never below 1 %, never above 4 %. Common practice, no source."""
    firm = builders.with_doses(builders.settings(), Mixed.TOPCOAT, {5: 2, 20: dose, 30: 2})
    (found,) = check_tables(firm, "mine.xlsx")
    assert (found.code, found.stops, str(found.place)) == (
        "dose-outside-limits", True, "Catalyst doses!C3",
    )  # fmt: skip
    assert found.place.book == "mine.xlsx"


def test_one_and_four_per_cent_are_allowed() -> None:
    firm = builders.with_doses(builders.settings(), Mixed.TOPCOAT, {5: 4, 30: 1})
    assert check_tables(firm, "jobs.xlsx") == []


def test_the_house_doses_are_held_to_the_firms_own_limits() -> None:
    """The house mixes 4 % at 5 °C and 1 % at 30 °C."""
    firm = builders.settings(catalyst_least_pct=1.5, catalyst_most_pct=3.5)
    found = check_tables(firm, "jobs.xlsx")
    assert [(p.code, p.seen, p.place.book) for p in found] == [
        ("dose-outside-limits", "4%", "jobs.xlsx"),
        ("dose-outside-limits", "1%", "jobs.xlsx"),
    ]


@pytest.mark.parametrize(
    ("doses", "ends"),
    [
        ({5: 4, 25: 1}, []),
        ({4: 4, 40: 1}, []),
        ({6: 4, 30: 1}, ["begin"]),
        ({5: 4, 24: 2}, ["end"]),
        ({15: 2.5}, ["begin", "end"]),
    ],
)
def test_doses_reach_from_the_coldest_deck_to_the_heat(
    doses: dict[float, float], ends: list[str]
) -> None:
    """Mixing from 5 °C, heat from 25 °C: house figures. A dose that nobody gave is not guessed."""
    firm = builders.with_doses(builders.settings(), Mixed.RESIN, doses)
    found = check_tables(firm, "jobs.xlsx")
    assert [(p.code, p.details["ends"]) for p in found] == [("table-too-short", e) for e in ends]
    assert all(p.stops and p.place.sheet == "Catalyst doses" and p.cure for p in found)


def test_a_firm_that_mixes_on_warmer_decks_only_needs_no_colder_row() -> None:
    firm = builders.with_doses(builders.settings(resin_least_c=10), Mixed.RESIN, {10: 3, 30: 1})
    assert check_tables(firm, "jobs.xlsx") == []


@pytest.mark.parametrize("stage", list(Curing))
def test_curing_times_begin_at_the_coldest_deck(stage: Curing) -> None:
    """A warmer deck's time would be too short on a colder one; on a hotter one it is only long."""
    house = builders.settings()
    assert check_tables(builders.with_curing(house, stage, {5: 9}), "jobs.xlsx") == []
    (found,) = check_tables(builders.with_curing(house, stage, {10: 4, 20: 2}), "jobs.xlsx")
    assert (found.code, found.seen, found.details["needed"]) == ("table-too-short", "10 °C", "5 °C")
    assert str(found.place) == "Curing times!C2"


def test_topcoat_rows_begin_at_its_own_coldest_deck() -> None:
    """Topcoat is laid from 8 °C (from memory): a table from 8 °C will do, one from 9 °C not."""
    house = builders.settings()
    firm = builders.with_doses(house, Mixed.TOPCOAT, {8: 2, 30: 2})
    assert check_tables(firm, "jobs.xlsx") == []
    (found,) = check_tables(builders.with_doses(house, Mixed.TOPCOAT, {9: 2, 30: 2}), "jobs.xlsx")
    assert (found.code, found.details["needed"]) == ("table-too-short", "8 °C")


def test_a_row_that_needs_more_than_the_ceiling_says_what_to_do() -> None:
    """4.7 % at 5 °C, which 40 ml of 1.17 kg/l to a kilogram is, passes 4 % by mass."""
    firm = builders.with_doses(builders.settings(), Mixed.RESIN, {5: 4.7, 10: 3, 30: 1})
    (found,) = check_tables(firm, "mine.xlsx")
    assert (found.code, found.stops, str(found.place)) == (
        "dose-outside-limits", True, "Catalyst doses!C2",
    )  # fmt: skip
    assert "by mass" in found.message
    assert "do not mix" in found.cure
    assert dose_at(firm, Mixed.RESIN, 5) is None


def test_a_vessel_is_full_at_a_mark() -> None:
    assert check_settings(builders.settings(vessel_holds_ml=500, vessel_mark_ml=5), "b.xlsx") == []
    (found,) = check_settings(builders.settings(vessel_holds_ml=52, vessel_mark_ml=5), "b.xlsx")
    assert (found.code, found.seen) == ("settings-contradict", "vessel_holds_ml")
