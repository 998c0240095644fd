"""The method statement as the crew and the landlord read it: every figure and sentence ready."""

from dataclasses import dataclass

from markupsafe import Markup

from quotegen.documents.mix_view import MixTable, mix_table
from quotegen.documents.paper import capital, listed, one_line
from quotegen.documents.signs import pictogram, pictogram_words, sign
from quotegen.documents.wording import Wording
from quotegen.model.issue import Issue
from quotegen.model.safety import (
    Known,
    Matrix,
    MethodStatement,
    Protection,
    Rating,
    Risk,
    Substance,
    WorkingLimits,
    WorkStep,
)

FIRST_EMERGENCIES = 3
SIGNING_LINES = 5


@dataclass(frozen=True, slots=True)
class Pair:
    """A name and what is said of it."""

    name: str
    words: str


@dataclass(frozen=True, slots=True)
class StepView:
    """One numbered step of the work."""

    number: str
    title: str
    lines: tuple[str, ...]
    hold_point: str


@dataclass(frozen=True, slots=True)
class RatingView:
    """A rating in words and figures."""

    band: str
    words: str


@dataclass(frozen=True, slots=True)
class RiskView:
    """One row of the risk table."""

    hazard: str
    who: str
    assumed: bool
    controls: tuple[Pair, ...]
    before: RatingView
    after: RatingView


@dataclass(frozen=True, slots=True)
class SymbolView:
    """A drawn sign with its words."""

    drawing: Markup
    words: str


@dataclass(frozen=True, slots=True)
class SubstanceView:
    """A dangerous substance with its pictograms and what to do."""

    name: str
    amount: str
    signal: str
    symbols: tuple[SymbolView, ...]
    statements: str
    paragraphs: tuple[tuple[Pair, ...], ...]


@dataclass(frozen=True, slots=True)
class MatrixRow:
    """One likelihood of the stated matrix with its band under each severity."""

    words: str
    bands: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MethodView:
    """Everything the template of the method statement shows but for the head and the plan."""

    reference: str
    revision: str
    dated: str
    site_address: str
    customer: str
    build_up: str
    accepted: bool
    job_facts: tuple[Pair, ...]
    unknown: tuple[str, ...]
    cautions: tuple[str, ...]
    injuries: tuple[str, ...]
    limits: tuple[str, ...]
    first_emergencies: tuple[Pair, ...]
    emergencies: tuple[Pair, ...]
    access: str
    access_reasons: tuple[str, ...]
    ladder: tuple[Pair, ...]
    ladder_note: str
    steps: tuple[StepView, ...]
    people: tuple[str, ...]
    mixes: tuple[MixTable, ...]
    substances: tuple[SubstanceView, ...]
    worn: tuple[SymbolView, ...]
    protection: tuple[Protection, ...]
    risks: tuple[RiskView, ...]
    severities: tuple[str, ...]
    matrix: tuple[MatrixRow, ...]
    strip: tuple[Pair, ...]
    waste_notes: tuple[str, ...]
    weight: str
    sources: tuple[str, ...]
    signing: tuple[str, ...]


def method_view(statement: MethodStatement, issue: Issue, wording: Wording) -> MethodView:
    """The method statement in ready words."""
    emergencies = tuple(Pair(name, words) for name, words in statement.emergency)
    access = statement.option.access
    return MethodView(
        reference=issue.reference,
        revision=str(issue.revision),
        dated=wording.date(statement.dated),
        site_address=one_line(statement.enquiry.site_address),
        customer=statement.enquiry.customer.name,
        build_up=str(statement.build_up),
        accepted=statement.accepted,
        job_facts=_job_facts(statement, wording),
        unknown=tuple(f.words for f in statement.facts.values() if f.known is Known.UNKNOWN),
        cautions=statement.cautions,
        injuries=tuple(capital(injury) for injury in statement.injuries),
        limits=_limits(statement.limits, wording),
        first_emergencies=emergencies[:FIRST_EMERGENCIES],
        emergencies=emergencies[FIRST_EMERGENCIES:],
        access=capital(access.chosen),
        access_reasons=access.reasons,
        ladder=_ladder(statement, wording),
        ladder_note=statement.ladder_note,
        steps=tuple(_step(number, step) for number, step in enumerate(statement.steps, 1)),
        people=statement.people,
        mixes=tuple(mix_table(mixes, wording) for mixes in statement.option.mixes),
        substances=tuple(_substance(one, wording) for one in statement.substances),
        worn=tuple(
            SymbolView(sign(key), words)
            for key, words in (
                ("eyes", "Eyes"),
                ("hands", "Hands"),
                ("breathing", "Breathing"),
                ("other", "Other"),
            )
        ),
        protection=statement.protection,
        risks=tuple(_risk(risk) for risk in statement.risks),
        severities=tuple(
            f"{number} {words}" for number, words in enumerate(statement.matrix.severity_words, 1)
        ),
        matrix=_matrix(statement.matrix),
        strip=_strip(statement, wording),
        waste_notes=statement.waste_notes,
        weight=_weight(statement, wording),
        sources=tuple(dict.fromkeys(risk.source for risk in statement.risks)),
        signing=tuple("" for _ in range(SIGNING_LINES)),
    )


