"""What the firm's done jobs show, as a page for its owner and as lines for a screen."""

import math
from collections.abc import Iterator, Sequence
from datetime import date
from itertools import groupby

from markupsafe import Markup
from msgspec import Struct

from quotegen import wording
from quotegen.documents.customer.side_by_side import LineRow
from quotegen.documents.owner.own_chart import (
    JobDot,
    TaskBar,
    percent_of,
    task_chart,
    year_chart,
)
from quotegen.documents.printing import templates
from quotegen.documents.printing.paper import PaperFrame
from quotegen.documents.printing.pdf import Rendered, render
from quotegen.learning.drift import DAYS_OF_YEAR, GroupRatio, Trend
from quotegen.learning.proposals import FEWEST_TO_PROPOSE, Effect, LearnedRate, Proposal
from quotegen.learning.stock_taken import StockTaken
from quotegen.phrases import capital
from quotegen.reference import house_rules

_TITLE = "What our jobs took"
_MOST_EFFECTS = 8
_FEWEST_DOTS = 2
_OF = {"who": "Who", "kind": "Kind of roof", "quarter": "Quarter"}


class OwnNumbersView(Struct, frozen=True):
    """Everything the page shows."""

    title: str
    lead: str
    little: str
    tasks: Markup
    year: Markup | str
    trend: str
    rates: tuple[LineRow, ...]
    effects: tuple[LineRow, ...]
    unmoved: str
    again: str
    groups: tuple[LineRow, ...]
    wrong: str
    unmatched: str


def own_numbers_pdf(stock: StockTaken, on: date) -> Rendered:
    """The page as a PDF."""
    firm = stock.settings.text("firm_name")
    frame = PaperFrame(
        language=wording.LANGUAGE,
        kind=_TITLE,
        title=f"{_TITLE}, {firm}",
        description=f"{_TITLE}, from the done jobs of {firm}",
        author=firm,
        dated=on.isoformat(),
        mark=f"{firm} · {_TITLE} · {wording.date(on)}",
    )
    view = own_numbers_view(stock)
    return render(templates.fill("owner/own_numbers.html", None, sheet=frame, own=view))


def own_numbers_view(stock: StockTaken) -> OwnNumbersView:
    """The page in ready words."""
    moved = [one for one in stock.effects if _moves(one)]
    shown = sorted(moved, key=lambda one: -abs(one.new_net - one.net))[:_MOST_EFFECTS]
    return OwnNumbersView(
        title=_TITLE,
        lead=_lead(stock),
        little=_little(stock),
        tasks=task_chart([_bar(rate) for rate in stock.rates]),
        year=_year(stock),
        trend=_trend(stock.trend),
        rates=tuple(_proposals(stock)),
        effects=tuple(_effect(one) for one in shown),
        again=_again(stock),
        unmoved=_unmoved(len(stock.effects), len(moved), len(shown)),
        groups=tuple(_groups(stock.groups)),
        wrong="; ".join(
            f"{words}, {wording.count(jobs, 'job', 'jobs')}" for words, jobs in stock.compared.wrong
        ),
        unmatched=_unmatched(stock),
    )


def own_numbers_lines(stock: StockTaken) -> Iterator[str]:
    """The same as lines of text."""
    view = own_numbers_view(stock)
    yield view.lead
    if view.little:
        yield view.little
    yield ""
    for rate in stock.rates:
        clear = "  clear of what was allowed" if rate.tells else ""
        within = f"{percent_of(rate.low):>5} to {percent_of(rate.high):>5}"
        jobs = wording.count(rate.jobs, "job", "jobs")
        yield f"{rate.what:22}{jobs:>9}  {percent_of(rate.ratio):>5} of allowed  {within}{clear}"
    yield f"\n{view.trend}"
    for row in view.groups:
        yield f"   {row.words}, of usual (9 in 10 within, jobs): {row.cells[0]}"
    if view.wrong:
        yield f"What went wrong: {view.wrong}."
    yield "\nNew rates suggested:" if view.rates else "\nNo new rate is suggested."
    for row in view.rates:
        ratio, rates = row.cells
        yield f"   {row.words}, {ratio} of allowed: {rates}"
    for row in view.effects:
        yield f"   {row.words}: hours {row.cells[0]}, price without VAT {row.cells[1]}"
    for words in (view.unmoved, view.again, view.unmatched):
        if words:
            yield words


def _lead(stock: StockTaken) -> str:
    days = stock.compared.frame["done_on"]
    span = f"{wording.date(days.min().date())} to {wording.date(days.max().date())}"
    jobs = wording.count(stock.compared.jobs, "job", "jobs")
    return f"{jobs}, done {span}, against what their quotes allowed."


