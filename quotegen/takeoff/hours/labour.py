"""Hours by task, each from its rate and difficulty."""

from collections.abc import Mapping, Sequence

from quotegen.model.access import AccessPlan
from quotegen.model.choices import Access, Covering, EdgeKind, OpeningKind, WallJoint
from quotegen.model.settings import Mixed
from quotegen.model.takeoff import Labour, Phase, Stage, WastePlan
from quotegen.reference.remark_keys import Task
from quotegen.takeoff.basis.job import Job, kerb_lengths_mm, opening_count, total_length_m
from quotegen.takeoff.basis.task_names import task_name
from quotegen.takeoff.hours.agreed import agreed_labour
from quotegen.takeoff.hours.difficulty import carrying, difficulty, facets, shaping
from quotegen.takeoff.hours.elapsed import closing, travelling, waiting
from quotegen.takeoff.hours.hours import (
    area_hours,
    count_hours,
    laminate_hours,
    strip_hours,
    test_mix_hours,
    trim_hours,
)
from quotegen.takeoff.hours.moving import moving_labour
from quotegen.takeoff.hours.programme import (
    VISITS_LINE,
    crew_on_job,
    laid_out,
    plan_programme,
    visits,
)
from quotegen.takeoff.layers.deck import DeckPlan, needs_noggins, open_edge_m
from quotegen.takeoff.layers.thermal import layers_mm
from quotegen.takeoff.layers.trial_mix import wants_test_mix
from quotegen.takeoff.shape.outline import difference
from quotegen.takeoff.strip.strip import old_words
from quotegen.takeoff.strip.waste import run_labour
from quotegen.takeoff.trims.expansion import expansion_labour
from quotegen.takeoff.trims.trim_fixings import bandage_m
from quotegen.takeoff.trims.trim_plan import flashing_m, has_flashing
from quotegen.takeoff.trims.trims import TrimWork
from quotegen.units import Unit
from quotegen.working import Figure, chosen, derive, from_line, total

_STRIP_RATES: Mapping[Covering, tuple[str, ...]] = {
    Covering.FELT: ("hours_strip_felt",),
    Covering.FELT_CHIPPINGS: ("hours_strip_felt", "hours_strip_chippings"),
    Covering.ASPHALT: ("hours_strip_asphalt",),
    Covering.LEAD: ("hours_strip_lead",),
    Covering.SINGLE_PLY: ("hours_strip_single_ply",),
    Covering.OLD_GRP: ("hours_strip_old_grp",),
}
_EDGE_RATES: Mapping[EdgeKind, str] = {
    EdgeKind.GUTTER_DRIP: "hours_edge_trim",
    EdgeKind.FREE_DRIP: "hours_edge_trim",
    EdgeKind.RAISED: "hours_edge_trim",
    EdgeKind.WALL: "hours_wall_trim",
    EdgeKind.TILES: "hours_flat_trim",
    EdgeKind.KERB: "hours_flat_trim",
}


def labour_lines(job: Job, access: AccessPlan, roof_tasks: Sequence[Labour]) -> tuple[Labour, ...]:
    """All tasks of the build-up by one way of working at the edge, in order of work.

    Setting up comes before the tasks at the roof; waiting or coming back, and travel, come at the
    end.
    """
    tasks = [line for line in (*_setting_up(job, access), *roof_tasks) if line.hours.number]
    tasks += _until_hard(job, tasks)
    return (*tasks, *travelling(job, plan_programme(job, tasks)))


def tasks_at_roof(
    job: Job, work: TrimWork, deck: DeckPlan, access: AccessPlan, leaving: WastePlan
) -> tuple[Labour, ...]:
    """The tasks at the roof with their person-hours; the same from a tower as from a scaffold.

    Each includes its difficulty. Carrying away is kept for the wait; nothing is chased or refitted
    over wet laminate: common practice, no source.
    """
    carried = carrying(job, access)
    return (
        *_stripping(job, difficulty(carried)),
        *run_labour(job, leaving),
        *_on_the_joists(job, deck),
        *_decking(job, difficulty([*carried, *shaping(job)])),
        *_insulating(job, difficulty([*carried, *shaping(job)])),
        *_trims(job, facets(job)),
        *_edges(job, work, deck),
        *expansion_labour(job),
        *_laminating(job),
        *_refitting(job),
        *agreed_labour(job.enquiry, job.settings, job.build_up),
    )


def _until_hard(job: Job, tasks: list[Labour]) -> list[Labour]:
    """What the curing of the laminate takes: the wait on the day, or coming back on another.

    And closing up on every evening until it is hard.
    """
    comes, crew = visits(job, tasks), crew_on_job(job)
    lines = waiting(job, crew) if comes.number == 1 else _coming_back(job, comes)
    by_days = [line for line in (*tasks, *lines) if not line.by_the_hour]
    return [*lines, *closing(laid_out(job, by_days, comes), crew)]


def _coming_back(job: Job, comes: Figure) -> list[Labour]:
    first = chosen("first visit", 1.0, Unit.DAYS, "set up already")
    named = from_line(comes, VISITS_LINE)
    again = derive("return visits", Unit.DAYS, difference, whole=named, part=first)
    hours = job.settings["hours_return"]
    back = _by_count(Task.COME_BACK, Stage.ACCESS, again, hours, Phase.RETURN)
    return [back] if back.hours.number else []


