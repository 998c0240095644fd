"""The keys of the rule tables that the program itself asks for, by table.

Titles and sentences of a rule table may be reworded at any time, so nothing is joined by them. Each
key here must be in its table, or the table is refused when read.
"""

from enum import StrEnum

from quotegen.reference.remarks import RemarkKey


class EmergencyKey(StrEnum):
    """Emergencies of `emergency.toml` shown on a front page or a card, or cited in another rule."""

    IN_EYE = "in-eye"
    RING_999 = "ring-999"
    NEAREST_HOSPITAL = "nearest-hospital"
    HOT_BUCKET = "hot-bucket"
    FIRE = "fire"
    AFTERWARDS = "afterwards"


SHORT_ON_CARD = (EmergencyKey.IN_EYE, EmergencyKey.FIRE)
"""Emergencies with a short form on the site card."""

IN_FULL_ON_SHEET = (*SHORT_ON_CARD, EmergencyKey.AFTERWARDS)
"""Emergencies that the standing sheet has in full, not only what follows on them."""

ON_FRONT_PAGE = (*SHORT_ON_CARD, EmergencyKey.RING_999, EmergencyKey.NEAREST_HOSPITAL)
"""Emergencies on the site card, the front page of the method statement."""

ON_MIX_CARD = (EmergencyKey.IN_EYE, EmergencyKey.RING_999, EmergencyKey.HOT_BUCKET)
"""Emergencies on the mix card."""


class BeforeKey(StrEnum):
    """What a job may have to wait for: rows of `prestart.toml`, by their workbook names."""

    ACCEPTANCE = "acceptance"
    CANCELLATION = "cancellation"
    DEPOSIT = "deposit"
    COLOUR = "colour"
    SURVEY = "survey"
    STRUCTURE = "structure"
    CONTROL = "building-control"
    LICENCE = "licence"
    CABLES = "cables"
    NEIGHBOUR = "neighbour"
    SCAFFOLDER = "scaffolder"


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
    TAKES_FIRE = "takes-fire"


class VanPart(StrEnum):
    """The parts of the van list that the firm's own kit stands in, in the order printed."""

    WRONG = "wrong"
    WEAR = "wear"
    MIXING = "mixing"
    METERS = "meters"
    CLOSE = "close"
    TOOLS = "tools"
    PAPERS = "papers"


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
    GUARDED_AT_ONCE = "guarded-at-once"
    NO_ROOM = "no-room"
    NO_GROUND = "no-ground"
    LONG_EDGE = "long-edge", "edge", "towers"
    CURVED_EDGE = "curved-edge"
    OUT_OF_REACH = "out-of-reach", "reach"
    TILES_ABOVE = "tiles-above"
    CABLES_IN_DOUBT = "cables-in-doubt"
    HEIGHT_IN_DOUBT = "height-in-doubt"
    ROOM_IN_DOUBT = "room-in-doubt"
    GROUND_IN_DOUBT = "ground-in-doubt"
    IN_REACH = "in-reach", "reach", "place"
    MOVED_ALONG = "moved-along", "reach", "places"
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
    CABLES = "cables"
    TOO_LONG = "too-long", "task", "minutes", "short_limit"
    TOO_LONG_EVEN_SO = "too-long-even-so", "task", "minutes", "long_limit"


class Told(RemarkKey):
    """The parts of `told.toml` that the owner or the customer is told."""

    HEAVIER = "heavier", "change", "load"
    LIGHTER = "lighter", "change"
    LOAD = "load", "load"
    LOAD_ON_JOISTS = "load-on-joists", "load", "depth", "width", "centres", "span"
    OFF_VAN = "off-van", "item"
    SKIP_PERMIT = "skip-permit"
    MIXED_WASTE = "mixed-waste", "code"


class LadderSentence(RemarkKey):
    """Sentences of `ladder_use.toml`."""

    GROUND = "ground"
    TOWER = "tower"
    SCAFFOLD = "scaffold"
    LADDER = "ladder"
    MEASURE_FIRST = "measure-first", "rise", "projection"
    LANDINGS = "landings", "landing"
    CLIMBED = "climbed", "projection"


class GloveSentence(RemarkKey):
    """Sentences of `gloves.toml`."""

    FOR_TASK = "for-task", "materials", "level", "spell", "against", "letters"
    FOR_TASK_UNMARKED = "for-task-unmarked", "materials", "level", "spell", "against"
    FOR_ALL = "for-all", "material", "letters", "level"
    FOR_ALL_UNMARKED = "for-all-unmarked", "material", "level"
    FOR_NONE = "for-none"


