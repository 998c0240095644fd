"""What every process is set to before it works, so that it spends no time on what is never used.

Python looks for circles of objects that nothing else holds after each 700 new ones: working a roof
out and drawing a paper up make many objects, nearly all still wanted, and few circles. And the
library of linear algebra beneath the geometry starts a thread for every core, which runs idle:
nothing here has a matrix.
"""

import gc
import os

SWEEP_AFTER = 50_000
"""New objects between two sweeps."""


def set_process() -> None:
    """Sweep seldom, and start no thread for linear algebra unless the user has said so."""
    gc.set_threshold(SWEEP_AFTER)
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
