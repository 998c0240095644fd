"""The closed sets of words: what a cell may choose, and what lines are joined by."""

from enum import StrEnum


class CustomerKind(StrEnum):
    """Who asks and pays."""

    HOME_OWNER = "home-owner"
    LANDLORD = "landlord"
    AGENT = "agent"
    TRADE = "trade"


class Occupier(StrEnum):
    """By what right the building is lived in or used; who is in it is the household's."""

    OWNER = "owner"
    TENANT = "tenant"
    BUSINESS = "business"
    EMPTY = "empty"


class Household(StrEnum):
    """Who is in the building that needs more care."""

    CHILDREN = "children"
    VULNERABLE = "elderly or unwell"
    NONE = "none of these"


class RoofKind(StrEnum):
    """What kind of roof it is."""

    BAY = "bay"
    PORCH = "porch"
    CANOPY = "canopy"
    DORMER = "dormer"
    GARAGE = "garage"
    EXTENSION = "extension"


class Shape(StrEnum):
    """The shapes a roof can be measured as."""

    RECTANGLE = "rectangle"
    CANTED_BAY = "canted bay"
    FIVE_FACET_BAY = "five-facet bay"
    BOW = "bow"
    L_SHAPE = "L-shape"
    MEASURED = "measured outline"


class Size(StrEnum):
    """The named sizes of the shapes, in mm; the value is the heading of the column."""

    WIDTH = "Width along wall (mm)"
    PROJECTION = "Projection from wall (mm)"
    FRONT_WIDTH = "Front width (mm)"
    LEFT_SET_BACK = "Left set-back (mm)"
    NOTCH_WIDTH = "Notch width (mm)"
    NOTCH_DEPTH = "Notch depth (mm)"


class EdgeKind(StrEnum):
    """What happens at an edge of the roof, which decides its trim."""

    GUTTER_DRIP = "drip to gutter"
    FREE_DRIP = "free drip"
    RAISED = "raised edge"
    WALL = "wall upstand"
    TILES = "under tiles"
    KERB = "kerb"


class Side(StrEnum):
    """The sides of a roof as seen from the garden, looking at the wall."""

    BACK = "back"
    FRONT = "front"
    LEFT = "left"
    RIGHT = "right"
    NOTCH = "notch"


class Covering(StrEnum):
    """What lies on the roof now."""

    FELT = "felt"
    FELT_CHIPPINGS = "felt with chippings"
    ASPHALT = "mastic asphalt"
    LEAD = "lead"
    SINGLE_PLY = "single ply"
    OLD_GRP = "old fibreglass"
    NONE = "none"


class Deck(StrEnum):
    """What the existing deck is made of."""

    SHEET = "sheet boards"
    BOARDING = "softwood boarding"
    CHIPBOARD = "chipboard"
    WOODWOOL = "wood-wool slabs"
    CONCRETE = "concrete"


class DeckCondition(StrEnum):
    """How sound the existing deck is."""

    SOUND = "sound"
    SOFT = "soft in places"
    ROTTEN = "rotten"


class JoistRun(StrEnum):
    """Which way the joists run."""

    OUT = "wall to front"
    ALONG = "along the wall"


class BuildUp(StrEnum):
    """The ways of rebuilding a roof that are priced side by side."""

    CAP_OVER = "cap over"
    NEW_DECK = "new deck"
    NEW_DECK_INSULATED = "new deck with insulation"


class Access(StrEnum):
    """How the crew gets to the edge and works there."""

    GROUND = "from the ground"
    TOWER = "tower"
    SCAFFOLD = "scaffold"
    LADDER = "ladder"


PLATFORMS = (Access.TOWER, Access.SCAFFOLD)
"""The ways that give a guarded place to stand on."""


class Below(StrEnum):
    """What lies underneath the working edge."""

    GARDEN = "garden"
    DRIVE = "drive"
    DOORWAY = "doorway"
    PAVEMENT = "pavement"
    ROAD = "road"
    LOWER_ROOF = "lower roof"
    GLASS = "glass roof"
    ROOF_BESIDE = "roof beside"


class WallJoint(StrEnum):
    """How the new roof meets a wall."""

    NEW_FLASHING = "new flashing"
    KEEP_LEAD = "keep existing lead"


class Answer(StrEnum):
    """What the customer said to an advised work."""

    DO_IT = "do it"
    PRICE_APART = "price it apart"
    DECLINED = "declined"


