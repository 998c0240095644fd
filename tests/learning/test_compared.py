"""Recorded against allowed: sums of rows, what a workbook knows, drift and groups."""

import math
from datetime import timedelta

import numpy as np
import pytest
import statsmodels.api as sm

from quotegen.learning.compared import SEVERAL, KnownJob, compare, learned_from
from quotegen.learning.drift import by_job, groups, trend
from quotegen.learning.estimates import allowed_by, rates_of
from quotegen.model.choices import BuildUp, RoofKind
from quotegen.model.own.done import Recorded
from quotegen.reference import house_rules
from quotegen.takeoff.measure import measure
from tests import builders
from tests.learning.firms import FIRST, done, firm_of


def test_rows_of_one_job_and_task_add_up() -> None:
    """4 and 6 person-hours against 4 and 4: ten eighths. Capitals make no other job."""
    again = done("t-1", amount=3.0, who="Wren", done_on=FIRST + timedelta(days=1))
    found = compare([done("T-1", who="Ada"), again, done("T-1", Recorded.DAYS)], {})
    (line, days) = found.frame.to_dict("records")
    assert (line["took"], line["allowed"], line["who"]) == (10.0, 8.0, SEVERAL)
    assert line["log"] == pytest.approx(math.log(10 / 8))
    assert (days["took"], found.jobs) == (2.0, 1)
    assert len(found.of_tasks()) == 1


def test_what_the_row_allows_comes_before_what_the_workbook_does() -> None:
    known = {"t-1": KnownJob(RoofKind.BAY, {Recorded.LAMINATE: 8.0, Recorded.SAND: 1.0})}
    rows = [
        done("T-1"), done("T-1", Recorded.SAND, allowed=None),
        done("T-1", Recorded.DECK, allowed=None), done("T-2", allowed=None),
    ]  # fmt: skip
    found = compare(rows, known)
    assert list(found.frame["allowed"]) == [4.0, 1.0]
    assert list(found.frame["kind"]) == ["bay", "bay"]
    assert found.unmatched == (rows[2], rows[3])


def test_what_went_wrong_is_counted_by_job() -> None:
    rows = [done("T-1", wrong="Rain"), done("T-1", Recorded.SAND, wrong="rain"),
            done("T-2", wrong="rain"), done("T-3", wrong="no skip")]  # fmt: skip
    assert compare(rows, {}).wrong == (("rain", 2), ("no skip", 1))


def test_nothing_that_can_be_held_against_a_quote_is_no_fault() -> None:
    found = compare([done("T-1", allowed=None)], {})
    assert (found.jobs, len(found.unmatched)) == (0, 1)
    assert learned_from(found, builders.settings()).own == {}


def test_the_take_off_allows_what_its_labour_lines_add_up_to() -> None:
    """Trims have a line an edge: together they are the one thing a roofer writes down."""
    enquiry = builders.enquiry(builders.roof(), build_ups=(BuildUp.NEW_DECK,))
    take_off, _ = measure(enquiry, builders.settings(), builders.prices(), builders.TODAY)
    assert take_off is not None
    allowed, option = allowed_by(take_off, builders.settings()), take_off.options[0]
    trims = [line.hours.number for line in option.labour if line.key == "trim"]
    assert len(trims) > 1
    assert allowed[Recorded.TRIM] == pytest.approx(sum(trims))
    kg_per_l = builders.settings().number("resin_kg_per_l")
    assert allowed[Recorded.RESIN_KG] == pytest.approx(option.resin.mixed_l.number * kg_per_l)
    assert allowed[Recorded.DAYS] == option.programme.days.number


def test_which_build_up_was_done_has_to_be_known() -> None:
    both = (BuildUp.CAP_OVER, BuildUp.NEW_DECK)
    firm, prices = builders.settings(), builders.prices()
    for accepted, told in ((None, False), (BuildUp.CAP_OVER, True)):
        enquiry = builders.enquiry(builders.roof(), build_ups=both, accepted=accepted)
        take_off, _ = measure(enquiry, firm, prices, builders.TODAY)
        assert take_off is not None
        assert bool(allowed_by(take_off, firm)) is told


def test_every_rate_of_hours_follows_a_task() -> None:
    """All settings of hours but those of work found, of moving a tower and of a curve, besides
    what a wait or a day takes; each in person-hours, so that a ratio may move it."""
    moved = [code for what in Recorded for code in rates_of(what)]
    assert len(moved) == len(set(moved))
    hours = {
        code
        for code, kind in house_rules.settings().items()
        if code.startswith("hours_") and str(kind.unit).startswith("person-hours")
    }
    assert set(moved) <= hours
    assert hours - set(moved) == {
        "hours_tower_move", "hours_bow_trim", "hours_fascia", "hours_joist", "hours_firrings",
        "hours_board",
    }  # fmt: skip


def test_the_trend_is_that_of_another_library() -> None:
    """Slope and interval of statsmodels' least squares on the same jobs."""
    rng = np.random.default_rng(3)
    ratios = [float(np.exp(-0.01 * n + rng.normal(0, 0.1))) for n in range(26)]
    found = trend(by_job(compare(firm_of(ratios), {})))
    assert found is not None
    years = np.arange(26) * 14 / 365.25
    fitted = sm.OLS(np.log(ratios), sm.add_constant(years)).fit()
    low, high = fitted.conf_int(alpha=0.10)[1]
    expected = np.exp([fitted.params[1], low, high])
    assert (found.ratio, found.low, found.high) == pytest.approx(tuple(expected), rel=1e-6)


def test_four_jobs_or_jobs_of_one_day_have_no_trend() -> None:
    assert trend(by_job(compare(firm_of([1.0, 1.1, 1.2, 1.3]), {}))) is None
    assert trend(by_job(compare([done(f"T-{n}") for n in range(9)], {}))) is None


def test_a_job_with_a_slow_task_is_no_slow_job() -> None:
    """Laminate always takes twice what is allowed, sanding half: no job is apart."""
    rows = [*firm_of([2.0] * 6), *firm_of([0.5] * 3, Recorded.SAND)]
    assert by_job(compare(rows, {}))["apart"].to_numpy() == pytest.approx(np.zeros(6))


def test_people_are_set_beside_one_another() -> None:
    """Wren is made to take some 1.2 of what Ada takes: the ratio of their means, by hand.

    The interval is that of statsmodels' cell means with one spread for both.
    """
    rng = np.random.default_rng(4)
    ratios = [(1.0, 1.2)[n % 2] * float(np.exp(rng.normal(0, 0.05))) for n in range(20)]
    found = {one.name: one for one in groups(by_job(compare(firm_of(ratios), {})))}
    logs = np.log(ratios) - np.mean(np.log(ratios))
    apart = np.exp(logs[1::2].mean() - logs[::2].mean())
    assert found["wren"].ratio / found["ada"].ratio == pytest.approx(apart)
    assert apart > 1.1
    of_each = np.array([[1.0, 0.0], [0.0, 1.0]] * 10)
    fitted = sm.OLS(logs, of_each).fit()
    expected = np.exp(fitted.conf_int(alpha=0.10)[0])
    assert (found["ada"].low, found["ada"].high) == pytest.approx(tuple(expected), rel=1e-6)
    assert found["bay"].ratio == pytest.approx(found["ada"].ratio)
    assert {one.of for one in found.values()} == {"who", "kind", "quarter"}
