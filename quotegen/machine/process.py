"""Settings for every process, to save work that is never needed.

By default Python looks for reference cycles after every 700 new objects; working out a roof and
drawing up a paper make many objects, nearly all still in use, and few cycles. And the linear
algebra library beneath the geometry starts an idle thread for every core, though nothing here uses
a matrix.
"""

import gc
import os

SWEEP_AFTER = 50_000
"""New objects between two garbage collections."""


def set_process() -> None:
    """Collect garbage seldom, and start no linear algebra threads unless the user asks."""
    gc.set_threshold(SWEEP_AFTER)
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
