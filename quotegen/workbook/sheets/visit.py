"""The first columns of the Enquiries sheet: customer, roof, sizes, and what is there now."""

from datetime import date

from quotegen.model.choices import (
    Covering,
    CustomerKind,
    Deck,
    DeckCondition,
    EdgeKind,
    EdgesAtOnce,
    Household,
    JoistRun,
    Occupier,
    RoofKind,
    Shape,
    Side,
)
from quotegen.units import Unit
from quotegen.workbook.sheets.columns import Group, JobSheet

_ROW = Group("The roof")
_WHO = Group("Who")
_WHERE = Group("Where")
_SIZE = Group("Size")
_NOW = Group("What is there")
_WANTED = Group("What is wanted")
_SAFETY = Group("Safety")
_AFTER = Group("After the visit")
GROUPS = (_ROW, _WHO, _WHERE, _SIZE, _NOW, _WANTED, _SAFETY, _AFTER)
"""The groups of the sheet from left to right."""


class Visit(JobSheet):
    """What is known of a roof after the visit."""

    ref = _ROW.reference(
        "Its own name for this roof: letters, figures, hyphens, full stops and underscores. The "
        "papers are filed under it.",
        first=True,
    )
    missing = _ROW.worked_out(
        "What is missing",
        "Worked out by the file as you type: what a first price still needs. Nothing to fill in.",
        width=30,
    )
    dated = _AFTER.day(
        "Date of visit",
        "Day, month, year. Blank: nobody has been there yet.",
        example=date(2026, 11, 25),
        width=12,
    )
    make_documents = _AFTER.yes_no(
        "Make documents?",
        "No: this row is left out when the papers are made. Blank: yes.",
        example="yes",
        width=12,
    )
    customer_name = _WHO.text(
        "Customer",
        "Who is asking, and will pay.",
        required=True,
        first=True,
        example="Ms E. Example",
        width=22,
    )
    customer_kind = _WHO.choice(
        "Kind of customer",
        "Decides the deposit, the days to pay and which notices go with the quote.",
        CustomerKind,
        required=True,
        first=True,
        example="landlord",
        width=13,
    )
    bill_address = _WHO.text(
        "Address for the bill",
        "Blank: for a home-owner it is the site address; others still have to give it.",
        example="9 Sample Row, Mizzlehaven ZZ1 9ZZ",
        width=30,
    )
    email = _WHO.text("E-mail", "Where to send the quote.", example="example@example.com", width=24)
    contact = _WHO.text(
        "Contact",
        "Whom the e-mail is written to, if that is not the customer: a name at the firm, a son or "
        "daughter who sees to it. Blank: the customer.",
        later=True,
        example="Mr S. Example",
        width=18,
    )
    site_address = _WHERE.text(
        "Site address",
        "Where the roof is, with the postcode: the method statement needs it in an emergency.",
        required=True,
        first=True,
        example="4 Specimen Street, Mizzlehaven ZZ1 4ZZ",
        width=30,
    )
    occupier = _WHO.choice(
        "Who lives there",
        "The owner, a tenant, a business or nobody. A tenant must be given notice. Blank: not "
        "known.",
        Occupier,
        example="tenant",
        width=12,
    )
    household = _WHO.choices(
        "Who is in the household",
        "Anyone who needs more care; one or more, separated by semicolons. Blank: not known, "
        "treated as both.",
        Household,
        example="children",
        width=18,
    )
    roof_kind = _SIZE.choice(
        "Kind of roof",
        "Decides the set-up time.",
        RoofKind,
        required=True,
        first=True,
        example="bay",
        width=12,
    )
    shape = _SIZE.choice(
        "Shape",
        "The plan, seen from above. For a five-facet bay or a measured outline, fill in the "
        "Outline sheet.",
        Shape,
        required=True,
        first=True,
        example="canted bay",
        width=15,
    )
    width_mm = _SIZE.length(
        "Width along wall (mm)",
        "For every shape except a five-facet bay or a measured outline. For a bow: straight "
        "across between its two ends.",
        (300, 30000),
        first=True,
        example=2400,
        width=11,
    )
    projection_mm = _SIZE.length(
        "Projection from wall (mm)",
        "Square out from the wall to the front. For a bow: to its furthest point.",
        (100, 30000),
        first=True,
        example=600,
        width=11,
    )
    edges_at_once = _SIZE.choice(
        "Edges in one go",
        "What happens at all edges of a rectangle, canted bay, bow or L-shape. A cell of a single "
        "edge, if filled in, comes before it. Not listed: fill in each edge.",
        EdgesAtOnce,
        later=True,
        first=True,
        example="wall behind, gutter all round",
        width=22,
    )
    front_width_mm = _SIZE.length(
        "Front width (mm)",
        "Canted bay: the front, along the gutter. Blank: from cants at the angle of the Rates "
        "sheet.",
        (100, 30000),
        example=1200,
        width=11,
    )
    left_set_back_mm = _SIZE.length(
        "Left set-back (mm)",
        "Canted bay with unequal sides: how far along the wall from the left end the front "
        "begins. Blank: the sides are equal.",
        (0, 15000),
        width=11,
    )
    notch_width_mm = _SIZE.length(
        "Notch width (mm)",
        "L-shape: the piece missing at a front corner, along the wall.",
        (100, 30000),
        width=11,
    )
    notch_depth_mm = _SIZE.length(
        "Notch depth (mm)",
        "L-shape: the piece missing at a front corner, out from the wall.",
        (100, 30000),
        width=11,
    )
    notch_at = _SIZE.choice(
        "Notch at",
        "L-shape: which front corner is missing, seen from the garden.",
        Side,
        (Side.LEFT, Side.RIGHT),
        width=9,
    )
    edge_back = _SIZE.choice(
        "Back edge",
        "What happens at the edge along the wall. Left and right are as seen from the garden, "
        "looking at the wall.",
        EdgeKind,
        example="wall upstand",
        width=14,
    )
    edge_right = _SIZE.choice(
        "Right edge",
        "The right side, or the right cant of a bay.",
        EdgeKind,
        example="drip to gutter",
        width=14,
    )
    edge_front = _SIZE.choice(
        "Front edge",
        "The front, or the curve of a bow.",
        EdgeKind,
        example="drip to gutter",
        width=14,
    )
    edge_left = _SIZE.choice(
        "Left edge",
        "The left side, or the left cant of a bay.",
        EdgeKind,
        example="drip to gutter",
        width=14,
    )
    edge_notch = _SIZE.choice(
        "Notch edges", "L-shape: both edges of the missing piece.", EdgeKind, width=14
    )
    falls_to = _SIZE.choice(
        "Falls to",
        "Which way the water runs. Blank: to the front.",
        Side,
        (Side.FRONT, Side.BACK, Side.LEFT, Side.RIGHT),
        example="front",
        width=9,
    )
    level_drop_mm = _SIZE.length(
        "Level drop (mm)",
        "How much lower the low edge is than the high one.",
        (0, 1000),
        doubt_below=2,
        example=15,
        width=10,
    )
    upstand_mm = _SIZE.length(
        "Upstand at wall (mm)",
        "From the roof up to the lowest sill, threshold, vent or damp course above it.",
        (0, 2000),
        doubt_below=10,
        example=180,
        width=11,
    )
    covering = _NOW.choice(
        "Existing covering",
        "What is on the roof now.",
        Covering,
        first=True,
        example="felt",
        width=14,
    )
    layers = _NOW.number(
        "Coverings one on another",
        "How many whole coverings are on top of one another: lift a corner. Built-up felt of "
        "three layers counts as one.",
        (1, 5),
        Unit.COVERINGS,
        whole=True,
        example=1,
        width=10,
    )
    deck = _NOW.choice(
        "Deck",
        "What the covering is laid on. Blank: not known. If the covering is “none”, blank means "
        "no deck yet: open joists.",
        Deck,
        first=True,
        example="sheet boards",
        width=14,
    )
    condition = _NOW.choice(
        "Deck condition",
        "Blank: not known, so nobody steps on it and it cannot be capped over.",
        DeckCondition,
        example="sound",
        width=13,
    )
    through_roof = _NOW.yes_no(
        "Anything through the roof?",
        "A rooflight, pipe or outlet. Yes: list each on the Openings sheet. Blank and none "
        "listed: not known, treated as rooflights.",
        example="yes",
        width=10,
    )
    joist_centres_mm = _NOW.length(
        "Joist centres (mm)",
        "From the middle of one joist to the middle of the next.",
        (200, 1200),
        example=400,
        width=10,
    )
    joist_run = _NOW.choice(
        "Joists run", "Which way the joists run.", JoistRun, example="wall to front", width=13
    )
    joist_depth_mm = _NOW.length(
        "Joist depth (mm)",
        "Depth of a joist, if you can see one. Blank: not known.",
        (50, 500),
        example=150,
        width=10,
    )
    joist_width_mm = _NOW.length(
        "Joist width (mm)",
        "Thickness of a joist. Blank: not known.",
        (25, 200),
        example=47,
        width=10,
    )
    year_built = _NOW.number(
        "Year built",
        "Blank: not known, treated as before 2000.",
        (1500, 2099),
        Unit.YEAR,
        whole=True,
        example=1934,
        width=8,
    )
