"""The method statement as a PDF: for the crew, the landlord and whoever has to be shown it.

The method statement as the crew and the landlord read it: every figure and sentence ready.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from quotegen import wording
from quotegen.days.first_day import first_day_of
from quotegen.documents.drawing.day_chart import clock, why_refused
from quotegen.documents.drawing.roof_view import below_words, plan_within
from quotegen.documents.drawing.signs import SymbolView, sign
from quotegen.documents.printing.design import Design
from quotegen.documents.printing.paper import PictureBox
from quotegen.documents.safety.access_view import access_rows, ladder_pairs
from quotegen.documents.safety.site_card import site_card_view
from quotegen.documents.safety.substance_view import KeptView, kept_view
from quotegen.documents.shared.before_words import hold_lines
from quotegen.documents.shared.first_day_words import first_day_words, standing_of, unchosen_words
from quotegen.documents.shared.remark_words import said
from quotegen.documents.shared.risk_view import Pair, RiskView, cited, risk_view
from quotegen.model.choices import Household, Occupier, Waste
from quotegen.model.days import WorkDay
from quotegen.model.enquiry import Enquiry
from quotegen.model.issue import Issue
from quotegen.model.safety import Known, MethodStatement, Note, Protection, WorkStep
from quotegen.model.takeoff import Lift, Phase, Strip
from quotegen.phrases import capital, listed
from quotegen.reference.loader import entry
from quotegen.reference.rule_keys import (
    IN_FULL_ON_SHEET,
    ON_FRONT_PAGE,
    AccessReason,
    JobSentence,
    LimitSentence,
    SheetSentence,
)
from quotegen.safety.rules.hazards import unknown_worst_first
from quotegen.safety.rules.text import told

SIGNING_SPARE = 1
_ELSEWHERE = (*ON_FRONT_PAGE, *IN_FULL_ON_SHEET)
"""The emergencies on the first page or in full on the standing sheet."""


class StepView(Struct, frozen=True):
    """One numbered step of the work; `sheet` are the paragraphs that say how it is always done."""

    number: str
    title: str
    lines: tuple[str, ...]
    sheet: str
    hold_point: str


class DaysView(Struct, frozen=True):
    """When the work is done: the days in words, or why it is not begun."""

    words: str
    refused: str


class UnknownView(Struct, frozen=True):
    """What is not known of the job and is found out in one way."""

    title: str
    words: tuple[str, ...]


class MethodView(Struct, frozen=True):
    """Everything the template of the method statement shows but for the card and the plan.

    `marks`, `road`, `dusts`, `law`, `waste_rules` and `follows` are paragraphs of the standing
    sheet.
    """

    customer: str
    build_up: str
    area: str
    unchosen: str
    sheet: str
    job_facts: tuple[Pair, ...]
    crew: str
    days: DaysView
    unknown: tuple[UnknownView, ...]
    cautions: tuple[str, ...]
    emergencies: tuple[Pair, ...]
    on_card: str
    follows: str
    access: str
    access_reasons: tuple[str, ...]
    ladder: tuple[Pair, ...]
    access_rows: tuple[Pair, ...]
    ladder_note: str
    steps: tuple[StepView, ...]
    people: tuple[str, ...]
    substances: tuple[KeptView, ...]
    dusts: str
    stored: tuple[Pair, ...]
    road: str
    worn: tuple[SymbolView, ...]
    protection: tuple[Protection, ...]
    marks: str
    risks: tuple[RiskView, ...]
    waste: tuple[Pair, ...]
    waste_notes: tuple[str, ...]
    waste_rules: str
    lifts: tuple[Pair, ...]
    law: str
    signing: tuple[str, ...]


def method_view(statement: MethodStatement, issue: Issue) -> MethodView:
    """The method statement in ready words; what its first page has is not printed again."""
    access, card = statement.option.access, site_card_view(statement, issue)
    return MethodView(
        customer=statement.enquiry.customer.name,
        build_up=str(statement.build_up),
        area=f"{wording.number(statement.take_off.outline.area_m2.number, 2)} m²",
        unchosen=unchosen_words(statement),
        sheet=_sheet_marks(statement.sheet),
        job_facts=_job_facts(statement),
        crew=_crew(statement),
        days=_days(statement),
        unknown=tuple(_unknown(statement)),
        cautions=(
            *(line for line in hold_lines(statement.before) if line not in card.holds),
            *statement.cautions,
        ),
        emergencies=_pairs(
            one for one in statement.emergency if one.key not in (*ON_FRONT_PAGE, *IN_FULL_ON_SHEET)
        ),
        on_card=", ".join(one.title for one in statement.emergency if one.key in ON_FRONT_PAGE),
        follows=cited(one.number for one in statement.emergency),
        access=capital(access.chosen),
        access_reasons=tuple(
            said(one) for one in access.reasons if one.key is not AccessReason.FALLS_PREVENTED
        ),
        ladder=ladder_pairs(statement),
        access_rows=access_rows(statement),
        ladder_note=statement.ladder_note,
        steps=tuple(_step(number, step) for number, step in enumerate(statement.steps, 1)),
        people=statement.people,
        substances=tuple(kept_view(one) for one in statement.substances if one.amount),
        dusts=cited(one.number for one in statement.substances),
        stored=_pairs(one for one in statement.stored if not one.number),
        road=cited(one.number for one in statement.stored),
        worn=tuple(
            SymbolView(sign(key), words)
            for key, words in (
                ("eyes", "Eyes"),
                ("breathing", "Breathing"),
                ("hands", "Gloves"),
            )
        ),
        protection=tuple(map(_worn, statement.protection)),
        marks=cited(one.number for some in (statement.protection, statement.marks) for one in some),
        risks=tuple(risk_view(risk, statement.steps) for risk in statement.risks),
        waste=_waste(statement),
        waste_notes=_waste_notes(statement),
        waste_rules=cited(one.number for one in statement.waste),
        lifts=_lifts(statement.option.lifts),
        law=cited(one.number for one in statement.law),
        signing=("",) * int(statement.option.programme.crew.number + SIGNING_SPARE),
    )


def _sheet_marks(sheet: Issue | None) -> str:
    """The revision of the standing sheet and its day; empty while it has not been issued."""
    return f"revision {sheet.revision}, {wording.date(sheet.issued)}" if sheet else ""


def _worn(task: Protection) -> Protection:
    """A task with the kind of its gloves; which ones, and what else is worn, is on the sheet."""
    kind = SheetSentence.CHEMICAL_GLOVES if task.gloves else SheetSentence.WORK_GLOVES
    return replace(task, hands=told(kind))


def _pairs(notes: Iterable[Note]) -> tuple[Pair, ...]:
    return tuple(Pair(note.title, note.text) for note in notes)


def _job_facts(statement: MethodStatement) -> tuple[Pair, ...]:
    enquiry = statement.enquiry
    covering = str(enquiry.existing.covering or "not known")
    deck = f"{enquiry.existing.deck or 'not known'}, {enquiry.existing.condition or 'not known'}"
    height = enquiry.roof.height_mm
    year = enquiry.year_built
    age = f"built {wording.year(year.number)}" if year else "age not known"
    return (
        Pair("Edge at", wording.mm(height.number) if height else "not known"),
        Pair("Below it", below_words(enquiry)),
        Pair("Now there", f"{covering} on {deck}"),
        Pair("Building", f"{age}; {_who(enquiry)}"),
    )


def _crew(statement: MethodStatement) -> str:
    """How many people for how many days."""
    programme = statement.option.programme
    crew = wording.count(programme.crew.number, "person", "people")
    if statement.days.forecast and statement.days.refused is None:
        on_site = len(statement.days.worked)
        return f"{crew}, on site on {wording.count(on_site, 'day', 'days')} by the forecast"
    return f"{crew}, about {wording.count(programme.days.number, 'day', 'days')} of work"


def _days(statement: MethodStatement) -> DaysView:
    """The worked days with the hours of laying and coating; one line for the front page."""
    plan, first = statement.days, first_day_of(statement)
    if plan.refused is not None:
        return DaysView("", told(LimitSentence.DO_NOT_START, why=why_refused(plan.refused)))
    if not plan.forecast:
        return DaysView(f"{first_day_words(first)}; {told(LimitSentence.NO_FORECAST)}.", "")
    days = (
        ", ".join((wording.short_day(day.day), *_laid(day)))
        for day in plan.worked
        if day.day is not None
    )
    return DaysView(f"{standing_of(first)}: {'; '.join(days)}", "")


def _laid(day: WorkDay) -> Iterator[str]:
    """When resin or topcoat is laid on a day."""
    for spell in day.spells:
        if spell.phase in (Phase.LAY, Phase.COAT):
            yield f"{spell.phase} {clock(spell.span.from_h)} to {clock(spell.span.to_h)}"


def _who(enquiry: Enquiry) -> str:
    """By what right the building is used, and who is in it that needs more care."""
    occupier = enquiry.occupier or "not known"
    if enquiry.occupier is Occupier.EMPTY:
        return str(occupier)
    named = [str(who) for who in enquiry.household if who is not Household.NONE]
    if not enquiry.household:
        return f"{occupier}, household not known"
    return f"{occupier}, {listed(named)}" if named else str(occupier)


def _unknown(statement: MethodStatement) -> Iterator[UnknownView]:
    """What is not known, by how it is found out, the worst first."""
    unknown = unknown_worst_first(statement.facts, statement.risks)
    for title, ask in (("Look first", False), ("Ask first", True)):
        words = tuple(capital(fact.words) for fact in unknown if fact.ask is ask)
        if words:
            yield UnknownView(title, words)


def _step(number: int, step: WorkStep) -> StepView:
    sheet = cited(line.number for line in step.on_sheet)
    return StepView(str(number), step.title, step.lines, sheet, step.hold_point)


def _waste(statement: MethodStatement) -> tuple[Pair, ...]:
    """What comes off, with the code it leaves under; that of what we bring stands on the sheet."""
    return tuple(
        Pair(
            f"{capital(strip.words)}, about {wording.number(strip.mass_kg.number)} kg",
            _code(strip, statement),
        )
        for strip in statement.option.strip
    )


def _waste_notes(statement: MethodStatement) -> tuple[str, ...]:
    """What is said of the waste of this job alone, and of the weight of the roof."""
    weight = _weight(statement)
    notes = tuple(one.text for one in statement.waste if not one.number)
    return (*notes, weight) if weight else notes


def _code(strip: Strip, statement: MethodStatement) -> str:
    """The waste code of what comes off; the hazardous one as long as nobody has tested it."""
    code = f"{strip.waste_code}, {strip.waste_words}"
    treated = entry("waste_codes.timber_treated")
    if strip.waste is Waste.TIMBER:
        if statement.facts["before_2007"].present:
            return told(JobSentence.OLD_TIMBER_CODE, treated=treated.value, code=code)
        return told(JobSentence.TIMBER_CODE, code=code, treated=treated.value)
    tar = entry("waste_codes.felt_coal_tar")
    if strip.waste is not Waste.FELT or statement.facts["coal_tar"].known is Known.NO:
        return code
    return told(JobSentence.TAR_CODE, tar=tar.value, code=strip.waste_code)


def _lifts(lifts: Sequence[Lift]) -> tuple[Pair, ...]:
    """What one person may not lift alone, by how it is lifted, the heaviest way first."""
    aid = [lift for lift in lifts if lift.aid]
    two = [lift for lift in lifts if not lift.aid and lift.people.number > 1]
    ways = (("Aid, or cut down first", aid), ("Two people", two))
    return tuple(
        Pair(name, "; ".join(_lifted(lift) for lift in found)) for name, found in ways if found
    )


def _lifted(lift: Lift) -> str:
    return f"{lift.words}, {wording.number(lift.mass_kg.number)} kg"


def _weight(statement: MethodStatement) -> str:
    """By how much more the joists carry, and the load; empty if no heavier or not known."""
    change, load = statement.option.weight_change_pct, statement.option.load_kn_m2
    if change is None or load is None or change.number <= 0:
        return ""
    by = f"{wording.number(change.number)}%"
    return told(JobSentence.HEAVIER, change=by, load=wording.number(load.number, 2))


_PLAN_WIDTH_MM = 44.0
_PLAN_HEIGHT_MM = 36.0


def _fill(statement: MethodStatement, issue: Issue, _box: PictureBox) -> Mapping[str, Any]:
    return {
        "card": site_card_view(statement, issue),
        "method": method_view(statement, issue),
        "plan": plan_within(statement.take_off, _PLAN_WIDTH_MM, _PLAN_HEIGHT_MM),
    }


METHOD = Design(
    "Method statement",
    "safety/method.html",
    lambda statement: (statement.enquiry, statement.settings),
    _fill,
)
