"""The take-off: quantities for each build-up of a roof."""

from enum import StrEnum

from msgspec import Struct

from quotegen.model.access import AccessPlan
from quotegen.model.choices import Along, BuildUp, ComesOff, Waste
from quotegen.model.enquiry import Enquiry
from quotegen.model.roof import BoardLayout, MatLayout, Outline
from quotegen.model.settings import Mixed, PackPrice
from quotegen.reference import house_rules
from quotegen.reference.item_kinds import ItemKind
from quotegen.reference.remark_keys import Task, WasteReason
from quotegen.reference.remarks import Remark
from quotegen.units import Unit
from quotegen.working import Figure


class Stage(StrEnum):
    """The stages of the work, in order, that needs, hours and prices are grouped by."""

    ACCESS = "Access and protection"
    STRIP = "Strip off and take away"
    DECK = "Deck"
    INSULATION = "Insulation"
    EDGES = "Edge trims and flashings"
    LAMINATE = "Fibreglass laminate and topcoat"
    REFIT = "Gutters, tiles and making good"
    FOUND = "Work found and agreed"


class PackCount(Struct, frozen=True):
    """Some packs of one kind."""

    pack: PackPrice
    count: int


class Purchase(Struct, frozen=True):
    """The packs bought for a need, their remainder and their cost.

    `needed` is what they have to cover: the need less what comes off the van.
    """

    packs: tuple[PackCount, ...]
    needed: Figure
    bought: Figure
    spare: Figure
    cost: Figure


class Need(Struct, frozen=True):
    """One item the job takes: net, with waste, from the van, and the packs for the rest.

    `from_stock` is what comes off the van, None where nothing does; `stock_cost` is its cost to the
    job. `purchase` is None when the van has it all, or when no price list has the item, which is a
    separate problem.
    """

    item: str
    words: str
    stage: Stage
    unit: Unit
    net: Figure
    waste_factor: Figure
    gross: Figure
    purchase: Purchase | None
    from_stock: Figure | None = None
    stock_cost: Figure | None = None

    @property
    def kind(self) -> ItemKind:
        """What kind of thing it is."""
        return house_rules.items()[self.item].kind

    @property
    def unpriced(self) -> bool:
        """Whether it must be bought and no price list has it."""
        on_van = self.from_stock.number if self.from_stock else 0.0
        return self.purchase is None and on_van < self.gross.number


class Piece(Struct, frozen=True):
    """A piece of trim to cut and the edge it goes to, or what else it runs along, in words."""

    length_mm: float
    edge: str
    along: Along = Along.EDGE


class CutLength(Struct, frozen=True):
    """One stock length with the pieces cut from it and the remainder."""

    stock_mm: float
    pieces: tuple[Piece, ...]
    left_mm: float


class CutList(Struct, frozen=True):
    """The stock lengths of one trim and how each is cut.

    `proved` means that no other choice of lengths costs less; `kept` holds the offcuts long enough
    to keep [mm].
    """

    item: str
    words: str
    lengths: tuple[CutLength, ...]
    proved: bool
    kept: tuple[float, ...]


class SupplierOrder(Struct, frozen=True):
    """An order from one supplier: packs, their cost, the delivery, and the total.

    `delivery` is None where the price list gives no delivery charge.
    """

    supplier: str
    packs: tuple[PackCount, ...]
    cost: Figure
    delivery: Figure | None
    delivery_price: PackPrice | None
    total: Figure


class Leftover(Struct, frozen=True):
    """A remainder of the order after the job; one that `keeps` goes on the van."""

    item: str
    words: str
    quantity: Figure
    keeps: bool


class Order(Struct, frozen=True):
    """Everything to buy, by supplier, at the least total cost of packs and deliveries.

    `alone` is the cheapest order from a single supplier, None where nobody has everything. `proved`
    means that no other choice of suppliers and packs costs less.
    """

    suppliers: tuple[SupplierOrder, ...]
    deliveries: Figure
    total: Figure
    alone: SupplierOrder | None
    leftovers: tuple[Leftover, ...]
    proved: bool


class Phase(StrEnum):
    """The phase of the work a task belongs to, by the weather it needs."""

    SET_UP = "set up"
    OPEN = "strip, deck and edges"
    WASTE = "carry the waste away"
    LAY = "laminate"
    CLOSE = "close up for the night"
    RETURN = "set up again"
    FLASH = "work on hard laminate"
    SAND = "sand"
    COAT = "topcoat"
    DRESS = "work on hard topcoat"
    AFTER = "gutters, clearing up"
    WAIT = "wait"
    TRAVEL = "travel"


class Labour(Struct, frozen=True):
    """Hours for one task: a quantity of work at a rate, in person-hours. `task` is its words."""

    key: Task
    task: str
    stage: Stage
    hours: Figure
    phase: Phase = Phase.OPEN

    @property
    def by_the_hour(self) -> bool:
        """Whether it is paid by the hour, on top of the days charged: extra travel, work found."""
        return self.phase is Phase.TRAVEL or self.stage is Stage.FOUND


