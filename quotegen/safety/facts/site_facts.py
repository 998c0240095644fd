"""The facts of the site: who is there, what lies below and beside, what is near, its age."""

from collections.abc import Mapping

from quotegen import wording
from quotegen.model.choices import Below, Household, Nation, Occupier
from quotegen.model.safety import Known
from quotegen.reference.loader import entry
from quotegen.safety.facts.job import (
    Evidence,
    PlannedJob,
    Read,
    known,
    left_blank,
    measured,
    one_of,
    yes_or_no,
)

PASSERS_BY = (Below.PAVEMENT, Below.ROAD, Below.DOORWAY, Below.DRIVE)


def before_2000(job: PlannedJob) -> Evidence:
    """Whether the year of building means that asbestos, and coal tar in felt, must be expected."""
    first_clear_year = entry("asbestos.first_clear_year").value
    return measured(job.enquiry.year_built, "year built", lambda year: year < first_clear_year)


def _before_2007(job: PlannedJob) -> Evidence:
    """Whether the year of building means that roof timber is hazardous waste until tested."""
    clean_year = entry("waste_records.clean_timber_year").value
    return measured(job.enquiry.year_built, "year built", lambda year: year < clean_year)


def _below(*places: Below) -> Read:
    def read(job: PlannedJob) -> Evidence:
        seen = job.enquiry.below
        if not seen:
            return left_blank("what is below")
        return known(any(place in seen for place in places)), f"what is below: {', '.join(seen)}"

    return read


def _people_below(job: PlannedJob) -> Evidence:
    place, home = _below(*PASSERS_BY)(job), _occupied(job)
    by_care = {Known.YES: 0, Known.UNKNOWN: 1, Known.NO: 2}
    return min((place, home), key=lambda answer: by_care[answer[0]])


def _occupied(job: PlannedJob) -> Evidence:
    occupier = job.enquiry.occupier
    if occupier is None:
        return left_blank("who lives there")
    return known(occupier is not Occupier.EMPTY), f"who lives there: {occupier}"


def _household(who: Household) -> Read:
    """An empty house has no household; any other is unknown until filled in."""

    def read(job: PlannedJob) -> Evidence:
        if job.enquiry.occupier is Occupier.EMPTY:
            return Known.NO, f"who lives there: {Occupier.EMPTY}"
        seen = job.enquiry.household
        if not seen:
            return left_blank("household")
        return known(who in seen), f"household: {', '.join(seen)}"

    return read


def _no_survey(job: PlannedJob) -> Evidence:
    old, built = before_2000(job)
    if old is Known.NO:
        return Known.NO, built
    surveyed = job.enquiry.site.asbestos_surveyed
    if surveyed is None:
        return left_blank("asbestos surveyed")
    return known(not surveyed), f"asbestos surveyed: {'yes' if surveyed else 'no'}"


def _unnamed(setting: str, heading: str) -> Read:
    """Whether the Business sheet names nobody; who does the work is then unknown."""

    def read(job: PlannedJob) -> Evidence:
        named = job.settings.text(setting)
        return (Known.NO, f"{heading}: {named}") if named else left_blank(heading)

    return read


def _hot_day(job: PlannedJob) -> Evidence:
    """From the deck temperature the row expects, or else the forecast of the days planned.

    The days give the coldest the deck may be; in the sun it may be warmer by the margin on the
    Rates sheet.
    """
    hot_from_c = job.settings.number("hot_from_c")
    coldest = [hour.deck_c for day in job.plan.worked for hour in day.hours]
    known_c = [deck_c for deck_c in coldest if deck_c is not None]
    if (
        job.enquiry.deck_c is None
        and job.plan.forecast
        and known_c
        and len(known_c) == len(coldest)
    ):
        spread = ("deck_below_air_c", "deck_above_air_c")
        warmest_c = max(known_c) + sum(job.settings.number(code) for code in spread)
        return known(
            warmest_c >= hot_from_c
        ), f"forecast: deck up to {wording.exact(warmest_c)} °C in the sun"
    return measured(job.enquiry.deck_c, "deck expected", lambda deck_c: deck_c >= hot_from_c)


def _nation(job: PlannedJob) -> tuple[Nation | None, str]:
    nation = job.enquiry.nation
    return nation, f"nation: {nation or 'not known'}"


def _in_england(job: PlannedJob) -> Evidence:
    """Whether the rules of England may hold: they do unless the site is known to be elsewhere."""
    nation, words = _nation(job)
    return known(nation in (None, Nation.ENGLAND)), words


def _outside_england(job: PlannedJob) -> Evidence:
    nation, words = _nation(job)
    return known(nation is not Nation.ENGLAND), words


def _party_walls(job: PlannedJob) -> Evidence:
    """Whether the Party Wall etc. Act 1996 may hold, an Act for England and Wales."""
    nation, words = _nation(job)
    return known(nation in (None, Nation.ENGLAND, Nation.WALES)), words


def _site(name: str, heading: str) -> Read:
    return lambda job: yes_or_no(getattr(job.enquiry.site, name), heading)


SITE_FACTS: Mapping[str, Read] = {
    "people_below": _people_below,
    "pavement_below": _below(Below.PAVEMENT, Below.ROAD),
    "doorway_below": _below(Below.DOORWAY),
    "glass_below": _below(Below.GLASS),
    "lower_roof_below": _below(Below.LOWER_ROOF),
    "roof_beside": _below(Below.ROOF_BESIDE),
    "occupied": _occupied,
    "tenant": lambda job: one_of(job.enquiry.occupier, "who lives there", Occupier.TENANT),
    "children": _household(Household.CHILDREN),
    "vulnerable": _household(Household.VULNERABLE),
    "heated_below": _site("heated_below", "heated room below"),
    "in_england": _in_england,
    "outside_england": _outside_england,
    "party_wall_act": _party_walls,
    "overhead_cables": _site("overhead_cables", "overhead cables"),
    "flue_near": _site("flue_near", "flue near"),
    "cars_near": _site("cars_near", "cars near"),
    "nesting_birds": _site("nesting_birds", "nesting birds"),
    "lone_work": _site("lone_work", "working alone"),
    "nobody_in_charge": _unnamed("supervisor", "in charge"),
    "no_first_aider": _unnamed("first_aider", "first aider"),
    "before_2000": before_2000,
    "before_2007": _before_2007,
    "no_asbestos_survey": _no_survey,
    "hot_day": _hot_day,
}
