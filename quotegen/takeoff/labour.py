"""Hours by task, and the days they make for the crew."""

from collections.abc import Mapping

from quotegen.model.enquiry import Access, Covering, EdgeKind, OpeningKind, WallJoint
from quotegen.model.takeoff import AccessPlan, Labour, Programme, Stage
from quotegen.takeoff.agreed import agreed_labour
from quotegen.takeoff.deck import DeckPlan, needs_noggins, open_edge_m
from quotegen.takeoff.job import Job, kerb_lengths_mm, opening_count, total_length_m
from quotegen.takeoff.outline import difference
from quotegen.takeoff.strip import old_words
from quotegen.takeoff.trims import TrimWork, bandage_m, has_flashing
from quotegen.units import mm_to_m, round_up
from quotegen.working import Figure, chosen, derive, total

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


def labour_lines(
    job: Job, work: TrimWork, deck: DeckPlan, access: AccessPlan
) -> tuple[Labour, ...]:
    """Every task of the build-up with its person-hours, in the order of the work."""
    lines = [
        *_setting_up(job, access),
        *_stripping(job),
        *_decking(job, deck),
        *_edges(job, work, deck),
        *_laminating(job),
        *_refitting(job),
        *agreed_labour(job.enquiry, job.settings),
    ]
    return tuple(line for line in lines if line.hours.number)


def plan_programme(job: Job, lines: tuple[Labour, ...]) -> Programme:
    """The hours of all tasks as working days of the crew."""
    person_hours = derive("person-hours", "h", total, parts=[line.hours for line in lines])
    crew = job.settings["crew"]
    if job.enquiry.site.lone_work:
        crew = chosen("people on the job", 1.0, "people", "the row says one person works alone")
    days = derive(
        "working days",
        "days",
        crew_days,
        person_hours=person_hours,
        crew=crew,
        day_hours=job.settings["day_hours"],
        day_step=job.settings["day_step"],
        least_days=job.settings["least_days"],
        visits=visits(job),
    )
    return Programme(person_hours, crew, days, visits(job))


def visits(job: Job) -> Figure:
    """Days on which the crew must come: two where the laminate cures overnight before topcoat."""
    return derive(
        "visits",
        "days",
        visit_count,
        deck_c=job.enquiry.deck_c or job.settings["planned_least_c"],
        two_below_c=job.settings["two_visits_below_c"],
    )


def _setting_up(job: Job, access: AccessPlan) -> list[Labour]:
    settings = job.settings
    lines = [
        Labour(
            "Load, travel, set up and protect",
            Stage.ACCESS,
            settings[f"hours_setup_{job.enquiry.roof.kind}"],
        )
    ]
    if access.chosen is Access.TOWER:
        tower = settings["hours_tower"]
        lines.append(_by_count("Put up and strike the tower", Stage.ACCESS, access.towers, tower))
    again = derive("return visits", "each", difference, whole=visits(job), part=_first_visit())
    back = settings["hours_return"]
    lines.append(_by_count("Come back and set up again", Stage.ACCESS, again, back))
    return lines


def _first_visit() -> Figure:
    return chosen("first visit", 1.0, "each", "set up already")


def _stripping(job: Job) -> list[Labour]:
    covering = job.enquiry.existing.covering
    lines = []
    if covering is not None and job.layers.strips_covering and covering in _STRIP_RATES:
        layers = job.enquiry.existing.layers or chosen("layers", 1.0, "layers", "not known: one")
        rates = [job.settings[code] for code in _STRIP_RATES[covering]]
        strip = derive(
            "strip",
            "h",
            strip_hours,
            area_m2=job.deck_m2,
            layers=layers,
            each_layer_h_m2=rates[0],
            dressing_h_m2=rates[1:],
            least_h=job.settings["hours_strip_least"],
        )
        lines.append(Labour(f"Strip the {old_words(covering)}", Stage.STRIP, strip))
    if job.layers.strips_deck:
        lines.append(_by_area(job, "Take up the old deck", Stage.STRIP, "hours_strip_deck"))
    if lines:
        task = "Carry down, bag and take away"
        lines.append(_by_area(job, task, Stage.STRIP, "hours_waste", "hours_waste_least"))
    return lines


