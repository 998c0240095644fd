"""What the done jobs say about the firm's rates, and how safe a price then is."""

from msgspec import Struct

from quotegen.model.own.done import Recorded
from quotegen.reference.remark_keys import Task


class Spread(Struct, frozen=True):
    """What future jobs are likely to take, compared with what is allowed: a lognormal ratio.

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
    """One cause of differences in cost, and its share of the variance [0 to 1].

    The cause is `size`, `job`, `rot`, `weather`, `materials`, or `task:` with the key of a task.
    """

    cause: str
    share: float


class Holding(Struct, frozen=True):
    """How safe the price of one option is [GBP without VAT].

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