class AirSentence(RemarkKey):
    """Sentences of `air.toml`."""

    NEVER_MEASURED = "never-measured"
    MEASURED = "measured", "found", "long", "short"
    MEASURED_TOO_MUCH = "measured-too-much", "found", "long", "short"


class LimitSentence(RemarkKey):
    """Sentences of `limits.toml`."""

    TEMPERATURE = "temperature", "least", "most"
    TOPCOAT = "topcoat", "least"
    DEW_POINT = "dew-point", "margin"
    HUMIDITY = "humidity", "humidity"
    MOISTURE = "moisture", "moisture"
    RAIN = "rain"
    RECOAT = "recoat", "recoat"
    EXPECTED_DECK = "expected-deck", "dew", "deck"
    NOT_MEASURED = "not-measured"
    LOOK_UP_DEW = "look-up-dew", "margin"
    EXPECTED_DEW = "expected-dew", "least", "margin"
    TOO_COLD = "too-cold", "deck"
    READ_AGAIN = "read-again"
    ABRADE_ALL = "abrade-all", "recoat"
    ABRADE_FIRST = "abrade-first"
    DO_NOT_START = "do-not-start", "why"
    NO_DRY_HOURS = "no-dry-hours", "part"
    NO_DRY_HOURS_IN_A_ROW = "no-dry-hours-in-a-row", "part"
    NO_FORECAST = "no-forecast"
    CANNOT_BE_KEPT = "cannot-be-kept"
    NO_START = "no-start"
    NO_START_WHY = "no-start-why", "why"
    NOT_COVERED = "not-covered"
    BY_THE_CLOCK = "by-the-clock"
    TOPCOAT_BY = "topcoat-by", "time"
    READ_HIGHER = "read-higher"
    TEST_MIX_ROW = "test-mix-row", "coat", "litres"
    BREAK_ROW = "break-row"
    OPEN_TODAY = "open-today", "area"
    LIGHT = "light", "rises", "sets", "last"
    DARK_STOPS = "dark-stops"
    GUST_TO = "gust-to", "gust"
    GUST_UNKNOWN = "gust-unknown"
    WIND_STOPS = "wind-stops", "boards", "edge"
    WIND_STOPS_TOWER = "wind-stops-tower", "boards", "edge", "steady"


class EdgeSentence(RemarkKey):
    """Sentences of `edge.toml`."""

    AWAY_FROM_EDGE = "away-from-edge", "zone"
    NOWHERE_AWAY = "nowhere-away", "zone"
    WITHIN_DISTANCE = "within-distance", "out"
    WITHIN_BARRIERS = "within-barriers"
    NOT_MEASURED = "not-measured"
    PLATFORM_AT = "platform-at", "up", "below", "top"
    PLATFORM_NOT_MEASURED = "platform-not-measured", "below"
    ALL_SIDES = "all-sides"
    OUTER_SIDES = "outer-sides", "rail"
    CARRIES = "carries", "load_class", "load", "mass"
    CARRIES_STACKED = "carries-stacked", "load_class", "load", "mass"
    BRICK_GUARDS = "brick-guards"
    HIRED = "hired", "up", "top", "sides", "rails", "load_class", "load", "guards"
    HIRED_NOT_MEASURED = (
        "hired-not-measured",
        "below",
        "sides",
        "rails",
        "load_class",
        "load",
        "guards",
    )
    HIRED_RAILS = "hired-rails", "toe", "rails"
    HIRED_ALL_SIDES = "hired-all-sides"
    HIRED_OUTER_SIDES = "hired-outer-sides", "rail"
    SCAFFOLD_STANDS = "scaffold-stands", "first", "last"
    TOWER_ONE_DAY = "tower-one-day", "day"
    TOWER_STANDS = "tower-stands", "first", "last"
    HEIGHT_FIRST = "height-first", "share", "least"
    KEPT_CLEAR = "kept-clear", "out", "barrier"
    KEPT_CLEAR_OR_SHEETED = "kept-clear-or-sheeted", "out", "barrier"
    KEPT_CLEAR_TOWER = "kept-clear-tower", "out", "barrier"
    BEFORE_USE = "before-use"
    BEFORE_USE_ON = "before-use-on", "day"
    INSPECTED_AFTER_WIND = "inspected-after-wind", "first"
    INSPECTED_ON = "inspected-on", "dates", "spare", "every"
    INSPECTED_EVERY = "inspected-every", "first", "every"
    REPORT = "report", "hours", "months"


