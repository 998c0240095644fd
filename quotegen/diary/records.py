"""The records of the diary: a job to be laid, a job laid, and the diary itself."""

from collections.abc import Callable, Mapping
from datetime import date

from msgspec import Struct

from quotegen.model.choices import BuildUp, Occupier
from quotegen.model.days import Span, WorkPlan
from quotegen.model.enquiry import Customer, Enquiry
from quotegen.model.settings import Settings
from quotegen.model.takeoff import Phase
from quotegen.model.weather import Against
from quotegen.problems import Place


class FixedJob(Struct, frozen=True):
    """A job whose days are agreed: its reference, the cell of its start, the days it needs."""

    ref: str
    start_at: Place
    days: tuple[date, ...]


class JobToLay(Struct, frozen=True):
    """A job before it is laid.

    `start_on` is the start on its row, None if blank: the agreed day once the customer has
    `accepted`, otherwise a wish. No day before the `earliest` will do. `replan` plans its days
    again from a day on.
    """

    ref: str
    dated: date
    accepted: bool
    start_on: date | None
    earliest: date
    replan: Callable[[date], WorkPlan]


class DiaryDay(Struct, frozen=True):
    """One day of a job: its crew, counted from 1, its parts of the work and their hours.

    `crew` is None if agreed jobs need more crews than there are. Without `phases` the crew does
    nothing there that day but cannot leave it, because the roof is open. `open_tonight` says that
    the laminate is not down when the day ends.
    """

    day: date
    crew: int | None
    phases: tuple[Phase, ...]
    hours: Span | None
    open_tonight: bool


class LaidJob(Struct, frozen=True):
    """A job with its days; `fixed` means they are agreed, `forecast` that a forecast covers them.

    A job that is not fixed may still be moved.
    """

    ref: str
    accepted: bool
    fixed: bool
    forecast: bool
    days: tuple[DiaryDay, ...]

    @property
    def worked(self) -> tuple[DiaryDay, ...]:
        """The days with work on them."""
        return tuple(day for day in self.days if day.phases)


class Diary(Struct, frozen=True):
    """All jobs laid from a day on, in order of their first days.

    `past` are agreed jobs whose days are over; `unplaced` are jobs with no room found. `no_laying`
    gives the reasons for each day of the forecast when nothing can be laid, and `days_off` the
    names of the days when nobody works.
    """

    on: date
    crews: int
    laid: tuple[LaidJob, ...]
    past: tuple[str, ...]
    unplaced: tuple[str, ...]
    no_laying: Mapping[date, tuple[Against, ...]]
    days_off: Mapping[date, str]


class Site(Struct, frozen=True):
    """What the diary says about a job, apart from its days.

    `hires` are the things hired, `suppliers` those who deliver, both in words.
    """

    customer: Customer
    address: str
    occupier: Occupier | None
    build_up: BuildUp
    people: float
    hires: tuple[str, ...]
    suppliers: tuple[str, ...]


class DiarySubject(Struct, frozen=True):
    """The inputs of the papers of the diary, filed under `ref`; `sites` are by reference.

    `first` is the first enquiry laid: a fault in the firm's own figures is placed in its workbook.
    """

    ref: str
    diary: Diary
    sites: Mapping[str, Site]
    settings: Settings
    first: Enquiry
