"""The platform in words: its height and rails, the guarded sides, its load class, brick guards."""

from quotegen import wording
from quotegen.model.access import AccessPlan, Platform
from quotegen.model.settings import DefaultedSettings
from quotegen.reference.rule_keys import EdgeSentence
from quotegen.safety.rules.text import told
from quotegen.units import round_up

_HEIGHT_STEP_M, _MASS_STEP_KG = 0.01, 10.0


def platform_lines(access: AccessPlan, settings: DefaultedSettings) -> tuple[str, ...]:
    """What the platform has to be, a sentence each; none where there is no platform."""
    platform = access.platform
    if platform is None:
        return ()
    rail = wording.mm(settings.number("rail_top_mm"))
    guards = (told(EdgeSentence.BRICK_GUARDS),) if platform.brick_guards else ()
    return (_heights(platform, rail), _sides(access, rail), _carries(platform), *guards)


def _heights(platform: Platform, rail: str) -> str:
    below = wording.mm(platform.below_mm.number)
    if platform.up_m is None or platform.top_rail_m is None:
        return told(EdgeSentence.PLATFORM_NOT_MEASURED, below=below, rail=rail)
    top_m = round_up(platform.top_rail_m.number, _HEIGHT_STEP_M)
    return told(
        EdgeSentence.PLATFORM_AT,
        up=f"{wording.number(platform.up_m.number, 2)} m",
        below=below,
        top=f"{wording.number(top_m, 2)} m",
    )


def _sides(access: AccessPlan, rail: str) -> str:
    if access.stood_on:
        return told(EdgeSentence.OUTER_SIDES, rail=rail)
    return told(EdgeSentence.ALL_SIDES)


def _carries(platform: Platform) -> str:
    key = EdgeSentence.CARRIES_STACKED if platform.stacked else EdgeSentence.CARRIES
    mass = wording.number(platform.load_kg.number // _MASS_STEP_KG * _MASS_STEP_KG)
    return told(
        key,
        load_class=platform.load_class,
        load=f"{wording.exact(platform.load.number)} kN/m²",
        mass=f"{mass} kg",
    )
