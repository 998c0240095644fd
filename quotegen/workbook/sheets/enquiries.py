"""The Enquiries sheet: one row is one roof."""

from datetime import date
from functools import cached_property

from quotegen.model.choices import Access, Below, BuildUp, IfLonger, Nation, WallJoint
from quotegen.reference.item_kinds import ItemKind
from quotegen.units import Unit
from quotegen.workbook.sheets.columns import AnyColumn
from quotegen.workbook.sheets.visit import GROUPS, Visit

_GROUPS = {group.name: group for group in GROUPS}
_SIZE, _NOW, _WANTED = _GROUPS["Size"], _GROUPS["What is there"], _GROUPS["What is wanted"]
_SAFETY, _AFTER, _WHERE = _GROUPS["Safety"], _GROUPS["After the visit"], _GROUPS["Where"]


class Enquiries(Visit):
    """The cells of a roof, in the order in which they are asked for."""

    build_ups = _WANTED.choices(
        "Build-ups to price",
        "One or more, separated by semicolons. Blank: a new deck. Cap over keeps the old deck, "
        "which has to be sound; for a new deck the old one always comes up.",
        BuildUp,
        example="cap over; new deck",
        width=24,
    )
    wall_joint = _WANTED.choice(
        "Wall joint",
        "How the new roof meets the wall. Blank: not known; priced as a new flashing.",
        WallJoint,
        example="new flashing",
        width=14,
    )
    board_mm = _WANTED.item_size(
        "New deck board (mm)", "Blank: as on the Rates sheet.", ItemKind.DECK_BOARD, width=11
    )
    insulation_mm = _WANTED.length(
        "Insulation (mm)",
        "Needed where a build-up with insulation is priced. Any thickness: if no price list has "
        "it, the cheapest sheet or two layers no thinner are laid.",
        (20, 300),
        width=10,
    )
    mat_g_m2 = _WANTED.item_size(
        "Glass mat (g/m2)",
        "Blank: as on the Rates sheet.",
        ItemKind.MAT,
        example=450,
        width=10,
    )
    mat_layers = _WANTED.number(
        "Layers of mat",
        "Blank: as on the Rates sheet.",
        (1, 3),
        Unit.LAYERS,
        whole=True,
        example=1,
        width=9,
    )
    colour = _WANTED.text(
        "Colour",
        "Colour of the topcoat. Blank: to be agreed.",
        example="dark grey",
        width=13,
    )
    gutter_mm = _NOW.length(
        "Gutter to lift (mm)",
        "Length of gutter to take off and put back. Blank: none, but not known where an edge "
        "drips to a gutter.",
        (0, 60000),
        example=2900,
        width=10,
    )
    tiles_mm = _NOW.length(
        "Tiles to lift (mm)",
        "Length of edge where tiles or slates come off and go back. Blank: none.",
        (0, 60000),
        width=10,
    )
    accepted = _AFTER.choice(
        "Accepted build-up",
        "Fill in once the customer has chosen. One of those priced.",
        BuildUp,
        width=16,
    )
    nation = _WHERE.choice(
        "Nation",
        "Whose building and waste rules hold. Blank: as the postcode says; near a border it does "
        "not, and all are given.",
        Nation,
        later=True,
        example="England",
        width=12,
    )
    advised = _AFTER.choice(
        "We advise",
        "The build-up you advise, one of those priced. Blank: chosen by the rules in the guide.",
        BuildUp,
        later=True,
        width=16,
    )
    advised_because = _AFTER.text(
        "Why we advise it",
        "A sentence or two in your words, for page 1 of the quote. Blank: as the rules say.",
        3000,
        later=True,
        width=34,
    )
    said_no = _AFTER.text(
        "Said no because",
        "Once the customer has turned it down: the reason given, in a few words. The register "
        "counts what is lost, and why.",
        later=True,
        width=20,
    )
    answered_on = _AFTER.day(
        "Answered on",
        "The day of the customer's yes or no. Blank: not known.",
        later=True,
        width=12,
    )
    pays_under_cis = _AFTER.yes_no(
        "Pays us under CIS?",
        "Will the customer report what they pay us under the Construction Industry Scheme? Ask in "
        "writing; not asked of a home-owner. Blank: not known, so there is no invoice yet.",
        later=True,
        width=11,
    )
    customer_vat = _AFTER.yes_no(
        "Customer VAT registered?",
        "For a customer who pays us under CIS; ask in writing. Blank: not known.",
        later=True,
        width=11,
    )
    end_user = _AFTER.yes_no(
        "End user in writing?",
        "For a customer registered for both. Yes: they wrote that they are the end user or an "
        "intermediary supplier, and we charge VAT. No: the reverse charge applies.",
        later=True,
        width=11,
    )
    paid_on = _AFTER.day(
        "Balance paid on",
        "The day the balance, or the whole price without a deposit, reached us. The deposit goes "
        "on Before the start. Blank: not paid.",
        later=True,
        width=12,
    )
    paid = _AFTER.money(
        "Paid of the balance (£)",
        "Only if less, or more, than was asked. Blank: all of it.",
        (0, 500000),
        later=True,
        width=12,
    )
    height_mm = _SIZE.length(
        "Height to edge (mm)",
        "From the ground to the edge of the roof. Blank: not known, and priced with care.",
        (300, 20000),
        first=True,
        example=2600,
        width=11,
    )
    access = _SAFETY.choice(
        "Access",
        "How you plan to work at the edge. Blank: we price the cheapest way that is safe enough.",
        Access,
        example="tower",
        width=14,
    )
    ladder_reason = _SAFETY.text(
        "Reason if a ladder",
        "Why you cannot use anything safer. It goes on the method statement.",
        3000,
        width=24,
    )
    below = _SAFETY.choices(
        "Underneath",
        "What is below or beside the edges you work at; one or more, separated by semicolons. "
        "Blank: not known.",
        Below,
        example="garden; doorway",
        width=18,
    )
    room_for_tower = _SAFETY.yes_no(
        "Room for a tower?",
        "Firm, level ground wide enough. Blank: not known.",
        example="yes",
        width=9,
    )
    heated_below = _NOW.yes_no(
        "Heated room below?",
        "Is the room under the roof heated? Blank: not known.",
        example="yes",
        width=9,
    )
    overhead_cables = _SAFETY.yes_no(
        "Overhead cables?",
        "Any cable over or beside the roof or the way up to it. Blank: not known, treated as yes.",
        example="no",
        width=10,
    )
    flue_near = _SAFETY.yes_no(
        "Flue near?",
        "A boiler or stove outlet near the roof. Blank: not known, treated as yes.",
        example="no",
        width=9,
    )
    cars_near = _SAFETY.yes_no(
        "Cars near?",
        "Cars within reach of drips and dust. Blank: not known, treated as yes.",
        example="yes",
        width=9,
    )
    asbestos_surveyed = _SAFETY.yes_no(
        "Asbestos survey done?",
        "Has somebody competent surveyed it and reported in writing? Blank: treated as no.",
        width=10,
    )
    nesting_birds = _SAFETY.yes_no(
        "Nesting birds?",
        "Any sign of a nest in use. Blank: not known, treated as yes.",
        example="no",
        width=9,
    )
    lone_work = _SAFETY.yes_no(
        "Working alone?",
        "Will anybody be on this job alone? Blank: not known, treated as yes.",
        example="no",
        width=9,
    )
    start_on = _AFTER.day(
        "Start",
        "The first day the job can start; once accepted, the day agreed. Blank: as soon as the "
        "forecast allows, and the days stay provisional.",
        example=date(2026, 12, 7),
        width=12,
    )
    if_longer = _AFTER.choice(
        "If it takes longer",
        "Who pays if forecast or daylight make the job longer than the days priced. Keep the "
        "price: labour, travel and hire stay as priced; gloves and filters still count every day."
        " Blank: no papers until you have said.",
        IfLonger,
        example="keep the price",
        width=15,
    )
    deck_c = _AFTER.number(
        "Expected deck temperature (°C)",
        "Of the board itself, on the day. It decides the catalyst.",
        (-20, 80),
        Unit.CELSIUS,
        example=12,
        width=12,
    )
    air_c = _AFTER.number(
        "Expected air temperature (°C)",
        "With the humidity, it gives the dew point.",
        (-20, 45),
        Unit.CELSIUS,
        example=11,
        width=12,
    )
    humidity_pct = _AFTER.number(
        "Expected humidity (%)",
        "Relative humidity of the air on the day.",
        (1, 100),
        Unit.PERCENT,
        example=70,
        width=10,
    )
    travel_min = _WHERE.number(
        "Travel (minutes each way)",
        "From the yard to the job. Blank: as on the Business sheet.",
        (0, 300),
        Unit.MIN,
        example=35,
        width=10,
    )
    customer_notes = _AFTER.text("Notes for the customer", "Printed on the quote.", 3000, width=34)
    photo = _AFTER.text(
        "Photo of the roof",
        "Name of a picture file beside the workbook that shows the whole roof; printed on page 1 "
        "of the quote.",
        later=True,
        width=20,
    )
    private_notes = _AFTER.text("Private notes", "Never printed.", 3000, width=34)

    @property
    def heading_row(self) -> int:
        """The second: the heads of the groups stand above."""
        return 2

    @cached_property
    def columns(self) -> tuple[AnyColumn, ...]:
        """The columns from left to right: by group, and in each those of a first price first."""
        names = [group.name for group in GROUPS]
        return tuple(
            sorted(super().columns, key=lambda one: (names.index(one.group), not one.first))
        )


ENQUIRIES = Enquiries(
    "Enquiries",
    "One row for each roof. Fill it in after the visit; leave blank what you do not know.",
)
