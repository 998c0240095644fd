"""Sunrise and sunset against published tables, and what dusk and wind forbid."""

from collections.abc import Sequence
from datetime import date

import pytest
from msgspec.structs import replace

from quotegen.days.checks import check_days
from quotegen.days.daylight import light_at
from quotegen.days.days import plan_days
from quotegen.days.pace import pace_of
from quotegen.days.standard import PARTS, standard_layout
from quotegen.days.windows import forecast_outlook, may_work
from quotegen.model.choices import IfLonger
from quotegen.model.enquiry import PlannedDays
from quotegen.model.takeoff import Phase
from quotegen.model.weather import Sky
from quotegen.takeoff.measure import measure
from tests import builders
from tests.safety import jobs
from tests.safety.forecasts import MONDAY, Reading, forecast

BLOWY: Sequence[Reading] = [(0, 7, 80, Sky.DRY), (9, 11, 62, Sky.DRY), (13, 11, 62, Sky.DRY)]
"""A fair day; the tests put gusts of 30 mph before 13:00 to it."""
QUARTER_H, TWO_MINUTES_H = 0.25, 2 / 60
PUBLISHED = [
    ("London", 51.51, -0.13, date(2018, 12, 21), (8, 4), (15, 53)),
    ("Birmingham", 52.48, -1.90, date(2018, 12, 21), (8, 15), (15, 55)),
    ("Edinburgh", 55.95, -3.19, date(2018, 12, 21), (8, 41), (15, 39)),
    ("Inverness", 57.48, -4.22, date(2018, 12, 21), (8, 57), (15, 32)),
    ("London", 51.51, -0.13, date(2026, 6, 1), (4, 51), (21, 7)),
    ("London", 51.51, -0.13, date(2026, 10, 1), (7, 0), (18, 43)),
]
"""Times by the clock as a newspaper printed them on 21 December 2018 for British towns, and a city
clock's table of first days of the month for London; both search results, read in November 2026."""


@pytest.mark.parametrize(("town", "north", "east", "day", "rises", "sets"), PUBLISHED)
def test_the_sun_rises_and_sets_as_the_published_tables_have_it(
    town: str,
    north: float,
    east: float,
    day: date,
    rises: tuple[int, int],
    sets: tuple[int, int],
) -> None:
    """Ours is put to the quarter on the dark side, so no more than that apart and two minutes."""
    light = light_at(day, north, east)
    rose, set_ = rises[0] + rises[1] / 60, sets[0] + sets[1] / 60
    assert -TWO_MINUTES_H <= light.sunrise_h - rose <= QUARTER_H + TWO_MINUTES_H, town
    assert -TWO_MINUTES_H <= set_ - light.sunset_h <= QUARTER_H + TWO_MINUTES_H, town
    assert light.dawn_h < light.sunrise_h < light.sunset_h < light.dusk_h


def test_gusts_stop_boards_before_they_stop_the_rest() -> None:
    """26 and 35 mph (Rates sheet); on a tower all stops at 26; unknown wind is left to measure."""
    firm, day = builders.settings(), forecast([(0, 12, 60, Sky.DRY)])
    for gust, boards, coat, on_tower in ((20, 1, 1, 1), (30, 0, 1, 0), (40, 0, 0, 0)):
        rows = tuple(replace(row, gust_mph=builders.given("gust", gust, "mph")) for row in day)
        outlook = forecast_outlook(rows, firm, MONDAY)
        free, tower = pace_of(firm), pace_of(firm, tower=True)
        assert may_work(outlook, free, Phase.OPEN, 10.0) is bool(boards)
        assert may_work(outlook, free, Phase.COAT, 10.0) is bool(coat)
        assert may_work(outlook, tower, Phase.COAT, 10.0) is bool(on_tower)
    assert may_work(forecast_outlook(day, firm, MONDAY), tower, Phase.OPEN, 10.0)


@pytest.mark.parametrize("deck_c", [6.0, 9.0, 12.0, 20.0])
def test_the_price_and_a_plan_without_a_forecast_have_the_same_days(deck_c: float) -> None:
    """Quote 1 day, day sheet 2: by one engine it cannot be."""
    for roof in (builders.canted_bay(), builders.roof()):
        enquiry = builders.enquiry(roof, deck_c=builders.given("deck", deck_c, "°C"))
        option = jobs.take_off(enquiry).options[0]
        plan = plan_days(option, builders.settings(), None, builders.TODAY, deck_c)
        assert len(plan.worked) == option.programme.days.number
        assert plan.open_nights == option.programme.open_nights.number
        assert check_days(plan, enquiry, option.programme.days.number) == []


def test_days_beyond_those_priced_stop_the_papers_until_the_owner_says() -> None:
    """Gusts of 30 mph each morning stop boards until 13:00, so the laminate waits for a day more.

    Charged, a day more is paid and hired for; kept, the quote says the days and no more is paid.
    """
    rows = tuple(
        replace(row, gust_mph=builders.given("gust", 30 if row.from_hour in (0, 9) else 10, "mph"))
        for row in forecast(*[BLOWY] * 5)
    )
    firm = replace(builders.settings(), forecast=rows)
    asked = builders.enquiry(
        builders.canted_bay(), start_on=MONDAY, deck_c=builders.given("deck", 9.0, "°C")
    )
    taken = {}
    standard, _ = measure(asked, firm, builders.prices(), builders.TODAY)
    assert standard is not None
    for answer in (None, *IfLonger):
        enquiry = replace(asked, if_longer=answer)
        if answer:
            found = plan_days(standard.options[0], firm, MONDAY, MONDAY, 9.0)
            planned = PlannedDays(len(found.worked), found.stands)
            enquiry = replace(enquiry, planned={standard.options[0].build_up: planned})
        take_off, _ = measure(enquiry, firm, builders.prices(), builders.TODAY)
        assert take_off is not None
        programme = take_off.options[0].programme
        plan = plan_days(take_off.options[0], firm, MONDAY, MONDAY, 9.0)
        codes = [p.code for p in check_days(plan, enquiry, programme.days.number)]
        taken[answer] = (codes, programme.days.number, programme.paid_days.number)
        extra = len(plan.worked) - 2
    assert extra > 0
    (codes, days, paid) = taken[None]
    assert (codes, days) == (["plan-longer"], 2.0)
    assert taken[IfLonger.KEEP] == ([], days + extra, paid)
    assert taken[IfLonger.CHARGE] == ([], days + extra, paid + extra)


def test_a_longer_part_never_brings_the_end_of_the_standard_days_forward() -> None:
    """Every part of a job lengthened by itself, in steps of 20 min up to a day and a half."""
    firm = builders.settings()
    plain = dict.fromkeys(PARTS, 0.75)
    for part in PARTS:
        for comes_back in (False, True):
            ends = []
            for step in range(36):
                laid = standard_layout({**plain, part: step / 3}, firm, 8.0, comes_back)
                assert laid is not None
                ends.append(max(one.to_h for one in laid.laid if one.phase is not Phase.CLOSE))
            assert ends == sorted(ends), part
