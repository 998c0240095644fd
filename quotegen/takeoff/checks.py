"""Checks of what the facts of a job forbid or require, apart from its quantities."""

from collections.abc import Sequence

from quotegen import wording
from quotegen.model.access import AccessPlan
from quotegen.model.choices import (
    INSULATED,
    Covering,
    Deck,
    EdgeKind,
    OpeningKind,
    PriceBasis,
)
from quotegen.model.enquiry import Enquiry
from quotegen.model.roof import Outline
from quotegen.model.settings import DefaultedSettings
from quotegen.model.takeoff import ResinPlan
from quotegen.problems import Place, Problem, problem
from quotegen.reference import loader as reference
from quotegen.reference.remarks import written
from quotegen.reference.rule_keys import LadderGround
from quotegen.takeoff.access.access import licence_not_known
from quotegen.takeoff.access.guard_rails import check_rails
from quotegen.takeoff.access.ladder_limits import LEANING, ladder_load
from quotegen.takeoff.basis.job import Job
from quotegen.takeoff.layers.thermal import rise_mm
from quotegen.takeoff.shape.expansion_lines import joint_m
from quotegen.takeoff.shape.fall import check_fall
from quotegen.takeoff.shape.openings import check_places
from quotegen.takeoff.shape.outline import difference
from quotegen.takeoff.table_checks import check_tables
from quotegen.units import Unit, mm_to_m, round_half_up
from quotegen.working import Figure, chosen, derive

_LEAST_DECK_M2 = 0.05


def check_enquiry(enquiry: Enquiry, outline: Outline, settings: DefaultedSettings) -> list[Problem]:
    """The problems of an enquiry, whichever build-up is chosen."""
    return [
        *_unknown_for_price(enquiry),
        *_deck_kind(enquiry),
        *_openings(enquiry, outline),
        *check_places(enquiry, outline),
        *check_fall(enquiry, outline),
        *_expansion(enquiry, outline),
        *_temperature(enquiry, settings),
    ]


def check_job(
    job: Job, access: AccessPlan, weight_change: Figure | None, load: Figure | None
) -> list[Problem]:
    """The problems of one build-up."""
    return [
        *_span(job),
        *_upstand(job),
        *_access(job, access),
        *_ladder_load(job, access),
        *_weight(job, weight_change, load),
    ]


def check_laminate(job: Job, resin: ResinPlan) -> list[Problem]:
    """Warnings of an unusual laminate; outside the usual range a setting may be wrong."""
    checked = (
        (resin.glass_pct, "usual_laminate.glass_pct"),
        (resin.film_mm, "usual_laminate.topcoat_film_mm"),
    )
    problems = []
    for figure, dotted in checked:
        least, most = reference.entry(dotted).value
        if not least <= figure.number <= most:
            found = problem(
                "laminate-unusual",
                job.enquiry.place,
                seen=f"{wording.plain(figure.number)} {figure.unit}",
                ref=job.enquiry.ref,
                words=figure.name,
                least=least,
                most=most,
            )
            problems.append(found)
    return problems


def check_settings(settings: DefaultedSettings, book: str) -> list[Problem]:
    """Settings that contradict one another or a published value; each stops every paper."""
    number = settings.number
    wrong = [
        ("topcoat_warm_c", number("topcoat_warm_c") <= number("topcoat_cold_c"), "topcoat_cold_c"),
        ("hot_batch_limit_l", number("hot_batch_limit_l") > number("batch_limit_l"),
         "batch_limit_l"),
        ("mat_lap_mm", number("mat_lap_mm") >= number("mat_roll_mm"), "mat_roll_mm"),
        ("trim_lap_mm", number("trim_lap_mm") >= number("trim_length_mm"), "trim_length_mm"),
        ("test_mix_below_c", number("test_mix_below_c") >= number("test_mix_above_c"),
         "test_mix_above_c"),
        ("vessel_holds_ml", not _whole_times(number("vessel_holds_ml"), number("vessel_mark_ml")),
         "vessel_mark_ml"),
    ]  # fmt: skip
    contradicting = [
        problem("settings-contradict", Place(book, "Rates"), seen=code, other=other)
        for code, is_wrong, other in wrong
        if is_wrong
    ]
    return [*contradicting, *check_tables(settings, book), *check_rails(settings, book)]