def _job_facts(statement: MethodStatement, wording: Wording) -> tuple[Pair, ...]:
    enquiry, option = statement.enquiry, statement.option
    covering = str(enquiry.existing.covering or "not known")
    deck = f"{enquiry.existing.deck or 'not known'}, {enquiry.existing.condition or 'not known'}"
    height = enquiry.roof.height_mm
    below = listed([str(place) for place in enquiry.below]) if enquiry.below else "not known"
    year = enquiry.year_built
    area = wording.number(statement.take_off.outline.area_m2.number, 2)
    crew = wording.count(option.programme.crew.number, "person", "people")
    days = wording.count(option.programme.days.number, "day", "days")
    return (
        Pair("Roof", f"{enquiry.roof.kind}, {enquiry.roof.shape}, {area} m²"),
        Pair("Height to edge", wording.mm(height.number) if height else "not known"),
        Pair("Covering now", covering),
        Pair("Deck now", deck),
        Pair("Below the edge", below),
        Pair("Building", f"built {year.number:.0f}" if year else "age not known"),
        Pair("Who is there", str(enquiry.occupier or "not known")),
        Pair("Crew and time", f"{crew}, about {days}"),
    )


def _limits(limits: WorkingLimits, wording: Wording) -> tuple[str, ...]:
    least, most = wording.plain(limits.least_c.number), wording.plain(limits.most_c.number)
    margin = wording.plain(limits.dew_margin_c.number)
    lines = [
        f"Deck and air under {least} °C or over {most} °C",
        f"Deck less than {margin} °C above the dew point",
        f"Relative humidity over {wording.plain(limits.humidity_pct.number)}%",
        f"Boards wetter than {wording.plain(limits.moisture_pct.number)}%",
        f"Topcoat later than {wording.plain(limits.recoat_hours.number)} h after the laminate "
        "without abrading and wiping first",
    ]
    if limits.dew_point_c and limits.least_deck_c:
        dew = wording.number(limits.dew_point_c.number, 1)
        deck = wording.number(limits.least_deck_c.number, 1)
        lines.append(
            f"For the day expected: dew point {dew} °C, so a deck under {deck} °C. "
            "Measure again on the day"
        )
    else:
        lines.append("Air, humidity and deck not measured on the day: nothing was known beforehand")
    return tuple(lines)


def _ladder(statement: MethodStatement, wording: Wording) -> tuple[Pair, ...]:
    ladder = statement.ladder
    if ladder is None:
        return ()
    return (
        Pair("Height of the edge", f"{wording.number(ladder.height_m.number, 2)} m"),
        Pair("Foot of the ladder out", f"{wording.number(ladder.foot_out_m.number, 2)} m"),
        Pair("Ladder at least", f"{wording.number(ladder.least_length_m.number, 2)} m long"),
    )


def _step(number: int, step: WorkStep) -> StepView:
    return StepView(str(number), step.title, step.lines, step.hold_point)


def _substance(substance: Substance, wording: Wording) -> SubstanceView:
    amount = ""
    if substance.amount:
        amount = f"about {wording.rough(substance.amount.number)} {substance.amount.unit} here"
    paragraphs = (
        (
            Pair("Limits in the air", "; ".join(substance.limits)),
            Pair("Storing", " ".join(substance.storage)),
            Pair("Keep from", substance.keep_from),
        ),
        (
            Pair("Spilt", substance.spill),
            Pair("On fire", substance.fire),
            Pair("Waste", substance.waste),
        ),
        tuple(Pair(f"First aid, {route}", words) for route, words in substance.first_aid),
    )
    return SubstanceView(
        name=substance.name,
        amount=amount,
        signal=substance.signal,
        symbols=tuple(
            SymbolView(pictogram(code), pictogram_words(code)) for code in substance.pictograms
        ),
        statements="; ".join(f"{words} ({code})" for code, words in substance.statements),
        paragraphs=tuple(
            tuple(pair for pair in paragraph if pair.words) for paragraph in paragraphs
        ),
    )


def _risk(risk: Risk) -> RiskView:
    return RiskView(
        hazard=risk.hazard,
        who=risk.who,
        assumed=bool(risk.assumed),
        controls=tuple(Pair(capital(c.level), c.text) for c in risk.controls),
        before=_rating(risk.before),
        after=_rating(risk.after),
    )


def _rating(rating: Rating) -> RatingView:
    return RatingView(str(rating.band), f"{rating.likelihood} × {rating.severity}")


def _matrix(matrix: Matrix) -> tuple[MatrixRow, ...]:
    return tuple(
        MatrixRow(f"{number} {words}", tuple(str(band) for band in bands))
        for number, (words, bands) in enumerate(
            zip(matrix.likelihood_words, matrix.bands, strict=True), 1
        )
    )


def _strip(statement: MethodStatement, wording: Wording) -> tuple[Pair, ...]:
    return tuple(
        Pair(
            f"{capital(strip.words)}, about {wording.number(strip.mass_kg.number)} kg",
            f"{strip.waste_words}, {strip.waste_code}"
            + ("; hazardous waste, kept apart" if strip.hazardous else ""),
        )
        for strip in statement.option.strip
    )


def _weight(statement: MethodStatement, wording: Wording) -> str:
    change = statement.option.weight_change_pct
    if change is None:
        return ""
    way = "heavier" if change.number > 0 else "lighter"
    return f"The finished roof is about {wording.number(abs(change.number))}% {way} than before."
