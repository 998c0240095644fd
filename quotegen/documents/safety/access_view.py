"""The way up and the edge as the method statement prints them: ladder, rails, barriers, dates."""

from quotegen import wording
from quotegen.documents.shared.risk_view import Pair
from quotegen.model.choices import PLATFORMS, Access
from quotegen.model.safety import Inspections, MethodStatement
from quotegen.reference.loader import figure
from quotegen.units import round_up

LADDER_STEP_M, FOOT_STEP_M, BARRIER_STEP_M = 0.1, 0.01, 0.1


def ladder_pairs(statement: MethodStatement) -> tuple[Pair, ...]:
    """The figures of the leaning ladder; none where there is none or nobody has measured."""
    ladder = statement.ladder
    if ladder is None:
        return ()
    length_m = round_up(ladder.least_length_m.number, LADDER_STEP_M)
    foot_m = round_up(ladder.foot_out_m.number, FOOT_STEP_M)
    load, rating = wording.number(ladder.load_kg.number), wording.number(ladder.rating_kg.number)
    return (
        Pair("Height of the edge", f"{wording.plain(ladder.height_m.number)} m"),
        Pair("Foot out from below its top", f"{wording.plain(foot_m)} m"),
        Pair("Length of ladder at least", f"{wording.plain(length_m)} m"),
        Pair("One person and tools, of its rating", f"{load} of {rating} kg"),
    )


def access_rows(statement: MethodStatement) -> tuple[Pair, ...]:
    """Guard rails, the ground kept clear and the inspections, as far as this job has them."""
    chosen = statement.option.access.chosen
    rows = []
    if chosen in PLATFORMS:
        rows.append(Pair("Guard rails", _rails(statement)))
    if chosen is not Access.GROUND:
        rows.append(Pair("Kept clear below", _kept_clear(statement)))
    if chosen in PLATFORMS:
        rows.append(Pair("It stands", _stands(statement)))
    if statement.inspections:
        rows.append(Pair("Inspections", _inspected(statement.inspections)))
    return tuple(rows)


def _rails(statement: MethodStatement) -> str:
    rails = statement.rails
    least, most = figure("work_at_height.guard_rail_mm"), figure("work_at_height.guard_gap_mm")
    toe = figure("work_at_height.toe_board_mm")
    return (
        f"Top {wording.mm(rails.top_mm.number)} (at least {wording.exact(least.number)}), middle "
        f"{wording.mm(rails.middle_mm.number)}, toe board {wording.mm(rails.toe_board_mm.number)} "
        f"(at least {wording.exact(toe.number)}); largest gap "
        f"{wording.mm(rails.largest_gap_mm.number)} (not "
        f"over {wording.exact(most.number)})."
    )


def _stands(statement: MethodStatement) -> str:
    """From when to when the platform is there, by the days of the work."""
    worked = statement.days.worked
    dates = [wording.short_day(day.day) for day in worked if day.day is not None]
    first, last = (dates[0], dates[-1]) if dates else ("the first day", "the last day")
    if statement.option.access.chosen is Access.SCAFFOLD:
        return f"Up and handed over before {first}; not struck before {last} is done."
    if first == last:
        return f"Up and down on {first}."
    return f"From {first} to {last}; at night nobody can climb it."


def _kept_clear(statement: MethodStatement) -> str:
    keep_out = statement.keep_out
    if keep_out is None:
        share = statement.settings.number("keep_out_pct")
        least_m = statement.settings.number("keep_out_least_m")
        return (
            f"Measure the height first: {wording.plain(share)}% of it out from every open edge, at "
            f"least {wording.plain(least_m)} m."
        )
    out_m = wording.plain(round_up(keep_out.out_m.number, BARRIER_STEP_M))
    barrier_m = wording.plain(round_up(keep_out.barrier_m.number))
    sheeted = "sheet the platform, or " if statement.option.access.chosen in PLATFORMS else ""
    return (
        f"{out_m} m out from every open edge, about {barrier_m} m of barrier. No room: "
        f"{sheeted}stop while anyone passes."
    )


def _inspected(inspections: Inspections) -> str:
    every = wording.plain(inspections.every_days.number)
    dates = [wording.date(day) for day in inspections.dates]
    first = f"Before first use{f' on {dates[0]}' if dates else ''}"
    if not inspections.weekly:
        when = f"{first} and after wind or a knock."
    elif dates:
        *during, spare = dates[1:]
        then = f", {', '.join(during)}" if during else ""
        when = f"{first}{then}; {spare} if it still stands, then every {every} days."
    else:
        when = f"{first}, then every {every} days while it stands."
    hours = wording.plain(inspections.report_hours.number)
    months = wording.plain(inspections.kept_months.number)
    return (
        f"{when} Report written that shift, handed over within {hours} hours, kept on site to the "
        f"end and {months} months after."
    )
