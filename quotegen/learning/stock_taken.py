"""Everything a firm's done jobs show, for the owner to look at."""

import pandas as pd
from msgspec import Struct

from quotegen.learning.compared import Compared
from quotegen.learning.drift import GroupRatio, Trend
from quotegen.learning.proposals import Effect, LearnedRate, Proposal
from quotegen.model.settings import Settings


class StockTaken(Struct, frozen=True):
    """Everything a firm's done jobs show, and what follows from it.

    `by_job` has a line for each job: ref, apart (the log of how far its tasks were from those of
    all jobs), done_on, who, kind.
    """

    settings: Settings
    compared: Compared
    by_job: pd.DataFrame
    rates: tuple[LearnedRate, ...]
    proposals: tuple[Proposal, ...]
    effects: tuple[Effect, ...]
    trend: Trend | None
    groups: tuple[GroupRatio, ...]
