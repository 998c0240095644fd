"""The day sheet: the days as planned, when to stop, and what to write down."""

import re
from datetime import date

import pytest
from msgspec.structs import replace

from quotegen import wording
from quotegen.days.days import plan_days
from quotegen.documents.crew.day_sheet import DAY_SHEET, day_sheet_view
from quotegen.documents.drawing.day_chart import HEAD_MM, IDLE_MM, ROW_MM, clock, day_chart
from quotegen.documents.printing.pdf import Rendered
from quotegen.model.prestart.record import BeforeStart
from quotegen.model.safety import MethodStatement
from quotegen.model.takeoff import Phase
from quotegen.model.weather import Against
from quotegen.reference.rule_keys import MixSentence
from quotegen.safety.facts.day_store import day_store
from quotegen.safety.rules.store_words import litres_words, there_words
from quotegen.safety.rules.text import told
from quotegen.takeoff.layers.trial_mix import wants_test_mix
from tests import builders
from tests.documents.conftest import ISSUE, first_issue, text_of
from tests.safety import jobs
from tests.safety.forecasts import COLD, DEW, FAIR, MONDAY, WET, Reading, forecast


def planned(statement: MethodStatement, *days: list[Reading]) -> MethodStatement:
    """The statement with its days laid out by a forecast."""
    firm = replace(builders.settings(), forecast=forecast(*days))
    return replace(statement, days=plan_days(statement.option, firm, None, MONDAY, 10.0))


@pytest.fixture(scope="module")
def week(bay_statement: MethodStatement) -> MethodStatement:
    return planned(bay_statement, [*WET], [*COLD], [*DEW], [*FAIR], [*FAIR])


@pytest.fixture(scope="module")
def paper(week: MethodStatement) -> Rendered:
    return DAY_SHEET.make(week, ISSUE, None)


def test_every_part_of_the_work_stands_there_with_its_time(
    week: MethodStatement, paper: Rendered
) -> None:
    text = text_of(paper)
    for day in week.days.worked:
        assert day.day is not None
        assert wording.long_day(day.day) in text
        for spell in day.spells:
            assert f"{clock(spell.span.from_h)} to {clock(spell.span.to_h)}" in text
    assert paper.warnings == ()


def test_no_row_opens_catalyst_before_its_controls(
    week: MethodStatement, demo_statements: list[MethodStatement]
) -> None:
    """Every test mix, every hour of laminate and of topcoat; nothing else opens a bottle."""
    opened = told(MixSentence.BOTTLE_OPENED)
    for control in ("eye wash", "goggles", "gloves", "mask", "dose read"):
        assert control in opened
    tests = 0
    for statement in (week, *demo_statements):
        days = day_sheet_view(statement, ISSUE).days
        for day, plan in zip(days, statement.days.worked, strict=True):
            mixes = sum(spell.phase in (Phase.LAY, Phase.COAT) for spell in plan.spells)
            rows = [spell for spell in day.spells if opened in " ".join(spell.holds)]
            assert len(rows) == mixes + len(plan.tests)
            for row in rows:
                tested = row.what.startswith("Test mix")
                assert any(hold.startswith("No sanding") for hold in row.holds) is tested
            tests += len(plan.tests)
    assert tests >= 3


def test_each_hold_point_of_the_statement_is_there_and_closing_up_every_evening(
    week: MethodStatement,
) -> None:
    view = day_sheet_view(week, ISSUE)
    holds = [hold for day in view.days for spell in day.spells for hold in spell.holds]
    closing = [step.hold_point for step in week.steps if step.phase is Phase.CLOSE]
    of_catalyst = {told(MixSentence.BOTTLE_OPENED), told(MixSentence.TEST_MIX_APART)}
    once = [hold for hold in holds if hold not in closing and hold not in of_catalyst]
    others = [step.hold_point for step in week.steps if step.phase is not Phase.CLOSE]
    assert sorted(once) == sorted(hold for hold in others if hold)
    assert sum(hold in closing for hold in holds) == week.days.open_nights
    done = "; ".join(spell.what for day in view.days for spell in day.spells)
    assert all(step.title in done for step in week.steps)


def test_the_last_topcoat_is_said_on_its_day(week: MethodStatement, paper: Rendered) -> None:
    (coated,) = [day for day in week.days.worked if any(s.phase is Phase.COAT for s in day.spells)]
    assert coated.last_topcoat_h is not None
    assert f"Topcoat begun by {clock(coated.last_topcoat_h)}" in text_of(paper)


def test_a_refused_job_says_do_not_start(bay_statement: MethodStatement) -> None:
    text = text_of(DAY_SHEET.make(planned(bay_statement, [*WET], [*DEW]), ISSUE, None))
    assert "Do not start" in text
    assert "Day 1" not in text


