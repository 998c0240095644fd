"""How much of everything a roof takes, for each build-up."""

from dataclasses import dataclass
from enum import StrEnum

from quotegen.model.boards import BoardLayout
from quotegen.model.enquiry import Access, BuildUp, Enquiry
from quotegen.model.mat import MatLayout
from quotegen.model.roof import Outline
from quotegen.model.settings import PackPrice
from quotegen.working import Figure


class Stage(StrEnum):
    """The parts of the work, in order, by which needs, hours and prices are grouped."""

    ACCESS = "Access and protection"
    STRIP = "Strip off and take away"
    DECK = "Deck"
    INSULATION = "Insulation"
    EDGES = "Edge trims and flashings"
    LAMINATE = "Fibreglass laminate and topcoat"
    REFIT = "Gutters, tiles and making good"
    FOUND = "Work found and agreed"


@dataclass(frozen=True, slots=True)
class PackCount:
    """So many packs of one kind."""

    pack: PackPrice
    count: int


@dataclass(frozen=True, slots=True)
class Purchase:
    """The packs that cover a need at the least cost, what is left over, and what they cost."""

    packs: tuple[PackCount, ...]
    bought: Figure
    spare: Figure
    cost: Figure


@dataclass(frozen=True, slots=True)
class Need:
    """One thing the job takes: net, with its waste, and the packs that cover it.

    `purchase` is None when no price list has the item; that is a problem of its own.
    """

    item: str
    words: str
    stage: Stage
    unit: str
    net: Figure
    waste_factor: Figure
    gross: Figure
    purchase: Purchase | None


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of trim to cut and the edge it goes to."""

    length_mm: float
    edge: str


@dataclass(frozen=True, slots=True)
class CutLength:
    """One stock length with the pieces cut from it and what is left."""

    stock_mm: float
    pieces: tuple[Piece, ...]
    left_mm: float


@dataclass(frozen=True, slots=True)
class CutList:
    """The stock lengths of one trim and how each is cut.

    `proved` says that no other choice of lengths costs less; `kept` are the offcuts long enough
    to be worth keeping [mm].
    """

    item: str
    words: str
    lengths: tuple[CutLength, ...]
    proved: bool
    kept: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Labour:
    """Hours for one task: so much work at a rate, in person-hours."""

    task: str
    stage: Stage
    hours: Figure


@dataclass(frozen=True, slots=True)
class Programme:
    """The hours of the job laid out for the crew."""

    person_hours: Figure
    crew: Figure
    days: Figure
    visits: Figure


@dataclass(frozen=True, slots=True)
class Strip:
    """What comes off: material, mass, and the waste code it leaves under."""

    words: str
    mass_kg: Figure
    waste_code: str
    waste_words: str
    hazardous: bool


@dataclass(frozen=True, slots=True)
class AccessPlan:
    """How the crew works at the edge, and the reasons in the order of control.

    `platform_m` is the length of edge to be protected, by so many `towers` where it is towers.
    `asked` is what the row asked for; None was blank, and the more cautious choice was made.
    """

    chosen: Access
    asked: Access | None
    reasons: tuple[str, ...]
    platform_m: Figure
    towers: Figure
    hire_weeks: Figure


@dataclass(frozen=True, slots=True)
class Dose:
    """Catalyst for one mix at one deck temperature; `ml` is None where mixing is not allowed."""

    deck_c: float
    percent: float | None
    ml: float | None
    pot_life_min: float | None


@dataclass(frozen=True, slots=True)
class MixSize:
    """So many mixes of one size, with the catalyst at each deck temperature of the card."""

    count: int
    litres: Figure
    mass_kg: Figure
    doses: tuple[Dose, ...]


@dataclass(frozen=True, slots=True)
class Mixes:
    """All mixes of one material in one band of deck temperature: none above the batch limit.

    `hot` is the band from `hot_from_c` upwards, where the limit is smaller. `expected` is the
    dose of the first mix at the temperature the row expects, where that lies in this band.
    """

    material: str
    hot: bool
    hot_from_c: Figure
    total_l: Figure
    limit_l: Figure
    sizes: tuple[MixSize, ...]
    expected: Dose | None


@dataclass(frozen=True, slots=True)
class OptionTakeOff:
    """The take-off of one build-up.

    `boards` is the uppermost deck as laid, `mat` one layer of mat; `notes` are words for the
    owner.
    """

    build_up: BuildUp
    laminate_area_m2: Figure
    topcoat_area_m2: Figure
    needs: tuple[Need, ...]
    cuts: tuple[CutList, ...]
    labour: tuple[Labour, ...]
    programme: Programme
    strip: tuple[Strip, ...]
    charges: tuple[tuple[Stage, Figure], ...]
    access: AccessPlan
    mixes: tuple[Mixes, ...]
    boards: BoardLayout
    mat: MatLayout
    weight_change_pct: Figure | None
    u_value: Figure | None
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TakeOff:
    """The take-off of one enquiry: the outline and each build-up asked for."""

    enquiry: Enquiry
    outline: Outline
    options: tuple[OptionTakeOff, ...]