def _setting_up(job: Job, access: AccessPlan) -> list[Labour]:
    settings = job.settings
    lines = [
        Labour(
            Task.SET_UP,
            task_name(Task.SET_UP),
            Stage.ACCESS,
            settings[f"hours_setup_{job.enquiry.roof.kind}"],
            Phase.SET_UP,
        )
    ]
    if access.chosen is Access.TOWER:
        tower = settings["hours_tower"]
        lines.append(_by_count(Task.TOWER, Stage.ACCESS, access.towers, tower, Phase.SET_UP))
    lines += moving_labour(job, access)
    return lines


def _stripping(job: Job, harder: Figure) -> list[Labour]:
    covering = job.enquiry.existing.covering
    lines = []
    if covering is not None and job.layers.strips_covering and covering in _STRIP_RATES:
        layers = job.enquiry.existing.layers or chosen("layers", 1.0, Unit.LAYERS, "not known: one")
        rates = [job.settings[code] for code in _STRIP_RATES[covering]]
        strip = derive(
            "strip",
            Unit.PERSON_HOURS,
            strip_hours,
            area_m2=job.deck_m2,
            layers=layers,
            layer_hours_per_m2=rates[0],
            dressing_hours_per_m2=rates[1:],
            difficulty=harder,
            least_hours=job.settings["hours_strip_least"],
        )
        task = task_name(Task.STRIP_COVERING, old=old_words(covering))
        lines.append(Labour(Task.STRIP_COVERING, task, Stage.STRIP, strip))
    if job.layers.strips_deck:
        lines.append(_by_area(job, Task.STRIP_DECK, Stage.STRIP, "hours_strip_deck", harder=harder))
    if lines:
        lines.append(
            _by_area(
                job,
                Task.CARRY_AWAY,
                Stage.STRIP,
                "hours_waste",
                "hours_waste_least",
                harder,
                Phase.WASTE,
            )
        )
    return lines


def _on_the_joists(job: Job, deck: DeckPlan) -> list[Labour]:
    """The tasks before any board is carried up."""
    lines = []
    if job.layers.strips_deck or job.layers.new_decks > int(job.layers.insulation):
        lines.append(_by_area(job, Task.JOIST_CHECK, Stage.DECK, "hours_joist_check"))
    if needs_noggins(job, deck):
        rate = job.settings["hours_noggin"]
        lines.append(_by_count(Task.NOGGINS, Stage.DECK, deck.long_joints_m, rate))
    return lines


def _decking(job: Job, harder: Figure) -> list[Labour]:
    lines = []
    if job.layers.cap_boards:
        lines.append(_by_area(job, Task.CAP, Stage.DECK, "hours_cap", harder=harder))
    over = int(job.layers.insulation)
    on_joists = job.layers.new_decks - over
    for key in (*(Task.DECK,) * on_joists, *(Task.DECK_OVER_INSULATION,) * over):
        lines.append(_by_area(job, key, Stage.DECK, "hours_deck", "hours_deck_least", harder))
    return lines


def _insulating(job: Job, harder: Figure) -> list[Labour]:
    if not job.layers.insulation:
        return []
    laid = [
        _by_area(job, Task.INSULATION, Stage.INSULATION, "hours_insulation", harder=harder)
        for _ in layers_mm(job.enquiry) or [None]
    ]
    rate = job.settings["hours_edge_timber"]
    timber = _by_count(Task.EDGE_TIMBER, Stage.INSULATION, open_edge_m(job), rate)
    return [*laid, timber]


def _trims(job: Job, slower: list[Figure]) -> list[Labour]:
    settings = job.settings
    lines = []
    for edge in job.outline.edges:
        rate = settings[_EDGE_RATES[edge.kind]]
        if edge.curve:
            parts = [rate, settings["hours_bow_trim"]]
            rate = derive("trim on a curve", Unit.PERSON_HOURS_PER_M, total, parts=parts)
        hours = derive(
            f"trim at {edge.name}",
            Unit.PERSON_HOURS,
            trim_hours,
            length_mm=edge.length,
            hours_per_m=rate,
            difficulty=difficulty(slower),
        )
        lines.append(Labour(Task.TRIM, task_name(Task.TRIM, edge=edge.name), Stage.EDGES, hours))
    return lines


