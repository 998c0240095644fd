"""Records for tests, built without a workbook: settings, prices and enquiries.

Everything here is invented. Sizes are given in plain mm and become figures with a cell.
"""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from msgspec.structs import replace

from quotegen.model.choices import (
    Access,
    Below,
    BuildUp,
    Covering,
    CustomerKind,
    Deck,
    DeckCondition,
    EdgeKind,
    OpeningKind,
    RoofKind,
    Shape,
    Side,
    Size,
    WallJoint,
)
from quotegen.model.enquiry import (
    SHAPE_NEEDS,
    Customer,
    Enquiry,
    Existing,
    MeasuredRoof,
    Opening,
    SiteFacts,
    Spot,
)
from quotegen.model.settings import (
    AtDeck,
    Curing,
    Mixed,
    PackPrice,
    PriceBook,
    Settings,
    Term,
    TermKind,
)
from quotegen.problems import Place
from quotegen.reference import house_rules
from quotegen.reference.item_kinds import ItemKind
from quotegen.units import Unit, as_decimal
from quotegen.workbook.reading.firm_tables import house_firm_tables
from quotegen.working import Figure, Origin, Scalar, Source

ROOT = Path(__file__).parent.parent
TODAY = date(2026, 11, 25)
BOOK = "jobs.xlsx"

FIRM: dict[str, Scalar] = {
    "firm_name": "Tern & Daughter Roofing",
    "firm_form": "Sole trader: A. Tern",
    "firm_address": "1 Quay Lane, Mizzlehaven ZZ1 1ZZ",
    "firm_phone": "01632 960001",
    "vat_registered": True,
    "labour_cost_per_hour": Decimal(28),
    "pavement_licence": Decimal(120),
    "tip_charge_per_tonne": Decimal(140),
}


def given(name: str, value: Scalar, unit: str, cell: str = "Enquiries!A2") -> Figure:
    """A figure as the reader would make it from a cell."""
    return Figure(name, value, Unit(unit), Origin(Source.CELL, cell))


def settings(**changes: Scalar | None) -> Settings:
    """The house defaults with the invented firm's own values; None removes a value."""
    assert set(changes) <= set(house_rules.settings()), "no such setting"
    figures: dict[str, Figure] = {}
    for code, kind in house_rules.settings().items():
        value: Any = (
            changes.get(code, FIRM.get(code, kind.default))
            if code not in changes
            else (changes[code])
        )
        if value is None:
            continue
        if kind.kind == "money":
            value = as_decimal(value)
        elif kind.kind == "yes/no":
            value = value in (True, "yes")
        elif kind.kind == "number":
            value = float(value)
        place = f"{kind.sheet}, {code}"
        figures[code] = Figure(
            kind.words, value, kind.unit, Origin(Source.SETTING, place, kind.basis)
        )
    terms = tuple(
        Term(TermKind(row["kind"]), row["applies_to"], row["text"]) for row in house_rules.terms()
    )
    return Settings(figures, house_firm_tables(), terms)


def with_doses(firm: Settings, material: Mixed, doses: Mapping[float, float]) -> Settings:
    """The settings with these doses [%] of a material by deck temperature [C] and no others."""
    rows = tuple(
        AtDeck(Place(BOOK, "Catalyst doses", f"C{line}"), deck_c, given("dose", dose, "%"))
        for line, (deck_c, dose) in enumerate(sorted(doses.items()), start=2)
    )
    tables = replace(firm.tables, doses={**firm.tables.doses, material: rows})
    return replace(firm, tables=tables)


def with_curing(firm: Settings, stage: Curing, hours: Mapping[float, float]) -> Settings:
    """The settings with these curing times [h] of a coat by deck temperature [C] and no others."""
    rows = tuple(
        AtDeck(Place(BOOK, "Curing times", f"C{line}"), deck_c, given("hours", takes_h, "h"))
        for line, (deck_c, takes_h) in enumerate(sorted(hours.items()), start=2)
    )
    tables = replace(firm.tables, curing={**firm.tables.curing, stage: rows})
    return replace(firm, tables=tables)


def prices(without: tuple[str, ...] = ("delivery",)) -> PriceBook:
    """One pack of every item at a round invented price, except those left out.

    A delivery is charged only where `without` is given and does not exclude it.
    """
    sizes = {
        "resin": 20.0, "topcoat": 10.0, "catalyst": 500.0, "acetone": 5.0, "clout": 500.0,
        "bandage": 25.0, "sack": 20.0, "mat_450": 30.0,
        "gloves": 10.0, "trim_drip": 3.0, "trim_raised": 3.0, "trim_wall": 3.0, "trim_flat": 3.0,
        "trim_flashing": 3.0, "trim_expansion": 3.0, "skip_hire": 4.6,
    }  # fmt: skip
    boxes = {ItemKind.DECK_SCREW: 200.0, ItemKind.LONG_SCREW: 100.0}
    sizes |= {i.code: boxes[i.kind] for i in house_rules.items().values() if i.kind in boxes}
    return PriceBook(
        {
            item.code: (
                PackPrice(
                    item=item.code,
                    words=item.words,
                    unit=item.unit,
                    pack_size=sizes.get(item.code, 1.0),
                    pack_price=Decimal("240.00" if item.code == "skip_hire" else "20.00"),
                    supplier="Gannet Supplies",
                    dated=date(2026, 11, 1),
                    place=Place("prices.xlsx", "Prices", f"A{row}"),
                ),
            )
            for row, item in enumerate(house_rules.items().values(), start=2)
            if item.code not in without
        }
    )


