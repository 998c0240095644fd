"""Units of measure, conversions, and the one rounding policy.

Lengths are in millimetres, areas in square metres, volumes in litres, masses in kilograms,
temperatures in degrees Celsius, time in hours, money in pounds as `Decimal`. A bare number carries
its unit at the end of its name (`wall_width_mm`): `_h` are hours on the clock, `_hours`
person-hours.
"""

import math
from decimal import ROUND_HALF_UP, Decimal
from enum import StrEnum

MM_PER_M = 1000.0
MM2_PER_M2 = 1_000_000.0
PENNY = Decimal("0.01")
PENCE_IN_POUND = 100
_FLOAT_SLACK = 1e-9


class Unit(StrEnum):
    """Every unit a figure can have, as printed.

    Reading any other word with `Unit(word)` fails. Two spellings of one unit are two members, since
    both are printed; `adds_as` tells which may be added together. Hours on the clock and
    person-hours are two units: people turn one into the other. A unit of two parts is that of a
    pair, such as a row of a table.
    """

    NONE = ""

    MM = "mm"
    M = "m"
    M2 = "m2"
    M3 = "m3"
    L = "l"
    ML = "ml"
    KG = "kg"
    CELSIUS = "°C"
    DEGREES = "degrees"
    RADIANS = "rad"
    MILLIAMPS = "mA"
    GBP = "GBP"

    MIN = "min"
    MINUTES = "minutes"
    H = "h"
    HOURS = "hours"
    PERSON_HOURS = "person-hours"
    DAY = "day"
    DAYS = "days"
    PERSON_DAYS = "person-days"
    WEEK = "week"
    MONTHS = "months"
    YEAR = "year"
    YEARS = "years"

    PERCENT = "%"
    TIMES = "times"
    SHARE = "share"
    PPM = "ppm"

    EACH = "each"
    SHEET = "sheet"
    PAIR = "pair"
    PAIRS = "pairs"
    TUBE = "tube"
    BAG = "bag"
    ROLL = "roll"
    LENGTH = "length"
    SET = "set"
    VISIT = "visit"
    ORDER = "order"
    JOB = "job"
    PACKS = "packs"
    LOADS = "loads"
    LAYERS = "layers"
    COVERINGS = "coverings"
    PEOPLE = "people"
    RUNGS = "rungs"

    M2_EACH = "m2 each"
    PER_M2 = "per m2"
    KG_PER_L = "kg/l"
    KG_PER_M2 = "kg/m2"
    KN_PER_M2 = "kN/m2"
    KG_PER_M3 = "kg/m3"
    G_PER_M2 = "g/m2"
    L_PER_M = "l/m"
    L_PER_M2 = "l/m2"
    L_PER_MOL = "l/mol"
    M2_PER_L = "m2/l"
    M_PER_S2 = "m/s2"
    MPH = "mph"
    DECIBELS = "dB"
    W_PER_MK = "W/mK"
    W_PER_M2K = "W/m2K"
    M2K_PER_W = "m2K/W"
    PERSON_HOURS_EACH = "person-hours each"
    PERSON_HOURS_PER_M = "person-hours/m"
    PERSON_HOURS_PER_M2 = "person-hours/m2"
    GBP_PER_KG = "GBP per kg"
    GBP_PER_TONNE = "GBP per tonne"
    GBP_PER_PERSON_HOUR = "GBP per person-hour"

    CELSIUS_AND_PERCENT = "°C, %"
    CELSIUS_AND_H = "°C, h"
    MM_AND_MM = "mm, mm"
    PPM_AND_MG_PER_M3 = "ppm, mg/m3"

    TEXT = "text"
    WORDS = "words"
    LETTER = "letter"
    LEVEL = "level"
    CODE = "code"
    CODES = "codes"
    CHEMICAL = "chemical"

    @property
    def adds_as(self) -> "Unit":
        """The unit of which this is another spelling, or itself; figures add only within one.

        >>> str(Unit.HOURS.adds_as), str(Unit.M2.adds_as)
        ('h', 'm2')
        """
        return _SPELLINGS.get(self, self)


_SPELLINGS = {
    Unit.MINUTES: Unit.MIN,
    Unit.HOURS: Unit.H,
    Unit.DAY: Unit.DAYS,
    Unit.YEAR: Unit.YEARS,
    Unit.PAIRS: Unit.PAIR,
    Unit.COVERINGS: Unit.LAYERS,
}


def mm_to_m(length_mm: float) -> float:
    """Millimetres [mm] to metres [m].

    >>> mm_to_m(2400)
    2.4
    """
    return length_mm / MM_PER_M


def m_to_mm(length_m: float) -> float:
    """Metres [m] to millimetres [mm], rounded to 0.1 mm.

    >>> m_to_mm(2.4)
    2400.0
    """
    return round(length_m * MM_PER_M, 1)


def mm2_to_m2(area_mm2: float) -> float:
    """Square millimetres [mm2] to square metres [m2].

    >>> mm2_to_m2(1_080_000)
    1.08
    """
    return area_mm2 / MM2_PER_M2


def as_decimal(value: float | int | Decimal) -> Decimal:
    """A number as the Decimal a person would write, without binary rounding noise.

    >>> as_decimal(0.1)
    Decimal('0.1')
    """
    return value if isinstance(value, Decimal) else Decimal(repr(value))


def pence(amount: Decimal) -> Decimal:
    """Round an amount of money [GBP] to whole pence, halves away from zero.

    Every amount shown has been rounded here; totals add the rounded amounts.

    >>> pence(Decimal("2.345"))
    Decimal('2.35')
    """
    return amount.quantize(PENNY, rounding=ROUND_HALF_UP)


def round_half_up(value: float, step: float = 1.0) -> float:
    """Round to the nearest multiple of `step`, halves upwards.

    >>> round_half_up(2.5), round_half_up(127.4, 5)
    (3.0, 125.0)
    """
    ratio = as_decimal(value) / as_decimal(step)
    whole = ratio.quantize(Decimal(1), rounding=ROUND_HALF_UP)
    return float(whole * as_decimal(step))


def round_up(value: float, step: float = 1.0) -> float:
    """Round up to a multiple of `step`; noise below one part in 10^9 starts no new step.

    >>> round_up(2.1), round_up(0.30000000000000004, 0.1), round_up(1.6, 0.5)
    (3.0, 0.3, 2.0)
    """
    steps = math.ceil(value / step - _FLOAT_SLACK)
    return float(steps * as_decimal(step))


def round_down(value: float, step: float = 1.0) -> float:
    """Round down to a multiple of `step`; noise below one part in 10^9 loses no step.

    >>> round_down(2.9), round_down(0.7 * 3, 0.1), round_down(3.729, 0.01)
    (2.0, 2.1, 3.72)
    """
    steps = math.floor(value / step + _FLOAT_SLACK)
    return float(steps * as_decimal(step))


def whole_number(value: float) -> int:
    """The smallest whole number that covers a need, ignoring binary rounding noise.

    >>> whole_number(3.0000000000000004), whole_number(3.01)
    (3, 4)
    """
    return int(round_up(value))
