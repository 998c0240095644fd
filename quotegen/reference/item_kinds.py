"""The kinds of thing we buy or hire, and the unit of a kind's sizes.

What the program has to know of an item it asks of its kind and its size; the code is only a name.
"""

from collections.abc import Mapping
from enum import StrEnum

from quotegen.units import Unit


class ItemKind(StrEnum):
    """What an item is; two items of one kind differ in size."""

    DECK_BOARD = "deck-board"
    INSULATION = "insulation"
    TONGUED_BOARD = "tongued-board"
    REPAIR_BOARD = "repair-board"
    NOGGIN = "noggin"
    EDGE_TIMBER = "edge-timber"
    VAPOUR_LAYER = "vapour-layer"
    DECK_SCREW = "deck-screw"
    LONG_SCREW = "long-screw"
    TRIM_DRIP = "trim-drip"
    TRIM_RAISED = "trim-raised"
    TRIM_WALL = "trim-wall"
    TRIM_FLASHING = "trim-flashing"
    TRIM_FLAT = "trim-flat"
    TRIM_EXPANSION = "trim-expansion"
    CORNER_DRIP = "corner-drip"
    CORNER_RAISED = "corner-raised"
    CORNER_WALL = "corner-wall"
    BATTEN = "batten"
    CLOUT = "clout"
    ADHESIVE = "adhesive"
    SEALANT = "sealant"
    BANDAGE = "bandage"
    MAT = "mat"
    RESIN = "resin"
    TOPCOAT = "topcoat"
    CATALYST = "catalyst"
    ACETONE = "acetone"
    OUTLET = "outlet"
    SLEEVE = "sleeve"
    BRUSH = "brush"
    BUCKET = "bucket"
    ABRASIVE = "abrasive"
    GLOVES = "gloves"
    OVER_GLOVES = "over-gloves"
    FILTERS = "filters"
    OVERALLS = "overalls"
    SACK = "sack"
    SKIP_HIRE = "skip-hire"
    TOWER_HIRE = "tower-hire"
    SCAFFOLD_HIRE = "scaffold-hire"
    BARRIER_HIRE = "barrier-hire"
    FASCIA_BOARD = "fascia-board"
    JOIST = "joist"
    FIRRING = "firring"
    DELIVERY = "delivery"


SIZE_UNITS: Mapping[ItemKind, Unit] = {
    ItemKind.DECK_BOARD: Unit.MM,
    ItemKind.TONGUED_BOARD: Unit.MM,
    ItemKind.INSULATION: Unit.MM,
    ItemKind.DECK_SCREW: Unit.MM,
    ItemKind.LONG_SCREW: Unit.MM,
    ItemKind.MAT: Unit.G_PER_M2,
}
"""The kinds that come in sizes: thickness, length, or the mass of a square metre."""
