"""What has to be settled before a job can start.

Each thing has its cost, its wait, and whether it is done. This is the only record: the quote, the
order, the statement and the days all read it here.
"""

from collections.abc import Mapping
from datetime import date
from enum import StrEnum

from msgspec import Struct

from quotegen.model.choices import BuildUp
from quotegen.problems import Place
from quotegen.reference.rule_keys import BeforeKey
from quotegen.working import Figure


class Gate(StrEnum):
    """What waits: the order and everything after it, or the start on site."""

    ORDERING = "ordering"
    START = "start"


class Payer(StrEnum):
    """Who pays: it is in the price, the customer pays somebody else, or nobody pays anything."""

    IN_PRICE = "in-price"
    DIRECT = "direct"
    NOBODY = "nobody"


class BeforeItem(Struct, frozen=True):
    """One thing to be settled first.

    `sure` is False if nobody knows yet whether it is needed; `wait` is how long it usually takes
    [days], None if it takes no time; `cost` is None if nobody knows it. `until` is the last day of
    a fixed period. `clear_on` is the first day it no longer holds anything up, `done_at` the cell
    that says it is done, None until it is settled.
    """

    key: BeforeKey
    sure: bool
    gates: Gate
    pays: Payer
    cost: Figure | None
    wait: Figure | None
    expected_on: date | None
    until: date | None
    clear_on: date
    done: bool
    done_at: Place | None


class BeforeStart(Struct, frozen=True):
    """Everything one build-up of a job waits for, as on a day."""

    on: date
    items: tuple[BeforeItem, ...]

    @property
    def open_items(self) -> tuple[BeforeItem, ...]:
        """What is not settled yet."""
        return tuple(item for item in self.items if not item.done)

    @property
    def settled(self) -> bool:
        """Whether everything is settled: only then is an order firm and a day agreed."""
        return not self.open_items

    @property
    def earliest(self) -> date:
        """The first day the job can start: the latest of what is not settled, and never before
        `on`.
        """
        return max((self.on, *(item.clear_on for item in self.open_items)))


class OfferedStart(Struct, frozen=True):
    """What a quote says about the start.

    `before` has what each build-up offered waits for, in order; `agreed` is the first day, None
    until it is agreed.
    """

    before: Mapping[BuildUp, BeforeStart]
    agreed: date | None = None

    @property
    def wait_days(self) -> int:
        """The longest any option has to wait from the day of the quote [days]."""
        return max((one.earliest - one.on).days for one in self.before.values())
