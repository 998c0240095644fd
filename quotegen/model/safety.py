"""Safety on the job: facts, hazards, controls, substances, steps and limits."""

from collections.abc import Mapping
from datetime import date
from enum import StrEnum

from msgspec import Struct

from quotegen.model.choices import BuildUp
from quotegen.model.days import WorkPlan
from quotegen.model.enquiry import Enquiry
from quotegen.model.issue import Issue
from quotegen.model.prestart.record import BeforeStart
from quotegen.model.settings import Settings
from quotegen.model.takeoff import OptionTakeOff, Phase, TakeOff
from quotegen.reference.rule_keys import VanPart
from quotegen.working import Figure


class Known(StrEnum):
    """Knowledge of a fact; unknown counts as yes wherever yes is the dangerous answer."""

    YES = "yes"
    NO = "no"
    UNKNOWN = "not known"


class Level(StrEnum):
    """How a control works, in order of preference."""

    ELIMINATE = "remove"
    SUBSTITUTE = "replace"
    ENGINEER = "keep apart"
    ADMINISTER = "organise"
    PROTECT = "wear"


class Fact(Struct, frozen=True):
    """A named fact of the job that rules depend on, and the evidence for it.

    `ask` means that somebody has to be asked; other facts are seen by looking.
    """

    key: str
    words: str
    ask: bool
    known: Known
    seen: str

    @property
    def present(self) -> bool:
        """Whether the fact is present or not known to be absent."""
        return self.known is not Known.NO


class Band(StrEnum):
    """The outcome of a rating on the matrix."""

    LOW = "low"
    MEDIUM = "medium"
    HIGH = "high"


class Rating(Struct, frozen=True):
    """Likelihood and severity, each 1 to 3, and their band on the matrix."""

    likelihood: int
    severity: int
    band: Band


class Matrix(Struct, frozen=True):
    """The risk matrix as printed: bands by likelihood (rows) and severity (columns)."""

    likelihood_words: tuple[str, ...]
    severity_words: tuple[str, ...]
    bands: tuple[tuple[Band, ...], ...]


class Control(Struct, frozen=True):
    """One measure against a hazard, and how it works.

    `number` is its paragraph of the standing sheet, empty where it names a figure of the job.
    """

    level: Level
    text: str
    number: str = ""


