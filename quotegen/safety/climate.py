"""Dew point and the conditions in which anything may be laid."""

import math

from quotegen.model.enquiry import Enquiry
from quotegen.model.safety import WorkingLimits
from quotegen.model.settings import Settings
from quotegen.reference.loader import figure
from quotegen.working import Figure, derive


def dew_point_c(air_c: float, humidity_pct: float, magnus_a: float, magnus_b_c: float) -> float:
    """The temperature at which air of this humidity begins to leave water on a surface.

    Formula (Magnus): g = ln(humidity / 100) + a x air / (b + air); dew point = b x g / (a - g).
    Inputs: air [degC], relative humidity [%] above 0, coefficients a [-] and b [degC].
    Result [degC]. Good to about 0.35 degC from -40 to 60 degC.

    >>> round(dew_point_c(20.0, 50.0, 17.625, 243.04), 1)
    9.3
    """
    gamma = math.log(humidity_pct / 100) + magnus_a * air_c / (magnus_b_c + air_c)
    return magnus_b_c * gamma / (magnus_a - gamma)


def least_deck_temperature_c(dew_point_c: float, margin_c: float, least_c: float) -> float:
    """The coldest the deck may be on a day: dew point + margin, and never below the resin's own.

    Inputs [degC], result [degC].

    >>> least_deck_temperature_c(9.6, 3.0, 5.0), least_deck_temperature_c(-2.0, 3.0, 5.0)
    (12.6, 5.0)
    """
    return max(dew_point_c + margin_c, least_c)


def working_limits(enquiry: Enquiry, settings: Settings) -> WorkingLimits:
    """When laying is allowed, with the dew point where air and humidity are known."""
    margin = figure("dew_point.margin_c")
    dew = _dew_point(enquiry.air_c, enquiry.humidity_pct)
    least_deck = dew and derive(
        "least deck temperature",
        "°C",
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
    """None unless both are known and there is any humidity to condense."""
    if air_c is None or humidity_pct is None or humidity_pct.number <= 0:
        return None
    return derive(
        "dew point",
        "°C",
        dew_point_c,
        air_c=air_c,
        humidity_pct=humidity_pct,
        magnus_a=figure("dew_point.magnus_a"),
        magnus_b_c=figure("dew_point.magnus_b_c"),
    )
