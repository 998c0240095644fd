"""The sheets of the firm: its own figures, terms, forecast and van stock."""

from datetime import date

from quotegen.model.choices import BuildUp
from quotegen.model.settings import TermKind
from quotegen.model.weather import Sky
from quotegen.units import Unit
from quotegen.workbook.sheets.columns import Group, Sheet

_SETTING = Group("Setting")
_TERM = Group("Term")
_WHEN = Group("When")
_WEATHER = Group("Weather")
_ITEM = Group("Item")
_STOCK = Group("Stock")


class SettingSheet(Sheet):
    """One row per setting, found by its code."""

    code = _SETTING.text(
        "Code", "The program finds the row by this. Do not change it.", required=True, width=27
    )
    words = _SETTING.text("What it is", "For you to read only.", 3000, width=52)
    value = _SETTING.text(
        "Value", "Yours to change. Blank: the default is used, if there is one.", width=30
    )
    unit = _SETTING.text("Unit", "For you to read only.", width=18)
    basis = _SETTING.text(
        "Basis", "Where the figure comes from. Change it when you change the value.", 3000, width=44
    )


BUSINESS = SettingSheet(
    "Business",
    "The firm and how it charges. Fill in the shaded rows; change any other figure that is not "
    "right for you.",
)
RATES = SettingSheet(
    "Rates",
    "Coverage, limits and hours. The data sheet of what you buy comes before every figure here.",
)
WASTE = SettingSheet(
    "Waste", "How much to buy to spare, and what it costs to get rid of the old roof."
)


class Terms(Sheet):
    """The sentences that go on every quote."""

    kind = _TERM.choice("Kind", "Where it goes on the quote.", TermKind, required=True, width=22)
    applies_to = _TERM.choice("Applies to", "Blank: every build-up.", BuildUp, width=24)
    text = _TERM.text("Text", "One sentence.", 3000, required=True, width=100)


TERMS = Terms(
    "Terms",
    "The firm's terms, one sentence a row, in the order they are printed. With no rows, the "
    "defaults are used.",
)


class Forecast(Sheet):
    """The weather where the jobs are, by hour or by day."""

    day = _WHEN.day("Day", "Day, month, year.", required=True, example=date(2026, 12, 7), width=12)
    from_hour = _WHEN.number(
        "From hour",
        "0 to 23. Blank: one figure for the whole day; we then plan no laying early or late in "
        "the day.",
        (0, 23),
        whole=True,
        example=9,
        width=10,
    )
    air_c = _WEATHER.number(
        "Air (°C)",
        "In the shade. For a whole day, the coldest while you work.",
        (-30, 45),
        Unit.CELSIUS,
        example=9,
        width=10,
    )
    humidity_pct = _WEATHER.number(
        "Humidity (%)",
        "Relative humidity. For a whole day, the highest while you work.",
        (1, 100),
        Unit.PERCENT,
        example=72,
        width=12,
    )
    sky = _WEATHER.choice(
        "Rain or dry",
        "If in doubt, rain. Blank counts as rain.",
        Sky,
        example="dry",
        width=11,
    )
    deck_c = _WEATHER.number(
        "Deck (°C)",
        "If you have measured it or know it. Blank: worked out from the air, see the Rates sheet.",
        (-30, 80),
        Unit.CELSIUS,
        width=10,
    )
    gust_mph = _WEATHER.number(
        "Wind gust (mph)",
        "The strongest gust. Blank: not known, so measure it on the day.",
        (0, 120),
        Unit.MPH,
        example=14,
        width=10,
    )


FORECAST = Forecast(
    "Forecast",
    "The forecast for the days to come, copied from whichever you trust. A row counts from its "
    "hour until the next row of that day. Can be left empty: you measure the weather on the day "
    "in any case.",
)


class VanStock(Sheet):
    """Stock on the van or in the store, to be used up first."""

    item = _ITEM.text(
        "Item",
        "The item's code, as in the guide. Leave out trims by the metre, screws and hire. Resin, "
        "topcoat and catalyst only if in date and compatible with what you buy.",
        required=True,
        example="acetone",
        width=20,
    )
    quantity = _STOCK.number(
        "Quantity",
        "How much you have, in the unit beside it.",
        (0, 100000),
        required=True,
        example=2.5,
        width=11,
    )
    unit = _STOCK.text(
        "Unit",
        "The unit of the quantity; the guide says which unit each item is counted in.",
        required=True,
        example="l",
        width=9,
    )
    note = _STOCK.text(
        "Date or note",
        "For you: when you counted it, which make, use-by date.",
        3000,
        example="counted 20/11/2026",
        width=34,
    )


VAN_STOCK = VanStock(
    "Van stock",
    "What you have already; it is used before anything is bought. Can be left empty. Trims by the"
    " metre and screws are not counted, because each job needs its own lengths: look through them"
    " yourself.",
)
