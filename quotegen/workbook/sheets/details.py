"""The sheets beside Enquiries, with any number of rows per roof."""

from quotegen.model.choices import Answer, EdgeKind, OpeningKind, PriceBasis
from quotegen.reference.rule_keys import BeforeKey
from quotegen.units import Unit
from quotegen.workbook.sheets.columns import Group, JobSheet

_JOB = Group("The job")
_WALK = Group("Walk round")
_OFFSETS = Group("Offsets from the wall line")
_EDGE = Group("Edge")
_OPENING = Group("Opening")
_PLACE = Group("Place")
_FINDING = Group("Finding")
_PRICE = Group("Price")
_ANSWER = Group("Answer")
_EXTRA = Group("Extra")
_BEFORE = Group("Before the start")


class OutlineEdges(JobSheet):
    """The edges of roofs that fit no named shape."""

    ref = _JOB.reference("As on Enquiries.")
    length_mm = _WALK.length(
        "Length of edge (mm)", "Length from corner to corner.", (10, 30000), example=2400, width=14
    )
    turn_deg = _WALK.number(
        "Turn at its end (degrees)",
        "How far you turn at the end of the edge: right is positive, left is negative. A square "
        "corner is 90.",
        (-180, 180),
        Unit.DEGREES,
        example=90,
        width=14,
    )
    along_mm = _OFFSETS.length(
        "Along wall (mm)",
        "Where the edge begins, measured along the wall line from its left end.",
        (-30000, 30000),
        width=14,
    )
    out_mm = _OFFSETS.length(
        "Out from wall (mm)",
        "Where the edge begins, measured square out from the wall line.",
        (0, 30000),
        width=14,
    )
    kind = _EDGE.choice(
        "Kind of edge",
        "What happens at this edge. It decides the trim.",
        EdgeKind,
        example="wall upstand",
        width=16,
    )


OUTLINE = OutlineEdges(
    "Outline",
    "One row for each edge, clockwise as seen from above, starting at the left end of the wall. "
    "Give length and turn for every edge of a roof, or along and out for every corner; do not mix"
    " the two.",
)


class Openings(JobSheet):
    """The openings through a roof."""

    ref = _JOB.reference("As on Enquiries.")
    kind = _OPENING.choice(
        "What it is",
        "A rooflight needs length, width and kerb height; a pipe needs its diameter; an outlet "
        "needs no size.",
        OpeningKind,
        required=True,
        example="pipe",
        width=14,
    )
    count = _OPENING.number(
        "How many",
        "How many of this size.",
        (1, 50),
        Unit.EACH,
        whole=True,
        required=True,
        example=1,
        width=10,
    )
    length_mm = _OPENING.length(
        "Length or diameter (mm)",
        "Length of a rooflight along the house wall, or diameter of a pipe.",
        (20, 6000),
        example=110,
        width=14,
    )
    width_mm = _OPENING.length(
        "Width (mm)",
        "Width of a rooflight, square out from the house wall.",
        (20, 6000),
        width=12,
    )
    kerb_mm = _OPENING.length(
        "Kerb height (mm)", "From the roof to the top of the rooflight's kerb.", (0, 1000), width=12
    )
    along_mm = _PLACE.length(
        "Centre from left end (mm)",
        "Facing the house: along the wall from the left-hand end of the roof to the middle of the"
        " opening. On a measured outline, from its left-most point. One row for each opening that"
        " has a place. Blank: place not known.",
        (0, 60000),
        width=14,
    )
    out_mm = _PLACE.length(
        "Centre from wall (mm)",
        "From the house wall square out to the middle of the opening. On a measured outline, or a"
        " roof with no wall behind it: from its back line. Blank: place not known.",
        (0, 60000),
        width=14,
    )


OPENINGS = Openings("Openings", "Rooflights, pipes and outlets, by reference.")


