"""Whether the firm is getting quicker or slower, and who and what its hours depend on."""

from typing import NamedTuple

import numpy as np
import pandas as pd
from scipy import stats

from quotegen.learning.compared import Compared
from quotegen.learning.rates import STATED

DAYS_OF_YEAR = 365.25
FEWEST_FOR_TREND = 5
FEWEST_OF_GROUP = 2


class Trend(NamedTuple):
    """The change in all hours in a year, as a ratio, with its interval, from `jobs` jobs."""

    ratio: float
    low: float
    high: float
    jobs: int


class GroupRatio(NamedTuple):
    """The hours of one person, kind of roof or quarter, over those of all jobs, as a ratio."""

    of: str
    name: str
    ratio: float
    low: float
    high: float
    jobs: int


def by_job(compared: Compared) -> pd.DataFrame:
    """One line for each job: the mean of its logs, each less that of its task, and when and whose.

    Jobs differ in their tasks: without that, a job with a slow task would look slow.
    """
    lines = compared.of_tasks()
    apart = lines["log"] - lines.groupby("what")["log"].transform("mean")
    frame = lines.assign(apart=apart).groupby("ref", sort=True)
    return frame.agg(
        apart=("apart", "mean"),
        done_on=("done_on", "max"),
        who=("who", "first"),
        kind=("kind", "first"),
    ).reset_index()


def trend(jobs: pd.DataFrame) -> Trend | None:
    """The straight line through the jobs by date, by least squares; None for too few of them.

    The interval is that of the slope by Student t with n - 2 degrees of freedom.
    """
    days = (jobs["done_on"] - jobs["done_on"].min()).dt.days.to_numpy(dtype=float)
    if len(days) < FEWEST_FOR_TREND or np.ptp(days) == 0:
        return None
    fitted = stats.linregress(days / DAYS_OF_YEAR, jobs["apart"].to_numpy(dtype=float))
    reach = stats.t.ppf((1 + STATED) / 2, len(days) - 2) * fitted.stderr
    slope = float(fitted.slope)
    low, high = slope - reach, slope + reach
    return Trend(float(np.exp(slope)), float(np.exp(low)), float(np.exp(high)), len(days))


def groups(jobs: pd.DataFrame) -> list[GroupRatio]:
    """The jobs by person, kind of roof and quarter, without groups of a single job.

    A single group has nothing to compare with, and is left out too.

    The interval is that of a mean by Student t, with the spread that all groups of a table share.
    """
    quarter = "Q" + jobs["done_on"].dt.quarter.astype(str)
    tables = (("who", jobs["who"]), ("kind", jobs["kind"]), ("quarter", quarter))
    return [found for of, names in tables for found in _groups(of, names, jobs["apart"])]


def _groups(of: str, names: "pd.Series[str]", apart: "pd.Series[float]") -> list[GroupRatio]:
    named = names != ""
    grouped = apart[named].groupby(names[named], sort=True)
    means, sizes = grouped.mean(), grouped.size()
    freedom = int(sizes.sum() - len(sizes))
    if len(sizes) < 2 or freedom < 1:
        return []
    within = ((apart[named] - grouped.transform("mean")) ** 2).sum() / freedom
    t = stats.t.ppf((1 + STATED) / 2, freedom)
    found = []
    for name, mean in means.items():
        size = int(sizes[str(name)])
        if size >= FEWEST_OF_GROUP:
            reach = float(t * np.sqrt(within / size))
            low, high = (float(np.exp(mean + side * reach)) for side in (-1, 1))
            found.append(GroupRatio(of, str(name), float(np.exp(mean)), low, high, size))
    return found if len(found) > 1 else []