def _edges(job: Job, work: TrimWork, deck: DeckPlan) -> list[Labour]:
    settings = job.settings
    pre_formed = chosen(
        "pre-formed corners",
        float(sum(work.pre_formed.values())),
        Unit.EACH,
        "counted on the outline",
    )
    corner, mitre, made_up = (settings[f"hours_{made}"] for made in ("corner", "mitre", "made_up"))
    lines = [
        _by_count(Task.CORNERS, Stage.EDGES, pre_formed, corner),
        _by_count(Task.MITRES, Stage.EDGES, work.mitres, mitre),
        _by_count(Task.MADE_UP, Stage.EDGES, work.made_up, made_up),
        _by_count(
            Task.BANDAGE,
            Stage.EDGES,
            bandage_m(job, work, deck),
            settings["hours_bandage"],
            Phase.LAY,
        ),
    ]
    walls_m = job.edge_length_m(EdgeKind.WALL)
    if has_flashing(job):
        rate = settings["hours_flashing"]
        lines.append(_by_count(Task.FLASHING, Stage.EDGES, flashing_m(job), rate, Phase.FLASH))
    elif job.enquiry.wall_joint is WallJoint.KEEP_LEAD:
        dress = settings["hours_lead_dress"]
        lines.append(_by_count(Task.LEAD, Stage.EDGES, walls_m, dress, Phase.DRESS))
    kerbs_m = derive(
        "rooflight kerbs",
        Unit.M,
        total_length_m,
        lengths_mm=kerb_lengths_mm(job.enquiry, job.settings),
    )
    pipes, outlets = (
        opening_count(job.enquiry, kind) for kind in (OpeningKind.PIPE, OpeningKind.OUTLET)
    )
    for key, number, rate_code in (
        (Task.KERBS, kerbs_m, "hours_kerb"),
        (Task.PIPES, pipes, "hours_pipe"),
        (Task.OUTLETS, outlets, "hours_outlet"),
    ):
        lines.append(_by_count(key, Stage.EDGES, number, settings[rate_code], Phase.LAY))
    return lines


def _laminating(job: Job) -> list[Labour]:
    settings = job.settings
    laminate = derive(
        "laminate",
        Unit.PERSON_HOURS,
        laminate_hours,
        area_m2=job.laminate_m2,
        layers=job.enquiry.mat_layers,
        hours_per_m2=settings["hours_laminate_cut_up" if job.cut_up else "hours_laminate"],
        least_hours=settings["hours_laminate_least"],
    )
    return [
        *_test_mixes(job),
        Labour(Task.LAMINATE, task_name(Task.LAMINATE), Stage.LAMINATE, laminate, Phase.LAY),
        _by_area(
            job,
            Task.SAND,
            Stage.LAMINATE,
            "hours_sand",
            "hours_sand_least",
            phase=Phase.SAND,
        ),
        Labour(
            Task.TOPCOAT,
            task_name(Task.TOPCOAT),
            Stage.LAMINATE,
            derive(
                "topcoat",
                Unit.PERSON_HOURS,
                area_hours,
                area_m2=job.topcoat_m2,
                hours_per_m2=settings["hours_topcoat"],
                difficulty=difficulty([]),
                least_hours=settings["hours_topcoat_least"],
            ),
            Phase.COAT,
        ),
    ]


def _test_mixes(job: Job) -> list[Labour]:
    """The test mixes that a cold or hot deck asks for, one person's time before each coat."""
    deck = job.enquiry.deck_c or job.settings["planned_least_c"]
    if not wants_test_mix(job.settings, deck.number):
        return []
    lines = []
    for coat, phase in ((Mixed.RESIN, Phase.LAY), (Mixed.TOPCOAT, Phase.COAT)):
        task = task_name(Task.TEST_MIX, coat=str(coat))
        hours = derive(
            task.lower(), Unit.PERSON_HOURS, test_mix_hours, minutes=job.settings["test_mix_min"]
        )
        lines.append(Labour(Task.TEST_MIX, task, Stage.LAMINATE, hours, phase))
    return lines


def _refitting(job: Job) -> list[Labour]:
    lines = []
    enquiry = job.enquiry
    for key, length, rate_code, phase in (
        (Task.GUTTER, enquiry.gutter_mm, "hours_gutter", Phase.AFTER),
        (Task.TILES, enquiry.tiles_mm, "hours_tiles", Phase.FLASH),
    ):
        if length is not None and length.number:
            task = task_name(key)
            hours = derive(
                task.lower(),
                Unit.PERSON_HOURS,
                trim_hours,
                length_mm=length,
                hours_per_m=job.settings[rate_code],
                difficulty=difficulty([]),
            )
            lines.append(Labour(key, task, Stage.REFIT, hours, phase))
    return lines


def _by_area(
    job: Job,
    key: Task,
    stage: Stage,
    rate: str,
    least: str = "",
    harder: Figure | None = None,
    phase: Phase = Phase.OPEN,
) -> Labour:
    least_hours = (
        job.settings[least] if least else chosen("least", 0.0, Unit.PERSON_HOURS, "no least is set")
    )
    task = task_name(key)
    hours = derive(
        task.lower(),
        Unit.PERSON_HOURS,
        area_hours,
        area_m2=job.deck_m2,
        hours_per_m2=job.settings[rate],
        difficulty=harder or difficulty([]),
        least_hours=least_hours,
    )
    return Labour(key, task, stage, hours, phase)


def _by_count(
    key: Task,
    stage: Stage,
    number: Figure,
    each: Figure,
    phase: Phase = Phase.OPEN,
) -> Labour:
    task = task_name(key)
    hours = derive(task.lower(), Unit.PERSON_HOURS, count_hours, number=number, each_hours=each)
    return Labour(key, task, stage, hours, phase)
