"""The records expected from the rows of `every_column.py`, written out by hand."""

from datetime import date
from decimal import Decimal

from msgspec.structs import replace

from quotegen.model.choices import (
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
from quotegen.model.enquiry import (
    Customer,
    Enquiry,
    Existing,
    Extra,
    Finding,
    MeasuredRoof,
    Opening,
    OutlineRow,
    PayingFacts,
    SiteFacts,
    Spot,
)
from quotegen.model.own.done import DoneRow, Recorded
from quotegen.model.prestart.row import BeforeRow
from quotegen.model.settings import DefaultedSettings
from quotegen.reference import house_rules
from quotegen.reference.rule_keys import BeforeKey
from quotegen.units import Unit
from quotegen.workbook.reading.reader import WorkbookRead
from quotegen.working import Figure
from tests.workbook.every_column import Cells
from tests.workbook.every_firm import firm


def mm(cells: Cells, sheet: str, heading: str, line: int, value: float) -> Figure:
    return cells.figure(sheet, f"{heading} (mm)", line, value, "mm")


def paying(cells: Cells, line: int, facts: PayingFacts) -> PayingFacts:
    """What was told of tax and payment, with the cells that ask it."""
    return replace(
        facts,
        vat_at=cells.place("Enquiries", "Customer VAT registered?", line),
        cis_at=cells.place("Enquiries", "Pays us under CIS?", line),
        end_user_at=cells.place("Enquiries", "End user in writing?", line),
    )


def canted(cells: Cells) -> Enquiry:
    def length(heading: str, value: float) -> Figure:
        return mm(cells, "Enquiries", heading, 2, value)

    def number(heading: str, value: float, unit: str) -> Figure:
        return cells.figure("Enquiries", heading, 2, value, unit)

    return Enquiry(
        ref="R-01",
        place=cells.place("Enquiries", "Reference", 2),
        dated=date(2026, 11, 25),
        customer=Customer(
            name="Ms R. Petrel",
            kind=CustomerKind.LANDLORD,
            bill_address="9 Gull Row, Mizzlehaven",
            email="petrel@example.com",
            contact="Wren at the desk",
        ),
        site_address="4 Kittiwake Street, Mizzlehaven",
        nation=Nation.WALES,
        occupier=Occupier.TENANT,
        roof=MeasuredRoof(
            kind=RoofKind.DORMER,
            shape=Shape.CANTED_BAY,
            sizes={
                Size.WIDTH: length("Width along wall", 2400.0),
                Size.PROJECTION: length("Projection from wall", 600.0),
                Size.FRONT_WIDTH: length("Front width", 1100.0),
                Size.LEFT_SET_BACK: length("Left set-back", 500.0),
            },
            edges={
                Side.BACK: EdgeKind.WALL,
                Side.RIGHT: EdgeKind.GUTTER_DRIP,
                Side.FRONT: EdgeKind.FREE_DRIP,
                Side.LEFT: EdgeKind.RAISED,
            },
            falls_to=Side.LEFT,
            level_drop_mm=length("Level drop", 35.0),
            upstand_mm=length("Upstand at wall", 180.0),
            height_mm=length("Height to edge", 2650.0),
            joist_centres_mm=length("Joist centres", 450.0),
            joist_depth_mm=length("Joist depth", 175.0),
            joist_width_mm=length("Joist width", 47.0),
            joist_run=JoistRun.ALONG,
            falls_at=cells.place("Enquiries", "Falls to", 2),
            drop_at=cells.place("Enquiries", "Level drop (mm)", 2),
        ),
        existing=Existing(
            covering=Covering.FELT_CHIPPINGS,
            layers=number("Coverings one on another", 2.0, "coverings"),
            deck=Deck.CHIPBOARD,
            condition=DeckCondition.SOFT,
        ),
        build_ups=(BuildUp.NEW_DECK, BuildUp.NEW_DECK_INSULATED),
        board_mm=length("New deck board", 22.0),
        mat_g_m2=number("Glass mat (g/m2)", 600.0, "g/m2"),
        mat_layers=number("Layers of mat", 3.0, "layers"),
        colour="dark grey",
        below=(Below.DRIVE, Below.DOORWAY),
        access=Access.LADDER,
        ladder_reason="Ten minutes of measuring.",
        wall_joint=WallJoint.KEEP_LEAD,
        site=SiteFacts(
            heated_below=True,
            overhead_cables=False,
            flue_near=False,
            cars_near=False,
            asbestos_surveyed=None,
            room_for_tower=True,
            nesting_birds=True,
            lone_work=None,
            through_roof=True,
        ),
        household=(Household.CHILDREN, Household.VULNERABLE),
        insulation_mm=length("Insulation", 120.0),
        gutter_mm=length("Gutter to lift", 2900.0),
        tiles_mm=length("Tiles to lift", 1700.0),
        year_built=number("Year built", 1934.0, "year"),
        start_on=date(2026, 12, 7),
        if_longer=IfLonger.KEEP,
        deck_c=number("Expected deck temperature (°C)", 12.0, "°C"),
        air_c=number("Expected air temperature (°C)", 11.0, "°C"),
        humidity_pct=number("Expected humidity (%)", 70.0, "%"),
        travel_min=number("Travel (minutes each way)", 40.0, "min"),
        customer_notes="We bring our own water.",
        private_notes="The dog bites.",
        accepted=BuildUp.NEW_DECK_INSULATED,
        advised=BuildUp.NEW_DECK,
        advised_because="The joists want looking at.",
        photo="bay-whole.jpg",
        answered_on=date(2026, 11, 30),
        openings=(
            Opening(
                place=cells.place("Openings", "What it is", 2),
                kind=OpeningKind.ROOFLIGHT,
                count=cells.figure("Openings", "How many", 2, 1.0, "each"),
                length_mm=mm(cells, "Openings", "Length or diameter", 2, 910.0),
                width_mm=mm(cells, "Openings", "Width", 2, 610.0),
                kerb_mm=mm(cells, "Openings", "Kerb height", 2, 150.0),
                spot=Spot(
                    place=cells.place("Openings", "Centre from left end (mm)", 2),
                    along_mm=mm(cells, "Openings", "Centre from left end", 2, 1250.0),
                    out_mm=mm(cells, "Openings", "Centre from wall", 2, 310.0),
                ),
            ),
        ),
        findings=(
            Finding(
                place=cells.place("Findings", "What was seen", 2),
                seen="Soft fascia.",
                if_left="The trim comes off.",
                advised="Replace it.",
                basis=PriceBasis.FASCIA,
                quantity=cells.figure("Findings", "Quantity", 2, 1.2, "m"),
                fixed_price=None,
                answer=Answer.PRICE_APART,
                photo="fascia.jpg",
                photo_at=cells.place("Findings", "Photo", 2),
                structural=True,
            ),
        ),
        extras=(
            Extra(
                place=cells.place("Extras", "What it is", 2),
                words="Leaf guard",
                quantity=cells.figure("Extras", "Quantity", 2, 3.5, "m"),
                unit=Unit.M,
                price_each=cells.figure(
                    "Extras", "Price each without VAT (£)", 2, Decimal("6.25"), "GBP"
                ),
                included=True,
            ),
        ),
        longer_at=cells.place("Enquiries", "If it takes longer", 2),
        access_at=cells.place("Enquiries", "Access", 2),
        insulation_at=cells.place("Enquiries", "Insulation (mm)", 2),
        start_at=cells.place("Enquiries", "Start", 2),
        photo_at=cells.place("Enquiries", "Photo of the roof", 2),
        paying=paying(
            cells,
            2,
            PayingFacts(
                customer_vat=True,
                pays_under_cis=True,
                end_user=False,
                paid_on=date(2026, 12, 21),
                paid=cells.figure(
                    "Enquiries", "Paid of the balance (£)", 2, Decimal("812.5"), "GBP"
                ),
            ),
        ),
        before=(
            BeforeRow(
                place=cells.place("Before the start", "Done on", 2),
                key=BeforeKey.LICENCE,
                expected_on=date(2026, 12, 9),
                cost=cells.figure(
                    "Before the start", "What it costs (£)", 2, Decimal("135.5"), "GBP"
                ),
            ),
        ),
    )


def l_shaped(cells: Cells) -> Enquiry:
    def length(heading: str, value: float) -> Figure:
        return mm(cells, "Enquiries", heading, 3, value)

    standing = firm(cells)
    pipe_mm = mm(cells, "Openings", "Length or diameter", 3, 110.0)
    return Enquiry(
        ref="R-02",
        place=cells.place("Enquiries", "Reference", 3),
        dated=date(2026, 11, 24),
        customer=Customer(
            name="Mr F. Fulmar",
            kind=CustomerKind.AGENT,
            bill_address="2 Tern Court, Mizzlehaven",
            email="fulmar@example.com",
            contact="Mr S. Fulmar",
        ),
        site_address="7 Skua Lane, Mizzlehaven",
        nation=Nation.NORTHERN_IRELAND,
        occupier=Occupier.BUSINESS,
        roof=MeasuredRoof(
            kind=RoofKind.GARAGE,
            shape=Shape.L_SHAPE,
            sizes={
                Size.WIDTH: length("Width along wall", 4000.0),
                Size.PROJECTION: length("Projection from wall", 3000.0),
                Size.NOTCH_WIDTH: length("Notch width", 900.0),
                Size.NOTCH_DEPTH: length("Notch depth", 700.0),
            },
            edges={
                Side.BACK: EdgeKind.RAISED,
                Side.RIGHT: EdgeKind.WALL,
                Side.FRONT: EdgeKind.TILES,
                Side.LEFT: EdgeKind.GUTTER_DRIP,
                Side.NOTCH: EdgeKind.FREE_DRIP,
            },
            notch_at=Side.LEFT,
            falls_at=cells.place("Enquiries", "Falls to", 3),
            drop_at=cells.place("Enquiries", "Level drop (mm)", 3),
        ),
        existing=Existing(Covering.LEAD, None, Deck.CONCRETE, DeckCondition.SOUND),
        build_ups=(BuildUp.CAP_OVER,),
        board_mm=standing["new_board_mm"],
        mat_g_m2=standing["mat_g_m2"],
        mat_layers=standing["mat_layers"],
        colour="lead grey",
        below=(),
        access=None,
        ladder_reason="",
        wall_joint=WallJoint.NEW_FLASHING,
        site=SiteFacts(
            heated_below=True,
            overhead_cables=True,
            flue_near=False,
            cars_near=False,
            asbestos_surveyed=False,
            lone_work=True,
            through_roof=True,
        ),
        household=(Household.NONE,),
        accepted=BuildUp.CAP_OVER,
        advised=BuildUp.CAP_OVER,
        if_longer=IfLonger.CHARGE,
        openings=(
            Opening(
                place=cells.place("Openings", "What it is", 3),
                kind=OpeningKind.PIPE,
                count=cells.figure("Openings", "How many", 3, 2.0, "each"),
                length_mm=pipe_mm,
                width_mm=pipe_mm,
            ),
        ),
        findings=(
            Finding(
                place=cells.place("Findings", "What was seen", 3),
                seen="Wasps.",
                if_left="They come back.",
                advised="Ring somebody.",
                basis=PriceBasis.FIXED,
                quantity=None,
                fixed_price=cells.figure(
                    "Findings", "Fixed price without VAT (£)", 3, Decimal("65.5"), "GBP"
                ),
                answer=Answer.DECLINED,
                photo="wasps.png",
                photo_at=cells.place("Findings", "Photo", 3),
                structural=False,
            ),
        ),
        extras=(
            Extra(
                place=cells.place("Extras", "What it is", 3),
                words="Skip",
                quantity=cells.figure("Extras", "Quantity", 3, 1.0, "each"),
                unit=Unit.EACH,
                price_each=cells.figure(
                    "Extras", "Price each without VAT (£)", 3, Decimal(210), "GBP"
                ),
                included=False,
            ),
        ),
        longer_at=cells.place("Enquiries", "If it takes longer", 3),
        access_at=cells.place("Enquiries", "Access", 3),
        insulation_at=cells.place("Enquiries", "Insulation (mm)", 3),
        start_at=cells.place("Enquiries", "Start", 3),
        photo_at=cells.place("Enquiries", "Photo of the roof", 3),
        paying=paying(cells, 3, PayingFacts(customer_vat=True, pays_under_cis=False)),
        before=(
            BeforeRow(
                place=cells.place("Before the start", "Done on", 3),
                key=BeforeKey.ACCEPTANCE,
                done_on=date(2026, 11, 24),
            ),
        ),
    )


def outlined(cells: Cells, line: int, ref: str, shape: Shape, *edges: OutlineRow) -> Enquiry:
    """The two roofs that say no more than they must, and differ in little else."""
    standing = firm(cells)
    return Enquiry(
        ref=ref,
        place=cells.place("Enquiries", "Reference", line),
        dated=date(2026, 11, 23),
        customer=Customer(
            name="Miss G. Gannet",
            kind=CustomerKind.HOME_OWNER,
            bill_address="1 Auk Rise, Mizzlehaven",
            email="",
        ),
        site_address="1 Auk Rise, Mizzlehaven",
        occupier=None,
        roof=MeasuredRoof(
            RoofKind.BAY,
            shape,
            sizes={},
            edges={},
            outline_rows=edges,
            falls_at=cells.place("Enquiries", "Falls to", line),
            drop_at=cells.place("Enquiries", "Level drop (mm)", line),
        ),
        existing=Existing(Covering.NONE, None, None, None),
        build_ups=(BuildUp.NEW_DECK,),
        board_mm=standing["new_board_mm"],
        mat_g_m2=standing["mat_g_m2"],
        mat_layers=standing["mat_layers"],
        colour="white",
        below=(),
        access=None,
        ladder_reason="",
        wall_joint=None,
        site=SiteFacts(
            heated_below=shape is Shape.MEASURED,
            flue_near=True,
            room_for_tower=False,
            lone_work=False,
            through_roof=False,
        ),
        said_no="Dearer than the felt man.",
        longer_at=cells.place("Enquiries", "If it takes longer", line),
        access_at=cells.place("Enquiries", "Access", line),
        insulation_at=cells.place("Enquiries", "Insulation (mm)", line),
        start_at=cells.place("Enquiries", "Start", line),
        photo_at=cells.place("Enquiries", "Photo of the roof", line),
        paying=paying(cells, line, PayingFacts()),
    )


def walked(cells: Cells) -> Enquiry:
    def edge(line: int, kind: EdgeKind, length_mm: float, turn: float) -> OutlineRow:
        return OutlineRow(
            place=cells.place("Outline", "Length of edge (mm)", line),
            kind=kind,
            length_mm=mm(cells, "Outline", "Length of edge", line, length_mm),
            turn_deg=cells.figure("Outline", "Turn at its end (degrees)", line, turn, "degrees"),
        )

    edges = (edge(2, EdgeKind.KERB, 2000.0, 120.0), edge(3, EdgeKind.FREE_DRIP, 800.0, -45.0))
    return outlined(cells, 4, "R-03", Shape.FIVE_FACET_BAY, *edges)


def offset(cells: Cells) -> Enquiry:
    def edge(line: int, kind: EdgeKind, along_mm: float, out_mm: float) -> OutlineRow:
        return OutlineRow(
            place=cells.place("Outline", "Along wall (mm)", line),
            kind=kind,
            along_mm=mm(cells, "Outline", "Along wall", line, along_mm),
            out_mm=mm(cells, "Outline", "Out from wall", line, out_mm),
        )

    edges = (edge(4, EdgeKind.TILES, 0.0, 30.0), edge(5, EdgeKind.RAISED, 3000.0, 900.0))
    return outlined(cells, 5, "R-04", Shape.MEASURED, *edges)


def workbook(cells: Cells) -> WorkbookRead:
    settings = firm(cells)
    asked = {kind.code for kind in house_rules.settings().values() if kind.default is None}
    return WorkbookRead(
        enquiries=(canted(cells), l_shaped(cells), walked(cells), offset(cells)),
        refs=("R-01", "R-02", "R-03", "R-04"),
        settings=settings,
        defaulted=DefaultedSettings(
            {c: figure for c, figure in settings.figures.items() if c not in asked}, settings.tables
        ),
        problems=(),
        left_out=frozenset({"R-02"}),
        done=(
            DoneRow(
                cells.place("Done jobs", "What", 2), "TR-001", date(2026, 6, 12),
                Recorded.LAMINATE, 2.5, 2.0, "Wren", RoofKind.BAY, 4.4, "rain",
            ),
            DoneRow(
                cells.place("Done jobs", "What", 3), "TR-002", date(2026, 7, 3),
                Recorded.RESIN_KG, 31.0, 1.0, "Ada", RoofKind.PORCH, 28.0, "deck drank it",
            ),
        ),
    )  # fmt: skip
