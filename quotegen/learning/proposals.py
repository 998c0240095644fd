"""New rates suggested, and what they would have done to the quotes in the workbook.

Nothing is changed: the owner types a new rate into the workbook or leaves it.
"""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from quotegen.learning.compared import Compared, spread_code
from quotegen.learning.estimates import rates_of
from quotegen.learning.rates import house_prior, of_logs
from quotegen.model.choices import BuildUp
from quotegen.model.own.done import Recorded
from quotegen.model.quote import Quote, QuotedOption
from quotegen.model.settings import DefaultedSettings, PriceBook, Settings
from quotegen.pricing.quote import make_quote
from quotegen.reference import house_rules
from quotegen.takeoff.measure import measure
from quotegen.working import chosen

FEWEST_TO_PROPOSE = 5
"""Fewer jobs move no rate: one odd job would."""
_FIGURES = 2
"""A rate is proposed to so many figures: nobody knows it better."""


class LearnedRate(Struct, frozen=True):
    """What the jobs say of one thing recorded, all as ratios of what was allowed.

    `plain` is the bare middle of the jobs, `ratio` the same drawn towards the default while they
    are few, `low` and `high` its interval; `next_low` and `next_high` hold the next job.
    """

    what: Recorded
    jobs: int
    plain: float
    ratio: float
    low: float
    high: float
    next_low: float
    next_high: float

    @property
    def tells(self) -> bool:
        """Whether there are enough jobs, and they are clearly off what was allowed."""
        return self.jobs >= FEWEST_TO_PROPOSE and not self.low <= 1 <= self.high


class Proposal(Struct, frozen=True):
    """A new value for one setting, and the thing recorded that it comes from."""

    code: str
    what: Recorded
    now: float
    new: float


class Effect(Struct, frozen=True):
    """What all the suggestions together would have done to one option [person-hours, GBP without
    VAT].
    """

    ref: str
    build_up: BuildUp
    hours: float
    new_hours: float
    cost: Decimal
    new_cost: Decimal
    net: Decimal
    new_net: Decimal


def learned_rates(compared: Compared, settings: DefaultedSettings) -> tuple[LearnedRate, ...]:
    """What the jobs say about everything recorded, in the order of the work."""
    logs = {Recorded(str(what)): one for what, one in compared.frame.groupby("what")["log"]}
    return tuple(
        _rate(what, [float(log) for log in logs[what]], settings)
        for what in Recorded
        if what in logs
    )


def _rate(what: Recorded, logs: Sequence[float], settings: DefaultedSettings) -> LearnedRate:
    posterior = of_logs(house_prior(settings, spread_code(what)), np.array(logs))
    low, high = posterior.interval()
    next_low, next_high = posterior.next_job()
    return LearnedRate(
        what=what,
        jobs=len(logs),
        plain=math.exp(sum(logs) / len(logs)),
        ratio=math.exp(float(posterior.mean)),
        low=math.exp(float(low)),
        high=math.exp(float(high)),
        next_low=math.exp(float(next_low)),
        next_high=math.exp(float(next_high)),
    )


def proposals(rates: Iterable[LearnedRate], settings: DefaultedSettings) -> tuple[Proposal, ...]:
    """New values, within bounds, of the settings whose task is clearly off what was allowed."""
    return tuple(
        Proposal(code, rate.what, settings.number(code), new)
        for rate in rates
        if rate.tells
        for code, new in _new_values(rate, settings)
        if new != settings.number(code)
    )


def _new_values(rate: LearnedRate, settings: DefaultedSettings) -> Iterator[tuple[str, float]]:
    for code in rates_of(rate.what):
        kind = house_rules.settings()[code]
        new = to_figures(settings.number(code) * rate.ratio)
        yield code, min(max(new, float(kind.least)), float(kind.most))


def to_figures(value: float) -> float:
    """A value to two figures.

    >>> to_figures(0.2373), to_figures(1.26), to_figures(0.0)
    (0.24, 1.3, 0.0)
    """
    if not value:
        return 0.0
    places = _FIGURES - 1 - math.floor(math.log10(abs(value)))
    return round(value, places)


def effects(
    quotes: Iterable[Quote], proposed: Sequence[Proposal], prices: PriceBook
) -> Iterator[Effect]:
    """What all suggestions together would have done to each option, by remaking its quote."""
    if not proposed:
        return
    for quote in quotes:
        settings = with_proposals(quote.settings, proposed)
        after = _options_again(quote, settings, prices, quote.dated)
        for option in quote.options:
            if option.build_up in after:
                again = after[option.build_up]
                yield Effect(
                    ref=quote.enquiry.ref,
                    build_up=option.build_up,
                    hours=option.take_off.programme.person_hours.number,
                    new_hours=again.take_off.programme.person_hours.number,
                    cost=option.cost.money,
                    new_cost=again.cost.money,
                    net=option.totals.net.money,
                    new_net=again.totals.net.money,
                )


def with_proposals(settings: Settings, proposed: Iterable[Proposal]) -> Settings:
    """The settings as they would be with every proposal taken."""
    figures = dict(settings.figures)
    for one in proposed:
        old = figures[one.code]
        figures[one.code] = chosen(old.name, one.new, old.unit, "proposed")
    return replace(settings, figures=figures)


def _options_again(
    quote: Quote, settings: Settings, prices: PriceBook, on: date
) -> Mapping[BuildUp, QuotedOption]:
    take_off, _ = measure(quote.enquiry, settings, prices, on)
    if take_off is None:
        return {}
    again, _ = make_quote(take_off, settings, prices, on)
    return {option.build_up: option for option in again.options}
