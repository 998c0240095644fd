"""What holds for every test: the collector of circles seldom sweeps.

Papers make many small objects and few circles; sweeping after every 700 of them costs a fifth of
the time (measured, on the suite and on the demo). Nothing that is checked depends on it.
"""

import gc

SWEEP_AFTER = 50_000
"""New objects between two sweeps."""


def pytest_collection_finish() -> None:
    gc.collect()
    gc.freeze()
    gc.set_threshold(SWEEP_AFTER)
