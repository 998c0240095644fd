"""The hours for laying: each limit alone, the unknown, and the setting time."""

from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from quotegen.days.windows import (
    Outlook,
    dry_until,
    forecast_outlook,
    is_winter,
    standard_outlook,
    weather_at,
)
from quotegen.model.days import Light
from quotegen.model.weather import Against, Hour, Sky, Weather
from quotegen.working import Figure
from tests import builders
from tests.safety.forecasts import FAIR, MONDAY, WET, forecast, weather

FIRM = builders.settings()
MEASURED = weather(MONDAY, 9, 15, 60, Sky.DRY, deck_c=15)
"""A mild dry hour with the deck measured."""
TABLE = ((5, 6.0), (10, 3.5), (15, 2.25), (20, 1.5))


def hour(row: Weather | None, of_day: int = 10) -> Hour:
    return weather_at(row, of_day, FIRM)


def cell(value: float, unit: str = "°C") -> Figure:
    return builders.given("cell", value, unit, "Forecast!C2")


def test_a_mild_dry_hour_allows_everything() -> None:
    found = hour(MEASURED)
    assert (found.work, found.lay, found.coat, found.lets_set) == ((), (), (), True)


@pytest.mark.parametrize(
    ("changes", "lay", "coat"),
    [
        # 5 to 35 degC: the limits of the Rates sheet, common practice, no source.
        ({"air_c": cell(4.9), "deck_c": cell(9)}, {Against.COLD}, {Against.COLD}),
        ({"deck_c": cell(35.1)}, {Against.HOT}, {Against.HOT}),
        # 8 degC for topcoat: from memory (8 to 10).
        ({"air_c": cell(7), "deck_c": cell(7), "humidity_pct": cell(50)}, set(), {Against.COLD}),
        # 85 % relative humidity: from memory (80 to 85); at 86 % the dew point is 2.3 below.
        ({"humidity_pct": cell(86), "deck_c": cell(17)}, {Against.HUMID}, {Against.HUMID}),
        # Air 10 degC, 80 %: dew point 6.7, so a deck of 9.7 (ISO 8502-4, from memory).
        (
            {"air_c": cell(10), "humidity_pct": cell(80), "deck_c": cell(9.6)},
            {Against.DEW},
            {Against.DEW},
        ),
        ({"air_c": cell(10), "humidity_pct": cell(80), "deck_c": cell(9.8)}, set(), set()),
        ({"sky": Sky.RAIN}, {Against.RAIN}, {Against.RAIN}),
        ({"sky": None}, {Against.UNKNOWN}, {Against.UNKNOWN}),
        ({"air_c": None}, {Against.UNKNOWN}, {Against.UNKNOWN}),
        ({"humidity_pct": None}, {Against.UNKNOWN}, {Against.UNKNOWN}),
    ],
)
def test_each_limit_alone(changes: dict[str, Any], lay: set[Against], coat: set[Against]) -> None:
    found = hour(replace(MEASURED, **changes))
    assert (set(found.lay), set(found.coat)) == (lay, coat)


def test_no_work_at_all_on_ice_in_rain_or_in_weather_nobody_knows() -> None:
    """Common practice, no source; the degree from which ice is looked for is a house figure."""
    assert hour(replace(MEASURED, air_c=cell(0.5))).work == (Against.ICE,)
    assert hour(replace(MEASURED, sky=Sky.RAIN)).work == (Against.RAIN,)
    assert hour(replace(MEASURED, sky=None)).work == (Against.UNKNOWN,)
    assert hour(None).work == hour(None).lay == hour(None).coat == (Against.UNKNOWN,)


def test_a_deck_nobody_measured_is_taken_colder_and_in_the_sun_warmer() -> None:
    assert hour(replace(MEASURED, deck_c=None)).deck_c == 14
    assert Against.HOT in hour(replace(MEASURED, deck_c=None, air_c=cell(26))).lay
    assert Against.HOT not in hour(replace(MEASURED, deck_c=cell(26), air_c=cell(26))).lay


