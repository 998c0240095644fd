"""The plan of working days, from the forecast or, without one, from the clock alone."""

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

    `abrade` means that the laminate will be too old for topcoat unless abraded. `deck_c` is the
    coldest and warmest deck expected during the spell, None where unknown.
    """

    phase: Phase
    span: Span
    deck_c: tuple[float, float] | None
    abrade: bool = False


class WorkDay(Struct, frozen=True):
    """One day: its weather, when laying is allowed, the planned work, the last topcoat.

    `number` counts working days from 1; None on a day without work. `last_topcoat_h` is the latest
    time to begin this job's topcoat, None where it may not be begun.
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

    `forecast` is False where no forecast covers them and the weather must be measured. `refused` is
    the part of the work that no day has room for, None where the job fits.
    """

    days: tuple[WorkDay, ...]
    work_h: Span
    forecast: bool
    refused: Phase | None

    @property
    def worked(self) -> tuple[WorkDay, ...]:
        """The days with work on them."""
        return tuple(day for day in self.days if day.spells)


class FirstDay(Struct, frozen=True):
    """The first day of a job; `refused` means that the forecast has no room for it."""

    day: date | None = None
    agreed: bool = False
    refused: bool = False


NO_DAY = FirstDay()
"""The first day while none is known."""
