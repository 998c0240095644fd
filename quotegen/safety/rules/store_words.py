"""Which flammable liquids come on which day, in words that several papers share."""

from quotegen import wording
from quotegen.model.takeoff import PackCount
from quotegen.phrases import capital, listed, small
from quotegen.reference import house_rules
from quotegen.reference.loader import figure
from quotegen.reference.rule_keys import JobSentence
from quotegen.safety.facts.day_store import Brought, DayStore, StoreDay
from quotegen.safety.facts.store_checks import LITRE_STEP, day_of_job, shown_there_l
from quotegen.safety.rules.text import told
from quotegen.units import round_up


def litres_words(litres: float) -> str:
    """A volume on site, rounded up.

    >>> litres_words(16.62)
    '16.7 l'
    """
    return f"{wording.exact(round_up(litres, LITRE_STEP))} l"


def there_words(one: StoreDay) -> str:
    """The most on site on a day, so that the stores shown add up to it."""
    return litres_words(shown_there_l(one))


def packs_words(packs: tuple[PackCount, ...]) -> str:
    """Packs by number and size, the largest first."""
    ordered = sorted(packs, key=lambda one: -one.pack.pack_size)
    return listed(
        [f"{one.count} × {wording.exact(one.pack.pack_size)} {one.pack.unit}" for one in ordered]
    )


def brought_words(one: Brought) -> str:
    """One thing brought on a morning: its name, and its packs or, without any, its litres."""
    name = small(house_rules.items()[one.item].words)
    return f"{name} {packs_words(one.packs) or litres_words(one.litres)}"


def morning_words(one: StoreDay) -> str:
    """What is brought on the morning of a day; empty where nothing is."""
    return "; ".join(map(brought_words, one.brought))


def stored_words(one: StoreDay, guide_l: float, *, last: bool) -> str:
    """What comes on a day, the most on site at once and what is left at night.

    On the last day of the job nothing is left: it goes home. With the stores it is kept in, if one
    is not enough. Empty on a day that neither brings nor uses
    anything.
    """
    if not one.brought and one.kept_l == one.there_l:
        return ""
    there = there_words(one)
    if one.brought:
        said = told(JobSentence.STORED_BROUGHT, brought=morning_words(one), there=there)
    else:
        said = told(JobSentence.STORED, there=there)
    if last:
        night = told(JobSentence.STORED_LAST)
    else:
        night = told(JobSentence.STORED_KEPT, kept=litres_words(one.kept_l))
    return " ".join([said, night, *([apart_words(one)] if one.there_l > guide_l else [])])


def apart_words(one: StoreDay) -> str:
    """How the liquids are kept apart on a day that needs more than one store."""
    apart = figure("flammable_storage.apart_m")
    return told(
        JobSentence.STORES_APART,
        apart=f"{wording.exact(apart.number)} {apart.unit}",
        stores=listed([litres_words(held) for held in one.stores_l]),
    )


def by_day_words(store: DayStore) -> str:
    """The days something is brought, with what it is and what is then on site."""
    return ". ".join(
        f"{capital(day_of_job(one))}: {morning_words(one)}, {there_words(one)} on site"
        for one in store.days
        if one.brought
    )


def stores_words(store: DayStore) -> str:
    """The days that need more than one store, with the litres of each."""
    return "; ".join(
        f"{day_of_job(one)} {listed([litres_words(held) for held in one.stores_l])}"
        for one in store.over
    )