def _decking(job: Job, deck: DeckPlan) -> list[Labour]:
    lines = []
    if job.layers.strips_deck or job.layers.new_decks > int(job.layers.insulation):
        lines.append(
            _by_area(job, "Check the joists and the falls", Stage.DECK, "hours_joist_check")
        )
    if needs_noggins(job, deck):
        rate = job.settings["hours_noggin"]
        lines.append(_by_count("Fit noggins", Stage.DECK, deck.long_joints_m, rate))
    if job.layers.cap_boards:
        lines.append(_by_area(job, "Lay boards over the sound deck", Stage.DECK, "hours_cap"))
    for _ in range(job.layers.new_decks):
        lines.append(
            _by_area(job, "Lay the new deck", Stage.DECK, "hours_deck", "hours_deck_least")
        )
    if job.layers.insulation:
        task = "Lay vapour layer and insulation"
        lines.append(_by_area(job, task, Stage.INSULATION, "hours_insulation"))
        timber = job.settings["hours_edge_timber"]
        edge_m = open_edge_m(job)
        lines.append(_by_count("Fit timber round the insulation", Stage.INSULATION, edge_m, timber))
    return lines


def _edges(job: Job, work: TrimWork, deck: DeckPlan) -> list[Labour]:
    settings = job.settings
    lines = []
    for edge in job.outline.edges:
        rate = settings[_EDGE_RATES[edge.kind]]
        curved = settings["bow_trim_factor"] if edge.curve else _straight()
        hours = derive(
            f"trim at {edge.name}",
            "h",
            trim_hours,
            length_mm=edge.length,
            hours_per_m=rate,
            factor=curved,
        )
        lines.append(Labour(f"Fit the trim, {edge.name}", Stage.EDGES, hours))
    pre_formed = chosen(
        "pre-formed corners", float(sum(work.pre_formed.values())), "each", "counted on the outline"
    )
    lines += [
        _by_count("Fit pre-formed corners", Stage.EDGES, pre_formed, settings["hours_corner"]),
        _by_count("Cut and fit mitres", Stage.EDGES, work.mitres, settings["hours_mitre"]),
        _by_count("Bandage", Stage.EDGES, bandage_m(job, work, deck), settings["hours_bandage"]),
    ]
    walls_m = job.edge_length_m(EdgeKind.WALL)
    if has_flashing(job):
        flashing = _by_count(
            "Chase the wall and fit new flashing", Stage.EDGES, walls_m, settings["hours_flashing"]
        )
        lines.append(flashing)
    elif job.enquiry.wall_joint is WallJoint.KEEP_LEAD:
        dress = settings["hours_lead_dress"]
        lines.append(_by_count("Lift and dress back the lead", Stage.EDGES, walls_m, dress))
    kerbs_m = derive(
        "rooflight kerbs",
        "m",
        total_length_m,
        lengths_mm=kerb_lengths_mm(job.enquiry, job.settings),
    )
    for task, number, rate_code in (
        ("Line rooflight kerbs", kerbs_m, "hours_kerb"),
        ("Pipe collars", opening_count(job.enquiry, OpeningKind.PIPE), "hours_pipe"),
        ("Outlets", opening_count(job.enquiry, OpeningKind.OUTLET), "hours_outlet"),
    ):
        lines.append(_by_count(task, Stage.EDGES, number, settings[rate_code]))
    return lines


def _laminating(job: Job) -> list[Labour]:
    settings = job.settings
    laminate = derive(
        "laminate",
        "h",
        laminate_hours,
        area_m2=job.laminate_m2,
        layers=job.enquiry.mat_layers,
        hours_per_m2=settings["hours_laminate_cut_up" if job.cut_up else "hours_laminate"],
        least_h=settings["hours_laminate_least"],
    )
    return [
        Labour("Laminate", Stage.LAMINATE, laminate),
        _by_area(job, "Sand, de-nib and wipe", Stage.LAMINATE, "hours_sand", "hours_sand_least"),
        Labour(
            "Topcoat",
            Stage.LAMINATE,
            derive(
                "topcoat",
                "h",
                area_hours,
                area_m2=job.topcoat_m2,
                hours_per_m2=settings["hours_topcoat"],
                least_h=settings["hours_topcoat_least"],
            ),
        ),
    ]


