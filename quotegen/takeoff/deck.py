"""Deck boards, insulation and what fixes them."""

from collections.abc import Sequence

from quotegen.model.settings import Settings
from quotegen.model.takeoff import Stage
from quotegen.problems import Problem, problem
from quotegen.reference import loader as reference
from quotegen.takeoff.job import Demand, Job, times
from quotegen.units import mm2_to_m2, mm_to_m, round_up
from quotegen.working import Figure, chosen, derive

_SCREW_STEP_MM = 5.0


def deck_demands(job: Job) -> list[Demand]:
    """Boards and screws for the decks of this build-up, and the cap over a sound one."""
    demands = []
    if job.layers.cap_boards:
        board = job.settings["cap_board_mm"]
        demands += [_boards(job, board, 1), _screws(job, 1)]
    if job.layers.new_decks:
        demands.append(_boards(job, job.enquiry.board_mm, job.layers.new_decks))
        through_joists = job.layers.new_decks - (1 if job.layers.insulation else 0)
        if through_joists:
            demands.append(_screws(job, through_joists))
    return demands


def insulation_demands(job: Job) -> list[Demand]:
    """Insulation, vapour layer and long screws; none for a build-up without insulation."""
    thickness = job.enquiry.insulation_mm
    if not job.layers.insulation or thickness is None:
        return []
    long_screws = derive(
        "screws through insulation",
        "each",
        times,
        number=job.deck_m2,
        each=job.settings["insulation_fixings_per_m2"],
    )
    return [
        Demand(
            f"insulation_{thickness.number:.0f}",
            Stage.INSULATION,
            job.deck_m2,
            job.waste("insulation"),
        ),
        Demand("vapour_layer", Stage.INSULATION, job.deck_m2, job.waste("insulation")),
        Demand("long_screw", Stage.INSULATION, long_screws, job.settings["waste_fixings_pct"]),
    ]


def check_span(job: Job) -> list[Problem]:
    """Whether the new deck board may span the joists as they are."""
    centres = job.enquiry.roof.joist_centres_mm
    if not job.layers.new_decks or centres is None:
        return []
    limit_mm = span_limit_mm(
        job.enquiry.board_mm.number, reference.entry("deck_boards.span_limits_mm").value
    )
    if centres.number <= limit_mm:
        return []
    found = problem(
        "deck-too-thin",
        job.enquiry.place,
        seen=f"{centres.number:.0f}",
        ref=job.enquiry.ref,
        thickness_mm=job.enquiry.board_mm.number,
        limit_mm=limit_mm,
    )
    return [found]


def screw_length_mm(job: Job) -> Figure:
    """Length of the deck screws for the board of this build-up."""
    board = job.settings["cap_board_mm"] if job.layers.cap_boards else job.enquiry.board_mm
    return derive(
        "length of deck screws",
        "mm",
        fixing_length_mm,
        board_mm=board,
        multiple=reference.figure("deck_boards.fixing_length_times_thickness"),
        least_mm=reference.figure("deck_boards.fixing_length_least_mm"),
    )


def joint_length_m(job: Job) -> Figure:
    """Length of the joints between the boards of the uppermost deck."""
    return derive(
        "joints between boards",
        "m",
        board_joints_m,
        deck_m2=job.deck_m2,
        perimeter_mm=job.outline.perimeter_mm,
        board_length_mm=job.settings["board_length_mm"],
        board_width_mm=job.settings["board_width_mm"],
    )


def _boards(job: Job, thickness: Figure, decks: int) -> Demand:
    sheets = derive(
        "sheets of deck board",
        "sheet",
        sheet_count,
        deck_m2=job.deck_m2,
        decks=_decks(decks),
        board_length_mm=job.settings["board_length_mm"],
        board_width_mm=job.settings["board_width_mm"],
    )
    return Demand(f"deck_board_{thickness.number:.0f}", Stage.DECK, sheets, job.waste("boards"))


def _screws(job: Job, decks: int) -> Demand:
    screws = derive(
        "deck screws",
        "each",
        fixing_count,
        deck_m2=job.deck_m2,
        perimeter_mm=job.outline.perimeter_mm,
        joist_centres_mm=joist_centres(job),
        edge_mm=job.settings["fixing_edge_mm"],
        field_mm=job.settings["fixing_field_mm"],
        decks=_decks(decks),
    )
    return Demand("deck_screw", Stage.DECK, screws, job.settings["waste_fixings_pct"])


