"""The cost sheet as a PDF: for the owner alone, and marked so on every page.

It shows what each option leaves, and the source of every figure. None of it goes to anyone else.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import accumulate, groupby
from typing import Any, NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from quotegen import wording
from quotegen.documents.customer.quote import option_letters
from quotegen.documents.customer.side_by_side import NOTHING, LineRow, merged, price_rows
from quotegen.documents.data.explanation import amount_of, tree
from quotegen.documents.owner.cause_words import cause_words
from quotegen.documents.owner.cost_detail import CostDetail, cost_detail, shown_hours
from quotegen.documents.printing.design import Design
from quotegen.documents.printing.paper import PictureBox, one_line
from quotegen.machine.once import once_a_job
from quotegen.model.issue import Issue
from quotegen.model.own.learned import Driver, Holding
from quotegen.model.quote import Quote, QuotedOption
from quotegen.phrases import capital
from quotegen.pricing.margin import Margin, margin_of
from quotegen.pricing.sensitivity import Shift
from quotegen.problems import Problem
from quotegen.working import Figure, Origin, Step

MOST_WORKING_LINES = 70
DEEPEST = 3
_UNITS = re.compile(r" \[[^\]]*\]")
"""Units in a formula's docstring; the sheet shows them with each figure."""


class CostSubject(Struct, frozen=True):
    """The inputs of a cost sheet; the problems are those of the enquiry.

    `held` says how safe the price of each option is, with `own_tasks` the tasks whose hours come
    from the firm's done jobs.
    """

    quote: Quote
    shifts: tuple[Shift, ...]
    problems: tuple[Problem, ...]
    held: tuple[Holding, ...] = ()
    own_tasks: int = 0


class Warned(Struct, frozen=True):
    """A problem of the enquiry and its cure."""

    words: str
    cure: str


class WorkingLine(Struct, frozen=True):
    """One line of a working; `depth` counts the steps below the price, `cut` those left out.

    `how` is the formula in words, empty where the line above of the same kind has given it.
    """

    depth: int
    words: str
    how: str
    cut: bool


class Workings(NamedTuple):
    """Workings line by line, under the name of their option or under none."""

    name: str
    lines: tuple[WorkingLine, ...]

    @property
    def prices(self) -> tuple[tuple[WorkingLine, ...], ...]:
        """The workings grouped by line of the price, that line first."""
        tops = accumulate(line.depth == 0 for line in self.lines)
        numbered = zip(tops, self.lines, strict=True)
        return tuple(
            tuple(line for _, line in lines) for _, lines in groupby(numbered, lambda one: one[0])
        )


class CostSheetView(Struct, frozen=True):
    """Everything the cost sheet's template shows except the firm's head."""

    reference: str
    revision: str
    dated: str
    customer: str
    site_address: str
    area: str
    headings: tuple[str, ...]
    result: tuple[LineRow, ...]
    prices: tuple[LineRow, ...]
    price_totals: tuple[LineRow, ...]
    uncosted: str
    more: str
    shifts: tuple[LineRow, ...]
    holds: tuple[LineRow, ...]
    drivers: tuple[LineRow, ...]
    own_tasks: str
    warnings: tuple[Warned, ...]
    private_notes: str
    detail: CostDetail
    workings: tuple[Workings, ...]
    pointer: str

    @property
    def worked_parts(self) -> tuple[Workings, ...]:
        """The workings in parts that a column break may separate; each option's first is named."""
        return tuple(
            Workings("" if number else option.name, part)
            for option in self.workings
            for number, part in enumerate(p for lines in option.prices for p in _parts(lines))
        )


