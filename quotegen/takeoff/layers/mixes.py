"""The mixes of a job, strip by strip, none above the batch limit and none too small to measure."""

from bisect import bisect_left
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

from msgspec import Struct

from quotegen.model.choices import Mixer
from quotegen.model.settings import Mixed, Settings
from quotegen.model.takeoff import Mixes, MixSize
from quotegen.takeoff.layers.catalyst import card_temperatures, dose
from quotegen.units import Unit, round_up, whole_number
from quotegen.working import Figure, chosen, derive

_SLACK_L = 1e-9


class Share(Struct, frozen=True):
    """A part of the work in laying order, and how much of the material it takes beside others."""

    words: str
    weight: float


def plan_mixes(
    settings: Settings,
    material: Mixed,
    total_l: Figure,
    shares: Sequence[Share],
    deck_c: Figure | None,
) -> tuple[Mixes, Mixes]:
    """All mixes of a material, for a cool deck and for a hot one with its smaller limit."""
    hot_from_c = settings["hot_from_c"]
    bands = []
    for hot in (False, True):
        limit_l = batch_limit_l(settings, hot)
        temperatures = [c for c in card_temperatures(settings) if (c >= hot_from_c.number) is hot]
        sizes = _sizes(settings, material, total_l, shares, limit_l, temperatures)
        expected = None
        if deck_c is not None and (deck_c.number >= hot_from_c.number) is hot:
            expected = dose(settings, material, sizes[0].mass_kg.number, deck_c.number)
        bands.append(Mixes(material, hot, hot_from_c, total_l, limit_l, sizes, expected))
    return bands[0], bands[1]


def batch_limit_l(settings: Settings, hot: bool) -> Figure:
    """The largest single mix: smaller in the heat, and smaller for a beginner."""
    limits = [settings["batch_limit_l"]]
    if hot:
        limits.append(settings["hot_batch_limit_l"])
    if Mixer(settings.text("mixer")) is Mixer.BEGINNER:
        limits.append(settings["beginner_batch_limit_l"])
    return min(limits, key=lambda limit: limit.number)


def _sizes(
    settings: Settings,
    material: Mixed,
    total_l: Figure,
    shares: Sequence[Share],
    limit_l: Figure,
    temperatures: Sequence[float],
) -> tuple[MixSize, ...]:
    """The mixes in laying order, those of one size together."""
    weights = chosen(
        "shares of the strips", tuple(s.weight for s in shares), Unit.M2, "the mat as laid"
    )
    groups = share_out(total_l.number, tuple(s.weight for s in shares), limit_l.number)
    found: dict[float, tuple[Figure, list[tuple[int, str]]]] = {}
    for number, group in enumerate(groups):
        litres = derive(
            f"mix {number + 1} of {material}",
            Unit.L,
            mix_l,
            total_l=total_l,
            weights=weights,
            limit_l=limit_l,
            step_l=settings["mix_step_l"],
            number=chosen("number of the mix", float(number), Unit.NONE, "in laying order"),
        )
        *first, last = (shares[i].words for i, _ in group)
        words = f"{', '.join(first)} and {last}" if first else last
        found.setdefault(litres.number, (litres, []))[1].append((number + 1, words))
    sizes = []
    for litres, mixes in found.values():
        mass = derive(
            f"one mix of {material}",
            Unit.KG,
            mix_mass_kg,
            litres=litres,
            kg_per_l=settings[f"{material}_kg_per_l"],
        )
        doses = tuple(dose(settings, material, mass.number, c) for c in temperatures)
        numbers, whats = zip(*mixes, strict=True)
        sizes.append(MixSize(len(mixes), litres, mass, doses, whats, numbers))
    return tuple(sizes)


MixGroup = tuple[tuple[int, float], ...]


@lru_cache(maxsize=256)
def share_out(total_l: float, weights: tuple[float, ...], limit_l: float) -> tuple[MixGroup, ...]:
    """The mixes as groups of (share, litres), in order, as few as the limit allows and as even.

    A share above the limit is divided evenly. The fewest groups of neighbours within the limit
    are found by filling each in turn; among those the largest group is made as small as can be
    (linear partition, dynamic programming). Inputs [l, any unit, l].

    >>> [round(sum(l for _, l in group), 2) for group in share_out(9.0, (4.0, 4.0, 1.0), 4.0)]
    [4.0, 4.0, 1.0]
    >>> [round(sum(l for _, l in group), 2) for group in share_out(6.0, (1.0,), 4.0)]
    [3.0, 3.0]
    """
    parts: list[tuple[int, float]] = []
    whole = sum(weights)
    for i, weight in enumerate(weights):
        litres = total_l * weight / whole
        divided = max(1, whole_number(litres / limit_l))
        parts += [(i, litres / divided)] * divided
    amounts = [litres for _, litres in parts]
    cuts = _even_cuts(amounts, _fewest(amounts, limit_l))
    return tuple(tuple(parts[a:b]) for a, b in pairwise(cuts))


def _fewest(amounts: Sequence[float], limit: float) -> int:
    groups, held = 1, 0.0
    for amount in amounts:
        if held + amount > limit + _SLACK_L:
            groups, held = groups + 1, 0.0
        held += amount
    return groups


def _even_cuts(amounts: Sequence[float], groups: int) -> list[int]:
    """Where to cut the amounts into so many groups of neighbours, as evenly as can be."""
    sums = [0.0]
    for amount in amounts:
        sums.append(sums[-1] + amount)
    many = len(amounts)
    best: list[list[tuple[float, int]]] = [[(sums[n], 0) for n in range(many + 1)]]
    for _ in range(groups - 1):
        best.append([_best_cut(best[-1], sums, n) for n in range(many + 1)])
    cuts, at = [many], many
    for row in reversed(best):
        at = row[at][1]
        cuts.append(at)
    return sorted(set(cuts))


def _best_cut(
    before: Sequence[tuple[float, int]], sums: Sequence[float], n: int
) -> tuple[float, int]:
    """The largest group of the first n amounts, cut as evenly as can be, and where the last begins.

    The further back the last group begins the larger it is, and the smaller the largest of those
    before it: the best place is where one passes the other.
    """
    meets = bisect_left(range(n + 1), True, key=lambda m: before[m][0] >= sums[n] - sums[m])
    beside = bisect_left(sums, sums[max(0, meets - 1)])
    return min((max(before[m][0], sums[n] - sums[m]), m) for m in (beside, meets))


def mix_l(
    total_l: float, weights: tuple[float, ...], limit_l: float, step_l: float, number: float
) -> float:
    """One mix in laying order, rounded up to a step but never above the limit.

    Inputs [l, any unit, l, l, counted from 0], result [l]. See `share_out`.

    >>> mix_l(13.2, (1.0,), 4.0, 0.1, 0)
    3.3
    """
    group = share_out(total_l, weights, limit_l)[int(number)]
    return min(limit_l, round_up(sum(litres for _, litres in group), step_l))


def mix_mass_kg(litres: float, kg_per_l: float) -> float:
    """Mass of a mix: volume x density.

    Inputs [l, kg/l], result [kg].

    >>> round(mix_mass_kg(4.0, 1.1), 3)
    4.4
    """
    return litres * kg_per_l
