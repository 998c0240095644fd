"""One enquiry as the workbook gives it: the roof as measured, findings and extras.

Every measured number is a `Figure` whose origin is its cell. None means a blank cell: unknown,
which is a problem for a price and the cautious control for safety.
"""

from collections.abc import Mapping
from datetime import date

from msgspec import Struct, field

from quotegen.model.choices import (
    OVER_OLD_DECK,
    STRUCTURAL,
    Access,
    Answer,
    Below,
    BuildUp,
    Covering,
    CustomerKind,
    Deck,
    DeckCondition,
    EdgeKind,
    Household,
    IfLonger,
    JoistRun,
    Nation,
    Occupier,
    OpeningKind,
    PriceBasis,
    RoofKind,
    Shape,
    Side,
    Size,
    WallJoint,
)
from quotegen.model.prestart.row import BeforeRow
from quotegen.problems import Place
from quotegen.reference.remarks import Remark
from quotegen.units import Unit
from quotegen.working import Figure


class ShapeNeeds(Struct, frozen=True):
    """The cells a shape needs: required and optional sizes, and its named sides.

    A shape without sides takes its edges from the Outline sheet.
    """

    sizes: tuple[Size, ...]
    optional: tuple[Size, ...]
    sides: tuple[Side, ...]


SHAPE_NEEDS: Mapping[Shape, ShapeNeeds] = {
    Shape.RECTANGLE: ShapeNeeds(
        (Size.WIDTH, Size.PROJECTION), (), (Side.BACK, Side.RIGHT, Side.FRONT, Side.LEFT)
    ),
    Shape.CANTED_BAY: ShapeNeeds(
        (Size.WIDTH, Size.PROJECTION, Size.FRONT_WIDTH),
        (Size.LEFT_SET_BACK,),
        (Side.BACK, Side.RIGHT, Side.FRONT, Side.LEFT),
    ),
    Shape.FIVE_FACET_BAY: ShapeNeeds((), (), ()),
    Shape.BOW: ShapeNeeds((Size.WIDTH, Size.PROJECTION), (), (Side.BACK, Side.FRONT)),
    Shape.L_SHAPE: ShapeNeeds(
        (Size.WIDTH, Size.PROJECTION, Size.NOTCH_WIDTH, Size.NOTCH_DEPTH),
        (),
        (Side.BACK, Side.RIGHT, Side.FRONT, Side.LEFT, Side.NOTCH),
    ),
    Shape.MEASURED: ShapeNeeds((), (), ()),
}


class Customer(Struct, frozen=True):
    """Who asks, who pays, and where the papers are sent; `contact` is whom a letter is written to.

    An empty contact is the customer.
    """

    name: str
    kind: CustomerKind
    bill_address: str
    email: str = ""
    contact: str = ""


class OutlineRow(Struct, frozen=True):
    """One row of the Outline sheet.

    Walk rows (length, turn) go clockwise as seen from above, from the left end of the wall line; a
    right turn at the end of the edge is positive. An offset row gives the corner where its edge
    begins: its distance along the wall line and its distance square out from it.
    """

    place: Place
    kind: EdgeKind | None
    length_mm: Figure | None = None
    turn_deg: Figure | None = None
    along_mm: Figure | None = None
    out_mm: Figure | None = None


class MeasuredRoof(Struct, frozen=True):
    """The roof as measured: shape, sizes, edges and fall.

    The notch of an L-shape is cut from the front corner on the side `notch_at`. `falls_at` and
    `drop_at` are the cells that say how it falls, None outside a workbook.
    """

    kind: RoofKind
    shape: Shape
    sizes: Mapping[Size, Figure]
    edges: Mapping[Side, EdgeKind]
    outline_rows: tuple[OutlineRow, ...] = ()
    notch_at: Side = Side.RIGHT
    falls_to: Side = Side.FRONT
    level_drop_mm: Figure | None = None
    upstand_mm: Figure | None = None
    height_mm: Figure | None = None
    joist_centres_mm: Figure | None = None
    joist_run: JoistRun | None = None
    joist_depth_mm: Figure | None = None
    joist_width_mm: Figure | None = None
    falls_at: Place | None = None
    drop_at: Place | None = None


class Existing(Struct, frozen=True):
    """The existing roof. None is unknown."""

    covering: Covering | None
    layers: Figure | None
    deck: Deck | None
    condition: DeckCondition | None


class Spot(Struct, frozen=True):
    """The centre of an opening, as seen from the garden facing the house.

    `along_mm` is measured from the left-most point of the outline, `out_mm` from its back-most
    line, which is the house wall where there is one. `place` is the cell that gives it.
    """

    place: Place
    along_mm: Figure
    out_mm: Figure


class Opening(Struct, frozen=True):
    """A rooflight, pipe or outlet. A pipe's diameter is its length and its width.

    The length of a rooflight lies along the wall. Without a spot its position is unknown.
    """

    place: Place
    kind: OpeningKind
    count: Figure
    length_mm: Figure | None = None
    width_mm: Figure | None = None
    kerb_mm: Figure | None = None
    spot: Spot | None = None


class Finding(Struct, frozen=True):
    """Something seen on the visit: the consequence of leaving it, the advice, the answer.

    `answer` is None until the customer has answered. `structural` says whether the new roof rests
    on it, None where the row leaves that to what it is priced by. `photo_at` is the cell that names
    the photo, None outside a workbook.
    """

    place: Place
    seen: str
    if_left: str
    advised: str
    basis: PriceBasis | None
    quantity: Figure | None
    fixed_price: Figure | None
    answer: Answer | None
    photo: str = ""
    photo_at: Place | None = None
    structural: bool | None = None

    def is_renewed_in(self, build_up: BuildUp) -> bool:
        """Whether a build-up puts it right anyway: boards, where the old deck comes up."""
        return self.basis is PriceBasis.BOARD and build_up not in OVER_OLD_DECK

    def is_done_in(self, build_up: BuildUp) -> bool:
        """Whether the work is part of a build-up: as ordered, or because the roof rests on it."""
        if self.answer is Answer.DECLINED or self.is_renewed_in(build_up):
            return False
        return self.answer is Answer.DO_IT or rests_on(self.basis, self.structural, build_up)

    @property
    def photo_place(self) -> Place:
        """The cell that names the photo."""
        return self.photo_at or self.place


