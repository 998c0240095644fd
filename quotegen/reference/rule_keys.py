"""The keys of the rule tables that the program itself asks for, by their tables.

A title or a sentence of a rule table may be put into other words at any time: nothing is joined by
those. Each key here has to stand in its table, or the table is refused when it is read.
"""

from enum import StrEnum


class EmergencyKey(StrEnum):
    """Emergencies of `emergency.toml` that stand on a front page, a card, or in another rule."""

    IN_EYE = "in-eye"
    RING_999 = "ring-999"
    NEAREST_HOSPITAL = "nearest-hospital"
    HOT_BUCKET = "hot-bucket"


ON_FRONT_PAGE = (EmergencyKey.IN_EYE, EmergencyKey.RING_999, EmergencyKey.NEAREST_HOSPITAL)
"""Those of the front page of the method statement."""

ON_MIX_CARD = (EmergencyKey.IN_EYE, EmergencyKey.RING_999, EmergencyKey.HOT_BUCKET)
"""Those of the mix card."""


class TaskKey(StrEnum):
    """Tasks of `protection.toml` whose gear is named on a paper of its own."""

    MIXING = "mixing"


class SubstanceKey(StrEnum):
    """Substances of `substances.toml` that a paper names by themselves."""

    RESIN = "resin"
    CATALYST = "catalyst"


class DangerKey(StrEnum):
    """Dangers of `incompatible.toml` that a paper warns of by themselves."""

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
