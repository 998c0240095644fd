"""The settings and prices expected from the rows of `every_column.py`, written out by hand."""

from datetime import date
from decimal import Decimal

from quotegen.model.choices import BuildUp
from quotegen.model.settings import (
    AtDeck,
    Curing,
    FirmTables,
    Loss,
    Lost,
    Mixed,
    PackPrice,
    PriceBook,
    Settings,
    Term,
    TermKind,
)
from quotegen.model.weather import Sky, Weather
from quotegen.problems import Place
from quotegen.units import Unit
from quotegen.working import Figure, Origin, Scalar, Source
from tests import builders
from tests.workbook.every_column import Cells

LOSSES = (
    "Insulation", "Glass mat (besides laps and trimming)", "Resin", "Topcoat", "Bandage",
    "Batten and timber", "Catalyst", "Screws and nails", "Adhesive and sealant",
)  # fmt: skip
_ROOFS = ("Plain roof (%)", "Cut-up roof (%)")


def firm(cells: Cells) -> Settings:
    """The house defaults under what the firm filled in."""

    def own(
        sheet: str, line: int, name: str, value: Scalar, unit: str = "", basis: str = ""
    ) -> Figure:
        place = cells.place(sheet, "Value", line)
        note = basis or "the firm's own"
        return Figure(name, value, Unit(unit), Origin(Source.CELL, f"{sheet}!{place.cell}", note))

    def weather(line: int, day: date, hour: int, sky: Sky, *figures: float) -> Weather:
        air_c, humidity_pct, deck_c, gust_mph = figures
        return Weather(
            place=cells.place("Forecast", "Day", line),
            day=day,
            from_hour=hour,
            air_c=cells.figure("Forecast", "Air (°C)", line, air_c, "°C"),
            humidity_pct=cells.figure("Forecast", "Humidity (%)", line, humidity_pct, "%"),
            deck_c=cells.figure("Forecast", "Deck (°C)", line, deck_c, "°C"),
            sky=sky,
            gust_mph=cells.figure("Forecast", "Wind gust (mph)", line, gust_mph, "mph"),
        )

    per_hour, per_tonne = "GBP per person-hour", "GBP per tonne"

    def dose(line: int, deck_c: float, percent: float, note: str) -> AtDeck:
        return at_deck(
            "Catalyst doses", "Catalyst (% by mass)", line, deck_c, f"dose {percent} %", note
        )

    def hours(line: int, deck_c: float, takes_h: float, note: str) -> AtDeck:
        return at_deck("Curing times", "Hours", line, deck_c, f"hours {takes_h} h", note)

    def at_deck(sheet: str, heading: str, line: int, deck_c: float, said: str, note: str) -> AtDeck:
        name, amount, unit = said.split()
        place = cells.place(sheet, heading, line)
        origin = Origin(Source.CELL, f"{sheet}!{place.cell}", note)
        called = f"{name} at {deck_c:.0f} °C"
        return AtDeck(place, deck_c, Figure(called, float(amount), Unit(unit), origin))

    def loss(line: int) -> Loss:
        """Line 2 has 21 and 40 %, line 3 has 22 and 39 %, and so on down."""
        words, note = LOSSES[line - 2], f"skip {line - 2}"
        plain, cut_up = (cells.place("Material losses", heading, line) for heading in _ROOFS)
        return Loss(
            place=plain,
            plain=own_loss(f"{words}: plain roof", line + 19.0, plain, note),
            cut_up=own_loss(f"{words}: cut-up roof", 42.0 - line, cut_up, note),
        )

    def own_loss(name: str, percent: float, place: Place, note: str) -> Figure:
        origin = Origin(Source.CELL, f"Material losses!{place.cell}", note)
        return Figure(name, percent, Unit.PERCENT, origin)

    return Settings(
        tables=FirmTables(
            doses={
                Mixed.RESIN: (dose(3, 12.0, 2.75, "drum of resin"),),
                Mixed.TOPCOAT: (
                    dose(4, 5.0, 2.0, "common practice, no source"),
                    dose(2, 25.0, 1.75, "tin of topcoat"),
                ),
            },
            curing={
                Curing.TOPCOAT: (hours(2, 10.0, 6.5, "rained on"),),
                Curing.LAMINATE: (hours(3, 4.0, 7.0, "walked on"),),
            },
            losses={one: loss(line) for line, one in enumerate(Lost, start=2)},
        ),
        figures={
            **builders.settings(**dict.fromkeys(builders.FIRM)).figures,
            "firm_name": own(
                "Business", 2, "Name of the firm", "Tern & Daughter", basis="as registered"
            ),
            "firm_address": own("Business", 3, "Address of the firm", "1 Quay Lane"),
            "firm_phone": own("Business", 4, "Telephone", "01632 960001"),
            "vat_registered": own("Business", 5, "Registered for VAT?", False),
            "labour_cost_per_hour": own(
                "Business", 6, "What an hour of one person's time costs the firm", Decimal("31.5"),
                per_hour, "books of 2026",
            ),
            "mixer": own("Business", 7, "Who mixes the resin", "a beginner"),
            "new_board_mm": own(
                "Rates", 2, "New deck board, unless the row says otherwise", 15.0, "mm",
                "what we stock",
            ),
            "mat_layers": own(
                "Rates", 3, "Layers of mat, unless the row says otherwise", 2.0, "layers"
            ),
            "tip_charge_per_tonne": own(
                "Waste", 2, "Tip charge", Decimal(155), per_tonne, "weighbridge ticket"
            ),
            "tip_least": own("Waste", 3, "Tip charge, at least", Decimal(20), "GBP"),
        },
        terms=(
            Term(TermKind.PAYMENT, "", "Cash on the day."),
            Term(TermKind.GENERAL, BuildUp.CAP_OVER, "It will be noisy."),
        ),
        van_stock={
            "acetone": cells.figure("Van stock", "Quantity", 2, 2.5, "l", "Acetone on the van"),
            "mat_450": cells.figure(
                "Van stock", "Quantity", 3, 12.0, "m2", "Glass mat 450 g on the van"
            ),
        },
        forecast=(
            weather(2, date(2026, 12, 7), 9, Sky.DRY, 8.0, 72.0, 6.0, 14.0),
            weather(3, date(2026, 12, 8), 13, Sky.RAIN, 10.0, 64.0, 7.0, 21.0),
        ),
    )  # fmt: skip


def price_book(cells: Cells) -> PriceBook:
    resin = PackPrice(
        item="resin",
        words="Drum of resin",
        unit=Unit.KG,
        pack_size=20.0,
        pack_price=Decimal("96.5"),
        supplier="Gannet Supplies",
        dated=date(2026, 11, 2),
        place=cells.place("Prices", "Pack price without VAT (£)", 2),
    )
    acetone = PackPrice(
        item="acetone",
        words="Can of acetone",
        unit=Unit.L,
        pack_size=5.0,
        pack_price=Decimal("11.25"),
        supplier="Guillemot Trade Counter",
        dated=date(2026, 10, 19),
        place=cells.place("Prices", "Pack price without VAT (£)", 3),
    )
    return PriceBook({"resin": (resin,), "acetone": (acetone,)})
