"""Exposure limits as printed, checked for typing slips, and what was measured."""

from collections.abc import Sequence
from typing import Any

from quotegen import wording
from quotegen.model.settings import Settings
from quotegen.model.takeoff import OptionTakeOff, Stage
from quotegen.phrases import listed
from quotegen.reference.life import marked
from quotegen.reference.loader import entry
from quotegen.reference.rule_keys import AirSentence
from quotegen.safety.rules.text import told
from quotegen.tables import ReferenceFileError
from quotegen.units import as_decimal, round_up

_TIMES = (("long", "over 8 hours"), ("short", "over 15 minutes"))
_VAPOURS = ("styrene", "acetone")
_SHARE_STEP = 0.01


def ppm_to_mg_m3(ppm: float, molar_mass_g: float, molar_volume_l: float) -> float:
    """Parts of vapour in a million of air as a mass: ppm x molar mass / molar volume.

    Inputs [ppm, g/mol, l/mol], result [mg/m3]. At the temperature of the molar volume, for
    EH40 20 degC and one atmosphere.

    >>> round(ppm_to_mg_m3(100, 104.15, 24.05526), 1)
    433.0
    """
    return ppm * molar_mass_g / molar_volume_l


def time_weighted_average(spells: Sequence[tuple[float, float]], over_h: float) -> float:
    """Average concentration over a reference period: sum of (concentration x hours) / period.

    Time without exposure counts as zero. Inputs [ppm or mg/m3, h] by spell and [h], result in the
    unit of the concentrations. Source: EH40/2005, calculation of exposure.

    >>> time_weighted_average([(120, 2), (20, 3)], 8)
    37.5
    """
    return sum(concentration * hours for concentration, hours in spells) / over_h


def share_of_limits(found: Sequence[tuple[float, float]]) -> float:
    """How much of the allowance several vapours use up together: sum of concentration / limit.

    For vapours that act alike, as we assume unknown ones do; 1 is all of it. Inputs of each in one
    unit. Source: EH40/2005, mixed exposures.

    >>> round(share_of_limits([(40, 100), (200, 500)]), 2)
    0.8
    """
    return sum(concentration / limit for concentration, limit in found)


def shaking_minutes(action_m_s2: float, tool_m_s2: float, over_h: float) -> float:
    """How long a hand can hold a vibrating tool before a daily value is reached: period x (value /
    tool)2.

    From A(8) = tool x root of (T / 8 h). Inputs [m/s2, m/s2, h], result [min]. Source: Control of
    Vibration at Work Regulations 2005, schedule 1, part I.

    >>> shaking_minutes(2.5, 5.0, 8.0), shaking_minutes(5.0, 10.0, 8.0)
    (120.0, 120.0)
    """
    return 60 * over_h * (action_m_s2 / tool_m_s2) ** 2


def vapour_line(option: OptionTakeOff, settings: Settings) -> str:
    """Measurements against the limits, or that none were taken; the mask stays on either way."""
    measured = {
        vapour: ppm.number for vapour in _VAPOURS if (ppm := settings.get(f"{vapour}_measured_ppm"))
    }
    if not measured:
        return told(AirSentence.NEVER_MEASURED)
    day_h = float(entry("exposure_limits.long_hours").value)
    laying_h = min(day_h, laying_hours(option))
    limits = {vapour: entry(f"exposure_limits.{vapour}").value for vapour in measured}
    long = share_of_limits(
        [
            (time_weighted_average([(ppm, laying_h)], day_h), limits[vapour]["long_ppm"])
            for vapour, ppm in measured.items()
        ]
    )
    short = share_of_limits(
        [(ppm, limits[vapour]["short_ppm"]) for vapour, ppm in measured.items()]
    )
    too_much = max(long, short) > 1
    return told(
        AirSentence.MEASURED_TOO_MUCH if too_much else AirSentence.MEASURED,
        found=listed([f"{wording.exact(ppm)} ppm of {vapour}" for vapour, ppm in measured.items()]),
        long=wording.exact(round_up(long, _SHARE_STEP)),
        short=wording.exact(round_up(short, _SHARE_STEP)),
    )


def laying_hours(option: OptionTakeOff) -> float:
    """How long the crew works in vapour [h]: the hours of laminate and topcoat, side by side."""
    person_hours = sum(
        labour.hours.number for labour in option.labour if labour.stage is Stage.LAMINATE
    )
    return person_hours / option.programme.crew.number


def limit_line(key: str) -> str:
    """The published limits of `exposure_limits.<key>` in one line.

    If the published milligrams do not agree with the published ppm, that is our own fault.

    >>> limit_line("silica")
    'respirable crystalline silica: 0.1 mg/m³ over 8 hours'
    """
    published = entry(f"exposure_limits.{key}")
    limits = published.value
    spans = [_span(limits, name, words) for name, words in _TIMES if f"{name}_mg_m3" in limits]
    return marked(f"{limits['agent']}: {'; '.join(spans)}", published)


def _span(limits: dict[str, Any], name: str, words: str) -> str:
    mg_m3, ppm = limits[f"{name}_mg_m3"], limits.get(f"{name}_ppm")
    if ppm is None:
        return f"{wording.exact(mg_m3)} mg/m³ {words}"
    volume_l = entry("exposure_limits.molar_volume_l").value
    allowed_pct = entry("exposure_limits.agreement_pct").value
    worked_mg_m3 = ppm_to_mg_m3(ppm, limits["molar_mass"], volume_l)
    allowed_mg_m3 = max(worked_mg_m3 * allowed_pct / 100, _half_last_place(mg_m3))
    if abs(worked_mg_m3 - mg_m3) > allowed_mg_m3:
        raise ReferenceFileError(f"{limits['agent']}: {ppm} ppm is not {mg_m3} mg/m3")
    return f"{wording.exact(ppm)} ppm ({wording.exact(mg_m3)} mg/m³) {words}"


def _half_last_place(published: float) -> float:
    """The most that rounding to the published digits can hide."""
    _, _, exponent = as_decimal(published).as_tuple()
    return 0.5 * 10.0 ** int(exponent)