def _little(stock: StockTaken) -> str:
    """A warning that a few jobs say little; empty once any task has enough of them."""
    most = max((rate.jobs for rate in stock.rates), default=0)
    if most >= FEWEST_TO_PROPOSE:
        return ""
    weight = wording.plain(stock.settings.number("default_weight_jobs"))
    return (
        f"That is not much to go on. No task has more than {most} behind it, one odd job moves "
        f"them all, and each rate still counts the house figure as {weight} more jobs. We suggest"
        f" no new rate until a task has {FEWEST_TO_PROPOSE} jobs."
    )


def _bar(rate: LearnedRate) -> TaskBar:
    return TaskBar(
        capital(rate.what), rate.jobs, rate.plain, rate.ratio, rate.low, rate.high, rate.tells
    )


def _year(stock: StockTaken) -> Markup | str:
    jobs = [
        JobDot(day.date(), math.exp(apart))
        for day, apart in zip(stock.by_job["done_on"], stock.by_job["apart"], strict=True)
    ]
    if len(jobs) < _FEWEST_DOTS:
        return ""
    slope = math.log(stock.trend.ratio) / DAYS_OF_YEAR if stock.trend else None
    return year_chart(jobs, slope)


def _trend(found: Trend | None) -> str:
    if found is None:
        return "Too few jobs to say whether the work is getting quicker or slower."
    within = f"{percent_of(found.low)} to {percent_of(found.high)}"
    if found.low <= 1 <= found.high:
        return (
            f"{found.jobs} jobs show no change through the year: hours in a year's time would be "
            f"{percent_of(found.ratio)} of today's, anything from {within}."
        )
    way = "quicker" if found.ratio < 1 else "slower"
    return (
        f"The work is getting {way}: in a year hours come to {percent_of(found.ratio)} of what "
        f"they were ({within}). Rates from all the jobs lag behind that."
    )


def _groups(found: Sequence[GroupRatio]) -> Iterator[LineRow]:
    """Each table of groups as one line."""
    for of, ones in groupby(found, lambda one: one.of):
        cells = [
            f"{capital(one.name)} {percent_of(one.ratio)} "
            f"({percent_of(one.low)} to {percent_of(one.high)}, {one.jobs})"
            for one in ones
        ]
        yield LineRow(_OF[of], ("; ".join(cells),))


def _proposals(stock: StockTaken) -> Iterator[LineRow]:
    """The proposals of each task as one line: what it took, and every rate from now to new."""
    ratios = {rate.what: rate.ratio for rate in stock.rates}
    for what, ones in groupby(stock.proposals, lambda one: one.what):
        cells = "; ".join(_proposal(one) for one in ones)
        yield LineRow(capital(what), (percent_of(ratios[what]), cells))


def _proposal(one: Proposal) -> str:
    now, new = (wording.exact(value) for value in (one.now, one.new))
    return f"{house_rules.settings()[one.code].words} {now} to {new}"


def _moves(one: Effect) -> bool:
    """Whether a price changes by a pound or more; less than that is only rounding."""
    return abs(one.new_net - one.net) >= 1


def _effect(one: Effect) -> LineRow:
    hours = f"{wording.number(one.hours, 1)} to {wording.number(one.new_hours, 1)}"
    prices = f"{wording.money(one.net)} to {wording.money(one.new_net)}"
    return LineRow(f"{one.ref}, {one.build_up}", (hours, prices))


def _unmoved(options: int, moved: int, shown: int) -> str:
    parts = []
    if moved > shown:
        parts.append(f"{moved - shown} more options change by less.")
    if options > moved:
        same = wording.count(options - moved, "option keeps its price", "options keep their prices")
        parts.append(f"{same}: the hours change, but the days charged do not.")
    return " ".join(parts)


def _again(stock: StockTaken) -> str:
    """What to do with allowances from another day, which would suggest a new rate twice."""
    if not stock.proposals or not stock.compared.at_own:
        return ""
    rows = wording.count(stock.compared.at_own, "entry says", "entries say")
    return (
        f"{rows} on the row what was allowed, at the rates of that day. When you take a new rate,"
        " change those for its task in the same proportion, or it will be suggested again."
    )


def _unmatched(stock: StockTaken) -> str:
    rows = stock.compared.unmatched
    if not rows:
        return ""
    refs: Sequence[str] = list(dict.fromkeys(row.ref for row in rows))
    return (
        f"{wording.count(len(rows), 'row has', 'rows have')} nothing to compare with "
        f"({', '.join(refs[:6])}): no row on Enquiries that says which build-up was done, "
        "no such task in it, or no allowance on the row."
    )
