"""How warm the new roof is, roughly, and how much higher it is."""

from quotegen.reference import loader as reference
from quotegen.takeoff.basis.job import Job
from quotegen.units import Unit
from quotegen.working import Figure, chosen, derive

_LAMINATE_MM = 3.0
"""Laminate and topcoat; its thickness matters to nothing but the upstand."""


def u_value(job: Job) -> Figure | None:
    """U-value of the insulated build-up without fixings or ceiling, None without insulation."""
    thickness = job.enquiry.insulation_mm
    if not job.layers.insulation or thickness is None:
        return None
    return derive(
        "U-value, fixings and ceiling left out",
        Unit.W_PER_M2K,
        u_value_w_m2k,
        surfaces_m2k_w=reference.figure("thermal.surface_resistance"),
        insulation_mm=thickness,
        insulation_w_mk=job.settings["insulation_w_mk"],
        boards_mm=_boards_mm(job),
        board_w_mk=reference.figure("thermal.board_conductivity"),
    )


def rise_mm(job: Job) -> float:
    """How much higher the finished roof stands than the deck it is laid on [mm]."""
    insulation = job.enquiry.insulation_mm
    if job.layers.insulation and insulation is not None:
        return insulation.number + job.enquiry.board_mm.number + _LAMINATE_MM
    if job.layers.cap_boards:
        return job.settings.number("cap_board_mm") + _LAMINATE_MM
    return _LAMINATE_MM


def _boards_mm(job: Job) -> Figure:
    below = job.settings.number("new_board_mm")
    both = job.enquiry.board_mm.number + below
    return chosen("boards above and below", both, Unit.MM, "the new board and the deck below")


def u_value_w_m2k(
    surfaces_m2k_w: float,
    insulation_mm: float,
    insulation_w_mk: float,
    boards_mm: float,
    board_w_mk: float,
) -> float:
    """U-value of layers in a row: 1 / (surfaces + sum of thickness / conductivity).

    Inputs [m2K/W, mm, W/mK], result [W/m2K]. Source: BS EN ISO 6946, layers without bridges.

    >>> round(u_value_w_m2k(0.14, 130, 0.022, 36, 0.13), 3)
    0.158
    """
    resistance = surfaces_m2k_w
    resistance += insulation_mm / 1000 / insulation_w_mk + boards_mm / 1000 / board_w_mk
    return 1 / resistance
