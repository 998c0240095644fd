"""The plan of working days: in allowed hours, in order and complete, or refused."""

from collections.abc import Sequence
from datetime import date
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from quotegen.days.checks import check_days
from quotegen.days.days import phase_hours, plan_days
from quotegen.days.pace import pace_of
from quotegen.days.windows import HOURS_IN_DAY, Outlook, dry_until, forecast_outlook
from quotegen.model.choices import WallJoint
from quotegen.model.days import WorkDay, WorkPlan
from quotegen.model.takeoff import OptionTakeOff, Phase
from quotegen.model.weather import Against, Sky, Weather
from quotegen.reference.remark_keys import Task
from tests import builders
from tests.safety import jobs
from tests.safety.forecasts import COLD, DEW, FAIR, MONDAY, WET, Reading, forecast

BAY = jobs.take_off(builders.enquiry(builders.canted_bay())).options[0]
FRIDAY = date(2026, 12, 11)
ORDER = [
    Phase.SET_UP,
    Phase.OPEN,
    Phase.LAY,
    Phase.RETURN,
    Phase.FLASH,
    Phase.SAND,
    Phase.COAT,
    Phase.DRESS,
    Phase.AFTER,
]


def planned(
    *days: Sequence[Reading],
    option: OptionTakeOff = BAY,
    start: date | None = None,
    rows: tuple[Weather, ...] | None = None,
) -> WorkPlan:
    weather = forecast(*days) if rows is None else rows
    firm = replace(builders.settings(), forecast=weather)
    return plan_days(option, firm, start, MONDAY, 10.0)


def whole_day(day: WorkDay) -> None:
    """What must hold of any day: light, test mixes and the break."""
    assert day.light
    for spell in day.spells:
        dark = (day.light.dawn_h, day.light.dusk_h)
        bright = (day.light.sunrise_h, day.light.sunset_h)
        from_h, to_h = dark if spell.phase in (Phase.SET_UP, Phase.RETURN) else bright
        assert from_h <= spell.span.from_h + 1e-9
        assert spell.span.to_h <= to_h + 1e-9
        if day.rest:
            apart = spell.span.to_h <= day.rest.from_h + 1e-9 or (
                spell.span.from_h >= day.rest.to_h - 1e-9
            )
            assert apart, "nobody works through the break"
    for one in day.tests:
        first = min(s.span.from_h for s in day.spells if s.phase is one.coat)
        assert one.made_h < one.hard_h <= first + 1e-9
    opened = any(spell.phase is Phase.OPEN for spell in day.spells)
    carried = any(spell.phase is Phase.WASTE for spell in day.spells)
    assert opened is carried, "waste goes down on the day it comes off"


def nights(plan: WorkPlan, outlook: Outlook, laid_h: float) -> None:
    """No evening between the first opening and hard laminate without closing up, last of all."""
    cured = dry_until(outlook, laid_h, *pace_of(builders.settings()).lay)
    assert cured is not None
    for number, day in enumerate(plan.days):
        open_ = [s for s in day.spells if s.phase in (Phase.OPEN, Phase.LAY)]
        assert day.light
        evening_h = min(plan.work_h.to_h, day.light.sunset_h)
        if open_ and cured > number * HOURS_IN_DAY + evening_h:
            assert day.spells[-1].phase is Phase.CLOSE


def check(plan: WorkPlan, option: OptionTakeOff = BAY) -> None:
    """All that must hold of a plan that is not refused."""
    firm = builders.settings()
    pace = pace_of(firm)
    hours = dict.fromkeys(Phase, 0.0)
    begun: dict[Phase, float] = {}
    ended: dict[Phase, float] = {}
    outlook = Outlook(plan.days[0].day, tuple(hour for day in plan.days for hour in day.hours))
    for number, day in enumerate(plan.days):
        whole_day(day)
        for spell in day.spells:
            span = spell.span
            assert plan.work_h.from_h <= span.from_h < span.to_h <= plan.work_h.to_h
            assert day.day is None or day.day.weekday() < 5
            hours[spell.phase] += span.to_h - span.from_h
            start, end = (number * HOURS_IN_DAY + h for h in (span.from_h, span.to_h))
            begun.setdefault(spell.phase, start)
            ended[spell.phase] = end
            for quarter in range(int((end - start) * 4)):
                hour = outlook.at(start + quarter / 4)
                assert hour.work == () or spell.phase is Phase.CLOSE  # shut in any weather
                if spell.phase is Phase.LAY:
                    assert hour.lay == ()
                if spell.phase is Phase.COAT:
                    assert hour.coat == ()
                    assert day.last_topcoat_h is not None
                    assert span.from_h <= day.last_topcoat_h
    wanted = phase_hours(option)
    nights(plan, outlook, ended[Phase.LAY])
    for phase in (*ORDER, Phase.WASTE):
        assert hours[phase] == pytest.approx(wanted.get(phase, 0.0))
    done = [phase for phase in ORDER if phase in begun]
    for one, other in pairwise(done):
        assert ended[one] <= begun[other] + 1e-9
    cured = dry_until(outlook, ended[Phase.LAY], *pace.lay)
    assert cured is not None
    for phase in (Phase.FLASH, Phase.SAND):
        assert begun.get(phase, cured) >= cured - 1e-9
    hard = dry_until(outlook, ended[Phase.COAT], *pace.coat)
    assert hard is not None
    assert begun.get(Phase.DRESS, hard) >= hard - 1e-9


