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


class Light(Struct, frozen=True):
    """The light of a day by the clock [hours since midnight]: first and last light, and the sun.

    Times of the morning are put up, those of the evening down, to the quarter-hour.
    """

    dawn_h: float
    sunrise_h: float
    sunset_h: float
    dusk_h: float


class TestMix(Struct, frozen=True):
    """A small mix made before the first of a coat: when, and by when it is hard [h of the day]."""

    coat: Phase
    made_h: float
    hard_h: float


class WorkDay(Struct, frozen=True):
    """One day: its weather, when laying is allowed, the planned work, the last topcoat.

    `number` counts working days from 1; None on a day without work. `last_topcoat_h` is the latest
    time to begin this job's topcoat, None where it may not be begun. `rest` is the break, None
    where the work is done before it. `gust_mph` is the strongest forecast while there is work.
    """

    day: date | None
    number: int | None
    hours: tuple[Hour, ...]
    lay: tuple[Span, ...]
    coat: tuple[Span, ...]
    against: tuple[Against, ...]
    last_topcoat_h: float | None
    spells: tuple[Spell, ...]
    rest: Span | None = None
    light: Light | None = None
    tests: tuple[TestMix, ...] = ()
    gust_mph: float | None = None


class WorkPlan(Struct, frozen=True):
    """The days of a job.

    `forecast` is False where no forecast covers them and the weather must be measured. `refused` is
    the part of the work that no day has room for, None where the job fits. `stands` are the working
    days from the first with work to the last, for which what is hired stands.
    """

    days: tuple[WorkDay, ...]
    work_h: Span
    forecast: bool
    refused: Phase | None
    stands: int = 0

    @property
    def worked(self) -> tuple[WorkDay, ...]:
        """The days with work on them."""
        return tuple(day for day in self.days if day.spells)

    @property
    def open_nights(self) -> int:
        """The evenings the roof is closed up because its laminate is not laid or not yet hard."""
        return sum(spell.phase is Phase.CLOSE for day in self.days for spell in day.spells)


class FirstDay(Struct, frozen=True):
    """The first day of a job; `refused` means that the forecast has no room for it."""

    day: date | None = None
    agreed: bool = False
    refused: bool = False


NO_DAY = FirstDay()
"""The first day while none is known."""
