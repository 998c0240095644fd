"""Figures as people type them: thousands set apart, and the unit beside the number.

A figure is never guessed: what is not one number with at most one unit is not a figure. Feet and
inches are told apart only to say what they are in millimetres.
"""

import re
from decimal import Decimal

from quotegen.units import Unit

_NUMBER = (
    r"-?(?:[0-9]{1,3}(?:,[0-9]{3}){1,4}|[0-9]{1,3}(?: [0-9]{3}){1,4}|[0-9]{1,15})"
    r"(?:\.[0-9]{1,15})?"
)
_MM_IN = {
    "mm": Decimal(1),
    "millimetre": Decimal(1),
    "millimeter": Decimal(1),
    "cm": Decimal(10),
    "centimetre": Decimal(10),
    "centimeter": Decimal(10),
    "m": Decimal(1000),
    "metre": Decimal(1000),
    "meter": Decimal(1000),
    "mtr": Decimal(1000),
}
_MM_IN_IMPERIAL = {
    **dict.fromkeys(("ft", "feet", "foot", "'", "′"), Decimal("304.8")),
    **dict.fromkeys(("in", "inch", "inches", '"', "″"), Decimal("25.4")),
}
"""The international foot and inch: 0.3048 m and 25.4 mm exactly (Weights and Measures Act 1985,
schedule 1)."""
_WITH_UNIT = re.compile(rf"({_NUMBER}) ?([^0-9 .,-][^0-9]{{0,19}})?")
_MONEY = re.compile(rf"£? ?({_NUMBER})(?: ?(?:gbp|pounds?))?")
_OTHER_SPELLINGS = {Unit.CELSIUS: ("c",), Unit.M2: ("m²", "sqm", "sq m")}


def number_in(text: str, unit: Unit) -> Decimal | None:
    """A number, alone or with the unit of its column; None where it is not one.

    >>> number_in("12 °C", Unit.CELSIUS), number_in("12 kg", Unit.CELSIUS)
    (Decimal('12'), None)
    """
    match = _WITH_UNIT.fullmatch(text)
    if match is None:
        return None
    typed = (match[2] or "").strip().casefold()
    known = (unit.casefold(), f"{unit.casefold()}s", *_OTHER_SPELLINGS.get(unit, ()))
    return _decimal(match[1]) if not typed or (unit and typed in known) else None


def pounds_in(text: str) -> Decimal | None:
    """Pounds, with or without their sign; None where it is not one amount.

    >>> pounds_in("£1 250.50"), pounds_in("12 each")
    (Decimal('1250.50'), None)
    """
    match = _MONEY.fullmatch(text.casefold())
    return _decimal(match[1]) if match else None


def length_in(text: str) -> tuple[Decimal, Decimal | None] | None:
    """A number, and the millimetres in its unit or None where no unit was typed.

    None where it is not one length in a metric unit.

    >>> length_in("2.4 metres"), length_in("2400"), length_in("8 ft")
    ((Decimal('2.4'), Decimal('1000')), (Decimal('2400'), None), None)
    """
    match = _WITH_UNIT.fullmatch(text.casefold())
    if match is None:
        return None
    if match[2] is None:
        return _decimal(match[1]), None
    unit = match[2].strip().removesuffix(".")
    mm = _MM_IN.get(unit, _MM_IN.get(unit.removesuffix("s")) if len(unit) > 2 else None)
    return (_decimal(match[1]), mm) if mm else None


def imperial_mm(text: str) -> Decimal | None:
    """The millimetres of one length in feet or in inches; None where it is not one.

    >>> imperial_mm("8ft"), imperial_mm("2'6")
    (Decimal('2438.4'), None)
    """
    match = _WITH_UNIT.fullmatch(text.casefold())
    mm = _MM_IN_IMPERIAL.get((match[2] or "").strip()) if match else None
    return _decimal(match[1]) * mm if match and mm else None


def _decimal(text: str) -> Decimal:
    return Decimal(text.replace(",", "").replace(" ", ""))
