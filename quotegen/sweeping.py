"""How often Python looks for circles of objects that nothing else holds any more.

Its own 700 new objects are soon made here, and nearly all of them are still wanted: working a
roof out and drawing a paper up make many objects and few circles.
"""

import gc

SWEEP_AFTER = 50_000
"""New objects between two sweeps."""


def sweep_seldom() -> None:
    """Let so many new objects be made between two sweeps of this process."""
    gc.set_threshold(SWEEP_AFTER)
