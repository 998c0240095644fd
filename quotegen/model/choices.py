"""Enumerations: the choices a cell may hold, and the keys that lines are joined by."""

from enum import StrEnum

from quotegen.reference.remarks import RemarkKey


class CustomerKind(StrEnum):
    """Who is asking, and will pay."""

    HOME_OWNER = "home-owner"
    LANDLORD = "landlord"
    AGENT = "agent"
    TRADE = "trade"


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


class Task(RemarkKey):
    """The tasks hours are counted for, in order of work; a task may occur several times."""

    SET_UP = "set-up"
    TOWER = "tower"
    MOVE_TOWER = "move-tower", "phase"
    COME_BACK = "come-back"
    CLOSE_UP = "close-up"
    STRIP_COVERING = "strip-covering", "old"
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
    TRIM = "trim", "edge"
    CORNERS = "corners"
    MITRES = "mitres"
    MADE_UP = "made-up"
    BANDAGE = "bandage"
    FLASHING = "flashing"
    LEAD = "lead"
    KERBS = "kerbs"
    PIPES = "pipes"
    OUTLETS = "outlets"
    EXPANSION = "expansion"
    TEST_MIX = "test-mix", "coat"
    LAMINATE = "laminate"
    SAND = "sand"
    TOPCOAT = "topcoat"
    GUTTER = "gutter"
    TILES = "tiles"
    FOUND = "found", "advised"
    WAIT = "wait"
    TRAVEL = "travel"


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


class Agreed(RemarkKey):
    """Work that may prove necessary once the roof is open, with a rate agreed in advance."""

    FASCIA = "fascia"
    JOIST = "joist"
    BOARD = "board"
    FIRRINGS = "firrings"


class RateFor(RemarkKey):
    """What a rate agreed in advance is for: work by the unit, or what is bought whole for it."""

    WORK = "work", "what"
    PACK = "pack", "what", "size"
    LENGTH = "length", "what", "size", "unit"


class Amount(RemarkKey):
    """Amounts of a price that are not a stage of the work."""

    SMALL_JOB = "small-job"
    SCRAP = "scrap"


class Impossible(RemarkKey):
    """The reasons sizes cannot make the shape they are given for."""

    FRONT_WIDE = "front-wide"
    SET_BACK_WIDE = "set-back-wide"
    BOW_DEEP = "bow-deep"
    NOTCH_LARGE = "notch-large"
    FIVE_FACETS = "five-facets", "rows"
    NO_FRONT = "no-front"


class JobNote(RemarkKey):
    """What the owner should know about a build-up."""

    NEAR_MISS = "near-miss", "short"
    TRIM_NEAR = "trim-near", "less", "edge", "saved", "money"
    TRIM_NEAR_EACH = "trim-near-each", "less", "edges", "saved", "money"
    HEIGHT_NOT_KNOWN = "height-not-known"
    LEAD_UNPRICED = "lead-unpriced", "mass"
    LEAD_CREDITED = "lead-credited", "mass", "worth"
    LEAD_KEPT = "lead-kept", "mass", "worth"
    VAN_SHORT = "van-short", "item"


class WasteReason(RemarkKey):
    """Why the waste leaves by van or in a skip."""

    TOO_MUCH = "too-much"
    SKIP_CHEAPER = "skip-cheaper"
    VAN_CHEAPER = "van-cheaper"
    NO_SKIP = "no-skip"


