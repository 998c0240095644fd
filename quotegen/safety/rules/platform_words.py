"""The platform in words: its height and rails, the guarded sides, its load class, brick guards."""

from quotegen import wording
from quotegen.model.access import AccessPlan, GuardRails, Platform
from quotegen.model.settings import DefaultedSettings
from quotegen.phrases import listed
from quotegen.reference.rule_keys import EdgeSentence
from quotegen.safety.rules.text import told
from quotegen.units import round_up

_HEIGHT_STEP_M, _MASS_STEP_KG = 0.01, 10.0


def platform_lines(access: AccessPlan, settings: DefaultedSettings) -> tuple[str, ...]:
    """What the platform must have, a sentence each; none if there is no platform."""
    platform = access.platform
    if platform is None:
        return ()
    outer = told(EdgeSentence.OUTER_SIDES, rail=_rail(settings))
    sides = outer if access.stood_on else told(EdgeSentence.ALL_SIDES)
    guards = [told(EdgeSentence.BRICK_GUARDS)] if platform.brick_guards else []
    return (_heights(platform), sides, _carries(platform), *guards)


def hired_words(access: AccessPlan, settings: DefaultedSettings) -> str:
    """The platform to hire, in one line; nothing if there is none."""
    platform = access.platform
    if platform is None:
        return ""
    outer = told(EdgeSentence.HIRED_OUTER_SIDES, rail=_rail(settings))
    words = {
        "sides": outer if access.stood_on else told(EdgeSentence.HIRED_ALL_SIDES),
        "load_class": platform.load_class,
        "load": _load(platform),
        "rails": told(
            EdgeSentence.HIRED_RAILS,
            toe=toe_words(platform.rails),
            rails=rail_words(platform.rails),
        ),
        "guards": f" {told(EdgeSentence.BRICK_GUARDS)}" if platform.brick_guards else "",
    }
    heights = _up_and_top(platform)
    if heights is None:
        return told(EdgeSentence.HIRED_NOT_MEASURED, below=_below(platform), **words)
    return told(EdgeSentence.HIRED, up=heights[0], top=heights[1], **words)


def rail_words(rails: GuardRails) -> str:
    """The heights of the rails above the boards, the lowest first."""
    *lower, top = (wording.bare_mm(one.number) for one in (*rails.middle_mm, rails.top_mm))
    return f"{listed((*lower, top))} mm"


def toe_words(rails: GuardRails) -> str:
    """The height of the toe board."""
    return wording.mm(rails.toe_board_mm.number)


def _heights(platform: Platform) -> str:
    heights = _up_and_top(platform)
    if heights is None:
        return told(EdgeSentence.PLATFORM_NOT_MEASURED, below=_below(platform))
    up, top = heights
    return told(EdgeSentence.PLATFORM_AT, up=up, below=_below(platform), top=top)


def _up_and_top(platform: Platform) -> tuple[str, str] | None:
    """The heights of boards and top rail above the ground; None if nobody has measured."""
    if platform.up_m is None or platform.top_rail_m is None:
        return None
    top_m = round_up(platform.top_rail_m.number, _HEIGHT_STEP_M)
    return f"{wording.plain(platform.up_m.number)} m", f"{wording.plain(top_m)} m"


def _below(platform: Platform) -> str:
    return wording.mm(platform.below_mm.number)


def _rail(settings: DefaultedSettings) -> str:
    return wording.mm(settings.number("rail_top_mm"))


def _load(platform: Platform) -> str:
    return f"{wording.exact(platform.load.number)} kN/m²"


def _carries(platform: Platform) -> str:
    key = EdgeSentence.CARRIES_STACKED if platform.stacked else EdgeSentence.CARRIES
    mass = wording.number(platform.load_kg.number // _MASS_STEP_KG * _MASS_STEP_KG)
    return told(key, load_class=platform.load_class, load=_load(platform), mass=f"{mass} kg")