def test_a_week_with_a_wet_a_cold_and_a_dewy_day_is_worked_on_its_fair_days() -> None:
    """Air of 10 degC at 84 % over a deck taken 1 degree colder: dew point 7.4, margin 1.6."""
    plan = planned(WET, COLD, DEW, FAIR, FAIR)
    assert (plan.forecast, plan.refused) == (True, None)
    check(plan)
    assert [day.day for day in plan.worked] == [date(2026, 12, 10), FRIDAY]
    wet, cold, dew = plan.days[:3]
    assert (wet.lay, cold.lay, dew.lay) == ((), (), ())
    assert wet.against[0] is Against.RAIN
    assert Against.COLD in cold.against
    assert dew.against == (Against.DEW, Against.HUMID)
    assert [day.last_topcoat_h for day in plan.days[:3]] == [None] * 3


def test_lead_is_dressed_back_on_hard_topcoat() -> None:
    """At 10 degC a topcoat wants 6 hours (Rates sheet); nobody kneels on it before."""
    kept = builders.enquiry(builders.canted_bay(), wall_joint=WallJoint.KEEP_LEAD)
    option = jobs.take_off(kept).options[0]
    assert phase_hours(option)[Phase.DRESS] > 0
    assert Phase.FLASH not in phase_hours(option)
    assert phase_hours(BAY)[Phase.FLASH] > 0
    plan = planned(*[FAIR] * 5, option=option)
    assert plan.refused is None
    check(plan, option)


@pytest.mark.parametrize("bad", [WET, COLD, DEW])
def test_an_impossible_week_is_refused(bad: Sequence[Reading]) -> None:
    plan = planned(*[bad] * 5)
    assert plan.refused is not None
    assert plan.worked == ()
    assert len(plan.days) == 5
    assert plan.refused in (Phase.SET_UP, Phase.OPEN, Phase.LAY)


def test_a_fair_week_is_begun_at_once() -> None:
    plan = planned(*[FAIR] * 5)
    assert plan.worked[0].day == MONDAY
    check(plan)


def test_rain_before_the_topcoat_has_set_keeps_it_off() -> None:
    """Fair until 16:00, then rain: at 10 degC a topcoat wants 6 dry hours (Rates sheet)."""
    evening_rain: Sequence[Reading] = [
        (0, 7, 80, Sky.DRY),
        (9, 11, 62, Sky.DRY),
        (16, 9, 80, Sky.RAIN),
    ]
    plan = planned(evening_rain, FAIR, FAIR, WET, WET)
    check(plan)
    assert plan.days[0].last_topcoat_h == 9.75  # 15 min, then 6 h until 16:00
    assert plan.days[1].last_topcoat_h == 13.75  # the winter's limit of 14:00


def test_the_roof_is_not_left_open_over_a_night_it_need_not_be() -> None:
    """Strip on Wednesday and laminate on Thursday takes as many days as Thursday and Friday."""
    plan = planned(WET, WET, DEW, FAIR, FAIR)
    opened = [day.day for day in plan.days for s in day.spells if s.phase is Phase.OPEN]
    laid = [day.day for day in plan.days for s in day.spells if s.phase is Phase.LAY]
    assert opened == laid == [date(2026, 12, 10)]


def test_laminate_that_waits_too_long_for_its_topcoat_is_abraded() -> None:
    """24 h without abrading: common practice, no source. Wednesday is too damp for topcoat."""
    plan = planned([*FAIR], [*DEW], FAIR)
    check(plan)
    (coat,) = [s for day in plan.days for s in day.spells if s.phase is Phase.COAT]
    assert coat.abrade
    assert not any(
        s.abrade for day in planned(FAIR, FAIR).days for s in day.spells if s.phase is Phase.COAT
    )