def joist_centres(job: Job) -> Figure:
    """The joist centres as measured, or the firm's assumption where nobody has."""
    return job.enquiry.roof.joist_centres_mm or job.settings["joist_centres_mm"]


def _decks(number: int) -> Figure:
    from_build_up = "what the build-up lays"
    return chosen("layers of board", float(number), "layers", from_build_up)


def span_limit_mm(board_mm: float, limits_mm: Sequence[Sequence[float]]) -> float:
    """Greatest joist centres for a board: the row of the thickest board not above it, else 0.

    Inputs [mm] and rows of (thickness, centres) [mm], result [mm].

    >>> span_limit_mm(18, [[15, 450], [18, 600]]), span_limit_mm(11, [[15, 450]])
    (600.0, 0.0)
    """
    return float(
        max((centres for thickness, centres in limits_mm if thickness <= board_mm), default=0)
    )


def sheet_count(
    deck_m2: float, decks: float, board_length_mm: float, board_width_mm: float
) -> float:
    """Sheets by area, before waste: decks x deck area / (length x width of a sheet).

    Inputs [m2, layers, mm], result [sheets].

    >>> round(sheet_count(6.0, 1, 2440, 1220), 3)
    2.016
    """
    return decks * deck_m2 / mm2_to_m2(board_length_mm * board_width_mm)


def fixing_count(
    deck_m2: float,
    perimeter_mm: float,
    joist_centres_mm: float,
    edge_mm: float,
    field_mm: float,
    decks: float,
) -> float:
    """Screws in a deck: one every `edge_mm` round it, one every `field_mm` along each joist.

    decks x (perimeter / edge spacing + deck area / (joist centres x field spacing)). Inputs [m2,
    mm], result [each]. Spacings: PanelGuide, flat roof decks.

    >>> round(fixing_count(6.0, 10000, 400, 150, 300, 1))
    117
    """
    along_joists = deck_m2 / mm2_to_m2(joist_centres_mm * field_mm)
    return decks * (perimeter_mm / edge_mm + along_joists)


def fixing_length_mm(board_mm: float, multiple: float, least_mm: float) -> float:
    """Length of a board fixing: the greater of multiple x thickness and the least, in whole 5 mm.

    Inputs [mm], result [mm]. Source: PanelGuide.

    >>> fixing_length_mm(18, 2.5, 50), fixing_length_mm(25, 2.5, 50)
    (50.0, 65.0)
    """
    return round_up(max(multiple * board_mm, least_mm), _SCREW_STEP_MM)


def board_joints_m(
    deck_m2: float, perimeter_mm: float, board_length_mm: float, board_width_mm: float
) -> float:
    """Length of joints inside a deck laid in whole sheets: A / w + A / l - perimeter / 2.

    Exact for a rectangle of whole sheets; never below none. Inputs [m2, mm], result [m].

    >>> round(board_joints_m(4 * 2.44 * 1.22, 2 * (4880 + 2440), 2440, 1220), 2)
    7.32
    """
    by_rows = deck_m2 / mm_to_m(board_width_mm) + deck_m2 / mm_to_m(board_length_mm)
    return max(0.0, by_rows - mm_to_m(perimeter_mm) / 2)


def long_screw_length_mm(job: Job) -> Figure | None:
    """Length of the screws through insulation into the joists, None without insulation."""
    thickness = job.enquiry.insulation_mm
    if not job.layers.insulation or thickness is None:
        return None
    return derive(
        "length of screws through insulation",
        "mm",
        through_length_mm,
        insulation_mm=thickness,
        board_mm=job.enquiry.board_mm,
        grip_mm=job.settings["fixing_joist_grip_mm"],
        under_mm=_under_insulation(job.settings, job),
    )


def _under_insulation(settings: Settings, job: Job) -> Figure:
    lower = job.enquiry.board_mm if job.layers.new_decks > 1 else settings["new_board_mm"]
    return lower.renamed("deck below the insulation")


def through_length_mm(
    insulation_mm: float, board_mm: float, grip_mm: float, under_mm: float
) -> float:
    """Screw from the top board through insulation and the deck below into the joist.

    insulation + board + deck below + grip, in whole 5 mm. Inputs and result [mm].

    >>> through_length_mm(130, 18, 40, 18)
    210.0
    """
    return round_up(insulation_mm + board_mm + under_mm + grip_mm, _SCREW_STEP_MM)