def test_without_a_forecast_it_says_to_measure(bay_statement: MethodStatement) -> None:
    html = DAY_SHEET.html(bay_statement, ISSUE)
    assert "No forecast covers these days" in html
    assert "Do not start" not in html


def test_there_is_a_line_for_every_mix_in_its_order(week: MethodStatement) -> None:
    view = day_sheet_view(week, ISSUE)
    cool = [mixes for mixes in week.option.mixes if not mixes.hot]
    assert len(view.mixes) == sum(mixes.size.count for mixes in cool)
    for letter, material in (("R", "resin"), ("T", "topcoat")):
        count = sum(m.size.count for m in cool if m.material == material)
        marks = [mix.number for mix in view.mixes if mix.number.startswith(letter)]
        assert marks == [f"{letter}{n}" for n in range(1, count + 1)]


def test_the_least_deck_against_the_published_margin(week: MethodStatement) -> None:
    """Air 15 degC at 70 %: dew point 9.6 (BS EN ISO 13788, from memory) and 3 (ISO 8502-4)."""
    view = day_sheet_view(week, ISSUE)
    row = next(row for row in view.least_decks if row.air == "15 °C")
    assert float(row.cells[view.humidities.index("70 %")]) == pytest.approx(12.6, abs=0.05)
    coldest = next(row for row in view.least_decks if row.air == "5 °C")
    assert coldest.cells[0] == "5.0"  # never below the resin's own least


def test_the_chart_says_in_words_what_it_draws(week: MethodStatement) -> None:
    drawn = str(day_chart(week.days))
    assert "Mon 7 Dec; no laminate; no topcoat; nothing planned." in drawn
    thursday = week.days.days[3]
    assert thursday.day == date(2026, 12, 10)
    assert f"laminate {clock(thursday.lay[0].from_h)} to {clock(thursday.lay[0].to_h)}" in drawn
    assert "no laminate, no topcoat: rain, too humid" in drawn


def test_a_day_on_which_nobody_works_takes_a_narrow_row(bay_statement: MethodStatement) -> None:
    """Friday laid, Monday coated: the dry weekend between is said in words and drawn in no bars."""
    days = planned(bay_statement, *([*WET] for _ in range(4)), *([*FAIR] for _ in range(4))).days
    friday, saturday, sunday, monday = days.days[4:8]
    assert friday.spells
    assert monday.spells
    drawn = str(day_chart(days))
    for day in (saturday, sunday):
        assert day.lay
        assert not day.spells
    hours = f"laminate {clock(saturday.lay[0].from_h)} to {clock(saturday.lay[0].to_h)}"
    assert f"nothing planned; dry enough to set: {hours}" in drawn
    (high,) = re.findall(r'viewBox="0 0 \S+ (\S+)"', drawn)
    assert float(high) == pytest.approx(HEAD_MM + 2 * ROW_MM + 6 * IDLE_MM)


def test_what_it_waits_for_stands_at_the_top(bay_statement: MethodStatement) -> None:
    view = day_sheet_view(bay_statement, ISSUE)
    assert view.waits_for.startswith("No start yet: waiting for the customer’s yes in writing,")
    settled = replace(bay_statement, before=BeforeStart(builders.TODAY, ()))
    assert day_sheet_view(settled, ISSUE).waits_for == ""


def test_what_a_hot_deck_changes_is_said_only_where_it_changes_a_mix(
    week: MethodStatement,
) -> None:
    cool = tuple(mixes for mixes in week.option.mixes if not mixes.hot)
    same = cool + tuple(replace(mixes, hot=True) for mixes in cool)
    for mixes, changed in ((same, False), (week.option.mixes, True)):
        option = replace(week.option, mixes=mixes)
        html = DAY_SHEET.html(replace(week, option=option), ISSUE)
        assert ("on a hot deck they are smaller" in html) is changed


def test_work_without_steps_of_its_own_is_named_by_its_tasks(week: MethodStatement) -> None:
    steps = tuple(step for step in week.steps if step.phase is not Phase.SAND)
    view = day_sheet_view(replace(week, steps=steps), ISSUE)
    done = [spell.what for day in view.days for spell in day.spells]
    assert "Sand, de-nib and wipe" in done


def test_the_evening_the_light_the_wind_and_the_break_stand_on_the_sheet(
    week: MethodStatement, paper: Rendered
) -> None:
    text = text_of(paper)
    for day in week.days.worked:
        assert day.light
        assert f"sunset {clock(day.light.sunset_h)}" in text
    assert text.count("Wind not forecast.") == len(week.days.worked)
    assert text.count("Measure the wind: gusts over 26 mph") == 1
    assert text.count("nobody at the roof after sunset; all away by last light") == 1
    assert "Break; no mix is left standing" in text
    assert text.count("Close up, every evening") == week.days.open_nights > 0