class PriceBasis(StrEnum):
    """How a finding is priced."""

    FIXED = "fixed price"
    FASCIA = "fascia, per metre"
    JOIST = "joist, each"
    BOARD = "board, each"
    FIRRINGS = "firrings, per metre"


class OpeningKind(StrEnum):
    """What comes through the roof."""

    ROOFLIGHT = "rooflight"
    PIPE = "pipe"
    OUTLET = "outlet"


class Mixer(StrEnum):
    """Who mixes the resin."""

    PRACTISED = "a practised hand"
    BEGINNER = "a beginner"


class PartPacks(StrEnum):
    """What of a pack that keeps and is not used up is charged to the job."""

    USED = "what is used"
    WHOLE = "the whole pack"


class StockCost(StrEnum):
    """At what the job is charged for what comes off the van."""

    CHEAPEST = "the cheapest price"
    NOTHING = "nothing"


class LeadScrap(StrEnum):
    """Who has what old lead fetches as scrap."""

    KEEP = "keep"
    CREDIT = "credit the customer"


class DeckBoards(StrEnum):
    """Which deck boards the firm lays."""

    CHEAPER = "whichever costs less"
    SQUARE = "square-edge"
    TONGUED = "tongued"


class TrimTool(StrEnum):
    """What trims are cut to length with."""

    SNIPS = "snips"
    SAW = "saw"


class BowTrims(StrEnum):
    """How a trim is taken round a curve."""

    SLIT = "slit and bent"
    SHORT = "short pieces"


class ResinBy(StrEnum):
    """By which reckoning resin is ordered."""

    GUIDE = "the all-in guide"
    PARTS = "the parts added up"


class Along(StrEnum):
    """What a trim runs along."""

    EDGE = "edge"
    KERB = "kerb"
    JOINT = "joint"


class Task(StrEnum):
    """The tasks hours are counted for, in the order of the work; one may be there several times."""

    SET_UP = "set-up"
    TOWER = "tower"
    COME_BACK = "come-back"
    STRIP_COVERING = "strip-covering"
    STRIP_DECK = "strip-deck"
    CARRY_AWAY = "carry-away"
    TIP_RUNS = "tip-runs"
    JOIST_CHECK = "joist-check"
    NOGGINS = "noggins"
    CAP = "cap"
    DECK = "deck"
    DECK_OVER_INSULATION = "deck-over-insulation"
    INSULATION = "insulation"
    EDGE_TIMBER = "edge-timber"
    TRIM = "trim"
    CORNERS = "corners"
    MITRES = "mitres"
    BANDAGE = "bandage"
    FLASHING = "flashing"
    LEAD = "lead"
    KERBS = "kerbs"
    PIPES = "pipes"
    OUTLETS = "outlets"
    EXPANSION = "expansion"
    LAMINATE = "laminate"
    SAND = "sand"
    TOPCOAT = "topcoat"
    GUTTER = "gutter"
    TILES = "tiles"
    FOUND = "found"
    WAIT = "wait"
    TRAVEL = "travel"


class ComesOff(StrEnum):
    """What of the old roof comes off."""

    COVERING = "covering"
    DECK = "deck"


class Waste(StrEnum):
    """What comes off as waste, each by the key of its code among those of the reference."""

    FELT = "felt"
    TIMBER = "timber"
    PLASTIC = "plastic"
    LEAD = "lead"


class Included(StrEnum):
    """What the price of an option may cover."""

    ACCESS = "access"
    BARRIERS = "barriers"
    LICENCE = "licence"
    STRIP = "strip"
    DECK_UP = "deck-up"
    CAP = "cap"
    NEW_DECK = "new-deck"
    INSULATION = "insulation"
    BOARD_OVER_INSULATION = "board-over-insulation"
    EDGE_TIMBER = "edge-timber"
    TRIMS = "trims"
    EXPANSION = "expansion"
    FLASHING = "flashing"
    LEAD_BACK = "lead-back"
    KERBS = "kerbs"
    PIPES = "pipes"
    OUTLETS = "outlets"
    LAMINATE = "laminate"
    GUTTER = "gutter"
    TILES = "tiles"


class Undone(StrEnum):
    """What an option may leave as it is, or what the customer has to know of it."""

    COVERING_STAYS = "covering-stays"
    DECK_STAYS = "deck-stays"
    FALL_STAYS = "fall-stays"
    NO_INSULATION = "no-insulation"
    LEAD_STAYS = "lead-stays"
    GLAZING_STAYS = "glazing-stays"
    HEAVIER = "heavier"
    UPSTAND = "upstand"
    DECLINED = "declined"
