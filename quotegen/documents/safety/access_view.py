"""The way up and the edge, for the method statement: ladder, rails, barriers, dates."""

from quotegen import wording
from quotegen.documents.shared.risk_view import Pair
from quotegen.model.choices import Access
from quotegen.model.safety import Inspections, MethodStatement
from quotegen.reference.rule_keys import EdgeSentence
from quotegen.safety.rules.platform_words import platform_lines
from quotegen.safety.rules.text import told
from quotegen.units import round_up

LADDER_STEP_M, FOOT_STEP_M, BARRIER_STEP_M = 0.1, 0.01, 0.1
_NO_ROOM = {
    Access.SCAFFOLD: EdgeSentence.KEPT_CLEAR_OR_SHEETED,
    Access.TOWER: EdgeSentence.KEPT_CLEAR_TOWER,
}
"""What is done where there is no room for the barrier: a tower is never sheeted."""


def ladder_pairs(statement: MethodStatement) -> tuple[Pair, ...]:
    """The figures of the leaning ladder; none if there is no ladder or nobody has measured."""
    ladder = statement.ladder
    if ladder is None:
        return ()
    length_m = round_up(ladder.least_length_m.number, LADDER_STEP_M)
    foot_m = round_up(ladder.foot_out_m.number, FOOT_STEP_M)
    load, rating = wording.number(ladder.load_kg.number), wording.number(ladder.rating_kg.number)
    return (
        Pair("Height of the edge", f"{wording.plain(ladder.height_m.number)} m"),
        Pair("Foot out from below where it rests", f"{wording.plain(foot_m)} m"),
        Pair("Length of ladder at least", f"{wording.plain(length_m)} m"),
        Pair("One person and tools, of its rating", f"{load} of {rating} kg"),
    )


def access_rows(statement: MethodStatement) -> tuple[Pair, ...]:
    """The platform, its days and inspections, besides what the site card has of them.

    How high it is, its rails and the ground kept clear stand on the card, the first page.
    """
    rows = []
    platform = statement.option.access.platform
    if platform:
        lines = platform_lines(statement.option.access, statement.settings)
        rows.append(Pair("Platform", " ".join(lines[1:])))
        rows.append(Pair("It stands", _stands(statement)))
    if statement.inspections:
        rows.append(Pair("Inspections", _inspected(statement.inspections)))
    return tuple(rows)


def _stands(statement: MethodStatement) -> str:
    """From when to when the platform is there, by the days of the work."""
    worked = statement.days.worked
    dates = [wording.short_day(day.day) for day in worked if day.day is not None]
    first, last = (dates[0], dates[-1]) if dates else ("the first day", "the last day")
    if statement.option.access.chosen is Access.SCAFFOLD:
        return told(EdgeSentence.SCAFFOLD_STANDS, first=first, last=last)
    if first == last:
        return told(EdgeSentence.TOWER_ONE_DAY, day=first)
    return told(EdgeSentence.TOWER_STANDS, first=first, last=last)


def kept_clear(statement: MethodStatement) -> str:
    """How far out from the open edges nobody may be, and the barrier round it."""
    keep_out = statement.keep_out
    if keep_out is None:
        share = statement.settings.number("keep_out_pct")
        least_m = statement.settings.number("keep_out_least_m")
        return told(
            EdgeSentence.HEIGHT_FIRST,
            share=f"{wording.plain(share)}%",
            least=f"{wording.plain(least_m)} m",
        )
    return told(
        _NO_ROOM.get(statement.option.access.chosen, EdgeSentence.KEPT_CLEAR),
        out=f"{wording.plain(round_up(keep_out.out_m.number, BARRIER_STEP_M))} m",
        barrier=f"{wording.plain(round_up(keep_out.barrier_m.number))} m",
    )


def _inspected(inspections: Inspections) -> str:
    """When it is inspected; the standing sheet says what becomes of the report of every week."""
    if inspections.weekly:
        return _inspected_on(inspections)
    report = told(
        EdgeSentence.REPORT,
        hours=wording.count(inspections.report_hours.number, "hour", "hours"),
        months=wording.count(inspections.kept_months.number, "month", "months"),
    )
    return f"{_inspected_on(inspections)} {report}"


def _inspected_on(inspections: Inspections) -> str:
    """When it is inspected, by date where the start is known."""
    dates = [wording.date(day) for day in inspections.dates]
    every = wording.count(inspections.every_days.number, "day", "days")
    first = (
        told(EdgeSentence.BEFORE_USE_ON, day=dates[0]) if dates else told(EdgeSentence.BEFORE_USE)
    )
    if not inspections.weekly:
        return told(EdgeSentence.INSPECTED_AFTER_WIND, first=first)
    if not dates:
        return told(EdgeSentence.INSPECTED_EVERY, first=first, every=every)
    *during, spare = dates[1:]
    return told(
        EdgeSentence.INSPECTED_ON, dates=", ".join([first, *during]), spare=spare, every=every
    )
