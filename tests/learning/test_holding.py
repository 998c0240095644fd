"""How far a price holds, against the quote itself and against closed forms."""

from collections.abc import Mapping
from decimal import Decimal

import numpy as np
import pytest
from msgspec.structs import replace
from scipy import stats

from quotegen.learning.compared import learned_from
from quotegen.learning.holding import (
    CostDraws,
    draw_costs,
    drivers,
    holdings,
    lognormal,
)
from quotegen.model.choices import DeckCondition
from quotegen.model.own.done import Recorded
from quotegen.model.own.learned import Learned, Spread
from quotegen.model.quote import Quote
from quotegen.model.settings import Settings
from quotegen.pricing.quote import make_quote
from quotegen.takeoff.measure import measure
from quotegen.working import chosen
from quotegen.working_out import Batch
from tests import builders

STILL = {
    "default_spread_pct": 0.0, "material_spread_pct": 0.0, "measuring_error_mm": 0.0,
    "rot_chance_pct": 0.0, "rot_seen_chance_pct": 0.0, "weather_chance_pct": 0.0,
}  # fmt: skip
"""Settings under which nothing can go otherwise."""
DRAWS = 60_000


def quoted(**changes: float) -> Quote:
    firm, prices = builders.settings(**changes), builders.prices()
    take_off, _ = measure(builders.enquiry(builders.roof()), firm, prices, builders.TODAY)
    assert take_off is not None
    return make_quote(take_off, firm, prices, builders.TODAY)[0]


def with_settings(settings: Settings, changes: Mapping[str, float]) -> Settings:
    figures = dict(settings.figures)
    for code, value in changes.items():
        figures[code] = chosen(code, value, figures[code].unit, "test")
    return replace(settings, figures=figures)


def drawn(quote: Quote, **own: Spread) -> CostDraws:
    learned = learned_from(None, quote.settings)
    mine = {Recorded[name]: spread for name, spread in own.items()}
    return draw_costs(quote.options[0], quote, replace(learned, own=mine), DRAWS)


def test_with_nothing_to_go_otherwise_it_is_the_cost_of_the_quote(demo_batch: Batch) -> None:
    """Every option of every demo job, to the penny: the parts of a draw are those of the quote."""
    compared = 0
    for quote in (worked.quote for worked in demo_batch.worked if worked.quote):
        still = replace(quote, settings=with_settings(quote.settings, STILL))
        learned = learned_from(None, still.settings)
        for option, held in zip(quote.options, holdings(still, learned), strict=True):
            cost = draw_costs(option, still, learned, 16).cost
            assert cost == pytest.approx(float(option.cost.money), abs=0.005), quote.enquiry.ref
            overheads = 1 + quote.settings.number("overhead_pct") / 100
            assert held.nine_in_ten == pytest.approx(float(option.cost.money) * overheads, abs=0.01)
            assert (held.loss_pct, held.drivers) == (0.0, ())
            compared += 1
    assert compared >= 15


def test_the_price_that_holds_loses_one_time_in_ten(demo_batch: Batch) -> None:
    """A price set to it is below cost and overheads in a tenth of the draws."""
    for quote in (worked.quote for worked in demo_batch.worked if worked.quote):
        learned = learned_from(None, quote.settings)
        held = holdings(quote, learned)
        for option, one in zip(quote.options, held, strict=True):
            net = option.totals.net
            risen = replace(option.totals, net=replace(net, value=Decimal(repr(one.price))))
            again = replace(quote, options=(replace(option, totals=risen),))
            assert holdings(again, learned)[0].loss_pct == pytest.approx(10, abs=0.1)
            assert one.likely < one.nine_in_ten
            assert one.below_cost_pct <= one.loss_pct
            assert len(one.drivers) == 3
            assert sum(driver.share for driver in one.drivers) <= 1


def test_the_hours_of_one_task_move_the_cost_as_a_lognormal() -> None:
    """Days paid in tiny steps, so that cost is in proportion: the moments of scipy's lognorm."""
    still = {**STILL, "day_step": 1e-6, "least_days": 0.0}
    quote = quoted(**still)
    option = quote.options[0]
    task = next(line for line in option.take_off.labour if line.key == "laminate")
    spread = Spread(0.1, 0.4, 9)
    cost = drawn(quote, LAMINATE=spread).cost
    per_hour = float(quote.settings["labour_cost_per_hour"].money)
    law = stats.lognorm(s=spread.sd_log, scale=np.exp(spread.mean_log))
    moved = cost - float(option.cost.money)
    assert moved.mean() == pytest.approx(
        task.hours.number * per_hour * (law.mean() - 1), rel=0.03, abs=0.5
    )
    assert moved.std() == pytest.approx(task.hours.number * per_hour * law.std(), rel=0.03)
    assert np.median(moved) == pytest.approx(
        task.hours.number * per_hour * (law.median() - 1), rel=0.05, abs=0.5
    )


