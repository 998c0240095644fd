"""How safe a price is: the cost of an option as a distribution, drawn at random from a fixed seed.

Every draw is the sum of the exact parts of the cost: the days paid for the hours drawn, the
materials, the charges, and what goes wrong. Without any spread a draw is the cost of the quote, to
the penny. Hours and materials are lognormal; a day spoilt by the weather and rot found are chances.
"""

from typing import cast

import numpy as np
from msgspec import Struct

from quotegen.days.standard import SECOND_VISIT
from quotegen.learning.rates import Floats
from quotegen.model.choices import STRUCTURAL, DeckCondition
from quotegen.model.enquiry import Enquiry
from quotegen.model.own.done import Recorded
from quotegen.model.own.learned import Driver, Holding, Learned, Spread
from quotegen.model.quote import Quote, QuotedOption
from quotegen.model.roof import Outline
from quotegen.model.settings import Settings
from quotegen.model.takeoff import Stage
from quotegen.pricing.costs import need_costs, task_costs
from quotegen.pricing.margin import margin_of
from quotegen.reference.remark_keys import Task
from quotegen.takeoff.hours.programme import days_paid

DRAWS = 8192
SEED = 20261128
NINE_IN_TEN = 0.9
_SHOWN = 3
_FIXED = frozenset({Task.WAIT, Task.TRAVEL, Task.CLOSE_UP, Task.TEST_MIX})
"""Time that no rate of work moves."""
_MEASURED = frozenset({Stage.STRIP, Stage.DECK, Stage.INSULATION, Stage.EDGES, Stage.LAMINATE})
"""The stages whose hours and materials grow with the roof."""
_SLACK = 1e-9
_OWN_USE = {"resin": Recorded.RESIN_KG, "topcoat": Recorded.TOPCOAT_KG}


class Chances(Struct, frozen=True):
    """What can happen to an option, apart from its hours.

    `area_sd` is the spread of the measured area as a share of it; a chance is 0 to 1, a loss GBP.
    """

    area_sd: float
    rot: float
    rot_loss: float
    bad_day: float
    bad_day_loss: float


class CostDraws(Struct, frozen=True):
    """The cost of each draw [GBP], and the cause that each of `inputs` is drawn for."""

    cost: Floats
    inputs: dict[str, Floats]


def holdings(quote: Quote, learned: Learned) -> tuple[Holding, ...]:
    """How safe the price of each option is, in the order of the quote."""
    return tuple(_holding(option, quote, learned) for option in quote.options)


def _holding(option: QuotedOption, quote: Quote, learned: Learned) -> Holding:
    settings = quote.settings
    margin = margin_of(option, quote.enquiry, quote.take_off.outline, settings)
    uncosted = float(margin.uncosted.money)
    earned = float(option.totals.net.money) - uncosted
    drawn = draw_costs(option, quote, learned)
    whole = drawn.cost * (1 + settings.number("overhead_pct") / 100)
    within = float(np.quantile(whole, NINE_IN_TEN))
    return Holding(
        likely=float(np.median(whole)),
        nine_in_ten=within,
        loss_pct=100 * float(np.mean(whole > earned)),
        below_cost_pct=100 * float(np.mean(drawn.cost > earned)),
        price=within + uncosted,
        drivers=drivers(drawn)[:_SHOWN],
    )


def draw_costs(
    option: QuotedOption, quote: Quote, learned: Learned, draws: int = DRAWS
) -> CostDraws:
    """The cost of an option, drawn `draws` times, the same every time."""
    settings, rng = quote.settings, np.random.default_rng(SEED)
    chances = chances_of(option, quote.enquiry, quote.take_off.outline, settings)
    size = rng.standard_normal(draws)
    whole_job = rng.standard_normal(draws)
    inputs = {"size": size, "job": whole_job}
    grown = 1 + chances.area_sd * size
    hours = _hours(option, learned, settings, rng, inputs, grown)
    labour = _labour(option, settings, hours)
    materials = _materials(option, learned, settings, rng, inputs, grown)
    charges = float(sum(charge.money for _, charge in option.take_off.charges))
    rot = (rng.random(draws) < chances.rot).astype(float)
    days = int(option.take_off.programme.days.number)
    bad_days = rng.binomial(days, chances.bad_day, draws).astype(float)
    inputs |= {"rot": rot, "weather": bad_days}
    lost = rot * chances.rot_loss + bad_days * chances.bad_day_loss
    return CostDraws(labour + materials + charges + lost, inputs)


def chances_of(
    option: QuotedOption, enquiry: Enquiry, outline: Outline, settings: Settings
) -> Chances:
    """The chances and losses of an option: house figures, and rot by what the visit found."""
    seen = enquiry.existing.condition in (DeckCondition.SOFT, DeckCondition.ROTTEN) or any(
        finding.basis in STRUCTURAL for finding in enquiry.findings
    )
    chance = settings.number("rot_seen_chance_pct" if seen else "rot_chance_pct")
    per_hour = float(settings["labour_cost_per_hour"].money)
    crew = option.take_off.programme.crew.number
    return Chances(
        area_sd=_area_sd(outline, settings.number("measuring_error_mm")),
        rot=chance / 100,
        rot_loss=settings.number("rot_lost_hours") * per_hour,
        bad_day=settings.number("weather_chance_pct") / 100,
        bad_day_loss=settings.number("weather_lost_hours") * crew * per_hour,
    )


def _area_sd(outline: Outline, error_mm: float) -> float:
    """The spread of an area measured by its length and depth, as a share of it.

    Source: the propagation of independent errors through a product, JCGM 100:2008, 5.1.6.
    """
    along, out = (np.ptp([point[axis] for point in outline.points]) for axis in (0, 1))
    return float(np.hypot(error_mm / along, error_mm / out))


