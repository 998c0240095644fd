"""What jobs took against what their quotes allowed: one line for each job and thing recorded."""

from collections.abc import Mapping, Sequence

import numpy as np
import pandas as pd
from msgspec import Struct

from quotegen.learning.rates import house_prior, of_logs, spread_of
from quotegen.model.choices import RoofKind
from quotegen.model.own.done import DoneRow, Recorded
from quotegen.model.own.learned import Learned, Spread
from quotegen.model.settings import DefaultedSettings

SEVERAL = "several"
_MATERIALS = (Recorded.RESIN_KG, Recorded.TOPCOAT_KG)


class KnownJob(Struct, frozen=True):
    """What the workbook still knows of a done job: its kind, and what its quote allowed."""

    kind: RoofKind
    allowed: Mapping[Recorded, float]


class Compared(Struct, frozen=True):
    """Recorded against allowed.

    `frame` has a line for each job and thing recorded: ref, what, done_on, took, allowed, log (of
    took / allowed), who, kind. `at_own` are the lines whose rows say what was allowed, at the rates
    of their day. `unmatched` are the rows with nothing to compare with, `wrong` is what went wrong
    and on how many jobs, the commonest first.
    """

    frame: pd.DataFrame
    at_own: int
    unmatched: tuple[DoneRow, ...]
    wrong: tuple[tuple[str, int], ...]

    @property
    def jobs(self) -> int:
        """The number of jobs behind it."""
        return int(self.frame["ref"].nunique())

    def of_tasks(self) -> pd.DataFrame:
        """The lines that count hours."""
        return self.frame[[Recorded(str(what)).task is not None for what in self.frame["what"]]]


def compare(rows: Sequence[DoneRow], known: Mapping[str, KnownJob]) -> Compared:
    """Compare rows with what was allowed; `known` is by reference, ignoring capitals.

    Rows of one job and thing add up. What a row says it was allowed comes before the workbook's.
    """
    table = pd.DataFrame(
        [_line(row, known.get(row.ref.casefold())) for row in rows],
        columns=["ref", "what", "done_on", "took", "said", "known", "who", "kind", "wrong"],
    )
    grouped = table.groupby(["ref", "what"], sort=False)
    frame = grouped.agg(
        done_on=("done_on", "max"),
        took=("took", "sum"),
        said=("said", lambda given: given.sum(min_count=1)),
        known=("known", "max"),
        who=("who", _one_of),
        kind=("kind", _one_of),
    ).reset_index()
    frame["allowed"] = frame["said"].fillna(frame["known"]).astype(float)
    frame = frame[frame["allowed"] > 0]
    at_own = int(frame["said"].notna().sum())
    frame = frame.drop(columns=["said", "known"]).reset_index(drop=True)
    frame["log"] = np.log(frame["took"].astype(float) / frame["allowed"])
    matched = {*zip(frame["ref"], frame["what"], strict=True)}
    went_wrong = table[table["wrong"] != ""].groupby("wrong")["ref"].nunique()
    return Compared(
        frame,
        at_own,
        tuple(row for row in rows if (row.ref.casefold(), row.what.value) not in matched),
        tuple((str(words), int(n)) for words, n in went_wrong.sort_values(ascending=False).items()),
    )


def learned_from(compared: Compared | None, settings: DefaultedSettings) -> Learned:
    """The spread of every thing recorded, and of a task nobody has recorded."""
    house = house_spread(settings)
    if compared is None:
        return Learned(house, {})
    own = {}
    for what, logs in compared.frame.groupby("what", sort=True)["log"]:
        recorded = Recorded(str(what))
        prior = house_prior(settings, spread_code(recorded))
        own[recorded] = spread_of(of_logs(prior, logs.to_numpy(dtype=float)), len(logs))
    return Learned(house, own)


def house_spread(settings: DefaultedSettings) -> Spread:
    """The spread of a task's hours before any job was recorded."""
    prior = house_prior(settings)
    return spread_of(of_logs(prior, np.empty(0)), 0)


def spread_code(recorded: Recorded) -> str:
    """The setting of the spread before any job was recorded."""
    return "material_spread_pct" if recorded in _MATERIALS else "default_spread_pct"


def _line(row: DoneRow, job: KnownJob | None) -> dict[str, object]:
    kind = row.kind or (job.kind if job else None)
    return {
        "ref": row.ref.casefold(),
        "what": row.what.value,
        "done_on": pd.Timestamp(row.done_on),
        "took": row.took,
        "said": row.allowed if row.allowed is not None else np.nan,
        "known": job.allowed.get(row.what, np.nan) if job else np.nan,
        "who": row.who.strip().casefold(),
        "kind": kind.value if kind else "",
        "wrong": row.wrong.strip().casefold(),
    }


def _one_of(named: "pd.Series[str]") -> str:
    """The one name given, or that there are several."""
    given = {name for name in named if name}
    return SEVERAL if len(given) > 1 else next(iter(given), "")