class Risk(Struct, frozen=True):
    """A hazard of this job: who may be harmed, the controls, the rating before and after.

    `injury` is the harm in a few words; among equal ratings the one that happens more `often` is
    named first. `because` holds the keys of the facts that brought the hazard in, `assumed` those
    among them that are unknown and treated as present. `steps` are the keys of the steps of the
    work that keep to its controls.
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
    steps: tuple[str, ...] = ()


class Note(Struct, frozen=True):
    """A note of a rule table as it applies to this job: its text and the title above it.

    `number` is its paragraph of the standing sheet, empty where it has none; that of an emergency
    says what follows.
    """

    key: str
    title: str
    text: str
    number: str = ""


class LawNote(Struct, frozen=True):
    """A legal or local requirement beside the work, to be checked locally.

    `checked` is the day it was last read, None where it is from memory; `number` is its paragraph
    of the standing sheet.
    """

    key: str
    title: str
    text: str
    checked: date | None
    number: str = ""


class SheetLine(Struct, frozen=True):
    """One numbered paragraph of the standing sheet, with the words it begins with, if any."""

    number: str
    title: str
    text: str


class Ladder(Struct, frozen=True):
    """The leaning ladder that reaches the edge or the platform: its geometry and its load.

    `landings` means that it rises far enough to need resting places on the way.
    """

    height_m: Figure
    foot_out_m: Figure
    least_length_m: Figure
    rise_m: Figure
    landings: bool
    load_kg: Figure
    rating_kg: Figure


class KeepOut(Struct, frozen=True):
    """The exclusion strip below the work, and the barriers round it."""

    out_m: Figure
    barrier_m: Figure


class Inspections(Struct, frozen=True):
    """When the platform is inspected, and what becomes of the report.

    `weekly` is False where nobody can fall far enough for the law to require an inspection every
    `every_days`. `dates` are the first use and each date due while the platform stands, with one
    more in case it stands longer; empty while the start is unknown.
    """

    weekly: bool
    every_days: Figure
    after_days: Figure | None
    dates: tuple[date, ...]
    report_hours: Figure
    kept_months: Figure


class Substance(Struct, frozen=True):
    """A dangerous substance on this job and how to handle it; its data sheet takes precedence.

    `short` is its name in a list of others, `amount` the quantity the job takes and `does` what it
    can do to people, in words. Spill, fire and first aid say only what differs from the general
    emergencies. `keep_from` is all it must not meet, `never_near` what explodes or takes fire.
    `number` is its paragraph of the standing sheet.
    """

    key: str
    name: str
    short: str
    signal: str
    pictograms: tuple[str, ...]
    statements: tuple[tuple[str, str], ...]
    limits: tuple[str, ...]
    amount: str
    does: str
    storage: tuple[str, ...]
    mixing: str
    keep_from: str
    never_near: str
    spill: str
    fire: str
    first_aid: tuple[tuple[str, str], ...]
    waste: str
    number: str = ""


class Protection(Struct, frozen=True):
    """Protective equipment for one task.

    `gloves` says what chemical gloves must hold out against, empty where none are worn; `number` is
    the paragraph of the standing sheet on hands and body.
    """

    key: str
    task: str
    eyes: str
    gloves: str
    hands: str
    breathing: str
    other: str
    number: str = ""


class WorkStep(Struct, frozen=True):
    """One step of the work; a hold point is a condition to be met before going on.

    `on_sheet` are its lines that stand on the standing sheet.
    """

    key: str
    title: str
    phase: Phase
    lines: tuple[str, ...]
    hold_point: str
    on_sheet: tuple[SheetLine, ...] = ()


class Kit(Struct, frozen=True):
    """A thing of the firm's own that goes on the van, and how many of it.

    `phases` are the parts of the work on whose days it is needed; without any, every day.
    """

    key: str
    part: VanPart
    words: str
    many: int
    phases: tuple[Phase, ...]


class WorkingLimits(Struct, frozen=True):
    """The conditions for laminating: temperatures, damp, and the day's expected dew point.

    `dew_point_c` and `least_deck_c` are None when air temperature or humidity is unknown: they must
    then be measured on the day.
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
    """The method statement for one enquiry, written for one build-up.

    `accepted` is False while the customer has not chosen; it is then written for the build-up that
    lays most. `before` is what it waits for. `notice` is what the occupants are asked to do, `care`
    how to look after the finished roof, `asked`, by item, what the merchant is asked for beyond the
    item's name, and `kit` what of the firm's own goes on the van. `sheet` are the marks of the
    standing sheet whose paragraphs it names, known once that has been issued.
    """

    enquiry: Enquiry
    take_off: TakeOff
    option: OptionTakeOff
    settings: Settings
    dated: date
    accepted: bool
    facts: Mapping[str, Fact]
    days: WorkPlan
    before: BeforeStart
    ladder: Ladder | None
    ladder_note: str
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
    waste: tuple[Note, ...]
    law: tuple[LawNote, ...]
    cautions: tuple[str, ...]
    photos: tuple[str, ...]
    notice: tuple[Note, ...]
    care: tuple[Note, ...]
    asked: Mapping[str, str]
    kit: tuple[Kit, ...]
    sheet: Issue | None = None

    @property
    def build_up(self) -> BuildUp:
        """The build-up the statement is written for."""
        return self.option.build_up


class Notice(Struct, frozen=True):
    """Whether HSE must be notified of the project, by our part of it and the published limits."""

    days: Figure
    people: Figure
    person_days: Figure
    days_limit: Figure
    people_limit: Figure
    person_days_limit: Figure
    due: bool


class PlanEntry(Struct, frozen=True):
    """One heading of the construction phase plan with the sentences under it."""

    key: str
    title: str
    texts: tuple[str, ...]


class ConstructionPlan(Struct, frozen=True):
    """The construction phase plan of one enquiry, which refers to its method statement.

    `dangers` are the risks rated highest before controls; `particular` names the work for which the
    law requires specific measures. `checked` is the oldest day on which any rule that has been read
    was read.
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


class SheetSection(Struct, frozen=True):
    """A section of the standing sheet; `who` are those whom its hazard can hurt."""

    number: str
    title: str
    who: str
    lines: tuple[SheetLine, ...]


class StandingSheet(Struct, frozen=True):
    """The firm's standing safety sheet: what no job changes, in numbered paragraphs.

    `ref` is what it is filed under; `substances` are those of the section numbered `labels_at`, in
    the same order. `first` is any enquiry of the workbook: a fault in what the firm gives is placed
    by it.
    """

    ref: str
    settings: Settings
    first: Enquiry
    intro: tuple[str, ...]
    sections: tuple[SheetSection, ...]
    labels_at: str
    substances: tuple[Substance, ...]
    matrix: Matrix
