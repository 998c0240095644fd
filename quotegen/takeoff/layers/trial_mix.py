"""The test mix before a coat: whether a deck calls for one, and how long it takes to harden."""

from quotegen.model.settings import DefaultedSettings, Mixed, pairs
from quotegen.takeoff.layers.catalyst import interpolated_pct, pot_life_min

_MINUTES_IN_HOUR = 60


def wants_test_mix(settings: DefaultedSettings, deck_c: float) -> bool:
    """Whether a deck is so cold or so hot that a test mix comes before a coat."""
    below_c, above_c = (settings.number(f"test_mix_{side}_c") for side in ("below", "above"))
    return not below_c < deck_c < above_c


def hard_after_h(settings: DefaultedSettings, material: Mixed, deck_c: float) -> float:
    """The time until a test mix is hard [h]: making it, then the longest it may last in the pot.

    The longest pot life is that of the mix card: the rough figure and what the firm gives it.
    """
    number = settings.number
    life_min = pot_life_min(
        deck_c=deck_c,
        dose_pct=interpolated_pct(deck_c, pairs(settings.tables.doses[material])),
        given_min=number("pot_life_min"),
        given_c=number("pot_life_at_c"),
        given_pct=number("pot_life_at_pct"),
        halves_each_c=number("pot_life_halves_each_c"),
    )
    longest_min = life_min * (1 + number("pot_life_give_pct") / 100)
    return (number("test_mix_min") + longest_min) / _MINUTES_IN_HOUR