def cost_sheet_view(subject: CostSubject, issue: Issue) -> CostSheetView:
    """The cost sheet in ready words."""
    quote, settings = subject.quote, subject.quote.settings
    outline = quote.take_off.outline
    letters = option_letters(len(quote.options))
    margins = [margin_of(one, quote.enquiry, outline, settings) for one in quote.options]
    names = tuple(
        f"{letter}: {capital(one.build_up)}" if letter else capital(one.build_up)
        for letter, one in zip(letters, quote.options, strict=True)
    )
    uncosted = margins[0].uncosted.money
    return CostSheetView(
        reference=issue.reference,
        revision=str(issue.revision),
        dated=wording.date(issue.issued),
        customer=quote.enquiry.customer.name,
        site_address=one_line(quote.enquiry.site_address),
        area=f"{wording.number(outline.area_m2.number, 2)} m²",
        headings=names,
        result=tuple(_result(quote, margins)),
        prices=price_rows(quote.options),
        price_totals=tuple(_totals(quote.options)),
        uncosted=wording.money(uncosted) if uncosted else "",
        more=wording.mm(settings.number("sensitivity_mm")),
        shifts=tuple(_shifts(subject.shifts, quote.options)),
        holds=tuple(_holds(subject.held)),
        drivers=tuple(_drivers(subject.held)),
        own_tasks=wording.count(subject.own_tasks, "task", "tasks") if subject.own_tasks else "",
        warnings=tuple(Warned(capital(p.message), p.cure) for p in subject.problems),
        private_notes=quote.enquiry.private_notes,
        detail=_detail(quote, names=names),
        workings=_workings(quote, names=names),
        pointer=f"quotegen explain BOOK --ref {issue.reference} --line price",
    )


def _result(quote: Quote, margins: Sequence[Margin]) -> Iterator[LineRow]:
    """From the cost to the profit left, an amount for each option."""
    overhead = wording.percent(quote.settings.number("overhead_pct"))
    money, options = wording.money, quote.options
    yield LineRow("Cost of the job", tuple(money(one.cost.money) for one in options))
    yield LineRow(
        f"Overheads, {overhead} of cost", tuple(money(m.overheads.money) for m in margins)
    )
    yield LineRow("Profit", tuple(money(m.profit.money) for m in margins))
    yield LineRow("Price without VAT", tuple(money(one.totals.net.money) for one in options))
    yield LineRow(
        "Margin over cost",
        tuple(_with_share(m.over_cost, m.over_cost_pct) for m in margins),
    )
    yield LineRow(
        "Profit, of the price", tuple(_with_share(m.profit, m.profit_pct) for m in margins)
    )
    yield LineRow("Price of 1 m² without VAT", tuple(money(m.per_m2.money) for m in margins))
    yield LineRow("Person-hours", tuple(_person_hours(one) for one in options))
    yield LineRow("Crew and days on site", tuple(_days(one) for one in options))
    yield LineRow("Days paid", tuple(_paid_days(one) for one in options))


def _with_share(amount: Figure, share: Figure) -> str:
    return f"{wording.money(amount.money)}, {wording.percent(round(share.number, 1))}"


def _person_hours(option: QuotedOption) -> str:
    return wording.number(shown_hours(option.take_off.labour), 2)


def _days(option: QuotedOption) -> str:
    programme = option.take_off.programme
    people = wording.count(programme.crew.number, "person", "people")
    return f"{people}, {wording.count(programme.days.number, 'day', 'days')}"


def _paid_days(option: QuotedOption) -> str:
    return wording.plain(option.take_off.programme.paid_days.number)


def _totals(options: Sequence[QuotedOption]) -> Iterator[LineRow]:
    totals = [option.totals for option in options]
    yield LineRow("Price without VAT", tuple(wording.money(t.net.money) for t in totals))
    if all(t.vat for t in totals):
        vat = tuple(wording.money(t.vat.money) if t.vat else NOTHING for t in totals)
        yield LineRow("VAT", vat)
    yield LineRow("To pay", tuple(wording.money(t.total.money) for t in totals))


def _shifts(shifts: Sequence[Shift], options: Sequence[QuotedOption]) -> Iterator[LineRow]:
    """The change in cost and price for each size, option by option."""
    found = {(shift.size, shift.build_up): shift for shift in shifts}
    for size in merged([[shift.size for shift in shifts]]):
        cells = []
        for option in options:
            shift = found[size, option.build_up]
            cells += [wording.change(shift.cost), wording.change(shift.net)]
        yield LineRow(capital(size), tuple(cells))


def _holds(held: Sequence[Holding]) -> Iterator[LineRow]:
    """How safe the price of each option is, in whole pounds and per cent."""
    if not held:
        return
    yield LineRow("Chance of a loss at this price", tuple(_chance(h.loss_pct) for h in held))
    yield LineRow(
        "Chance that it does not even cover the cost",
        tuple(_chance(h.below_cost_pct) for h in held),
    )
    yield LineRow(
        "Cost with overheads, half over and half under", tuple(_pounds(h.likely) for h in held)
    )
    yield LineRow(
        "Price without VAT that covers it 9 times in 10", tuple(_pounds(h.price) for h in held)
    )


