"""Read a workbook with its price lists and work out its enquiries, short of making papers.

Nothing is printed; problems are returned. `app` makes the papers.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from operator import itemgetter
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from quotegen.days.checks import check_days
from quotegen.days.first_day import day_of_work
from quotegen.diary.clashes import check_clashes, days_taken, fixed_job
from quotegen.diary.records import FixedJob
from quotegen.documents.printing.belongings import check_belongings
from quotegen.model.enquiry import Enquiry
from quotegen.model.quote import Quote
from quotegen.model.settings import PriceBook, Settings
from quotegen.model.takeoff import TakeOff
from quotegen.phrases import listed
from quotegen.pricing.advice import advise, before_a_visit
from quotegen.pricing.quote import make_quote
from quotegen.pricing.taken_as import taken_problems
from quotegen.problems import Place, Problem, once, problem, stopping
from quotegen.reference.life import on_day
from quotegen.reference.loader import past_review
from quotegen.safety.facts.store_checks import check_stored
from quotegen.safety.facts.worn import check_worn
from quotegen.safety.statement.laying_out import (
    LaidOut,
    check_start,
    lay_out,
    offered_start,
    planned_days,
)
from quotegen.takeoff.checks import check_settings
from quotegen.takeoff.measure import draw, measure
from quotegen.workbook.reading.price_lists import PricesRead, read_price_lists
from quotegen.workbook.reading.reader import WorkbookRead, read_workbook

if TYPE_CHECKING:
    from quotegen.model.safety import MethodStatement
    from quotegen.model.several import Together

_PAST_NAMED = 5
PRICES_FOLDER = "prices"
"""The folder beside the workbook that holds the price lists unless others are named."""

LIST_ENDINGS = (".xlsx", ".xlsm", ".xls", ".ods", ".csv")
"""The file types taken for price lists in that folder; unreadable ones are reported."""


class Worked(Struct, frozen=True):
    """One enquiry worked out: its quote and statement, None where something stops them.

    `enquiry` is None where the row could not be read.
    """

    ref: str
    quote: Quote | None
    statement: "MethodStatement | None"
    problems: tuple[Problem, ...]
    enquiry: Enquiry | None


class Batch(Struct, frozen=True):
    """A workbook worked out: the chosen enquiries in order, and every problem of the run.

    `read` is the whole workbook, the enquiries that were not chosen too.
    """

    folder: Path
    worked: tuple[Worked, ...]
    problems: tuple[Problem, ...]
    prices: PriceBook
    read: WorkbookRead

    @property
    def stops(self) -> bool:
        """Whether any problem is a stop."""
        return any(p.stops for p in self.problems)


class Opened(Struct, frozen=True):
    """A workbook and its price lists as read, before any enquiry is worked out.

    `chosen` holds the references asked for, as the workbook spells them, and is empty for all;
    `before` the workbook's problems that may stop an enquiry; `problems` those and all others.
    """

    read: WorkbookRead
    prices: PriceBook
    chosen: frozenset[str]
    before: tuple[Problem, ...]
    problems: tuple[Problem, ...]

    @property
    def asked_for(self) -> tuple[str, ...]:
        """The enquiries to work out: those chosen, or all whose rows ask for documents."""
        read, chosen = self.read, self.chosen
        return tuple(r for r in read.refs if (r in chosen if chosen else r not in read.left_out))


def work_out(book: Path, price_lists: Sequence[Path], on: date, refs: Sequence[str] = ()) -> Batch:
    """Read a workbook and price lists and work out its enquiries, all or those named.

    A fault in a price list stops only the enquiries that need the item; a fault of the whole
    workbook stops all.
    """
    with on_day(on):
        opened = open_for_work(book, price_lists, refs)
        worked = tuple(each_worked_out(opened, on))
        found = [p for one in worked for p in one.problems] + _beside(book, opened)
    return Batch(book.parent, worked, _shown(opened, found), opened.prices, opened.read)


def check_workbook(book: Path, price_lists: Sequence[Path], on: date) -> tuple[Problem, ...]:
    """Everything wrong with a workbook and its price lists.

    Each enquiry is released once worked out, so a thousand take no more memory than one.
    """
    with on_day(on):
        opened = open_for_work(book, price_lists)
        found = [p for one in _each_judged(opened, on) for p in one.problems]
        return _shown(opened, found + _beside(book, opened))


def open_for_work(book: Path, price_lists: Sequence[Path], refs: Sequence[str] = ()) -> Opened:
    """Read a workbook and its price lists, with the problems found before working anything out."""
    return opened_with(
        read_workbook(book), read_price_lists(price_lists or prices_beside(book)), book.name, refs
    )


def opened_with(
    read: WorkbookRead, priced: PricesRead, book: str, refs: Sequence[str] = ()
) -> Opened:
    """A workbook and price lists already read, ready to be worked out."""
    firm = read.settings or read.defaulted
    before = (*read.problems, *check_settings(firm, book))
    problems = [*before, *priced.problems]
    if not priced.book.packs:
        problems.append(problem("price-list-none", Place(book)))
    known = set(read.refs)
    spelt = {ref.casefold(): ref for ref in read.refs}
    chosen = dict.fromkeys(spelt.get(ref.casefold(), ref) for ref in refs)
    problems += [
        problem("reference-unknown", Place(book, "Enquiries"), seen=ref, ref=ref)
        for ref in chosen
        if ref not in known
    ]
    return Opened(read, priced.book, frozenset(chosen), before, tuple(problems))


def each_worked_out(opened: Opened, on: date) -> Iterator[Worked]:
    """Yield each chosen enquiry, worked out."""
    from quotegen.safety.statement.statement import make_statement  # noqa: PLC0415 - `check` writes none
    from quotegen.safety.statement.survey import not_known, survey_first  # noqa: PLC0415 - as above

    settings = opened.read.settings
    for one in _each_judged(opened, on):
        statement, quote = None, one.quote
        if settings and quote and one.laid_out:
            with on_day(day_of_work(one.laid_out.days, on)):
                statement = make_statement(quote.take_off, settings, on, one.laid_out)
            with on_day(on):
                quote = replace(quote, start=offered_start(quote.take_off, settings, one.laid_out))
                advice = advise(quote)
            unknown = not_known(statement.facts) if survey_first(statement.facts, settings) else 0
            quote = replace(
                quote, advised=before_a_visit(advice) if unknown else advice, unknown=unknown
            )
        yield Worked(
            one.ref, quote if statement else None, statement, tuple(one.problems), one.enquiry
        )


class _Judged(Struct, frozen=True):
    """An enquiry with all its problems, its results where nothing stops it, its agreed days."""

    ref: str
    enquiry: Enquiry | None
    problems: list[Problem]
    quote: Quote | None = None
    laid_out: LaidOut | None = None
    fixed: FixedJob | None = None


def _each_judged(opened: Opened, on: date) -> Iterator[_Judged]:
    """Yield each chosen enquiry with all its problems.

    The agreed jobs of the workbook come first, whether chosen or not: no other is planned on a day
    that they need every crew for. They are kept until their turn; so are those that might have been
    agreed, where no day is taken that they would have to be planned round.
    """
    sound = {enquiry.ref: enquiry for enquiry in opened.read.enquiries}
    before = _by_ref(opened.before)

    def judged(ref: str, opened: Opened) -> _Judged:
        concerning = [p for _, p in sorted(before[""] + before[ref], key=itemgetter(0))]
        return _judge(ref, sound.get(ref), opened, on, concerning)

    ready = {ref: judged(ref, opened) for ref, one in sound.items() if _may_be_agreed(one, opened)}
    fixed = [one.fixed for one in ready.values() if one.fixed]
    settings = opened.read.settings
    taken = days_taken(fixed, settings.number("crews")) if settings else ()
    others = opened
    if settings and taken:
        ready = {ref: one for ref, one in ready.items() if one.fixed}
        read = replace(opened.read, settings=replace(settings, taken=taken))
        others = replace(opened, read=read)
    clashes = _by_ref(check_clashes(fixed, settings))
    for ref in opened.asked_for:
        one = ready.pop(ref) if ref in ready else judged(ref, others)
        one.problems.extend(found for _, found in clashes[ref])
        yield one


def _may_be_agreed(enquiry: Enquiry, opened: Opened) -> bool:
    """Whether a row that asks for documents says that it is accepted, and when it begins."""
    asked = enquiry.ref not in opened.read.left_out
    return asked and enquiry.accepted is not None and enquiry.start_on is not None


def _beside(book: Path, opened: Opened) -> list[Problem]:
    """Problems with the pictures and templates beside the workbook."""
    asked_for = set(opened.asked_for)
    enquiries = [enquiry for enquiry in opened.read.enquiries if enquiry.ref in asked_for]
    return check_belongings(book, opened.read.settings or opened.read.defaulted, enquiries)


def order_together(batch: Batch) -> "Together | None":
    """One order for all enquiries that nothing stops; None for fewer than two."""
    from quotegen.takeoff.together import buy_together  # noqa: PLC0415 - not for `check`

    quotes = [worked.quote for worked in batch.worked if worked.quote]
    if not quotes:
        return None
    return buy_together([q.take_off for q in quotes], quotes[0].settings, batch.prices)


def prices_beside(book: Path) -> list[Path]:
    """The price lists in the `prices` folder beside a workbook, in order of name.

    Lock files of open spreadsheets are skipped.
    """
    return sorted(
        path
        for path in (book.parent / PRICES_FOLDER).glob("*")
        if path.suffix.lower() in LIST_ENDINGS and not path.name.startswith(("~$", "."))
    )


def _shown(opened: Opened, found: Sequence[Problem]) -> tuple[Problem, ...]:
    """Problems without duplicates; if enquiries were named, only theirs and the workbook's own."""
    known, chosen = set(opened.read.refs), opened.chosen
    return tuple(
        p
        for p in once([*opened.problems, *found])
        if not chosen or not p.ref or p.ref in chosen or p.ref not in known
    )