class Findings(JobSheet):
    """The findings of the visit and the customer's answers."""

    ref = _JOB.reference("As on Enquiries.")
    seen = _FINDING.text(
        "What was seen",
        "In a sentence the customer will understand.",
        3000,
        required=True,
        example="The fascia behind the gutter is soft at the left end.",
        width=38,
    )
    if_left = _FINDING.text(
        "What follows if it is left",
        "Say it plainly, without frightening anybody.",
        3000,
        required=True,
        example="The new drip trim would have nothing firm to fix to.",
        width=38,
    )
    advised = _FINDING.text(
        "What is advised",
        "What you would do.",
        3000,
        required=True,
        example="Replace that length of fascia while the gutter is off.",
        width=38,
    )
    basis = _PRICE.choice(
        "Priced by",
        "Blank: advice without a price. Needed once the answer is “do it” or “price it apart”, "
        "and where the roof rests on it.",
        PriceBasis,
        example="fascia, per metre",
        width=18,
    )
    quantity = _PRICE.number(
        "Quantity",
        "Metres, or how many. Not needed for a fixed price.",
        (0.1, 500),
        example=1.2,
        width=10,
    )
    fixed_price = _PRICE.money(
        "Fixed price without VAT (£)",
        "Only for a fixed price: what the customer pays for it.",
        (0, 50000),
        width=13,
    )
    structural = _PRICE.yes_no(
        "Roof rests on it?",
        "Yes: it is in the total of every build-up that rests on it; if the customer declines it,"
        " we do not offer those build-ups. Blank: yes for joists, and for boards where the old "
        "deck stays; no for anything else.",
        width=10,
    )
    answer = _ANSWER.choice(
        "Customer's answer",
        "Blank until the customer has answered.",
        Answer,
        example="price it apart",
        width=15,
    )
    photo = _ANSWER.text("Photo", "Name of a picture file in the workbook's folder.", width=20)


FINDINGS = Findings(
    "Findings",
    "One row for each thing you saw that needs doing, by reference. It stays on record whatever "
    "the answer.",
)


EXTRA_UNITS = (
    *(Unit.EACH, Unit.JOB, Unit.SHEET, Unit.PAIR, Unit.TUBE, Unit.LOADS),
    *(Unit.BAG, Unit.ROLL, Unit.LENGTH, Unit.SET, Unit.VISIT),
    *(Unit.M, Unit.M2, Unit.M3, Unit.KG, Unit.L, Unit.H, Unit.DAY, Unit.WEEK),
)
"""The units an extra can be counted in."""


class Extras(JobSheet):
    """Anything else to price."""

    ref = _JOB.reference("As on Enquiries.")
    words = _EXTRA.text(
        "What it is",
        "As you want it on the quote.",
        1000,
        required=True,
        example="Leaf guard along the gutter",
        width=40,
    )
    quantity = _EXTRA.number(
        "Quantity", "How much or how many.", (0.01, 10000), required=True, example=3, width=10
    )
    unit = _EXTRA.text(
        "Unit", "The unit of the quantity: m, m2, each, h.", required=True, example="m", width=8
    )
    price_each = _EXTRA.money(
        "Price each without VAT (£)",
        "What the customer pays for one unit.",
        (0, 50000),
        required=True,
        example=6.5,
        width=13,
    )
    included = _EXTRA.yes_no(
        "In the price?",
        "Yes: in every option. No: priced separately.",
        required=True,
        example="no",
        width=10,
    )


EXTRAS = Extras(
    "Extras",
    "Anything else to price, by reference: in every option, or priced separately.",
)


class BeforeTheStart(JobSheet):
    """What has to be settled before a roof is started, and how far it has got."""

    ref = _JOB.reference("As on Enquiries.")
    key = _BEFORE.choice(
        "What",
        "What the job is waiting for. If the Enquiries row already says it is needed, leave it "
        "out until you have something to put down. A row for anything else adds it to the list.",
        BeforeKey,
        required=True,
        example="licence",
        width=16,
    )
    done_on = _BEFORE.day(
        "Done on",
        "The day it was settled. For the acceptance, the day the customer agreed; for "
        "cancellation, the day they asked in writing to start before the time is up. Blank: not "
        "settled. Survey and colour are answered on Enquiries only.",
        width=12,
    )
    expected_on = _BEFORE.day(
        "Expected by", "The day it is promised for. Blank: the usual time.", width=12
    )
    cost = _BEFORE.money(
        "What it costs (£)",
        "As quoted by whoever does it. Blank: as on Business.",
        (0, 50000),
        width=12,
    )
    note = _BEFORE.text("Note", "Number, name, who you asked. Not shown to the customer.", width=30)


BEFORE_START = BeforeTheStart(
    "Before the start",
    "One row for each thing to settle before a roof is started, by reference: when it was done, "
    "or when it is expected.",
)