def roof(
    shape: Shape = Shape.RECTANGLE,
    *,
    sizes: dict[Size, float] | None = None,
    edges: dict[Side, EdgeKind] | None = None,
    **changes: Any,
) -> MeasuredRoof:
    """A roof of a named shape: 3.0 by 2.0 m with a wall at the back unless given otherwise."""
    if sizes is None:
        sizes = {Size.WIDTH: 3000, Size.PROJECTION: 2000}
    if edges is None:
        edges = dict.fromkeys(SHAPE_NEEDS[shape].sides, EdgeKind.RAISED)
        edges |= {Side.BACK: EdgeKind.WALL, Side.FRONT: EdgeKind.GUTTER_DRIP}
    made = MeasuredRoof(
        kind=RoofKind.EXTENSION,
        shape=shape,
        sizes={size: given(str(size), float(value), "mm") for size, value in sizes.items()},
        edges=edges,
        height_mm=given("height to edge", 2600.0, "mm"),
        upstand_mm=given("upstand", 180.0, "mm"),
    )
    return replace(made, **changes)


def canted_bay(
    sizes_mm: tuple[float, float, float] = (2400.0, 1200.0, 600.0), **changes: Any
) -> MeasuredRoof:
    """A bay by wall, front and projection; the worked example unless given otherwise."""
    names = (Size.WIDTH, Size.FRONT_WIDTH, Size.PROJECTION)
    sizes = dict(zip(names, sizes_mm, strict=True))
    edges = {
        Side.BACK: EdgeKind.WALL,
        Side.FRONT: EdgeKind.GUTTER_DRIP,
        Side.LEFT: EdgeKind.GUTTER_DRIP,
        Side.RIGHT: EdgeKind.GUTTER_DRIP,
    }
    changes.setdefault("kind", RoofKind.BAY)
    return roof(Shape.CANTED_BAY, sizes=sizes, edges=edges, **changes)


LOW_BAY_MM = 2400.0


def ladder_enquiry(**changes: Any) -> Enquiry:
    """A bay that a ladder may be worked from: low, shallow, sound, no cables, a reason."""
    low = canted_bay(height_mm=given("height to edge", LOW_BAY_MM, "mm"))
    made = enquiry(
        low,
        access=Access.LADDER,
        ladder_reason="A stair below leaves nowhere to stand a tower.",
        site=SiteFacts(overhead_cables=False, room_for_tower=True, lone_work=False),
        deck_c=given("deck expected", 15.0, "°C"),
    )
    return replace(made, **changes)


def enquiry(measured: MeasuredRoof | None = None, **changes: Any) -> Enquiry:
    """A landlord's felt roof on a sound sheet deck, with everything about the site known."""
    made = Enquiry(
        ref="T-01",
        place=Place(BOOK, "Enquiries", "A2", "Reference"),
        dated=TODAY,
        customer=Customer("Ms R. Petrel", CustomerKind.LANDLORD, "9 Gull Row, Mizzlehaven"),
        site_address="4 Kittiwake Street, Mizzlehaven ZZ1 4AA",
        occupier=None,
        roof=measured or roof(),
        existing=Existing(
            Covering.FELT, given("layers", 2.0, "layers"), Deck.SHEET, DeckCondition.SOUND
        ),
        build_ups=(BuildUp.NEW_DECK,),
        board_mm=given("new deck board", 18.0, "mm"),
        mat_g_m2=given("mat", 450.0, "g/m2"),
        mat_layers=given("layers of mat", 1.0, "layers"),
        colour="dark grey",
        below=(Below.GARDEN,),
        access=None,
        ladder_reason="",
        wall_joint=WallJoint.NEW_FLASHING,
        site=SiteFacts(room_for_tower=True),
        year_built=given("year built", 2004.0, "year"),
    )
    return replace(made, **changes)


def opening(
    kind: OpeningKind,
    *,
    at: tuple[float, float] | None = None,
    size: tuple[float, float] | None = None,
    count: float = 1.0,
    cell: str = "G2",
) -> Opening:
    """An opening of a size along the wall and out from it; `at` is its middle, if known."""
    spot = at and Spot(
        Place(BOOK, "Openings", cell),
        given("along", float(at[0]), "mm"),
        given("out", float(at[1]), "mm"),
    )
    return Opening(
        place=Place(BOOK, "Openings", f"B{cell[1:]}"),
        kind=kind,
        count=given("how many", count, "each"),
        length_mm=given("length", float(size[0]), "mm") if size else None,
        width_mm=given("width", float(size[1]), "mm") if size else None,
        kerb_mm=given("kerb", 150.0, "mm") if kind is OpeningKind.ROOFLIGHT else None,
        spot=spot or None,
    )
