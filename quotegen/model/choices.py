"""Enumerations: the choices a cell may hold, and the kinds the calculation tells apart."""

from enum import StrEnum


class CustomerKind(StrEnum):
    """Who is asking, and will pay."""

    HOME_OWNER = "home-owner"
    LANDLORD = "landlord"
    AGENT = "agent"
    TRADE = "trade"


class Nation(StrEnum):
    """The part of the United Kingdom whose building and waste rules hold at the site."""

    ENGLAND = "England"
    WALES = "Wales"
    SCOTLAND = "Scotland"
    NORTHERN_IRELAND = "Northern Ireland"


class Occupier(StrEnum):
    """The occupier's right to the building; who lives there is `Household`."""

    OWNER = "owner"
    TENANT = "tenant"
    BUSINESS = "business"
    EMPTY = "empty"


class Household(StrEnum):
    """Occupants who need more care."""

    CHILDREN = "children"
    VULNERABLE = "elderly or unwell"
    NONE = "none of these"


class RoofKind(StrEnum):
    """The kind of roof."""

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
    """The named sizes of the shapes, in mm; each value is a column heading."""

    WIDTH = "Width along wall (mm)"
    PROJECTION = "Projection from wall (mm)"
    FRONT_WIDTH = "Front width (mm)"
    LEFT_SET_BACK = "Left set-back (mm)"
    NOTCH_WIDTH = "Notch width (mm)"
    NOTCH_DEPTH = "Notch depth (mm)"


class EdgeKind(StrEnum):
    """The kind of an edge, which decides its trim."""

    GUTTER_DRIP = "drip to gutter"
    FREE_DRIP = "free drip"
    RAISED = "raised edge"
    WALL = "wall upstand"
    TILES = "under tiles"
    KERB = "kerb"


class EdgesAtOnce(StrEnum):
    """What happens at all edges of a named shape, in one cell; `taken.toml` says what each is."""

    GUTTER_ROUND = "wall behind, gutter all round"
    GUTTER_FRONT = "wall behind, gutter in front"
    WALL_LEFT = "wall behind and left, gutter in front"
    WALL_RIGHT = "wall behind and right, gutter in front"
    WALLS = "walls on three sides, gutter in front"
    FREE = "wall behind, free drip all round"
    ALONE = "no wall, gutter in front"


class Side(StrEnum):
    """The sides of a roof as seen from the garden, facing the wall."""

    BACK = "back"
    FRONT = "front"
    LEFT = "left"
    RIGHT = "right"
    NOTCH = "notch"


class Covering(StrEnum):
    """The existing covering."""

    FELT = "felt"
    FELT_CHIPPINGS = "felt with chippings"
    ASPHALT = "mastic asphalt"
    LEAD = "lead"
    SINGLE_PLY = "single ply"
    OLD_GRP = "old fibreglass"
    NONE = "none"


class Deck(StrEnum):
    """The material of the existing deck."""

    SHEET = "sheet boards"
    BOARDING = "softwood boarding"
    CHIPBOARD = "chipboard"
    WOODWOOL = "wood-wool slabs"
    CONCRETE = "concrete"


class DeckCondition(StrEnum):
    """The condition of the existing deck."""

    SOUND = "sound"
    SOFT = "soft in places"
    ROTTEN = "rotten"


class JoistRun(StrEnum):
    """The direction of the joists."""

    OUT = "wall to front"
    ALONG = "along the wall"


class BuildUp(StrEnum):
    """The ways of rebuilding a roof, priced side by side, from the least laid to the most."""

    CAP_OVER = "cap over"
    CAP_OVER_INSULATED = "cap over with insulation"
    NEW_DECK = "new deck"
    NEW_DECK_INSULATED = "new deck with insulation"


OVER_OLD_DECK = (BuildUp.CAP_OVER, BuildUp.CAP_OVER_INSULATED)
"""The build-ups under which the old deck stays, and stays hidden."""
INSULATED = (BuildUp.CAP_OVER_INSULATED, BuildUp.NEW_DECK_INSULATED)
"""The build-ups with insulation."""


class Access(StrEnum):
    """How the crew reaches the edge and works there."""

    GROUND = "from the ground"
    TOWER = "tower"
    SCAFFOLD = "scaffold"
    LADDER = "ladder"


PLATFORMS = (Access.TOWER, Access.SCAFFOLD)
"""The kinds of access that give a guarded place to stand."""


class EdgeWay(StrEnum):
    """The ways of guarding people at the edge with platforms, the least guarded first.

    Only the first leaves edges open: nobody stands on the roof, and all is done from inside the
    tower. The others guard every open edge at the same time.
    """

    ONE_TOWER = "one tower"
    TOWERS = "towers along every edge"
    SCAFFOLD = "scaffold"


class Below(StrEnum):
    """What lies below the working edge."""

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
    """The customer's answer to advised work."""

    DO_IT = "do it"
    PRICE_APART = "price it apart"
    DECLINED = "declined"


class IfLonger(StrEnum):
    """Who pays for days in the plan beyond those of the standard price."""

    CHARGE = "charge the days planned"
    KEEP = "keep the price"


class PriceBasis(StrEnum):
    """How a finding is priced."""

    FIXED = "fixed price"
    FASCIA = "fascia, per metre"
    JOIST = "joist, each"
    BOARD = "board, each"
    FIRRINGS = "firrings, per metre"


STRUCTURAL = (PriceBasis.JOIST, PriceBasis.BOARD)
"""The bases of findings that the new roof rests on unless their row says otherwise."""


class OpeningKind(StrEnum):
    """The kinds of opening in a roof."""

    ROOFLIGHT = "rooflight"
    PIPE = "pipe"
    OUTLET = "outlet"


class Vessel(StrEnum):
    """What catalyst is measured out with."""

    SYRINGE = "syringe"
    BOTTLE = "graduated bottle"


class Mixer(StrEnum):
    """Who mixes the resin."""

    PRACTISED = "a practised hand"
    BEGINNER = "a beginner"


class PartPacks(StrEnum):
    """How much of a part-used pack that keeps is charged to the job."""

    USED = "what is used"
    WHOLE = "the whole pack"


class StockCost(StrEnum):
    """The price charged to the job for van stock."""

    CHEAPEST = "the cheapest price"
    NOTHING = "nothing"


class LeadScrap(StrEnum):
    """Who keeps the scrap value of old lead."""

    KEEP = "keep"
    CREDIT = "credit the customer"


class DeckBoards(StrEnum):
    """The deck boards the firm lays."""

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
    """The calculation resin is ordered by."""

    GUIDE = "the all-in guide"
    PARTS = "the parts added up"


class Along(StrEnum):
    """What a trim goes along."""

    EDGE = "edge"
    KERB = "kerb"
    JOINT = "joint"


class ComesOff(StrEnum):
    """The parts of the old roof that are stripped."""

    COVERING = "covering"
    DECK = "deck"


class Waste(StrEnum):
    """The kinds of waste, each the key of its waste code in the reference tables."""

    FELT = "felt"
    TIMBER = "timber"
    PLASTIC = "plastic"
    LEAD = "lead"
