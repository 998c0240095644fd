"""The work laid out into days, by the forecast or, without one, by the clock alone."""

from datetime import date

from msgspec import Struct

from quotegen.model.takeoff import Phase
from quotegen.model.weather import Against, Hour


class Span(Struct, frozen=True):
    """A stretch of one day, from and to [hours since midnight]."""

    from_h: float
    to_h: float


class Spell(Struct, frozen=True):
    """One part of the work on one day.

    `abrade` says that the laminate will be too old for topcoat unless it is abraded. `deck_c` is
    the coldest and the warmest deck to expect meanwhile, None where it is not known.
    """

    phase: Phase
    span: Span
    deck_c: tuple[float, float] | None
    abrade: bool = False


class WorkDay(Struct, frozen=True):
    """One day: its weather, when laying is allowed, what is planned, the last topcoat.

    `number` counts the days of the work from 1; None for a day on which nothing is done.
    `last_topcoat_h` is the latest the topcoat of this job may be begun, None where it may not be.
    """

    day: date | None
    number: int | None
    hours: tuple[Hour, ...]
    lay: tuple[Span, ...]
    coat: tuple[Span, ...]
    against: tuple[Against, ...]
    last_topcoat_h: float | None
    spells: tuple[Spell, ...]


class WorkPlan(Struct, frozen=True):
    """The days of a job.

    `forecast` is False where no forecast covers them and the weather is to be measured. `refused`
    is the part of the work for which no day has room, None where the job fits.
    """

    days: tuple[WorkDay, ...]
    work_h: Span
    forecast: bool
    refused: Phase | None

    @property
    def worked(self) -> tuple[WorkDay, ...]:
        """The days on which something is done."""
        return tuple(day for day in self.days if day.spells)


class FirstDay(Struct, frozen=True):
    """The first day of a job; `refused` says that the forecast has no room for it."""

    day: date | None = None
    agreed: bool = False
    refused: bool = False


NO_DAY = FirstDay()
"""While nobody knows a day."""
