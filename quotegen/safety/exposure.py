"""Exposure limits as they are printed, guarded against a slip of the pen."""

from typing import Any

from quotegen.reference.loader import ReferenceFileError, entry
from quotegen.units import as_decimal

_TIMES = (("long", "over 8 hours"), ("short", "over 15 minutes"))


def ppm_to_mg_m3(ppm: float, molar_mass_g: float, molar_volume_l: float) -> float:
    """Parts of vapour in a million of air as a mass: ppm x molar mass / molar volume.

    Inputs [ppm, g/mol, l/mol], result [mg/m3]. At the temperature of the molar volume, for
    EH40 20 degC and one atmosphere.

    >>> round(ppm_to_mg_m3(100, 104.15, 24.05526), 1)
    433.0
    """
    return ppm * molar_mass_g / molar_volume_l


def limit_line(key: str) -> str:
    """The published limits of `exposure_limits.<key>` in one line.

    Published milligrams that do not agree with the published ppm are our own fault.

    >>> limit_line("silica")
    'respirable crystalline silica: 0.1 mg/m³ over 8 hours'
    """
    limits = entry(f"exposure_limits.{key}").value
    spans = [_span(limits, name, words) for name, words in _TIMES if f"{name}_mg_m3" in limits]
    return f"{limits['agent']}: {'; '.join(spans)}"


def limit_source(key: str) -> str:
    """Where the limits of `exposure_limits.<key>` were published.

    >>> limit_source("lead")
    'Control of Lead at Work Regulations 2002, regulation 2'
    """
    return entry(f"exposure_limits.{key}").citation


def _span(limits: dict[str, Any], name: str, words: str) -> str:
    mg_m3, ppm = limits[f"{name}_mg_m3"], limits.get(f"{name}_ppm")
    if ppm is None:
        return f"{mg_m3:g} mg/m³ {words}"
    volume_l = entry("exposure_limits.molar_volume_l").value
    allowed_pct = entry("exposure_limits.agreement_pct").value
    worked_mg_m3 = ppm_to_mg_m3(ppm, limits["molar_mass"], volume_l)
    allowed_mg_m3 = max(worked_mg_m3 * allowed_pct / 100, _half_last_place(mg_m3))
    if abs(worked_mg_m3 - mg_m3) > allowed_mg_m3:
        raise ReferenceFileError(f"{limits['agent']}: {ppm} ppm is not {mg_m3} mg/m3")
    return f"{ppm:g} ppm ({mg_m3:g} mg/m³) {words}"


def _half_last_place(published: float) -> float:
    """What rounding to the digits published can hide."""
    _, _, exponent = as_decimal(published).as_tuple()
    return 0.5 * 10.0 ** int(exponent)