@pytest.mark.parametrize(("of_day", "allowed"), [(9, False), (10, True), (14, True), (15, False)])
def test_one_figure_for_a_whole_day_plans_nothing_early_or_late(of_day: int, allowed: bool) -> None:
    whole = hour(replace(MEASURED, day=date(2026, 6, 8), from_hour=None), of_day)
    assert whole.lay == (() if allowed else (Against.WHOLE_DAY,))
    assert whole.work == ()


def test_the_last_topcoat_of_a_winters_day() -> None:
    """About 14:00 in winter: common practice, no source."""
    assert [hour(MEASURED, h).coat for h in (13, 14)] == [(), (Against.LATE,)]
    june = replace(MEASURED, day=date(2026, 6, 8))
    assert hour(june, 14).coat == ()
    winter = [month for month in range(1, 13) if is_winter(date(2026, month, 1), FIRM)]
    assert winter == [1, 2, 3, 10, 11, 12]


def test_a_row_holds_until_the_next_of_that_day_and_no_longer() -> None:
    outlook = forecast_outlook(forecast(FAIR, WET)[:3], FIRM, MONDAY)
    assert (outlook.days, outlook.first) == (1, MONDAY)
    assert [outlook.at(h).deck_c for h in (0, 8.9, 9, 16.75, 17, 23)] == [6, 6, 10, 10, 7, 7]
    assert outlook.at(24).work == (Against.UNKNOWN,)
    late = forecast_outlook([weather(MONDAY, 9, 11, 60, Sky.DRY)], FIRM, MONDAY)
    assert late.at(8).work == (Against.UNKNOWN,)


def test_a_day_left_out_between_two_is_not_known() -> None:
    gap = (*forecast(FAIR), *forecast(FAIR, first=date(2026, 12, 9)))
    outlook = forecast_outlook(gap, FIRM, MONDAY)
    assert outlook.days == 3
    assert all(outlook.at(24 + h).work == (Against.UNKNOWN,) for h in range(24))


def test_days_gone_by_are_left_out() -> None:
    assert forecast_outlook(forecast(FAIR, FAIR), FIRM, date(2026, 12, 8)).days == 1
    assert forecast_outlook(forecast(FAIR), FIRM, date(2026, 12, 8)).days == 0


def test_setting_goes_on_at_the_rate_of_each_hour() -> None:
    """One hour at 10 (a share of 1/3.5), the rest at 20: 1 + (1 - 1/3.5) x 1.5 = 2.071 h."""
    ten, twenty = (Hour(c, None, True, (), (), ()) for c in (10.0, 20.0))
    outlook = Outlook(None, (ten, twenty, twenty, twenty))
    assert dry_until(outlook, 0.0, TABLE, 5.0) == pytest.approx(1 + (1 - 1 / 3.5) * 1.5)
    assert dry_until(outlook, 1.25, TABLE, 5.0) == pytest.approx(2.75)
    assert dry_until(outlook, 3.0, TABLE, 5.0) is None  # beyond what is known


@pytest.mark.parametrize(
    "spoilt",
    [
        Hour(10.0, None, False, (), (), ()),  # rain
        Hour(10.0, 10.0, True, (), (), ()),  # dew
        Hour(4.0, None, True, (), (), ()),  # too cold to set
        Hour(None, None, True, (), (), ()),  # nobody knows
    ],
)
def test_nothing_sets_through_rain_dew_cold_or_the_unknown(spoilt: Hour) -> None:
    fine = Hour(10.0, 2.0, True, (), (), ())
    assert dry_until(Outlook(None, (fine, spoilt, fine, fine, fine, fine)), 0.0, TABLE, 5.0) is None
    assert dry_until(Outlook(None, (fine,) * 6), 0.0, TABLE, 5.0) == pytest.approx(3.5)


@given(st.floats(5, 30), st.floats(0, 20))
def test_without_a_forecast_the_clock_alone_counts(deck_c: float, from_h: float) -> None:
    outlook = standard_outlook(2, deck_c, 24.0, Light(0.0, 0.0, 24.0, 24.0))
    ends = dry_until(outlook, from_h, TABLE, 5.0)
    assert ends is not None
    assert from_h + 1.5 - 1e-6 <= ends <= from_h + 6 + 1e-6
    assert {hour.work + hour.lay for hour in outlook.hours} == {()}
