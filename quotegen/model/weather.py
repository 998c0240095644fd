"""The forecast, and the hours that are fit for laying."""

from datetime import date
from enum import StrEnum

from msgspec import Struct

from quotegen.problems import Place
from quotegen.working import Figure


class Sky(StrEnum):
    """Forecast precipitation."""

    DRY = "dry"
    RAIN = "rain"


class Weather(Struct, frozen=True):
    """One row of the Forecast sheet, for the whole day or from an hour onwards.

    `from_hour` is None for a whole-day figure. Any other None is unknown.
    """

    place: Place
    day: date
    from_hour: int | None
    air_c: Figure | None
    humidity_pct: Figure | None
    deck_c: Figure | None
    sky: Sky | None
    gust_mph: Figure | None = None


class Against(StrEnum):
    """A reason against working in an hour."""

    UNKNOWN = "not forecast"
    RAIN = "rain"
    COLD = "too cold"
    HOT = "too hot"
    HUMID = "too humid"
    DEW = "dew on the deck"
    ICE = "ice"
    WIND = "wind"
    LATE = "too late on a winter's day"
    WHOLE_DAY = "morning and evening not forecast"


class Hour(Struct, frozen=True):
    """One hour of a day: the assumed deck temperature, and the reasons against each kind of work.

    `deck_c` is the coldest deck assumed, None where unknown. `work`, `lay` and `coat` are empty
    where the roof may be worked on, laminated and topcoated.
    """

    deck_c: float | None
    dew_point_c: float | None
    dry: bool
    work: tuple[Against, ...]
    lay: tuple[Against, ...]
    coat: tuple[Against, ...]
    gust_mph: float | None = None

    @property
    def lets_set(self) -> bool:
        """Whether laid work goes on setting: dry, and no dew on it."""
        dewy = self.dew_point_c is not None and (self.deck_c or 0.0) <= self.dew_point_c
        return self.dry and self.deck_c is not None and not dewy
