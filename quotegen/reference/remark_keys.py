"""The keys of what the take-off and the offer tell a person; the words are in house tables."""

from quotegen.reference.remarks import RemarkKey


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
    ROOM = "room"
    LAYERS = "layers"
    OPENINGS = "openings"
    GUTTER = "gutter"
    TILES = "tiles"
    UPSTAND = "upstand"
    LEVEL_DROP = "level-drop"
    YEAR_BUILT = "year-built"
    TRAVEL = "travel", "minutes"
