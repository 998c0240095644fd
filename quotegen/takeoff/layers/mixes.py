"""The mixes of a job: all of one size that can be measured, and be laid before it sets."""

from collections.abc import Sequence

from msgspec import Struct

from quotegen.model.choices import Mixer
from quotegen.model.settings import Mixed, Settings
from quotegen.model.takeoff import Dose, MixedPart, Mixes, MixSize
from quotegen.takeoff.layers.catalyst import card_temperatures, dose
from quotegen.units import Unit, round_down, round_up, whole_number
from quotegen.working import Figure, chosen, derive

_SLACK_L = 1e-9
_MASS_STEP_KG = 0.01


class Share(Struct, frozen=True):
    """A part of the work in laying order, and its share of the material."""

    words: str
    weight: float


class Laying(Struct, frozen=True):
    """How much of a material there is, how fast it is laid, and by how many people."""

    total_l: Figure
    area_m2: Figure
    layers: Figure
    hours_per_m2: Figure
    crew: Figure


def plan_mixes(
    settings: Settings,
    material: Mixed,
    laying: Laying,
    shares: Sequence[Share],
    deck_c: Figure | None,
) -> tuple[Mixes, Mixes]:
    """All mixes of a material, for a cool deck and for a hot one with its smaller limit."""
    hot_from_c = settings["hot_from_c"]
    bands = []
    for hot in (False, True):
        temperatures = [c for c in card_temperatures(settings) if (c >= hot_from_c.number) is hot]
        limit_l = _limit_l(settings, material, laying, temperatures, hot)
        size = _size(settings, material, laying.total_l, shares, limit_l, temperatures)
        expected = None
        if deck_c is not None and (deck_c.number >= hot_from_c.number) is hot:
            expected = dose(settings, material, size.mass_kg.number, deck_c.number)
        bands.append(Mixes(material, hot, hot_from_c, laying.total_l, limit_l, size, expected))
    return bands[0], bands[1]


def _limit_l(
    settings: Settings,
    material: Mixed,
    laying: Laying,
    temperatures: Sequence[float],
    hot: bool,
) -> Figure:
    """The largest single mix: the firm's, or what the crew can lay in its pot life."""
    limits = [bucket_limit_l(settings, hot)]
    lives = [dose(settings, material, 1.0, deck_c).pot_life_min for deck_c in temperatures]
    if shortest := min((life for life in lives if life is not None), default=None):
        life = chosen("pot life on the warmest deck", shortest, Unit.MIN, "the table of doses")
        limits.append(
            derive(
                f"{material} laid before it sets",
                Unit.L,
                laid_in_life_l,
                total_l=laying.total_l,
                area_m2=laying.area_m2,
                layers=laying.layers,
                hours_per_m2=laying.hours_per_m2,
                crew=laying.crew,
                life_minutes=life,
            )
        )
    return min(limits, key=lambda limit: limit.number)


def bucket_limit_l(settings: Settings, hot: bool) -> Figure:
    """The firm's largest single mix: smaller in the heat, and smaller for a beginner."""
    limits = [settings["batch_limit_l"]]
    if hot:
        limits.append(settings["hot_batch_limit_l"])
    if Mixer(settings.text("mixer")) is Mixer.BEGINNER:
        limits.append(settings["beginner_batch_limit_l"])
    return min(limits, key=lambda limit: limit.number)


def _size(
    settings: Settings,
    material: Mixed,
    total_l: Figure,
    shares: Sequence[Share],
    limit_l: Figure,
    temperatures: Sequence[float],
) -> MixSize:
    """The one size of all mixes, and the strips of each in laying order."""
    litres = derive(
        f"one mix of {material}",
        Unit.L,
        mix_l,
        total_l=total_l,
        limit_l=limit_l,
        step_l=settings["mix_step_l"],
    )
    mass = derive(
        f"one mix of {material}",
        Unit.KG,
        mix_mass_kg,
        litres=litres,
        kg_per_l=settings[f"{material}_kg_per_l"],
    )
    count = mix_count(total_l.number, litres.number)
    doses: tuple[Dose, ...] = tuple(
        dose(settings, material, mass.number, deck_c) for deck_c in temperatures
    )
    return MixSize(count, litres, mass, doses, laid_by_mix(shares, count))


def mix_l(total_l: float, limit_l: float, step_l: float) -> float:
    """The size of all mixes: total / as few as the limit allows, rounded up to a step.

    What is mixed is never less than the total, and more by less than a step a mix. A limit between
    two steps is taken as the lower, one below the first as that. Inputs and result [l].

    >>> mix_l(13.2, 4.0, 0.1), mix_l(4.3, 4.0, 0.1), mix_l(0.42, 4.0, 0.1), mix_l(5.0, 2.55, 0.1)
    (3.3, 2.2, 0.5, 2.5)
    """
    largest = max(step_l, round_down(limit_l, step_l))
    return round_up(total_l / whole_number(total_l / largest), step_l)


def mix_count(total_l: float, litres: float) -> int:
    """The number of mixes of one size that make up the total [l, l].

    >>> mix_count(13.2, 3.3), mix_count(4.3, 2.2), mix_count(0.42, 0.5)
    (4, 2, 1)
    """
    return max(1, whole_number(total_l / litres))


def mix_mass_kg(litres: float, kg_per_l: float) -> float:
    """Mass of a mix as scales show it: volume x density, down to 10 g.

    Catalyst is measured out for this mass. Inputs [l, kg/l], result [kg].

    >>> mix_mass_kg(4.0, 1.1), mix_mass_kg(3.3, 1.13)
    (4.4, 3.72)
    """
    return round_down(litres * kg_per_l, _MASS_STEP_KG)


def laid_in_life_l(
    total_l: float,
    area_m2: float,
    layers: float,
    hours_per_m2: float,
    crew: float,
    life_minutes: float,
) -> float:
    """What the crew can lay in a mix's pot life: total x people x life / (area x layers x hours per
    m2).

    Pot life in the bucket is a guide; spread thin, a mix lasts longer, so we take the guide itself.
    Inputs [l, m2, layers, person-hours/m2, people, min], result [l].

    >>> laid_in_life_l(20.0, 10.0, 1, 0.2, 2, 15)
    5.0
    """
    return total_l * crew * life_minutes / 60 / (area_m2 * layers * hours_per_m2)


def laid_by_mix(shares: Sequence[Share], count: int) -> tuple[MixedPart, ...]:
    """The parts of the work with the mixes, of so many equal ones, that each is laid with.

    A part that one mix does not finish carries on with the next, wet on wet.

    >>> found = laid_by_mix([Share(f"strip {n}", 1.0) for n in (1, 2, 3)], 2)
    >>> [(part.first, part.last) for part in found]
    [(1, 1), (1, 2), (2, 2)]
    """
    each = sum(share.weight for share in shares) / count
    found, laid = [], 0.0
    for share in shares:
        begins, laid = laid, laid + share.weight / each
        first = min(count, int(begins + _SLACK_L) + 1)
        found.append(MixedPart(share.words, first, max(first, whole_number(laid))))
    return tuple(found)
