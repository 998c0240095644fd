"""How not to hurt anyone on this job: facts, hazards, controls, substances, steps and limits."""

from collections.abc import Mapping
from datetime import date
from enum import StrEnum

from msgspec import Struct

from quotegen.model.access import GuardRails
from quotegen.model.choices import BuildUp
from quotegen.model.days import WorkPlan
from quotegen.model.enquiry import Enquiry
from quotegen.model.settings import Settings
from quotegen.model.takeoff import OptionTakeOff, Phase, TakeOff
from quotegen.working import Figure


class Known(StrEnum):
    """What is known of a fact; unknown counts as yes wherever yes is the dangerous answer."""

    YES = "yes"
    NO = "no"
    UNKNOWN = "not known"


class Level(StrEnum):
    """How a control works, in the order in which controls are to be preferred."""

    ELIMINATE = "remove"
    SUBSTITUTE = "replace"
    ENGINEER = "keep apart"
    ADMINISTER = "organise"
    PROTECT = "wear"


class Fact(Struct, frozen=True):
    """A named fact of the job on which rules depend, and what it was taken from.

    `ask` says that somebody has to be asked for it; the others are seen by looking.
    """

    key: str
    words: str
    ask: bool
    known: Known
    seen: str

    @property
    def present(self) -> bool:
        """True unless the fact is known to be absent."""
        return self.known is not Known.NO


class Band(StrEnum):
    """What a rating comes to on the matrix."""

    LOW = "low"
    MEDIUM = "medium"
    HIGH = "high"


class Rating(Struct, frozen=True):
    """Likelihood and severity, each 1 to 3, and the band they fall in on the matrix."""

    likelihood: int
    severity: int
    band: Band


class Matrix(Struct, frozen=True):
    """The matrix as stated on the paper: bands by likelihood (rows) and severity (columns)."""

    likelihood_words: tuple[str, ...]
    severity_words: tuple[str, ...]
    bands: tuple[tuple[Band, ...], ...]


class Control(Struct, frozen=True):
    """One thing that is done about a hazard, and how it works."""

    level: Level
    text: str


class Risk(Struct, frozen=True):
    """A hazard this job has: who may be harmed, what is done, and the rating before and after.

    `injury` is what it does to someone, in a few words; among equal ratings the one that happens
    more `often` is named first. `because` are the keys of the facts that brought it in; `assumed`
    of those that are not known and are treated as so.
    """

    key: str
    hazard: str
    who: str
    injury: str
    controls: tuple[Control, ...]
    before: Rating
    after: Rating
    often: int
    because: tuple[str, ...]
    assumed: tuple[str, ...]


class Note(Struct, frozen=True):
    """A note of a rule table as this job has it: what is said, and the title it stands under."""

    key: str
    title: str
    text: str


class LawNote(Struct, frozen=True):
    """What the law or the place asks beside the work, as known on a day; to be checked locally."""

    key: str
    title: str
    text: str
    checked: date


class Ladder(Struct, frozen=True):
    """The leaning ladder that reaches the edge or the platform: its geometry and what it carries.

    `landings` says that it rises so far that it needs places to rest on the way.
    """

    height_m: Figure
    foot_out_m: Figure
    least_length_m: Figure
    rise_m: Figure
    landings: bool
    load_kg: Figure
    rating_kg: Figure


class KeepOut(Struct, frozen=True):
    """The strip below the work that people are kept out of, and the barriers round it."""

    out_m: Figure
    barrier_m: Figure


class Inspections(Struct, frozen=True):
    """When the platform is inspected, and what becomes of the report.

    `weekly` is False where nobody can fall far enough for the law to ask for one every
    `every_days`. `dates` are the first use and each date due while it stands, with one more in
    case it stands longer; none while the start is not known.
    """

    weekly: bool
    every_days: Figure
    after_days: Figure | None
    dates: tuple[date, ...]
    report_hours: Figure
    kept_months: Figure