def _whole_times(whole: float, part: float) -> bool:
    """Whether a vessel is full at one of its marks."""
    return round_half_up(whole, part) == whole


def span_limit_mm(board_mm: float, limits_mm: Sequence[Sequence[float]]) -> float:
    """Greatest joist centres for a board: the row of the thickest board not above it, else 0.

    Inputs [mm] and rows of (thickness, centres) [mm], result [mm].

    >>> span_limit_mm(18, [[15, 450], [18, 600]]), span_limit_mm(11, [[15, 450]])
    (600.0, 0.0)
    """
    return float(
        max((centres for thickness, centres in limits_mm if thickness <= board_mm), default=0)
    )


def _unknown_for_price(enquiry: Enquiry) -> list[Problem]:
    existing = enquiry.existing
    unknown = []
    if existing.covering is None:
        unknown.append("the existing covering")
    if existing.deck is None and existing.covering is not Covering.NONE:
        unknown.append("the existing deck")
    if enquiry.insulation_mm is None and any(one in INSULATED for one in enquiry.build_ups):
        unknown.append("the thickness of the insulation")
    unknown += [
        f"the price of “{finding.advised}”"
        for finding in enquiry.findings
        if any(finding.is_done_in(build_up) for build_up in enquiry.build_ups)
        and (
            finding.fixed_price is None
            if finding.basis is PriceBasis.FIXED
            else finding.basis is None or finding.quantity is None
        )
    ]
    return [
        problem("fact-needed-for-price", enquiry.place, ref=enquiry.ref, words=words)
        for words in unknown
    ]


def _deck_kind(enquiry: Enquiry) -> list[Problem]:
    deck = enquiry.existing.deck
    if deck not in (Deck.CONCRETE, Deck.WOODWOOL):
        return []
    return [problem("deck-not-ours", enquiry.place, seen=str(deck), ref=enquiry.ref)]


def _openings(enquiry: Enquiry, outline: Outline) -> list[Problem]:
    xs, ys = zip(*outline.points, strict=True)
    wide, deep = sorted((max(xs) - min(xs), max(ys) - min(ys)), reverse=True)
    problems = []
    area_m2 = 0.0
    for opening in enquiry.openings:
        if opening.kind is not OpeningKind.ROOFLIGHT:
            continue
        if opening.length_mm is None or opening.width_mm is None:
            continue
        longer, shorter = sorted((opening.length_mm.number, opening.width_mm.number), reverse=True)
        area_m2 += opening.count.number * mm_to_m(longer) * mm_to_m(shorter)
        too_much = outline.area_m2.number - area_m2 < _LEAST_DECK_M2
        if longer >= wide or shorter >= deep or too_much:
            problems.append(problem("opening-too-large", opening.place, ref=enquiry.ref))
    return problems


def _expansion(enquiry: Enquiry, outline: Outline) -> list[Problem]:
    area_m2 = float(reference.entry("flat_roofs.one_piece_m2").value)
    run_m = float(reference.entry("flat_roofs.one_run_m").value)
    joints_m = joint_m(outline)
    if joints_m is None:
        return []
    longest_m = max(mm_to_m(edge.length.number) for edge in outline.edges)
    found = problem(
        "expansion-joint",
        enquiry.place,
        seen=f"{wording.number(outline.area_m2.number, 1)} m2, {wording.number(longest_m, 1)} m",
        ref=enquiry.ref,
        area_m2=area_m2,
        run_m=run_m,
        joints=f"{wording.number(joints_m.number, 1)} m",
    )
    return [found]


def _temperature(enquiry: Enquiry, settings: DefaultedSettings) -> list[Problem]:
    """A deck on which nothing may be laid, or laminate but no topcoat."""
    least, most = settings.number("resin_least_c"), settings.number("resin_most_c")
    coats_from = settings.number("topcoat_least_c")
    if enquiry.deck_c is None:
        return []
    deck_c = enquiry.deck_c.number
    place, seen, ref = enquiry.place, wording.exact(deck_c), enquiry.ref
    if not least <= deck_c <= most:
        limits = {"least": wording.exact(least), "most": wording.exact(most)}
        return [problem("temperature-outside-limits", place, seen, ref, **limits)]
    if deck_c < coats_from:
        return [problem("topcoat-too-cold", place, seen, ref, least=wording.exact(coats_from))]
    return []


