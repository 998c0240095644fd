"""The masses of what would have to be lifted on this job, by the one list of lifts."""

from quotegen.model.enquiry import Enquiry
from quotegen.model.settings import Settings
from quotegen.model.takeoff import OptionTakeOff
from quotegen.takeoff import lifting
from quotegen.working import Figure, derive, total


def lays_boards(option: OptionTakeOff) -> bool:
    """Whether the build-up lays deck boards of any kind."""
    return lifting.lays_boards(option.needs)


def sheet_kg(enquiry: Enquiry, option: OptionTakeOff, settings: Settings) -> Figure | None:
    """The mass of the heaviest whole dry board of this build-up; None where none is laid."""
    return _heaviest(enquiry, option, settings, lifting.BOARD)


def pack_kg(enquiry: Enquiry, option: OptionTakeOff, settings: Settings) -> Figure | None:
    """The contents of the heaviest tin that is bought for the job; None where none is."""
    return _heaviest(enquiry, option, settings, lifting.TIN)


def strip_kg(option: OptionTakeOff) -> Figure:
    """The mass of everything that comes off the roof."""
    return derive("what comes off", "kg", total, parts=[part.mass_kg for part in option.strip])


def _heaviest(
    enquiry: Enquiry, option: OptionTakeOff, settings: Settings, kind: str
) -> Figure | None:
    lifts = lifting.lifts_of(enquiry, option.build_up, option.needs, option.strip, settings)
    return lifting.heaviest(lifts, kind)
