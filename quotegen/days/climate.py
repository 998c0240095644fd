"""Dew point, and the coldest deck allowed."""

import math


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
    """The coldest the deck can be on a day: dew point + margin, and never below the resin's own
    limit.

    Inputs [degC], result [degC].

    >>> least_deck_temperature_c(9.6, 3.0, 5.0), least_deck_temperature_c(-2.0, 3.0, 5.0)
    (12.6, 5.0)
    """
    return max(dew_point_c + margin_c, least_c)