class Included(RemarkKey):
    """Work the price of an option may include."""

    ACCESS_LADDER = "access-ladder"
    ACCESS_GROUND = "access-ground"
    ACCESS_TOWER = "access-tower"
    ACCESS_TOWER_MOVED = "access-tower-moved"
    ACCESS_TOWER_EDGE = "access-tower-edge"
    ACCESS_TOWERS = "access-towers", "towers"
    ACCESS_SCAFFOLD = "access-scaffold"
    BARRIERS = "barriers"
    LICENCE = "licence"
    STRIP = "strip", "old"
    DECK_UP = "deck-up"
    CAP = "cap", "board"
    NEW_DECK = "new-deck", "board"
    INSULATION_ON_NEW = "insulation-on-new", "thickness"
    INSULATION_ON_OLD = "insulation-on-old", "thickness"
    BOARD_OVER_INSULATION = "board-over-insulation", "board"
    EDGE_TIMBER = "edge-timber"
    EDGE_AND_KERB_TIMBER = "edge-and-kerb-timber"
    TRIMS = "trims", "bandaged"
    TRIMS_SLIT = "trims-slit", "bandaged"
    TRIMS_SHORT = "trims-short", "bandaged"
    EXPANSION = "expansion", "length"
    FLASHING = "flashing"
    LEAD_BACK = "lead-back"
    KERBS = "kerbs"
    PIPES = "pipes"
    OUTLETS = "outlets"
    LAMINATE = "laminate", "mat", "colour"
    LAMINATE_NO_COLOUR = "laminate-no-colour", "mat"
    LAMINATE_LAYERS = "laminate-layers", "layers", "mat", "colour"
    LAMINATE_LAYERS_NO_COLOUR = "laminate-layers-no-colour", "layers", "mat"
    GUTTER = "gutter", "length"
    TILES = "tiles", "length"
    FOUND = "found", "advised"
    RESTED_ON = "rested-on", "advised"
    EXTRA = "extra", "words"


class Undone(RemarkKey):
    """What an option may leave undone, or must tell the customer."""

    COVERING_STAYS = "covering-stays"
    DECK_STAYS = "deck-stays"
    FALL_STAYS = "fall-stays"
    NO_INSULATION = "no-insulation"
    LEAD_STAYS = "lead-stays"
    GLAZING_STAYS = "glazing-stays"
    UPSTAND = "upstand", "left", "least"
    DECLINED = "declined", "advised"


class AdviceKey(RemarkKey):
    """Why an option is advised, and what speaks against it: the rules of `advice.toml`."""

    DECK_NOT_SOUND = "deck-not-sound"
    DECK_NOT_SEEN = "deck-not-seen"
    BOARDS_FOUND = "boards-found"
    CHECK_WANTED = "check-wanted"
    LOW_UPSTAND = "low-upstand", "left", "least"
    NOT_MEASURED = "upstand-not-measured"
    ASKED_FOR = "insulation-asked-for"
    SETTLED = "insulation-settled"
    LOW_AND_CHECK = "insulation-low-and-check"
    NEEDS_CHECK = "insulation-needs-check"
    TOO_LOW = "insulation-low-upstand"
    PRICED = "insulation-priced"
    NOT_PRICED = "insulation-not-priced"
    PERHAPS = "insulation-perhaps"
    NEEDLESS = "insulation-needless"
    DECK_COMES_UP = "deck-comes-up", "condition"
    NOT_SEEN_COMES_UP = "deck-not-seen-comes-up"
    NO_DECK_YET = "no-deck-yet"
    BOARDS_COME_UP = "boards-found-come-up"
    SPARES_CHECK = "spares-check"
    NO_EXTRA = "no-extra", "years", "fewer"
    SMALL_EXTRA = "small-extra", "extra", "years", "fewer"
    LARGE_EXTRA = "large-extra", "extra"
    DECK_SOUND = "deck-sound"
    NEW_DECK = "new-deck"


class TakenKey(RemarkKey):
    """A blank cell that costs money or safety, and what a price takes it as."""

    FRONT = "front", "front", "cant"
    BUILD_UP = "build-up", "build_up"
    WALL_JOINT = "wall-joint"
    HEIGHT = "height", "access"
    BELOW = "below"
    LAYERS = "layers"
    OPENINGS = "openings"
    GUTTER = "gutter"
    TILES = "tiles"
    UPSTAND = "upstand"
    LEVEL_DROP = "level-drop"
    YEAR_BUILT = "year-built"
    TRAVEL = "travel", "minutes"