def test_the_start_wanted_is_kept() -> None:
    plan = planned(*[FAIR] * 5, start=date(2026, 12, 9))
    assert plan.worked[0].day == date(2026, 12, 9)
    assert plan.days[0].day == date(2026, 12, 9)


def test_a_start_beyond_the_forecast_is_planned_by_the_clock() -> None:
    plan = planned(FAIR, FAIR, start=date(2027, 6, 8))
    assert (plan.forecast, plan.refused) == (False, None)
    assert plan.worked[0].day == date(2027, 6, 8)
    check(plan)


def test_without_forecast_or_start_the_days_have_no_dates() -> None:
    plan = planned(rows=())
    assert not plan.forecast
    assert {day.day for day in plan.days} == {None}
    assert [day.number for day in plan.days] == list(range(1, len(plan.days) + 1))
    check(plan)


def test_a_saturday_is_worked_only_where_the_firm_does() -> None:
    first = date(2026, 12, 12)
    firm = replace(builders.settings(), forecast=forecast(FAIR, FAIR, first=first))
    assert plan_days(BAY, firm, None, first, 10.0).refused is not None
    firm = replace(builders.settings(weekend_work=True), forecast=firm.forecast)
    assert plan_days(BAY, firm, None, first, 10.0).worked[0].day == first


def test_a_roof_too_large_for_a_day_is_laid_in_parts() -> None:
    """120 person-hours of laying are 60 h for two, and the bandage: whole days, then the rest.

    A day at 10 C is 8.5 h with its break, 15 min of it kept to close up: 7.75 h.
    """
    labour = tuple(
        replace(line, hours=builders.given("h", 120.0, "h")) if line.key is Task.LAMINATE else line
        for line in BAY.labour
    )
    plan = planned(rows=(), option=replace(BAY, labour=labour))
    lay = [
        sum(s.span.to_h - s.span.from_h for s in day.spells if s.phase is Phase.LAY)
        for day in plan.worked
    ]
    assert [hours for hours in lay if hours][:-1] == [7.75] * 7
    assert sum(lay) == pytest.approx(phase_hours(replace(BAY, labour=labour))[Phase.LAY])


READINGS = st.tuples(
    st.sampled_from([0, 6, 9, 12, 15, 18]),
    st.integers(-3, 34),
    st.integers(40, 100),
    st.sampled_from([Sky.DRY, Sky.DRY, Sky.DRY, Sky.RAIN, None]),
)
ANY_DAY = st.lists(READINGS, min_size=1, max_size=6, unique_by=lambda reading: reading[0]).map(
    lambda readings: sorted(readings, key=lambda reading: reading[0])
)


@given(st.lists(ANY_DAY, min_size=1, max_size=7))
@settings(max_examples=150)
def test_in_any_weather_the_work_lies_in_allowed_hours_or_is_refused(
    days: list[list[Reading]],
) -> None:
    plan = planned(*days)
    if plan.refused is None:
        check(plan)
    else:
        assert plan.worked == ()


@given(st.integers(0, 6), st.integers(0, 23))
@settings(max_examples=40)
def test_a_spell_of_rain_more_never_brings_the_end_forward(day: int, hour: int) -> None:
    """A fair week with an hour of rain put in anywhere ends no earlier than without it."""

    def end(rows: tuple[Weather, ...]) -> tuple[date, float]:
        plan = planned(rows=rows)
        if plan.refused:
            return date.max, 0.0
        last = plan.worked[-1]
        assert last.day is not None
        return last.day, last.spells[-1].span.to_h

    hourly = [[(h, 11.0, 62.0, Sky.DRY) for h in range(24)] for _ in range(7)]
    fair = forecast(*hourly)
    place = day * 24 + hour
    rained = (*fair[:place], replace(fair[place], sky=Sky.RAIN), *fair[place + 1 :])
    assert forecast_outlook(rained, builders.settings(), MONDAY).at(place).work
    assert end(rained) >= end(fair)


def test_a_week_that_refuses_the_job_is_a_problem_of_the_forecast() -> None:
    enquiry = builders.enquiry(builders.canted_bay())
    plan = planned(*[WET] * 5)
    (found,) = check_days(plan, enquiry, priced_days=9.0)
    assert (found.code, found.place.sheet, found.ref) == ("no-window", "Forecast", "T-01")
    assert found.seen == str(plan.refused)
    assert check_days(planned(*[FAIR] * 5), enquiry, priced_days=9.0) == []
