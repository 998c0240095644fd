"""The keys of the rule tables that the program itself asks for, by table.

Titles and sentences of a rule table may be reworded at any time, so nothing is joined by them. Each
key here must be in its table, or the table is refused when read.
"""

from enum import StrEnum


class EmergencyKey(StrEnum):
    """Emergencies of `emergency.toml` shown on a front page or a card, or cited in another rule."""

    IN_EYE = "in-eye"
    RING_999 = "ring-999"
    NEAREST_HOSPITAL = "nearest-hospital"
    HOT_BUCKET = "hot-bucket"


ON_FRONT_PAGE = (EmergencyKey.IN_EYE, EmergencyKey.RING_999, EmergencyKey.NEAREST_HOSPITAL)
"""Emergencies on the front page of the method statement."""

ON_MIX_CARD = (EmergencyKey.IN_EYE, EmergencyKey.RING_999, EmergencyKey.HOT_BUCKET)
"""Emergencies on the mix card."""


class TaskKey(StrEnum):
    """Tasks of `protection.toml` whose gear is listed on a paper of its own."""

    MIXING = "mixing"


class SubstanceKey(StrEnum):
    """Substances of `substances.toml` that a paper names individually."""

    RESIN = "resin"
    CATALYST = "catalyst"


class DangerKey(StrEnum):
    """Dangers of `incompatible.toml` that a paper warns of individually."""

    EXPLODES = "explodes"


class PlanPart(StrEnum):
    """The parts of the construction phase plan, each with notes in `plan.toml`."""

    PEOPLE = "people"
    NOTICE = "notice"
    RUNNING = "running"
    WELFARE = "welfare"
    RULES = "rules"
    EMERGENCY = "emergency"
    PARTICULAR = "particular"
    SIGNING = "signing"
