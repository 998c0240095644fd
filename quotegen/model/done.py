"""What jobs really took, as the firm wrote it down, and what that says of its rates."""

from datetime import date
from enum import StrEnum

from msgspec import Struct

from quotegen.model.choices import RoofKind, Task
from quotegen.problems import Place


class Recorded(StrEnum):
    """What one row of Done jobs counts: a task, a material or the days. A task is named as `Task`.

    Waiting, travel and work found on opening are not rates, and are left out.
    """

    SET_UP = "set up"
    TOWER = "tower"
    COME_BACK = "come back"
    STRIP_COVERING = "strip covering"
    STRIP_DECK = "strip deck"
    CARRY_AWAY = "carry away"
    TIP_RUNS = "tip runs"
    JOIST_CHECK = "joist check"
    NOGGINS = "noggins"
    CAP = "cap over"
    DECK = "deck"
    DECK_OVER_INSULATION = "deck over insulation"
    INSULATION = "insulation"
    EDGE_TIMBER = "edge timber"
    TRIM = "trims"
    CORNERS = "corners"
    MITRES = "mitres"
    MADE_UP = "corners made up"
    BANDAGE = "bandage"
    FLASHING = "flashing"
    LEAD = "lead"
    KERBS = "kerbs"
    PIPES = "pipes"
    OUTLETS = "outlets"
    EXPANSION = "expansion joint"
    LAMINATE = "laminate"
    SAND = "sand"
    TOPCOAT = "topcoat"
    GUTTER = "gutter"
    TILES = "tiles"
    RESIN_KG = "resin, kg"
    TOPCOAT_KG = "topcoat, kg"
    DAYS = "days on site"

    @property
    def task(self) -> Task | None:
        """The task whose hours it counts; None for a material or the days."""
        return Task.__members__.get(self.name)


class DoneRow(Struct, frozen=True):
    """One row of Done jobs.

    `amount` is hours from start to end for a task, kg for a material, days for the days; `people`
    worked those hours. `allowed` is what the quote allowed, in person-hours, kg or days, None where
    the row of Enquiries with this reference tells it. `who` and `wrong` may be empty.
    """

    place: Place
    ref: str
    done_on: date
    what: Recorded
    amount: float
    people: float
    who: str
    kind: RoofKind | None
    allowed: float | None
    wrong: str

    @property
    def took(self) -> float:
        """What it took: person-hours for a task, else kg or days."""
        return self.amount * self.people if self.what.task else self.amount


class Spread(Struct, frozen=True):
    """What the jobs to come are likely to take, over what is allowed: a lognormal ratio.

    The natural log of the ratio has this mean and standard deviation; `jobs` are those behind it.
    """

    mean_log: float
    sd_log: float
    jobs: int


class Learned(Struct, frozen=True):
    """The spread of what has been recorded, by task or material; `house` for all else."""

    house: Spread
    own: dict[Recorded, Spread]

    def of_task(self, task: Task) -> Spread:
        """The spread of a task's hours."""
        recorded = Recorded.__members__.get(task.name)
        return self.own.get(recorded, self.house) if recorded else self.house


class Driver(Struct, frozen=True):
    """One cause of what a cost may differ by: its words, and its share of the variance [0 to 1]."""

    words: str
    share: float


class Holding(Struct, frozen=True):
    """How far the price of one option holds [GBP without VAT].

    `likely` is the middle of what the job may cost with its overheads, `nine_in_ten` what it stays
    within nine times in ten; `loss_pct` the chance that cost and overheads exceed the price,
    `below_cost_pct` that the cost alone does. `price` is what keeps a loss to one time in ten.
    """

    likely: float
    nine_in_ten: float
    loss_pct: float
    below_cost_pct: float
    price: float
    drivers: tuple[Driver, ...]