def test_a_test_mix_is_made_by_the_deck_of_its_coat_and_never_on_one_too_cold_for_it(
    week: MethodStatement, demo_statements: list[MethodStatement]
) -> None:
    """One is wanted by the deck at which the coat begins, as on the mix card; it is hard by then,
    and is made no earlier than the deck is warm enough for that coat.
    """
    seen = 0
    for statement in (week, *demo_statements):
        settings, sheet = statement.settings, day_sheet_view(statement, ISSUE)
        rows = [s.what for day in sheet.days for s in day.spells]
        for day in statement.days.worked:
            for phase, material in ((Phase.LAY, "resin"), (Phase.COAT, "topcoat")):
                begins = min((s.span.from_h for s in day.spells if s.phase is phase), default=None)
                made = [one for one in day.tests if one.coat is phase]
                if begins is None or not day.hours:
                    assert begins is not None or not made
                    continue
                deck_c = day.hours[int(begins)].deck_c
                assert bool(made) is (deck_c is not None and wants_test_mix(settings, deck_c))
                for one in made:
                    hour = day.hours[int(one.made_h)]
                    against = hour.lay if phase is Phase.LAY else hour.coat
                    assert Against.COLD not in against
                    assert one.hard_h <= begins + 1e-9
                    assert any(row.startswith(f"Test mix of {material}, 0.5 l") for row in rows)
                    seen += 1
    assert seen >= 3


def test_what_comes_and_stays_the_night_is_that_of_the_day_store(
    demo_statements: list[MethodStatement],
) -> None:
    """Said on the days that bring or use any of it, and on no other."""
    (large,) = [made for made in demo_statements if made.enquiry.ref == "MH-104"]
    store = day_store(large.option, large.days, large.settings)
    said = [day.stored for day in day_sheet_view(large, first_issue(large)).days]
    assert [bool(words) for words in said] == [False, False, False, True, True]
    for words, day in zip(said, store.days, strict=True):
        if words:
            assert f"{there_words(day)} at most" in words
            kept = f"At night {litres_words(day.kept_l)} locked up." in words
            assert kept is (day is not store.days[-1])  # on the last day the van takes it home
    assert "laminating resin 3 × 20 kg and 1 × 5 kg" in said[3]
    assert "4 m apart" in said[3]
    assert "topcoat 1 × 20 kg" in said[4]
    # By hand from the papers: the two stores shown add up to what is shown on site.
    assert "as 43.5 l and 18.2 l" in said[3]
    assert "On site 61.7 l at most" in said[3]
    assert "61.7 l on site" in jobs.said(large.stored)["by-day"]


def test_each_day_that_opens_the_roof_says_how_much_and_has_its_holds(
    demo_statements: list[MethodStatement],
) -> None:
    """Common practice, no source: each day open what you can close, and probe what you open."""
    (large,) = [made for made in demo_statements if made.enquiry.ref == "MH-104"]
    holds = [step.hold_point for step in large.steps if step.phase is Phase.OPEN]
    area_m2, found_m2 = large.take_off.outline.area_m2.number, 0
    for day in day_sheet_view(large, first_issue(large)).days[:3]:
        (first,) = [spell for spell in day.spells if "Strip off" in spell.what]
        opened, *rest = first.holds
        assert rest == [words for words in holds if words]
        share = re.fullmatch(r"Open about (\d+) m² today, and no more .* close today\.", opened)
        assert share
        found_m2 += int(share[1])
        closing = [spell for spell in day.spells if spell.what == "Close up, every evening"]
        looked = "Closed and looked over before anyone leaves."
        assert [spell.holds for spell in closing] == [(looked,)]
    assert found_m2 == pytest.approx(area_m2, abs=1.5)  # three shares in whole square metres
    (bay,) = [made for made in demo_statements if made.enquiry.ref == "MH-101"]
    days = day_sheet_view(bay, first_issue(bay)).days
    said = [words for day in days for spell in day.spells for words in spell.holds]
    assert not [words for words in said if words.startswith("Open about")]  # one day opens it all


def test_no_hold_and_no_title_says_the_same_twice(demo_statements: list[MethodStatement]) -> None:
    """The bottle is opened on one hold a spell, and a part of the work is named once."""
    for made in demo_statements:
        for day in day_sheet_view(made, first_issue(made)).days:
            for spell in day.spells:
                assert " ".join(spell.holds).count("the bottle is opened") <= 1
                first, _, rest = spell.what.lower().partition(": ")
                assert not rest or first not in rest
