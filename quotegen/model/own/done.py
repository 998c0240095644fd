"""What jobs really took, as the firm wrote it down."""

from datetime import date
from enum import StrEnum

from msgspec import Struct

from quotegen.model.choices import RoofKind
from quotegen.problems import Place
from quotegen.reference.remark_keys import Task


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
    worked those hours. `allowed` is what the quote allowed, in person-hours, kg or days, None if
    the row on Enquiries with this reference gives it. `who` and `wrong` may be empty.
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
