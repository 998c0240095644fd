"""The process settings a command makes before it imports anything large."""

import os
import subprocess
import sys

import pytest

from quotegen.machine.process import SWEEP_AFTER

THREADS = "OPENBLAS_NUM_THREADS"
"""The variable that OpenBLAS reads when it is loaded: its user manual, "Setting the number of
threads using environment variables"."""
STARTED = f"""
import gc, os, sys
from quotegen.cli.commands import main
sys.argv = ["quotegen", "--version"]
try:
    main()
except SystemExit:
    print(gc.get_threshold()[0], os.environ[{THREADS!r}], "numpy" in sys.modules)
"""


@pytest.mark.parametrize(("said", "held"), [(None, "1"), ("3", "3")])
def test_a_command_sweeps_seldom_and_starts_no_idle_threads(said: str | None, held: str) -> None:
    others = {name: value for name, value in os.environ.items() if name != THREADS}
    made = subprocess.run(
        [sys.executable, "-c", STARTED],
        env=others | ({THREADS: said} if said else {}),
        capture_output=True,
        text=True,
        check=True,
    )
    assert made.stdout.splitlines()[-1] == f"{SWEEP_AFTER} {held} False"