def _drivers(held: Sequence[Holding]) -> Iterator[LineRow]:
    """What changes the cost of each option most, as a share of everything that changes it."""
    for number in range(max((len(h.drivers) for h in held), default=0)):
        cells = (_driver(h.drivers[number]) if number < len(h.drivers) else NOTHING for h in held)
        yield LineRow(f"{number + 1}", tuple(cells))


def _driver(driver: Driver) -> str:
    return f"{cause_words(driver.cause)}, {wording.percent(round(100 * driver.share))}"


def _chance(hundredths: float) -> str:
    """A chance in whole per cent; nearly never is not written as 0, nor nearly always as 100."""
    if round(hundredths) in (0, 100):
        return "less than 1%" if hundredths < 50 else "more than 99%"
    return wording.percent(round(hundredths))


def _pounds(amount: float) -> str:
    return f"£{wording.number(amount)}"


@once_a_job
def _detail(quote: Quote, *, names: tuple[str, ...]) -> CostDetail:
    return cost_detail(names, quote.options, quote.settings)


@once_a_job
def _workings(quote: Quote, *, names: tuple[str, ...]) -> tuple[Workings, ...]:
    """The working of every line of the price, all to the same depth: the greatest there is room
    for.
    """
    prices = [[line.amount for line in option.lines] for option in quote.options]
    deepest = DEEPEST
    while deepest > 1 and sum(_length(column, deepest) for column in prices) > MOST_WORKING_LINES:
        deepest -= 1
    return tuple(
        Workings(
            name, tuple(_said_once(_working(*found, deepest) for found in _steps(column, deepest)))
        )
        for name, column in zip(names, prices, strict=True)
    )


def _parts(lines: Sequence[WorkingLine]) -> Iterator[tuple[WorkingLine, ...]]:
    """The lines split where a column may break: never between a line and its first step below."""
    first = 0
    for at in range(1, len(lines)):
        if lines[at].depth <= lines[at - 1].depth:
            yield tuple(lines[first:at])
            first = at
    yield tuple(lines[first:])


def _said_once(lines: Iterable[WorkingLine]) -> Iterator[WorkingLine]:
    """The lines, with each formula given only at its first use."""
    met = set()
    for line in lines:
        yield replace(line, how="" if line.how in met else line.how)
        met.add(line.how)


def _length(amounts: Sequence[Figure], deepest: int) -> int:
    return sum(1 for _ in _steps(amounts, deepest))


def _steps(amounts: Sequence[Figure], deepest: int) -> Iterator[tuple[int, Figure]]:
    """The non-zero steps of the workings; given figures are shown beside their step."""
    for amount in amounts:
        for depth, figure in tree(amount, 0, deepest):
            if depth == 0 or (isinstance(figure.basis, Step) and figure.value):
                yield depth, figure


def _working(depth: int, figure: Figure, deepest: int) -> WorkingLine:
    said = f"{figure.name} = {amount_of(figure)}"
    if isinstance(figure.basis, Origin):
        return WorkingLine(depth, said, figure.basis.place, cut=False)
    inputs = [
        one
        for given in figure.basis.inputs.values()
        for one in (given if isinstance(given, tuple) else (given,))
    ]
    known = [f"{x.name} {amount_of(x)}" for x in inputs if isinstance(x.basis, Origin)]
    formula = _UNITS.sub("", figure.basis.meaning.partition(".")[0])
    with_known = f" ({'; '.join(known)})" if known else ""
    below = any(isinstance(one.basis, Step) for one in inputs)
    return WorkingLine(depth, said, f"{formula}{with_known}", cut=depth == deepest and below)


def _fill(subject: CostSubject, issue: Issue, _box: PictureBox) -> Mapping[str, Any]:
    return {"cost": cost_sheet_view(subject, issue)}


COST_SHEET = Design(
    "PRIVATE cost sheet",
    "owner/cost_sheet.html",
    lambda subject: (subject.quote.enquiry, subject.quote.settings),
    _fill,
)
