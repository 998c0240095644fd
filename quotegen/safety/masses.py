"""The masses of what one person would have to lift on this job."""

from collections.abc import Mapping

from quotegen.model.enquiry import BuildUp, Enquiry
from quotegen.model.settings import Settings
from quotegen.model.takeoff import OptionTakeOff
from quotegen.takeoff.strip import slab_kg
from quotegen.units import mm2_to_m2
from quotegen.working import Figure, Origin, Source, derive, total

TINS = ("resin", "topcoat")
BOARD_SIZES: Mapping[str, tuple[str, str]] = {
    "deck_board_": ("board_length_mm", "board_width_mm"),
    "tongued_board_": ("tongued_length_mm", "tongued_width_mm"),
}


def board_area_m2(length_mm: float, width_mm: float) -> float:
    """The area of one sheet of deck board: length x width.

    Inputs [mm], result [m2].

    >>> round(board_area_m2(2440, 1220), 4)
    2.9768
    """
    return mm2_to_m2(length_mm * width_mm)


def lays_boards(option: OptionTakeOff) -> bool:
    """Whether the build-up lays deck boards of any kind."""
    return any(need.item.startswith(tuple(BOARD_SIZES)) for need in option.needs)


def sheet_kg(enquiry: Enquiry, option: OptionTakeOff, settings: Settings) -> Figure | None:
    """The mass of the heaviest whole dry board of this build-up; None where none is laid."""
    capped = option.build_up is BuildUp.CAP_OVER
    thickness = settings["cap_board_mm"] if capped else enquiry.board_mm
    sheets = [
        _one_sheet_kg(settings[length], settings[width], thickness, settings["board_kg_m3"])
        for kind, (length, width) in BOARD_SIZES.items()
        if any(need.item.startswith(kind) for need in option.needs)
    ]
    return derive("heaviest deck board", "kg", heaviest, masses_kg=sheets) if sheets else None


def _one_sheet_kg(length: Figure, width: Figure, thickness: Figure, density: Figure) -> Figure:
    area = derive("area of one deck board", "m²", board_area_m2, length_mm=length, width_mm=width)
    return derive(
        "mass of one deck board", "kg", slab_kg,
        area_m2=area, thickness_mm=thickness, kg_m3=density,
    )  # fmt: skip


def heaviest(masses_kg: tuple[float, ...]) -> float:
    """The largest of several masses [kg].

    >>> heaviest((5.0, 20.0))
    20.0
    """
    return max(masses_kg)


def pack_kg(option: OptionTakeOff) -> Figure | None:
    """The contents of the heaviest tin that is bought for the job; None where none is."""
    sizes = [
        Figure(
            f"one pack of {need.words}",
            count.pack.pack_size,
            need.unit,
            Origin(Source.PRICE, str(count.pack.place)),
        )
        for need in option.needs
        if need.item in TINS and need.purchase is not None
        for count in need.purchase.packs
    ]
    return derive("heaviest tin", "kg", heaviest, masses_kg=sizes) if sizes else None


def strip_kg(option: OptionTakeOff) -> Figure:
    """The mass of everything that comes off the roof."""
    return derive("what comes off", "kg", total, parts=[part.mass_kg for part in option.strip])