def rests_on(basis: PriceBasis | None, structural: bool | None, build_up: BuildUp) -> bool:
    """Whether the roof of a build-up rests on a finding, so that it is done or nothing is offered.

    The row decides; if it is blank, the roof rests on joists and boards and on nothing else. A new
    deck never rests on the old boards.

    >>> rests_on(PriceBasis.JOIST, None, BuildUp.NEW_DECK)
    True
    >>> [rests_on(PriceBasis.BOARD, None, one) for one in (BuildUp.CAP_OVER, BuildUp.NEW_DECK)]
    [True, False]
    >>> [rests_on(PriceBasis.FIXED, said, BuildUp.NEW_DECK) for said in (None, True)]
    [False, True]
    """
    if basis is PriceBasis.BOARD and build_up not in OVER_OLD_DECK:
        return False
    return basis in STRUCTURAL if structural is None else structural


class Extra(Struct, frozen=True):
    """Anything else to price: `included` in every option, otherwise offered separately."""

    place: Place
    words: str
    quantity: Figure
    unit: Unit
    price_each: Figure
    included: bool


class SiteFacts(Struct, frozen=True):
    """Yes, no or unknown (None) about the site; unknown is treated as the dangerous answer."""

    heated_below: bool | None = None
    overhead_cables: bool | None = None
    flue_near: bool | None = None
    cars_near: bool | None = None
    asbestos_surveyed: bool | None = None
    room_for_tower: bool | None = None
    nesting_birds: bool | None = None
    lone_work: bool | None = None
    through_roof: bool | None = None


class PayingFacts(Struct, frozen=True):
    """What tax and payment depend on; None is not known, or not paid.

    `paid` is what was paid of the balance, None for all of it. The places are the cells that say
    so, None outside a workbook.
    """

    customer_vat: bool | None = None
    pays_under_cis: bool | None = None
    end_user: bool | None = None
    paid_on: date | None = None
    paid: Figure | None = None
    vat_at: Place | None = None
    cis_at: Place | None = None
    end_user_at: Place | None = None


def is_open(colour: str) -> bool:
    """Whether a colour is still to be chosen.

    >>> [is_open(colour) for colour in ("", "To be agreed", "dark grey")]
    [True, True, False]
    """
    return colour.strip().lower() in ("", "to be agreed")


class PlannedDays(Struct, frozen=True):
    """The days of a build-up on the calendar: on site, and working days from first to last."""

    on_site: int
    stands: int


class Enquiry(Struct, frozen=True):
    """One row of the Enquiries sheet with its rows on the other sheets.

    `access_at` is the cell that says how the crew means to work, `start_at` that of the start,
    `longer_at` the one that says who bears days beyond those priced, `photo_at` the one that names
    the photo of the whole roof; None outside a workbook. `advised` is the build-up that the owner
    advises, None where that is left to the rules, and `advised_because` the owner's reasons.
    `planned` is no cell: the days planned, by build-up, once that one is filled in. `taken` are the
    values put in for blank cells, for the price alone. `nation` is None where neither the row
    nor the postcode says whose rules hold. `dated` is None before a visit.
    """

    ref: str
    place: Place
    dated: date | None
    customer: Customer
    site_address: str
    occupier: Occupier | None
    roof: MeasuredRoof
    existing: Existing
    build_ups: tuple[BuildUp, ...]
    board_mm: Figure
    mat_g_m2: Figure
    mat_layers: Figure
    colour: str
    below: tuple[Below, ...]
    access: Access | None
    ladder_reason: str
    wall_joint: WallJoint | None
    site: SiteFacts
    household: tuple[Household, ...] = ()
    insulation_mm: Figure | None = None
    insulation_layers_mm: tuple[Figure, ...] = ()
    gutter_mm: Figure | None = None
    tiles_mm: Figure | None = None
    year_built: Figure | None = None
    start_on: date | None = None
    deck_c: Figure | None = None
    air_c: Figure | None = None
    humidity_pct: Figure | None = None
    travel_min: Figure | None = None
    customer_notes: str = ""
    private_notes: str = ""
    accepted: BuildUp | None = None
    advised: BuildUp | None = None
    advised_because: str = ""
    photo: str = ""
    said_no: str = ""
    answered_on: date | None = None
    openings: tuple[Opening, ...] = ()
    findings: tuple[Finding, ...] = ()
    extras: tuple[Extra, ...] = ()
    if_longer: IfLonger | None = None
    planned: Mapping[BuildUp, PlannedDays] = field(default_factory=dict)
    longer_at: Place | None = None
    access_at: Place | None = None
    insulation_at: Place | None = None
    start_at: Place | None = None
    photo_at: Place | None = None
    before: tuple[BeforeRow, ...] = ()
    nation: Nation | None = None
    paying: PayingFacts = PayingFacts()
    taken: tuple[Remark, ...] = ()

    @property
    def photo_place(self) -> Place:
        """The cell that names the photo of the whole roof."""
        return self.photo_at or self.place

    @property
    def colour_open(self) -> bool:
        """Whether the customer still has to choose the colour."""
        return is_open(self.colour)