def _by_ref(problems: Sequence[Problem]) -> Mapping[str, list[tuple[int, Problem]]]:
    """Problems by reference, each with its position in the order found."""
    found: defaultdict[str, list[tuple[int, Problem]]] = defaultdict(list)
    for number, one in enumerate(problems):
        found[one.ref].append((number, one))
    return found


def _judge(
    ref: str, enquiry: Enquiry | None, opened: Opened, on: date, before: Sequence[Problem]
) -> _Judged:
    """An enquiry judged by what is in force on the day, and what of that is past review."""
    with on_day(on) as looked_up:
        judged = _judged_by_the_day(ref, enquiry, opened, on, before)
    past = past_review(looked_up.values(), on)
    if enquiry and past:
        named = listed(past[:_PAST_NAMED])
        judged.problems.append(
            problem("values-past-review", enquiry.place, named, ref, number=len(past))
        )
    return judged


def _judged_by_the_day(
    ref: str, enquiry: Enquiry | None, opened: Opened, on: date, before: Sequence[Problem]
) -> _Judged:
    settings, prices = opened.read.settings, opened.prices
    if enquiry is None:
        return _Judged(ref, None, list(before))
    if settings is None:
        _, found = draw(enquiry, opened.read.defaulted)
        return _Judged(ref, enquiry, [*before, *found])
    take_off, found = measure(enquiry, settings, prices, on)
    if take_off and enquiry.if_longer:
        enquiry = replace(enquiry, planned=planned_days(take_off, settings, on))
        take_off, found = measure(enquiry, settings, prices, on)
    if not prices.packs:
        found = [p for p in found if p.code != "price-missing"]
    mine = [*before, *found]
    if take_off is None or not prices.packs or stopping(mine, ref):
        return _Judged(ref, enquiry, mine)
    quote, found = make_quote(take_off, settings, prices, on)
    mine = once([*mine, *found, *taken_problems(enquiry, quote.taken_as)])
    if stopping(mine, ref):
        return _Judged(ref, enquiry, mine)
    laid = lay_out(take_off, settings, on)
    mine += check_stored(enquiry, laid.option, laid.days, settings)
    mine += check_worn(enquiry, laid.option, laid.days, settings)
    mine += check_days(laid.days, enquiry, laid.option.programme.days.number)
    mine += check_start(laid, enquiry)
    mine += _check_known(take_off, laid, settings)
    fixed = fixed_job(enquiry, laid.accepted, laid.days)
    if stopping(mine, ref):
        return _Judged(ref, enquiry, mine, fixed=fixed)
    return _Judged(ref, enquiry, mine, quote, laid, fixed)


def _check_known(take_off: TakeOff, laid: LaidOut, settings: Settings) -> list[Problem]:
    """Whether enough is known of a job for its method statement."""
    from quotegen.safety.statement.survey import check_known  # noqa: PLC0415 - not for a start-up

    return check_known(take_off, laid, settings)
