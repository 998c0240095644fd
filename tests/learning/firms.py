"""Done jobs made up for the tests."""

from datetime import date, timedelta

from quotegen.model.choices import RoofKind
from quotegen.model.own.done import DoneRow, Recorded
from quotegen.problems import Place

FIRST = date(2026, 1, 5)


def done(ref: str, what: Recorded = Recorded.LAMINATE, **changes: object) -> DoneRow:
    """A row: two people, two hours, four person-hours allowed."""
    row: dict[str, object] = {
        "place": Place("jobs.xlsx", "Done jobs", "D2"), "ref": ref, "done_on": FIRST, "what": what,
        "amount": 2.0, "people": 2.0, "who": "", "kind": None, "allowed": 4.0, "wrong": "",
    }  # fmt: skip
    return DoneRow(**{**row, **changes})  # type: ignore[arg-type]  # each test gives what fits


def firm_of(ratios: list[float], what: Recorded = Recorded.LAMINATE) -> list[DoneRow]:
    """A job a fortnight, each taking so much of what was allowed."""
    return [
        done(
            f"T-{number}",
            what,
            amount=2.0 * ratio,
            done_on=FIRST + timedelta(days=14 * number),
            who=("Ada", "Wren")[number % 2],
            kind=(RoofKind.BAY, RoofKind.PORCH)[number % 2],
        )
        for number, ratio in enumerate(ratios)
    ]
