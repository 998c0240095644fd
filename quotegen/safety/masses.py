"""The masses of what one person would have to lift on this job."""

from quotegen.model.enquiry import BuildUp, Enquiry
from quotegen.model.settings import Settings
from quotegen.model.takeoff import OptionTakeOff
from quotegen.units import mm_to_m
from quotegen.working import Figure, Origin, Source, derive, total

TINS = ("resin", "topcoat")


def board_mass_kg(
    length_mm: float, width_mm: float, thickness_mm: float, density_kg_m3: float
) -> float:
    """The mass of one sheet of deck board: length x width x thickness x density.

    Inputs: sizes [mm], density [kg/m3]. Result [kg]. Dry board; a wet one weighs more.

    >>> round(board_mass_kg(2440, 1220, 18, 650), 1)
    34.8
    """
    volume_m3 = mm_to_m(length_mm) * mm_to_m(width_mm) * mm_to_m(thickness_mm)
    return volume_m3 * density_kg_m3


def sheet_kg(enquiry: Enquiry, option: OptionTakeOff, settings: Settings) -> Figure | None:
    """The mass of one whole deck board of this build-up; None where no boards are laid."""
    if not any(need.item.startswith("deck_board_") for need in option.needs):
        return None
    capped = option.build_up is BuildUp.CAP_OVER
    thickness = settings["cap_board_mm"] if capped else enquiry.board_mm
    return derive(
        "mass of one deck board", "kg", board_mass_kg,
        length_mm=settings["board_length_mm"], width_mm=settings["board_width_mm"],
        thickness_mm=thickness, density_kg_m3=settings["board_kg_m3"],
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
