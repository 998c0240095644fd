"""What has to be settled before a job may begin: each thing, its cost, its wait, and whether done.

This is the one record of it: the quote, the order, the statement and the days all read it here.
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
    """What waits: the order and all that follows it, or the start on site."""

    ORDERING = "ordering"
    START = "start"


class Payer(StrEnum):
    """Who pays: it is in the price, the customer pays somebody else, or nobody pays anything."""

    IN_PRICE = "in-price"
    DIRECT = "direct"
    NOBODY = "nobody"


class BeforeItem(Struct, frozen=True):
    """One thing to be settled first.

    `sure` is False where nobody knows yet whether it is needed; `wait` is how long it usually takes
    [days], None where it takes no time of its own; `cost` is None where nobody knows it. `until` is
    the last day of a period that runs by itself. `clear_on` is the first day on which it forbids
    nothing more, `done_at` the cell that says it is done, None while it is open.
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
    """All that one build-up of a job waits for, as on a day."""

    on: date
    items: tuple[BeforeItem, ...]

    @property
    def open_items(self) -> tuple[BeforeItem, ...]:
        """What is not settled yet."""
        return tuple(item for item in self.items if not item.done)

    @property
    def settled(self) -> bool:
        """Whether nothing is open: only then does an order stand and is a day agreed."""
        return not self.open_items

    @property
    def earliest(self) -> date:
        """The first day that nothing forbids: the latest of what is open, and never before `on`."""
        return max((self.on, *(item.clear_on for item in self.open_items)))


class OfferedStart(Struct, frozen=True):
    """What a quote says of the start.

    `before` has what each build-up offered waits for, in their order; `earliest` the first working
    day on which nothing forbids any of them; `planned` is the first day of work in the plan, None
    where the plan has no dates, and `wanted` whether the row asked for that day.
    """

    before: Mapping[BuildUp, BeforeStart]
    earliest: date
    planned: date | None
    wanted: bool

    @property
    def wait_days(self) -> int:
        """The longest that any option waits from the day of the quote [days]."""
        return max((one.earliest - one.on).days for one in self.before.values())
