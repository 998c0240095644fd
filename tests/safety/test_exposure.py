"""Exposure: the published limits, the conversion between them, averages and shares."""

import re

import pytest
from msgspec import structs

from quotegen.reference import house_rules, loader
from quotegen.reference.loader import entry
from quotegen.safety.rules import exposure
from quotegen.safety.rules.exposure import (
    laying_hours,
    limit_line,
    ppm_to_mg_m3,
    shaking_minutes,
    share_of_limits,
    time_weighted_average,
    vapour_line,
)
from quotegen.safety.rules.protection import mask_ceiling_ppm
from quotegen.tables import ReferenceFileError
from tests import builders
from tests.safety import jobs

# EH40/2005, 4th edition 2020, table 1: ppm, molar mass, published mg/m3. As a public
# copy of the table has them; the ppm of styrene are on HSE's page on plastics too.
PUBLISHED = [
    (100, 104.15, 430),
    (250, 104.15, 1080),
    (500, 58.08, 1210),
    (1500, 58.08, 3620),
    (200, 72.11, 600),
    (300, 72.11, 899),
]


@pytest.mark.parametrize(("ppm", "molar_mass_g", "mg_m3"), PUBLISHED)
def test_conversion_gives_the_published_pairs_within_one_per_cent(
    ppm: float, molar_mass_g: float, mg_m3: float
) -> None:
    volume_l = entry("exposure_limits.molar_volume_l").value
    assert ppm_to_mg_m3(ppm, molar_mass_g, volume_l) == pytest.approx(mg_m3, rel=0.01)


def test_a_mole_of_gas_at_20_degrees_by_the_gas_law() -> None:
    # R = 8.314462618 J/(mol K) (SI), 293.15 K, 101,325 Pa.
    by_law_l = 8.314462618 * 293.15 / 101325 * 1000
    assert entry("exposure_limits.molar_volume_l").value == pytest.approx(by_law_l, rel=1e-4)


@pytest.mark.parametrize(
    ("key", "says"),
    # EH40/2005, 4th edition 2020; lead: Control of Lead at Work Regulations 2002.
    [
        ("styrene", ["100 ppm (430 mg/m³) over 8 hours", "250 ppm (1,080 mg/m³) over 15 minutes"]),
        ("acetone", ["500 ppm (1,210 mg/m³) over 8 hours", "1,500 ppm (3,620 mg/m³)"]),
        ("mekp", ["0.2 ppm (1.5 mg/m³) over 15 minutes"]),
        ("silica", ["0.1 mg/m³ over 8 hours"]),
        ("isocyanates", ["0.02 mg/m³ over 8 hours", "0.07 mg/m³ over 15 minutes"]),
        ("lead", ["0.15 mg/m³ over 8 hours"]),
    ],
)
def test_lines_say_the_published_limits(key: str, says: list[str]) -> None:
    line = limit_line(key)
    assert all(part in line for part in says)


def test_a_slip_of_the_pen_between_the_two_columns_is_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    wrong = dict(loader.entry("exposure_limits.styrene").value, long_mg_m3=340)
    real = loader.entry

    def slipped(dotted: str) -> loader.PublishedValue:
        found = real(dotted)
        if not dotted.endswith("styrene"):
            return found
        return structs.replace(found, value=wrong)

    monkeypatch.setattr(exposure, "entry", slipped)
    with pytest.raises(ReferenceFileError, match="is not 340 mg/m3"):
        limit_line("styrene")


@pytest.mark.parametrize(
    ("spells", "average"),
    [
        # US 29 CFR 1910.1000(d)(1)(ii), illustration of the same formula, read in a copy.
        ([(150, 2), (75, 2), (50, 4)], 81.25),
        # EH40/2005, 4th edition 2020, examples 1 and 2, from memory: 7 h 20 min at 0.12, and four
        # spells with breaks; both printed to two places.
        ([(0.12, 7 + 20 / 60)], pytest.approx(0.11, abs=0.005)),
        ([(0.32, 2.5), (0.07, 2), (0.20, 2), (0.10, 1.5)], pytest.approx(0.19, abs=0.005)),
    ],
)
def test_the_eight_hour_average_of_published_examples(
    spells: list[tuple[float, float]], average: float
) -> None:
    assert time_weighted_average(spells, 8) == average