def test_weather_is_a_binomial_and_rot_a_chance() -> None:
    """Means and variances by hand: n p L and n p (1 - p) L2, and p L and p (1 - p) L2."""
    losses = {"weather_chance_pct": 30.0, "rot_chance_pct": 20.0}
    quote = quoted(**{**STILL, **losses})
    option, per_hour = quote.options[0], 28.0
    moved = drawn(quote).cost - float(option.cost.money)
    days, crew = (option.take_off.programme.days.number, option.take_off.programme.crew.number)
    day, rot = 3 * crew * per_hour, 4 * per_hour
    assert moved.mean() == pytest.approx(days * 0.3 * day + 0.2 * rot, rel=0.02)
    variance = days * 0.3 * 0.7 * day**2 + 0.2 * 0.8 * rot**2
    assert moved.var() == pytest.approx(variance, rel=0.03)


def test_a_measured_area_is_off_by_its_two_sizes() -> None:
    """Relative errors of a product add up in squares: by hand for a roof of known sizes."""
    quote = quoted(**{**STILL, "measuring_error_mm": 50.0, "day_step": 1e-6, "least_days": 0.0})
    sizes = drawn(quote)
    points = np.array(quote.take_off.outline.points)
    along, out = np.ptp(points, axis=0)
    grown = 50 * np.sqrt(1 / along**2 + 1 / out**2)
    slope = np.polyfit(sizes.inputs["size"], sizes.cost, 1)[0]
    measured = sum(
        float(line.material.money + line.labour.money)
        for line in quote.options[0].cost_lines
        if line.stage not in ("Access and protection", "Gutters, tiles and making good")
    )
    assert slope == pytest.approx(measured * grown, rel=0.05)


def test_lognormals_have_the_moments_of_scipy() -> None:
    spread = Spread(0.05, 0.3, 3)
    figures = lognormal(spread, np.random.default_rng(1).standard_normal(400_000))
    law = stats.lognorm(s=0.3, scale=np.exp(0.05))
    assert figures.mean() == pytest.approx(law.mean(), rel=0.005)
    assert figures.std() == pytest.approx(law.std(), rel=0.01)
    assert np.quantile(figures, 0.9) == pytest.approx(law.ppf(0.9), rel=0.01)


def test_the_shares_of_a_sum_of_normals_are_those_of_its_variances() -> None:
    """Three, two and one standard deviations: 9, 4 and 1 fourteenths of the variance."""
    rng = np.random.default_rng(2)
    inputs = {name: rng.standard_normal(200_000) for name in ("job", "materials", "size")}
    cost = 100 + 3 * inputs["job"] + 2 * inputs["materials"] + inputs["size"]
    assert np.quantile(cost, 0.9) == pytest.approx(stats.norm(100, np.sqrt(14)).ppf(0.9), abs=0.05)
    shares = {one.cause: one.share for one in drivers(CostDraws(cost, inputs))}
    assert list(shares) == ["job", "materials", "size"]
    assert list(shares.values()) == pytest.approx([9 / 14, 4 / 14, 1 / 14], abs=0.01)


def test_the_cost_is_straight_enough_for_its_shares(demo_batch: Batch) -> None:
    """Days are paid in steps; the shares stand while a straight line explains 0.7 of the variance.

    Common practice for squares of standardised regression coefficients, no source.
    """
    for quote in (worked.quote for worked in demo_batch.worked if worked.quote):
        learned = learned_from(None, quote.settings)
        for option in quote.options:
            found = draw_costs(option, quote, learned)
            moving = [one for one in found.inputs.values() if np.ptp(one)]
            explained = sum(np.corrcoef(one, found.cost)[0, 1] ** 2 for one in moving)
            assert explained > 0.7, (quote.enquiry.ref, option.build_up)


def test_the_same_figures_come_each_time() -> None:
    quote = quoted()
    learned = learned_from(None, quote.settings)
    assert holdings(quote, learned) == holdings(quote, learned)


def test_rot_seen_on_the_visit_makes_more_of_it_likelier() -> None:
    quote = quoted()
    existing = replace(quote.enquiry.existing, condition=DeckCondition.SOFT)
    soft = replace(quote, enquiry=replace(quote.enquiry, existing=existing))
    assert drawn(soft).inputs["rot"].mean() == pytest.approx(0.5, abs=0.01)
    assert drawn(quote).inputs["rot"].mean() == pytest.approx(0.15, abs=0.01)


def test_hours_learned_move_the_price_that_holds() -> None:
    """A firm that takes half as long again needs a higher price, and loses more often at this."""
    quote = quoted()
    house = learned_from(None, quote.settings)
    tasks = [one for one in Recorded if one.task]
    slow = Learned(house.house, dict.fromkeys(tasks, Spread(float(np.log(1.5)), 0.2, 30)))
    before, after = holdings(quote, house)[0], holdings(quote, slow)[0]
    assert after.price > before.price
    assert after.loss_pct > before.loss_pct