def _span(job: Job) -> list[Problem]:
    if not job.layers.new_decks:
        return []
    board_mm = job.enquiry.board_mm.number
    limits = reference.entry("deck_boards.span_limits_mm").value
    limit_mm = span_limit_mm(board_mm, limits)
    centres = job.enquiry.roof.joist_centres_mm
    widest_mm = max(centre for _, centre in limits)
    if (centres.number if centres else widest_mm) <= limit_mm:
        return []
    found = problem(
        "deck-too-thin",
        job.enquiry.place,
        seen=f"{wording.mm(centres.number)}" if centres else "a distance nobody has measured",
        ref=job.enquiry.ref,
        thickness_mm=board_mm,
        limit_mm=limit_mm,
    )
    return [found]


def upstand_left_mm(job: Job) -> Figure | None:
    """The height of wall upstand left above the new roof [mm]; None where not measured."""
    upstand = job.enquiry.roof.upstand_mm
    if upstand is None or not job.outline.edges_of(EdgeKind.WALL):
        return None
    rise = chosen(
        "rise of the build-up", rise_mm(job), Unit.MM, "the boards and insulation it adds"
    )
    return derive("upstand left at the wall", Unit.MM, difference, whole=upstand, part=rise)


def _upstand(job: Job) -> list[Problem]:
    left_mm = upstand_left_mm(job)
    least_mm = float(reference.entry("flat_roofs.upstand_mm").value)
    if left_mm is None or left_mm.number >= least_mm:
        return []
    found = problem(
        "upstand-too-low",
        job.enquiry.place,
        seen=f"{wording.mm(left_mm.number)}",
        ref=job.enquiry.ref,
        build_up=str(job.build_up),
        least_mm=least_mm,
    )
    return [found]


def _access(job: Job, access: AccessPlan) -> list[Problem]:
    """Access: a ladder refused or allowed, a safer way than asked for, an unpriced licence."""
    enquiry, asked = job.enquiry, job.enquiry.access_at or job.enquiry.place
    ladder = access.ladder
    if ladder and ladder.refusals:
        from quotegen.reference import rules  # noqa: PLC0415 - most jobs ask for no ladder

        grounds = rules.sentence_words(LadderGround)
        why = "; ".join(written(refusal, grounds) for refusal in ladder.refusals)
        return [problem("ladder-refused", asked, ref=enquiry.ref, why=why)]
    if ladder:
        guide = float(reference.entry("ladders.short_minutes").value)
        minutes = ladder.longest_min.number
        code = "ladder-worked-from" if minutes <= guide else "ladder-for-long"
        return [
            problem(code, asked, ref=enquiry.ref, task=ladder.task, minutes=minutes, guide=guide)
        ]
    problems = []
    if enquiry.access not in (None, access.chosen):
        problems.append(
            problem(
                "access-raised",
                asked,
                seen=str(enquiry.access),
                ref=enquiry.ref,
                chosen=str(access.chosen),
            )
        )
    if licence_not_known(job, access):
        problems.append(problem("below-not-known", enquiry.place, ref=enquiry.ref))
    return problems


def _ladder_load(job: Job, access: AccessPlan) -> list[Problem]:
    """The load on our own ladder or the scaffolder's, against its rating."""
    load, rating = ladder_load(job.settings), reference.figure("ladders.load_kg")
    if access.chosen not in LEANING or load.number <= rating.number:
        return []
    found = problem(
        "ladder-overloaded",
        job.enquiry.place,
        seen=f"{wording.number(load.number)} kg",
        ref=job.enquiry.ref,
        rating=rating.number,
    )
    return [found]


def _weight(job: Job, change: Figure | None, load: Figure | None) -> list[Problem]:
    limit_pct = job.settings.number("weight_change_pct")
    if change is None or load is None or change.number <= limit_pct:
        return []
    found = problem(
        "weight-change",
        job.enquiry.place,
        seen=f"{wording.number(change.number)} %",
        ref=job.enquiry.ref,
        build_up=str(job.build_up),
        limit_pct=limit_pct,
        load=f"{wording.number(load.number, 2)} kN/m2",
    )
    return [found]
