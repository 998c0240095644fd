"""The conditions for laying, as the statement gives them."""

from quotegen.days.climate import dew_point_c, least_deck_temperature_c
from quotegen.model.enquiry import Enquiry
from quotegen.model.safety import WorkingLimits
from quotegen.model.settings import Settings
from quotegen.reference.loader import figure
from quotegen.units import Unit
from quotegen.working import Figure, derive


def working_limits(enquiry: Enquiry, settings: Settings) -> WorkingLimits:
    """The conditions for laying, with the dew point where air and humidity are known."""
    margin = figure("dew_point.margin_c")
    dew = _dew_point(enquiry.air_c, enquiry.humidity_pct)
    least_deck = dew and derive(
        "least deck temperature",
        Unit.CELSIUS,
        least_deck_temperature_c,
        dew_point_c=dew,
        margin_c=margin,
        least_c=settings["resin_least_c"],
    )
    return WorkingLimits(
        least_c=settings["resin_least_c"],
        most_c=settings["resin_most_c"],
        humidity_pct=settings["humidity_most_pct"],
        moisture_pct=settings["board_moisture_most_pct"],
        dew_margin_c=margin,
        dew_point_c=dew,
        least_deck_c=least_deck,
        recoat_hours=settings["recoat_hours"],
    )


def _dew_point(air_c: Figure | None, humidity_pct: Figure | None) -> Figure | None:
    """The dew point; None unless both are known and the humidity is above 0."""
    if air_c is None or humidity_pct is None or humidity_pct.number <= 0:
        return None
    return derive(
        "dew point",
        Unit.CELSIUS,
        dew_point_c,
        air_c=air_c,
        humidity_pct=humidity_pct,
        magnus_a=figure("dew_point.magnus_a"),
        magnus_b_c=figure("dew_point.magnus_b_c"),
    )