def _refitting(job: Job) -> list[Labour]:
    lines = []
    for length, task, rate_code in (
        (job.enquiry.gutter_mm, "Gutter off and on", "hours_gutter"),
        (job.enquiry.tiles_mm, "Tiles off and on", "hours_tiles"),
    ):
        if length is not None:
            hours = derive(
                task.lower(),
                "h",
                trim_hours,
                length_mm=length,
                hours_per_m=job.settings[rate_code],
                factor=_straight(),
            )
            lines.append(Labour(task, Stage.REFIT, hours))
    return lines


def _straight() -> Figure:
    return chosen("straight run", 1.0, "times", "not curved")


def _by_area(job: Job, task: str, stage: Stage, rate: str, least: str = "") -> Labour:
    least_h = job.settings[least] if least else chosen("least", 0.0, "h", "no least is set")
    hours = derive(
        task.lower(),
        "h",
        area_hours,
        area_m2=job.deck_m2,
        hours_per_m2=job.settings[rate],
        least_h=least_h,
    )
    return Labour(task, stage, hours)


def _by_count(task: str, stage: Stage, number: Figure, each: Figure) -> Labour:
    return Labour(task, stage, derive(task.lower(), "h", count_hours, number=number, each_h=each))


def area_hours(area_m2: float, hours_per_m2: float, least_h: float) -> float:
    """Person-hours for an area: area x rate, at least the least.

    Inputs [m2, h/m2, h], result [h].

    >>> area_hours(10, 0.22, 1.0), area_hours(2, 0.22, 1.0)
    (2.2, 1.0)
    """
    return max(least_h, area_m2 * hours_per_m2)


def strip_hours(
    area_m2: float,
    layers: float,
    each_layer_h_m2: float,
    dressing_h_m2: tuple[float, ...],
    least_h: float,
) -> float:
    """Person-hours to strip: area x (layers x rate + chippings once), at least the least.

    Inputs [m2, layers, h/m2, h], result [h].

    >>> round(strip_hours(10, 2, 0.15, (0.18,), 1.0), 2)
    4.8
    """
    return max(least_h, area_m2 * (layers * each_layer_h_m2 + sum(dressing_h_m2)))


def trim_hours(length_mm: float, hours_per_m: float, factor: float) -> float:
    """Person-hours along a run: length x rate x factor for a curve.

    Inputs [mm, h/m, times], result [h].

    >>> trim_hours(2000, 0.15, 2)
    0.6
    """
    return mm_to_m(length_mm) * hours_per_m * factor


def count_hours(number: float, each_h: float) -> float:
    """Person-hours for so many: number x rate.

    >>> count_hours(4, 0.25)
    1.0
    """
    return number * each_h


def laminate_hours(area_m2: float, layers: float, hours_per_m2: float, least_h: float) -> float:
    """Person-hours to laminate: area x layers x rate, at least the least.

    Inputs [m2, layers, h/m2, h], result [h].

    >>> laminate_hours(10, 2, 0.2, 1.0)
    4.0
    """
    return max(least_h, area_m2 * layers * hours_per_m2)


def crew_days(
    person_hours: float,
    crew: float,
    day_hours: float,
    day_step: float,
    least_days: float,
    visits: float,
) -> float:
    """Working days: person-hours / (crew x hours in a day), rounded up to the firm's step.

    Never fewer than the least days or the visits. Inputs [h, people, h, days], result [days].

    >>> crew_days(18, 2, 8, 0.5, 1, 1), crew_days(9, 2, 8, 0.5, 1, 2)
    (1.5, 2.0)
    """
    by_hours = round_up(person_hours / (crew * day_hours), day_step)
    return float(max(by_hours, least_days, visits))


def visit_count(deck_c: float, two_below_c: float) -> float:
    """Visits: two on a deck colder than the limit, where the laminate cures overnight.

    Inputs [C], result [visits]. Source: common practice, no source.

    >>> visit_count(9, 12), visit_count(15, 12)
    (2.0, 1.0)
    """
    return 2.0 if deck_c < two_below_c else 1.0
