"""Problems with flammable liquids on site, day by day."""

from quotegen import wording
from quotegen.model.days import WorkPlan
from quotegen.model.enquiry import Enquiry
from quotegen.model.settings import Settings
from quotegen.model.takeoff import OptionTakeOff
from quotegen.problems import Problem, problem
from quotegen.safety.facts.day_store import StoreDay, day_store
from quotegen.safety.facts.stored import on_site_l
from quotegen.units import round_up

LITRE_STEP = 0.1


def check_stored(
    enquiry: Enquiry, option: OptionTakeOff, plan: WorkPlan, settings: Settings
) -> list[Problem]:
    """Warnings if all of it at once, one day of it, or one pack is more than one store holds."""
    store = day_store(option, plan, settings)
    guide = f"{wording.exact(store.guide_l.number)} l"
    found = []

    def warn(code: str, litres: float, **words: str) -> None:
        seen = f"{wording.exact(round_up(litres, LITRE_STEP))} l"
        found.append(problem(code, enquiry.place, seen=seen, ref=enquiry.ref, guide=guide, **words))

    if store.large_pack_l is not None:
        warn("flammables-large-pack", store.large_pack_l)
    if store.over:
        fullest = store.fullest
        warn("flammables-over-guide", shown_there_l(fullest), day=day_of_job(fullest))
    elif store.split:
        warn("flammables-by-day", on_site_l(option, settings).number)
    return found


def shown_there_l(one: StoreDay) -> float:
    """The most on site on a day as it is shown [l]: its stores, each rounded up, added up."""
    return sum(round_up(litres, LITRE_STEP) for litres in one.stores_l)


def day_of_job(one: StoreDay) -> str:
    """A day by its date, by its number if it has none, or as the first if none is planned."""
    if one.day is not None:
        return wording.short_day(one.day)
    return f"day {one.number or 1}"
