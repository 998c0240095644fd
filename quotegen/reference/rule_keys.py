"""The keys of the rule tables that the program itself asks for, by their tables.

A title or a sentence of a rule table may be put into other words at any time: nothing is joined by
those. Each key here has to stand in its table, or the table is refused when it is read.
"""

from enum import StrEnum

from quotegen.reference.remarks import RemarkKey


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


class AccessReason(RemarkKey):
    """Reasons of `access.toml` for the way the crew works at the edge."""

    FROM_GROUND = "from-ground", "height"
    FALLS_PREVENTED = "falls-prevented"
    NOT_ENOUGH = "not-enough", "asked"
    COLLECTIVE_FIRST = "collective-first"
    LADDER_REASON = "ladder-reason", "reason"
    LONGEST_TASK = "longest-task", "task", "minutes", "guide"
    SCAFFOLD = "scaffold"
    NO_ROOM = "no-room"
    LONG_EDGE = "long-edge", "edge", "towers"
    ONE_TOWER = "one-tower", "edges"
    TOWERS = "towers", "towers", "edges"
    ROOM_NOT_KNOWN = "room-not-known"
    NO_PLACE_TO_STAND = "no-place-to-stand", "zone"


class LadderGround(RemarkKey):
    """Grounds of `ladder.toml` on which a ladder is refused as a place of work."""

    HEIGHT_NOT_KNOWN = "height-not-known"
    TOO_HIGH = "too-high", "height", "height_limit"
    DECK_NOT_KNOWN_SOUND = "deck-not-known-sound"
    OUT_OF_REACH = "out-of-reach", "reach_limit"
    CABLES = "cables", "cables_limit"
    TOO_LONG = "too-long", "task", "minutes", "short_limit"
    TOO_LONG_EVEN_SO = "too-long-even-so", "task", "minutes", "long_limit"


class Told(RemarkKey):
    """What of `told.toml` the owner or the customer has to be told."""

    HEAVIER = "heavier", "change"
    LIGHTER = "lighter", "change"
    OFF_VAN = "off-van", "item"
    SKIP_PERMIT = "skip-permit"
    MIXED_WASTE = "mixed-waste", "code"