def lognormal(spread: Spread, normal: Floats) -> Floats:
    """Ratios with this spread out of standard normal figures."""
    return np.asarray(np.exp(spread.mean_log + spread.sd_log * normal))


def _hours(
    option: QuotedOption,
    learned: Learned,
    settings: Settings,
    rng: np.random.Generator,
    inputs: dict[str, Floats],
    grown: Floats,
) -> dict[int, Floats]:
    """The hours of each line drawn, by its place in the list.

    Each task has its own figure, and all share the job's figure by the house share.
    """
    shared = settings.number("job_share_pct") / 100
    hours: dict[int, Floats] = {}
    for at, line in enumerate(option.take_off.labour):
        drawn = np.full_like(grown, line.hours.number)
        if line.key not in _FIXED:
            cause = f"task:{line.key}"
            if cause not in inputs:
                inputs[cause] = rng.standard_normal(grown.size)
            normal = np.sqrt(shared) * inputs["job"] + np.sqrt(1 - shared) * inputs[cause]
            drawn = drawn * lognormal(learned.of_task(line.key), normal)
            if line.stage in _MEASURED:
                drawn = drawn * grown
        hours[at] = drawn
    return hours


def _labour(option: QuotedOption, settings: Settings, hours: dict[int, Floats]) -> Floats:
    """What the crew costs for the hours drawn: the days paid, and what is paid by the hour."""
    programme, labour = option.take_off.programme, option.take_off.labour
    day_h, step = settings.number("day_hours"), settings.number("day_step")
    per_hour = float(settings["labour_cost_per_hour"].money)
    crew = programme.crew.number
    each = _visit_hours(option, hours)
    days = np.sum([_paid_days(one, day_h, step) for one in each], axis=0)
    extra = programme.paid_days.number - _quoted_days(option, settings)
    paid = (np.maximum(days, settings.number("least_days")) + extra) * crew * day_h * per_hour
    costs = task_costs(option.take_off, settings)
    for at, line in enumerate(labour):
        if line.by_the_hour and line.hours.number:
            paid = paid + float(costs[at].money) * hours[at] / line.hours.number
    return np.asarray(paid)


def _visit_hours(option: QuotedOption, hours: dict[int, Floats]) -> list[Floats]:
    """The clock hours of each visit: as laid out, and what the work drawn takes more or less.

    What the layout adds to the work does not change: waits, the break, a coat put off to the next
    day.
    """
    programme, labour = option.take_off.programme, option.take_off.labour
    laid = cast(tuple[float, ...], programme.visit_h.value)
    twice = programme.visits.number > 1
    each = []
    for visit in range(1 + twice):
        lines = [
            at
            for at, line in enumerate(labour)
            if not line.by_the_hour and (twice and line.phase in SECOND_VISIT) == bool(visit)
        ]
        more = np.sum([hours[at] - labour[at].hours.number for at in lines], axis=0)
        each.append(np.asarray(laid[visit] + more / programme.crew.number))
    return each


def _quoted_days(option: QuotedOption, settings: Settings) -> float:
    """Days paid for the layout alone; the quote may charge more where the plan takes longer."""
    laid = cast(tuple[float, ...], option.take_off.programme.visit_h.value)
    codes = ("day_hours", "day_step", "least_days")
    return days_paid(laid, *(settings.number(code) for code in codes))


def _paid_days(hours: Floats, day_h: float, step: float) -> Floats:
    """Days paid for the clock hours of a visit, up to the firm's step; `days_paid` of arrays."""
    return np.asarray(np.ceil(hours / day_h / step - _SLACK) * step)


def _materials(
    option: QuotedOption,
    learned: Learned,
    settings: Settings,
    rng: np.random.Generator,
    inputs: dict[str, Floats],
    grown: Floats,
) -> Floats:
    """The cost of materials: the roof's by what is used and by its size; hire does not change."""
    sd = float(np.log1p(settings.number("material_spread_pct") / 100))
    house = Spread(0.0, sd, 0)
    inputs["materials"] = rng.standard_normal(grown.size)
    cost = np.zeros_like(grown)
    for need in option.take_off.needs:
        price = float(sum(part.money for part in need_costs(need, settings)))
        if need.stage in _MEASURED:
            own = learned.own.get(_OWN_USE[need.item], house) if need.item in _OWN_USE else house
            cost = cost + price * lognormal(own, inputs["materials"]) * grown
        else:
            cost = cost + price
    return cost


def drivers(drawn: CostDraws) -> tuple[Driver, ...]:
    """What makes the cost differ, the greatest cause first; the shares add up to 1.

    The share of a cause is the square of its correlation with the cost: in a sum of independent
    parts that is its share of the variance. Source: Saltelli et al., Global Sensitivity Analysis:
    The Primer (2008), section 1.2.5, standardised regression coefficients, from memory. Days are
    charged in steps, so part of the variance has no cause; it is left out of the total.
    """
    squared = {cause: _squared(figures, drawn.cost) for cause, figures in drawn.inputs.items()}
    total = sum(squared.values())
    if not total:
        return ()
    found = [Driver(cause, square / total) for cause, square in squared.items()]
    return tuple(sorted(found, key=lambda one: -one.share))


def _squared(figures: Floats, cost: Floats) -> float:
    if np.ptp(figures) == 0 or np.ptp(cost) < _SLACK:
        return 0.0
    return float(np.corrcoef(figures, cost)[0, 1] ** 2)
