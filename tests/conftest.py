"""Settings for every test: no timing, no chance, and no skip unseen."""

import gc
import os
from collections import Counter
from collections.abc import Generator, Iterator

import pytest
from hypothesis import HealthCheck, settings

from quotegen.documents.printing import design, pdf
from tests import drawing

SWEEP_AFTER = 50_000
"""New objects between two garbage collections.

Papers make many small objects and few cycles; collecting after every 700 objects costs a fifth of
the time (measured, on the suite and on the demo). No check depends on it.
"""

settings.register_profile(
    "suite",
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
    derandomize=True,
    database=None,
    print_blob=True,
)
settings.register_profile("search", settings.get_profile("suite"), derandomize=False)
settings.load_profile("suite")
# The same examples on every machine, however slow: a failure means a change, not bad luck.
# `--hypothesis-profile search` tries others.


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--no-skips", action="store_true", help="a check that is skipped has failed")


def pytest_collection_finish() -> None:
    gc.collect()
    gc.freeze()
    gc.set_threshold(SWEEP_AFTER)


@pytest.fixture(scope="session", autouse=True)
def papers_drawn_once(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """A shelf of drawn papers shared by all workers of a run."""
    shelf = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        shelf = shelf.parent
    shelf /= "drawn"
    shelf.mkdir(exist_ok=True)
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(design, "render", drawing.drawn_once(pdf.render, shelf))
        yield


@pytest.fixture(scope="session", autouse=True)
def one_paper_at_a_time() -> Iterator[None]:
    """Commands draw in the test's own process; drawing several at once has its own tests."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setenv("QUOTEGEN_AT_ONCE", "1")
        yield


@pytest.fixture
def undrawn(monkeypatch: pytest.MonkeyPatch) -> None:
    """For a test of filing and registers that never looks into a paper."""
    monkeypatch.setattr(design, "render", drawing.undrawn(pdf.render))


@pytest.fixture
def drawn_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    """For a test of the drawing itself: nothing comes from the shelf."""
    monkeypatch.setattr(design, "render", pdf.render)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item,
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Turn a skip into a failure under `--no-skips`."""
    report = yield
    if report.skipped and not hasattr(report, "wasxfail") and item.config.option.no_skips:
        report.outcome = "failed"
        report.longrepr = f"{item.nodeid} was skipped: {_reason(report)}"
    return report


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Print a line for each reason, with the number of checks skipped for it."""
    reasons = Counter(_reason(report) for report in terminalreporter.stats.get("skipped", ()))
    for reason, count in reasons.items():
        checks = "check" if count == 1 else "checks"
        terminalreporter.write_line(f"{count} {checks} skipped: {reason}", red=True, bold=True)


def _reason(report: pytest.TestReport) -> str:
    """The reason given for a skip."""
    where = report.longrepr
    return str(where[2] if isinstance(where, tuple) else where).removeprefix("Skipped: ")