class Programme(Struct, frozen=True):
    """The hours of the job scheduled for the crew.

    `days` are those on which the crew is on site, each counted whole, `priced_days` those of them
    that the customer is charged for; `visit_h` the hours of the clock of each of two visits, and of
    closing up, and `paid_days` what they are paid as, both without what is paid by the hour.
    `stands` are the working days from the first to the last, which hire is paid for; `open_nights`
    end with the laminate not yet hard.
    """

    person_hours: Figure
    crew: Figure
    days: Figure
    visits: Figure
    priced_days: Figure
    visit_h: Figure
    paid_days: Figure
    stands: Figure
    open_nights: Figure


class Leaves(StrEnum):
    """How a stripped material leaves the site."""

    SACKS = "in sacks on the van"
    LOOSE = "loose on the van"
    SKIP = "in a skip"
    SCRAP = "on the van, to be sold as scrap"


class Strip(Struct, frozen=True):
    """A stripped material: mass, loose volume, waste code, and how it leaves."""

    key: ComesOff
    words: str
    mass_kg: Figure
    volume_m3: Figure
    waste: Waste
    waste_code: str
    waste_words: str
    hazardous: bool
    leaves: Leaves


class WastePlan(Struct, frozen=True):
    """How the waste leaves and why: by van or skip, with the cost of each.

    `volume_m3` is what goes to the tip or into the skip, `runs` the number of van loads. A cost is
    None where that way is impossible or nobody prices it. `scrap_kg` and `scrap_value` are for the
    lead, None without lead or without a price for it.
    """

    skip: bool
    reason: WasteReason
    volume_m3: Figure
    runs: Figure
    tip: Figure
    van_cost: Figure | None
    skip_cost: Figure | None
    scrap_kg: Figure | None
    scrap_value: Figure | None


class Lift(Struct, frozen=True):
    """A load lifted on this job, its mass, and how many people lift it.

    `aid` means that it exceeds the guide figure for two people: use a hoist, or lift it in parts.
    """

    kind: str
    words: str
    mass_kg: Figure
    people: Figure
    aid: bool


class Dose(Struct, frozen=True):
    """Catalyst for one mix at one deck temperature; `ml` is None where mixing is not allowed."""

    deck_c: float
    percent: float | None
    ml: float | None
    pot_life_min: float | None


class MixedPart(Struct, frozen=True):
    """A part of the work, and the first and the last mix that it is laid with, from 1."""

    words: str
    first: int
    last: int


class MixSize(Struct, frozen=True):
    """A number of mixes of one size, with the catalyst at each deck temperature of the card.

    `parts` are what they are for, in laying order; a part may begin in one mix and end in another.
    """

    count: int
    litres: Figure
    mass_kg: Figure
    doses: tuple[Dose, ...]
    parts: tuple[MixedPart, ...]


class Mixes(Struct, frozen=True):
    """All mixes of one material in one band of deck temperature, of one size within the limit.

    `hot` is the band from `hot_from_c` upwards, where the limit is smaller. `expected` is the dose
    of a mix at the temperature the row expects, if that lies in this band.
    """

    material: Mixed
    hot: bool
    hot_from_c: Figure
    total_l: Figure
    limit_l: Figure
    size: MixSize
    expected: Dose | None


class ResinPlan(Struct, frozen=True):
    """Resin by part of the roof and all in, and the resulting laminate.

    `parts` are what each surface takes and what stays in the bucket, `mixed_l` their sum, which is
    what is catalysed; `bandage_l` is the part in the bandages; `guide_l` is the all-in guide.
    `ordered_l` is the one the firm orders by, never less than what is mixed. Glass content and film
    are checked, not ordered by.
    """

    parts: tuple[Figure, ...]
    bandage_l: Figure
    mixed_l: Figure
    guide_l: Figure
    ordered_l: Figure
    topcoat_l: Figure
    glass_pct: Figure
    film_mm: Figure


class OptionTakeOff(Struct, frozen=True):
    """The take-off of one build-up.

    `boards` is the uppermost deck as laid, `mat` one layer of mat; `expansion_m` the length of
    joint dividing a roof too large for one piece; `notes` are for the owner.
    """

    build_up: BuildUp
    laminate_area_m2: Figure
    topcoat_area_m2: Figure
    needs: tuple[Need, ...]
    order: Order
    cuts: tuple[CutList, ...]
    labour: tuple[Labour, ...]
    programme: Programme
    strip: tuple[Strip, ...]
    waste: WastePlan
    lifts: tuple[Lift, ...]
    expansion_m: Figure | None
    charges: tuple[tuple[Stage, Figure], ...]
    access: AccessPlan
    mixes: tuple[Mixes, ...]
    resin: ResinPlan
    boards: BoardLayout
    mat: MatLayout
    mat_kg: Figure
    weight_change_pct: Figure | None
    load_kn_m2: Figure | None
    upstand_left_mm: Figure | None
    u_value: Figure | None
    notes: tuple[Remark, ...]


class TakeOff(Struct, frozen=True):
    """The take-off of one enquiry: the outline, and each build-up asked for."""

    enquiry: Enquiry
    outline: Outline
    options: tuple[OptionTakeOff, ...]
