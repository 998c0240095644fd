"""The firm's tables against its settings: doses within the limits, rows that go far enough."""

from collections.abc import Sequence

from msgspec.structs import replace

from quotegen import wording
from quotegen.model.settings import AtDeck, DefaultedSettings, Mixed
from quotegen.problems import Problem, problem
from quotegen.takeoff.layers.catalyst import least_c
from quotegen.units import Unit


def check_tables(settings: DefaultedSettings, book: str) -> list[Problem]:
    """Doses outside the limits, and deck temperatures worked at but with no row; each stops.

    We never guess a dose or a time: doses must run from the coldest deck to where the heat begins,
    and curing times must begin at the coldest deck.
    """
    hot_c = settings.number("hot_from_c")
    problems = [
        wrong
        for rows in settings.tables.doses.values()
        for row in rows
        for wrong in _outside_limits(row, settings, book)
    ]
    for material in Mixed:
        doses = settings.tables.doses[material]
        problems += _begins_late(material, doses, settings.number(least_c(material)), book)
        problems += _ends_early(material, doses, hot_c, book)
    for stage, times in settings.tables.curing.items():
        problems += _begins_late(stage, times, settings.number("resin_least_c"), book)
    return problems


def _outside_limits(row: AtDeck, settings: DefaultedSettings, book: str) -> list[Problem]:
    least, most = (settings.number(f"catalyst_{end}_pct") for end in ("least", "most"))
    if least <= row.amount.number <= most:
        return []
    dose = wording.percent(row.amount.number)
    limits = {"least": wording.percent(least), "most": wording.percent(most)}
    return [problem("dose-outside-limits", replace(row.place, book=book), dose, **limits)]


def _begins_late(what: str, rows: Sequence[AtDeck], coldest_c: float, book: str) -> list[Problem]:
    first = rows[0]
    return [_short(what, first, "begin", coldest_c, book)] if first.deck_c > coldest_c else []


def _ends_early(what: str, rows: Sequence[AtDeck], hot_c: float, book: str) -> list[Problem]:
    last = rows[-1]
    return [_short(what, last, "end", hot_c, book)] if last.deck_c < hot_c else []


def _short(what: str, row: AtDeck, ends: str, needed_c: float, book: str) -> Problem:
    return problem(
        "table-too-short",
        replace(row.place, book=book),
        f"{wording.exact(row.deck_c)} {Unit.CELSIUS}",
        what=what,
        ends=ends,
        needed=f"{wording.exact(needed_c)} {Unit.CELSIUS}",
    )