def test_the_fifteen_minute_average_is_the_same_formula() -> None:
    # EH40/2005: a peak shorter than 15 minutes counts over the whole 15.
    assert time_weighted_average([(500, 5 / 60)], 0.25) == pytest.approx(500 / 3)


@pytest.mark.parametrize(
    ("found", "share"),
    [
        # US 29 CFR 1910.1000(d)(2)(ii), illustration, read in a copy: within what is allowed.
        ([(500, 1000), (45, 200), (40, 200)], 0.925),
        # A published training example: each within its own limit, together half as much again.
        ([(150, 200), (300, 400)], 1.5),
    ],
)
def test_shares_of_several_limits_of_published_examples(
    found: list[tuple[float, float]], share: float
) -> None:
    assert share_of_limits(found) == pytest.approx(share)


def test_what_was_never_measured_keeps_the_mask_on() -> None:
    notes = jobs.said(jobs.statement(jobs.plain_enquiry()).stored)
    assert notes["vapour"] == ("Not measured, so mask on whenever resin or topcoat is open.")


def test_what_was_measured_is_set_against_both_limits_and_keeps_the_mask_on() -> None:
    firm = builders.settings(styrene_measured_ppm=40.0, acetone_measured_ppm=200.0)
    option = jobs.take_off(jobs.plain_enquiry()).options[0]
    hours = laying_hours(option)
    assert 0 < hours < 8
    said = vapour_line(option, firm)
    # 40 of 100 and 200 of 500 ppm for so many of 8 hours; 40 of 250 and 200 of 1500 ppm.
    long = 0.8 * hours / 8
    (printed,) = re.findall(r"that is ([\d.]+) of", said)
    assert long <= float(printed) < long + 0.01
    assert "0.3 over 15 minutes" in said
    assert "too much" not in said
    assert said.endswith("The mask stays on.")


def test_too_much_vapour_is_called_so() -> None:
    option = jobs.take_off(jobs.plain_enquiry()).options[0]
    said = vapour_line(option, builders.settings(styrene_measured_ppm=300.0))
    assert "1.2 over 15 minutes" in said
    assert "too much" in said


@pytest.mark.parametrize(("vapour", "limit_ppm"), [("styrene", 100), ("acetone", 500)])
def test_more_than_a_half_mask_is_good_for_is_refused_in_the_workbook(
    vapour: str, limit_ppm: float
) -> None:
    setting = house_rules.settings()[f"{vapour}_measured_ppm"]
    factor = entry("protection.half_mask_factor").value
    at = entry("protection.gas_filter_class").value - 1
    filter_ppm = entry("protection.gas_filter_ppm").value[at]
    assert setting.default is None
    assert setting.most == mask_ceiling_ppm(limit_ppm, factor, filter_ppm)


@pytest.mark.parametrize(
    ("value", "tool", "minutes"),
    # Control of Vibration at Work Regulations 2005: action value 2.5, limit 5 m/s2 A(8). By hand,
    # 480 min x (value / tool)2: 2 h at 5 m/s2 is half the value squared; 4 m/s2 for 2 h is A(8) 2.
    [(2.5, 5.0, 120.0), (5.0, 5.0, 480.0), (2.5, 10.0, 30.0), (2.5, 15.0, 13.33), (2.0, 4.0, 120)],
)
def test_how_long_a_tool_may_shake_by_hand(value: float, tool: float, minutes: float) -> None:
    assert shaking_minutes(value, tool, 8.0) == pytest.approx(minutes, abs=0.01)