class MixSentence(RemarkKey):
    """Sentences of `mixing.toml`."""

    DO_NOT_MIX = "do-not-mix"
    MEASURE = "measure"
    WARMER = "warmer"
    SMALL_MIX_FIRST = "small-mix-first", "below", "above", "litres", "doses"
    DOSE_RANGE = "dose-range", "low", "high", "density", "least", "most", "vessel", "mark"
    POT_LIFE = "pot-life", "give"
    DATA_SHEET_FIRST = "data-sheet-first"
    LARGEST_MIX = "largest-mix", "litres"
    TEST_FIRST = "test-first", "deck"
    EXPECTED_NOT_MIXED = "expected-not-mixed", "deck", "no_mix"
    GO_BY = "go-by", "deck", "column"
    GO_BY_TEST_FIRST = "go-by-test-first", "deck", "column"
    HOTTER_TABLE = "hotter-table"
    GOGGLES_ON = "goggles-on"
    BOTTLE_OPENED = "bottle-opened"
    TEST_MIX_APART = "test-mix-apart"
    OPEN_BOTTLE = "open-bottle"
    NEVER_CATALYST = "never-catalyst", "what"
    NEVER_WITH = "never-with", "what"
    CAN_EXPLODE = "can-explode", "never"


class SheetSentence(RemarkKey):
    """Sentences and titles of `sheet.toml`."""

    WHAT_IT_IS = "what-it-is"
    WHAT_APPLIES = "what-applies"
    PRACTICE = "practice"
    SUBSTANCES = "substances"
    WORN = "worn"
    EMERGENCY = "emergency"
    MARKS = "marks"
    STORED = "stored"
    WASTE = "waste"
    LAW = "law"
    RATINGS = "ratings"
    DOUBT = "doubt"
    AS_KNOWN = "as-known", "name", "day"
    CHEMICAL_GLOVES = "chemical-gloves"
    WORK_GLOVES = "work-gloves"


class CardSentence(RemarkKey):
    """Sentences of `card.toml`: the short forms of the site card."""

    TEMPERATURE = "temperature", "least", "most"
    TOPCOAT = "topcoat", "least"
    DEW_POINT = "dew-point", "margin"
    HUMIDITY = "humidity", "humidity"
    MOISTURE = "moisture", "moisture"
    RAIN = "rain"
    RECOAT = "recoat", "recoat"
    EXPECTED_DECK = "expected-deck", "dew", "deck"
    NOT_MEASURED = "not-measured"
    WIND_BOARDS = "wind-boards", "boards"
    WIND_EDGE = "wind-edge", "edge"
    WIND_TOWER = "wind-tower", "edge", "steady"
    OTHERWISE = "otherwise"
    EYE = "eye", "eye_minutes"
    FIRE = "fire"
    RING_999 = "ring-999", "address"
    OFF_THE_ROOF = "off-the-roof"
    FROM_GROUND = "from-ground"
    FROM_LADDER = "from-ladder"
    ON_THE_ROOF = "on-the-roof"
    RAILS = "rails", "toe", "rails", "gap"
    WEAK = "weak"
    NO_START = "no-start", "what"
    NO_START_MANY = "no-start-many", "what"
    HOLDS = "holds", "count"
    ASBESTOS = "asbestos"
    NOT_KNOWN = "not-known", "count"
    OTHER_DECKS = "other-decks"
    DECK_NOT_FORECAST = "deck-not-forecast"


class OpeningSentence(RemarkKey):
    """Sentences of `openings.toml`."""

    BOARD_ROOFLIGHT = "board-rooflight", "place"
    BOARD_ROUND = "board-round", "place"
    MARK_ONE = "mark-one", "what"
    MARK_EACH = "mark-each", "what"
    NOT_SAID = "not-said"
    KEEP_OPEN = "keep-open"
    NEVER_IN = "never-in"


class JobSentence(RemarkKey):
    """Sentences of `job.toml`."""

    NOBODY_NAMED = "nobody-named"
    MIXES_ON_CARD = "mixes-on-card"
    STORED = "stored", "there"
    STORED_BROUGHT = "stored-brought", "brought", "there"
    STORED_KEPT = "stored-kept", "kept"
    STORED_LAST = "stored-last"
    STORES_APART = "stores-apart", "apart", "stores"
    UPSTAND_LEFT = "upstand-left", "left"
    TIMBER_CODE = "timber-code", "code", "treated"
    OLD_TIMBER_CODE = "old-timber-code", "treated", "code"
    TAR_CODE = "tar-code", "tar", "code"
    HEAVIER = "heavier", "change", "load"
