"""Dew point against published values."""

import math

import pytest

from quotegen.days.climate import dew_point_c, least_deck_temperature_c
from quotegen.reference.loader import entry
from quotegen.safety.facts.limits import working_limits
from tests import builders
from tests.safety import jobs

# BS EN ISO 13788:2012, table E.1 (from memory): temperature [degC], saturation pressure [Pa].
SATURATION_PA = {0: 611, 5: 872, 10: 1228, 15: 1704, 20: 2337, 25: 3166}


def ours(air_c: float, humidity_pct: float) -> float:
    a, b = entry("dew_point.magnus_a").value, entry("dew_point.magnus_b_c").value
    return dew_point_c(air_c, humidity_pct, a, b)


def test_published_worked_value() -> None:
    # A published worked example with the constants 17.27 and 237.7: 22 degC, 78 % -> 17.98 degC.
    assert dew_point_c(22.0, 78.0, 17.27, 237.7) == pytest.approx(17.98, abs=0.005)


def test_our_constants_agree_with_it_within_their_stated_margin() -> None:
    # Alduchov and Eskridge 1996: within 0.35 degC from -40 to 60 degC.
    assert ours(22.0, 78.0) == pytest.approx(17.98, abs=0.35)


@pytest.mark.parametrize("air_c", [10, 15, 20, 25])
@pytest.mark.parametrize("dew_c", [0, 5, 10])
def test_dew_point_finds_the_table_back(air_c: int, dew_c: int) -> None:
    # Air at one row's temperature holding the pressure of another has its dew point there.
    humidity_pct = 100 * SATURATION_PA[dew_c] / SATURATION_PA[air_c]
    assert ours(air_c, humidity_pct) == pytest.approx(dew_c, abs=0.1)


@pytest.mark.parametrize(
    ("air_c", "humidity_pct"), [(20, 50), (20, 70), (15, 70), (10, 80), (15, 80), (21, 55)]
)
def test_iso_form_gives_the_same(air_c: float, humidity_pct: float) -> None:
    # BS EN ISO 13788:2012, equations E.7 and E.9 (from memory).
    pressure_pa = humidity_pct / 100 * 610.5 * math.exp(17.269 * air_c / (237.3 + air_c))
    log = math.log(pressure_pa / 610.5)
    assert ours(air_c, humidity_pct) == pytest.approx(237.3 * log / (17.269 - log), abs=0.05)


def test_full_air_has_its_dew_point_at_its_own_temperature() -> None:
    assert ours(12.0, 100.0) == pytest.approx(12.0)


def test_the_deck_stays_three_degrees_above_and_never_below_the_resins_least() -> None:
    # ISO 8502-4 (paint practice): 3 degC above the dew point. 10 degC, 80 % -> 6.7 -> 9.7.
    margin_c = entry("dew_point.margin_c").value
    assert margin_c == 3
    assert least_deck_temperature_c(ours(10, 80), margin_c, 5.0) == pytest.approx(9.7, abs=0.05)
    assert least_deck_temperature_c(-4.0, margin_c, 5.0) == 5.0


def test_limits_carry_the_dew_point_with_its_working() -> None:
    limits = working_limits(jobs.plain_enquiry(), jobs.SETTINGS)
    assert limits.dew_point_c is not None
    assert limits.least_deck_c is not None
    assert limits.dew_point_c.number == pytest.approx(9.6, abs=0.05)
    assert limits.least_deck_c.number == pytest.approx(12.6, abs=0.05)
    named = {figure.name for figure in limits.least_deck_c.walk()}
    assert {"air expected", "humidity expected"} <= named


@pytest.mark.parametrize("blank", ["air_c", "humidity_pct"])
def test_without_air_or_humidity_there_is_no_dew_point(blank: str) -> None:
    limits = working_limits(jobs.plain_enquiry(**{blank: None}), jobs.SETTINGS)
    assert limits.dew_point_c is None
    assert limits.least_deck_c is None


def test_no_humidity_at_all_is_no_measurement() -> None:
    dry = builders.given("humidity expected", 0.0, "%")
    assert working_limits(jobs.plain_enquiry(humidity_pct=dry), jobs.SETTINGS).dew_point_c is None