class Substance(Struct, frozen=True):
    """A dangerous substance on this job and how to treat it; its data sheet comes first.

    `short` is what it is called in a row of others, `amount` what the job takes, in words. Spill,
    fire and first aid say only what differs from the emergencies that hold for all.
    """

    key: str
    name: str
    short: str
    signal: str
    pictograms: tuple[str, ...]
    statements: tuple[tuple[str, str], ...]
    limits: tuple[str, ...]
    amount: str
    storage: tuple[str, ...]
    mixing: str
    keep_from: str
    spill: str
    fire: str
    first_aid: tuple[tuple[str, str], ...]
    waste: str


class Protection(Struct, frozen=True):
    """What to wear for one task, with the standards' marks."""

    key: str
    task: str
    eyes: str
    hands: str
    breathing: str
    other: str


class WorkStep(Struct, frozen=True):
    """One step of the work; a hold point is what must be true before going on."""

    key: str
    title: str
    phase: Phase
    lines: tuple[str, ...]
    hold_point: str


class WorkingLimits(Struct, frozen=True):
    """When laminating is allowed: temperatures, damp, and the dew point for the day expected.

    `dew_point_c` and `least_deck_c` are None when air temperature or humidity is unknown: then
    they must be measured on the day.
    """

    least_c: Figure
    most_c: Figure
    humidity_pct: Figure
    moisture_pct: Figure
    dew_margin_c: Figure
    dew_point_c: Figure | None
    least_deck_c: Figure | None
    recoat_hours: Figure


class MethodStatement(Struct, frozen=True):
    """The whole method statement for one enquiry, written for one build-up.

    `accepted` is False while the customer has not chosen; it is then written for the build-up
    that lays most. `notice` is what those in the building are asked, `care` how the roof is looked
    after once it is finished; `asked`, by item, what the merchant is asked for beyond its name.
    """

    enquiry: Enquiry
    take_off: TakeOff
    option: OptionTakeOff
    settings: Settings
    dated: date
    accepted: bool
    facts: Mapping[str, Fact]
    days: WorkPlan
    ladder: Ladder | None
    ladder_note: str
    rails: GuardRails
    keep_out: KeepOut | None
    inspections: Inspections | None
    limits: WorkingLimits
    injuries: tuple[str, ...]
    steps: tuple[WorkStep, ...]
    risks: tuple[Risk, ...]
    matrix: Matrix
    substances: tuple[Substance, ...]
    protection: tuple[Protection, ...]
    marks: tuple[Note, ...]
    stored: tuple[Note, ...]
    emergency: tuple[Note, ...]
    people: tuple[str, ...]
    waste_notes: tuple[str, ...]
    law: tuple[LawNote, ...]
    cautions: tuple[str, ...]
    photos: tuple[str, ...]
    notice: tuple[Note, ...]
    care: tuple[Note, ...]
    asked: Mapping[str, str]

    @property
    def build_up(self) -> BuildUp:
        """The build-up the statement is written for."""
        return self.option.build_up


class Notice(Struct, frozen=True):
    """Whether HSE has to be told of the project, by our part of it and the published limits."""

    days: Figure
    people: Figure
    person_days: Figure
    days_limit: Figure
    people_limit: Figure
    person_days_limit: Figure
    due: bool


class PlanEntry(Struct, frozen=True):
    """One heading of the construction phase plan with the sentences that stand under it."""

    key: str
    title: str
    texts: tuple[str, ...]


class ConstructionPlan(Struct, frozen=True):
    """The construction phase plan of one enquiry, beside the method statement it points to.

    `dangers` are the risks rated highest before anything is done; `particular` names the work for
    which the law asks for measures of its own. `checked` is the day on which the rule
    looked at longest ago was last checked against its source.
    """

    statement: MethodStatement
    notice: Notice
    notice_lines: tuple[str, ...]
    people: tuple[PlanEntry, ...]
    running: tuple[PlanEntry, ...]
    welfare: tuple[PlanEntry, ...]
    site_rules: tuple[str, ...]
    emergency: tuple[PlanEntry, ...]
    dangers: tuple[Risk, ...]
    particular: tuple[str, ...]
    signing: tuple[PlanEntry, ...]
    checked: date
