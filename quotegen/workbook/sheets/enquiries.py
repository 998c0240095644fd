"""The Enquiries sheet: one row is one roof."""

from datetime import date

from quotegen.model.choices import Access, Below, BuildUp, IfLonger
from quotegen.reference.item_kinds import ItemKind
from quotegen.units import Unit
from quotegen.workbook.sheets.columns import Group
from quotegen.workbook.sheets.visit import Visit

_PRICED = Group("What to price")
_SITE = Group("Access and site")
_NOTES = Group("Notes")


class Enquiries(Visit):
    """The visit, then what is to be priced, then the site."""

    build_ups = _PRICED.choices(
        "Build-ups to price",
        "One or more, separated by semicolons. Cap over keeps the old deck, which has to be "
        "sound; for a new deck the old one always comes up.",
        BuildUp,
        required=True,
        example="cap over; new deck",
        width=24,
    )
    board_mm = _PRICED.item_size(
        "New deck board (mm)", "Blank: as on the Rates sheet.", ItemKind.DECK_BOARD, width=11
    )
    insulation_mm = _PRICED.length(
        "Insulation (mm)",
        "Needed where a build-up with insulation is priced. Any thickness: if no price list has "
        "it, the cheapest sheet or two layers no thinner are laid.",
        (20, 300),
        width=10,
    )
    mat_g_m2 = _PRICED.item_size(
        "Glass mat (g/m2)",
        "Blank: as on the Rates sheet.",
        ItemKind.MAT,
        example=450,
        width=10,
    )
    mat_layers = _PRICED.number(
        "Layers of mat",
        "Blank: as on the Rates sheet.",
        (1, 3),
        Unit.LAYERS,
        whole=True,
        example=1,
        width=9,
    )
    colour = _PRICED.text(
        "Colour",
        "Colour of the topcoat; “to be agreed” will do.",
        required=True,
        example="dark grey",
        width=13,
    )
    gutter_mm = _PRICED.length(
        "Gutter to lift (mm)",
        "Length of gutter to take off and put back. Blank: none, but not known where an edge "
        "drips to a gutter.",
        (0, 60000),
        example=2900,
        width=10,
    )
    tiles_mm = _PRICED.length(
        "Tiles to lift (mm)",
        "Length of edge where tiles or slates come off and go back. Blank: none.",
        (0, 60000),
        width=10,
    )
    accepted = _PRICED.choice(
        "Accepted build-up",
        "Fill in once the customer has chosen. One of those priced.",
        BuildUp,
        width=16,
    )
    advised = _PRICED.choice(
        "We advise",
        "The build-up you advise, one of those priced. Blank: chosen by the rules in the guide.",
        BuildUp,
        width=16,
    )
    advised_because = _PRICED.text(
        "Why we advise it",
        "A sentence or two in your words, for page 1 of the quote. Blank: as the rules say.",
        3000,
        width=34,
    )
    said_no = _PRICED.text(
        "Said no because",
        "Once the customer has turned it down: the reason given, in a few words. The register "
        "counts what is lost, and why.",
        width=20,
    )
    answered_on = _PRICED.day(
        "Answered on", "The day of the customer's yes or no. Blank: not known.", width=12
    )
    height_mm = _SITE.length(
        "Height to edge (mm)",
        "From the ground to the edge of the roof.",
        (300, 20000),
        example=2600,
        width=11,
    )
    access = _SITE.choice(
        "Access",
        "How you plan to work at the edge. Blank: we price the cheapest way that is safe enough.",
        Access,
        example="tower",
        width=14,
    )
    ladder_reason = _SITE.text(
        "Reason if a ladder",
        "Why you cannot use anything safer. It goes on the method statement.",
        3000,
        width=24,
    )
    below = _SITE.choices(
        "Underneath",
        "What is below or beside the edges you work at; one or more, separated by semicolons. "
        "Blank: not known.",
        Below,
        example="garden; doorway",
        width=18,
    )
    room_for_tower = _SITE.yes_no(
        "Room for a tower?",
        "Firm, level ground wide enough. Blank: not known.",
        example="yes",
        width=9,
    )
    heated_below = _SITE.yes_no(
        "Heated room below?",
        "Is the room under the roof heated? Blank: not known.",
        example="yes",
        width=9,
    )
    overhead_cables = _SITE.yes_no(
        "Overhead cables?",
        "Any cable over or beside the roof or the way up to it. Blank: not known, treated as yes.",
        example="no",
        width=10,
    )
    flue_near = _SITE.yes_no(
        "Flue near?",
        "A boiler or stove outlet near the roof. Blank: not known, treated as yes.",
        example="no",
        width=9,
    )
    cars_near = _SITE.yes_no(
        "Cars near?",
        "Cars within reach of drips and dust. Blank: not known, treated as yes.",
        example="yes",
        width=9,
    )
    asbestos_surveyed = _SITE.yes_no(
        "Asbestos survey done?",
        "Has somebody competent surveyed it and reported in writing? Blank: treated as no.",
        width=10,
    )
    nesting_birds = _SITE.yes_no(
        "Nesting birds?",
        "Any sign of a nest in use. Blank: not known, treated as yes.",
        example="no",
        width=9,
    )
    lone_work = _SITE.yes_no(
        "Working alone?",
        "Will anybody be on this job alone? Blank: not known, treated as yes.",
        example="no",
        width=9,
    )
    start_on = _SITE.day(
        "Start",
        "The first day the job can start; once accepted, the day agreed. Blank: as soon as the "
        "forecast allows, and the days stay provisional.",
        example=date(2026, 12, 7),
        width=12,
    )
    if_longer = _SITE.choice(
        "If it takes longer",
        "Who pays if forecast or daylight make the job longer than the days priced. Keep the "
        "price: labour, travel and hire stay as priced; gloves and filters still count every day."
        " Blank: no papers until you have said.",
        IfLonger,
        example="keep the price",
        width=15,
    )
    deck_c = _SITE.number(
        "Expected deck temperature (°C)",
        "Of the board itself, on the day. It decides the catalyst.",
        (-20, 80),
        Unit.CELSIUS,
        example=12,
        width=12,
    )
    air_c = _SITE.number(
        "Expected air temperature (°C)",
        "With the humidity, it gives the dew point.",
        (-20, 45),
        Unit.CELSIUS,
        example=11,
        width=12,
    )
    humidity_pct = _SITE.number(
        "Expected humidity (%)",
        "Relative humidity of the air on the day.",
        (1, 100),
        Unit.PERCENT,
        example=70,
        width=10,
    )
    travel_min = _SITE.number(
        "Travel (minutes each way)",
        "From the yard to the job. Blank: as on the Business sheet.",
        (0, 300),
        Unit.MIN,
        example=35,
        width=10,
    )
    customer_notes = _NOTES.text("Notes for the customer", "Printed on the quote.", 3000, width=34)
    photo = _NOTES.text(
        "Photo of the roof",
        "Name of a picture file beside the workbook that shows the whole roof; printed on page 1 "
        "of the quote.",
        width=20,
    )
    private_notes = _NOTES.text("Private notes", "Never printed.", 3000, width=34)


ENQUIRIES = Enquiries(
    "Enquiries",
    "One row for each roof. Fill it in after the visit; leave blank what you do not know.",
)
