"""Papers drawn up in several processes: the same bytes, nothing lost, nothing left behind."""

import os
import pickle
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import pytest

from quotegen.app import make_papers
from quotegen.making import drawing_up
from quotegen.making.drawing_up import Drawn, PaperTask, draw_up
from quotegen.making.issuing import Issuer, Outcome, State
from quotegen.making.papers import Paper, Ready
from quotegen.making.workers import DrawingFailedError, Workers
from quotegen.problems import Problem
from quotegen.working_out import work_out
from tests.builders import ROOT, TODAY
from tests.test_app import SURVEYED, write_book

PAPERS = (Paper.QUOTE, Paper.CANCELLATION, Paper.TENANT_NOTICE, Paper.EMAIL, Paper.ORDER_BOOK)
LATER = date(2026, 11, 27)
HOME_OWNER = {**SURVEYED, "customer_kind": "home-owner", "occupier": "tenant"}


@pytest.fixture(scope="module")
def ready(tmp_path_factory: pytest.TempPathFactory) -> Ready:
    """The bay, worked out."""
    (worked,) = work_out(write_book(tmp_path_factory.mktemp("ready"), SURVEYED), (), TODAY).worked
    assert worked.quote
    assert worked.statement
    return Ready(worked.ref, worked.quote, worked.statement)


def everything(folder: Path) -> dict[str, bytes]:
    """Every paper below a folder, by name."""
    return {file.name: file.read_bytes() for file in folder.rglob("*-r?.*")}


def test_two_processes_make_the_same_papers_in_the_same_order(tmp_path: Path) -> None:
    book = write_book(tmp_path, HOME_OWNER, {**HOME_OWNER, "ref": "T-02", "colour": "slate"})
    batch = work_out(book, (), TODAY)
    made: dict[int, list[Outcome]] = {}
    for count in (1, 2):
        with Workers(count) as workers:
            out = tmp_path / str(count)
            made[count] = list(make_papers(batch, PAPERS, out, TODAY, workers=workers))
    assert {o.state for o in made[2]} == {State.MADE}
    order = [(ref, paper) for ref in ("T-01", "T-02") for paper in PAPERS]
    assert [(o.ref, o.paper) for o in made[2]] == [(o.ref, o.paper) for o in made[1]] == order
    assert everything(tmp_path / "1") == everything(tmp_path / "2")
    assert len(everything(tmp_path / "1")) == len(order)


@pytest.mark.parametrize("renew", [False, True])
def test_revisions_are_the_same_from_two_processes(tmp_path: Path, renew: bool) -> None:
    """What a paper replaces, and whether it is renewed, reaches the process that draws it."""
    made = {}
    for count in (1, 2):
        folder = tmp_path / str(count)
        folder.mkdir()
        out = folder / "papers"
        first = work_out(write_book(folder, SURVEYED), (), TODAY)
        list(make_papers(first, (Paper.QUOTE, Paper.EMAIL), out, TODAY))
        width_mm = SURVEYED["width_mm"] + (0 if renew else 50)
        on = TODAY + timedelta(days=40) if renew else LATER
        later = work_out(write_book(folder, {**SURVEYED, "width_mm": width_mm}), (), on)
        papers = (Paper.QUOTE, Paper.EMAIL)
        with Workers(count) as workers:
            outcomes = list(make_papers(later, papers, out, on, renew=renew, workers=workers))
        assert outcomes[0].state is State.MADE
        made[count] = everything(out)
    assert made[1] == made[2]
    assert any("-r1." in name for name in made[1])


def test_nothing_is_drawn_up_where_nothing_can_have_changed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    book = write_book(tmp_path, HOME_OWNER)
    asked: list[str] = []

    def counted(task: PaperTask) -> Drawn | Problem:
        asked.append(task.paper)
        return draw_up(task)

    def run(on: date = TODAY) -> list[State]:
        asked.clear()
        batch = work_out(book, (), on)
        return [o.state for o in make_papers(batch, PAPERS, tmp_path / "papers", on)]

    monkeypatch.setattr("quotegen.making.workers.draw_up", counted)
    assert run() == [State.MADE] * len(PAPERS)
    assert asked == [*PAPERS]
    assert run() == [State.UNCHANGED] * len(PAPERS)
    assert asked == []
    assert run(LATER) == [State.UNCHANGED] * len(PAPERS)
    assert asked == [*PAPERS], "on another day what they say is compared"
    assert run(LATER) == [State.UNCHANGED] * len(PAPERS)
    assert asked == []
    (lost,) = (tmp_path / "papers").rglob("*quote-r0.pdf")
    before = lost.read_bytes()
    lost.unlink()
    assert run(LATER) == [State.MADE] + [State.UNCHANGED] * (len(PAPERS) - 1)
    assert asked == [Paper.QUOTE]
    assert lost.read_bytes() == before
    write_book(tmp_path, {**HOME_OWNER, "private_notes": "Mind the dog."})
    assert State.MADE not in run(LATER)
    assert asked == [*PAPERS], "a note of the owner's own is in none of these papers"


def test_our_own_fault_in_another_process_names_its_paper(
    ready: Ready, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def at_fault(*_: object) -> None:
        raise LookupError("no such thing")

    monkeypatch.setattr(drawing_up, "draft_of", at_fault)
    with Workers(2) as workers:
        pending = workers.draw(PaperTask(ready, Paper.QUOTE, tmp_path, TODAY, None))
        with pytest.raises(DrawingFailedError, match="T-01, quote: LookupError: no such thing"):
            pending()


def test_a_worker_that_is_killed_loses_nothing(
    ready: Ready, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    here = os.getpid()

    def killed(task: PaperTask) -> Drawn | Problem:
        if os.getpid() != here:
            os.kill(os.getpid(), signal.SIGKILL)
        return draw_up(task)

    monkeypatch.setattr("quotegen.making.workers.draw_up", killed)
    tasks = [
        PaperTask(ready, paper, tmp_path, TODAY, None) for paper in (Paper.QUOTE, Paper.ORDER_BOOK)
    ]
    with Workers(2) as workers:
        pending = [workers.draw(task) for task in tasks]
        drawn = [one() for one in pending]
        after = workers.draw(tasks[0])()
    assert drawn == [draw_up(task) for task in tasks]
    assert after == drawn[0]


def test_a_revision_issued_by_another_run_meanwhile_is_taken_into_account(
    ready: Ready, tmp_path: Path
) -> None:
    def issue(run: Issuer) -> Callable[[], Outcome]:
        return run.begin(ready, Paper.ORDER_BOOK, "")

    papers = tmp_path / "papers"
    slow, quick = (Issuer(tmp_path, papers, on, Workers(1)) for on in (LATER, TODAY))
    waiting = issue(slow)
    assert issue(quick)().state is State.MADE
    late = waiting()
    assert (late.state, late.issue and late.issue.revision) == (State.UNCHANGED, 0)
    assert late.issue
    assert late.issue.issued == TODAY
    assert len(everything(papers)) == 1


STARTED = """
import sys, time
from multiprocessing import active_children
from pathlib import Path
from quotegen.app import make_papers
from quotegen.making.papers import Paper
from quotegen.making.workers import Workers
from quotegen.working_out import work_out
from tests.builders import TODAY
book = Path(sys.argv[1])
with Workers(2) as workers:
    batch = work_out(book, (), TODAY)
    for outcome in make_papers(batch, list(Paper), book.parent / "papers", TODAY, (), workers):
        print(outcome.paper, outcome.state, *(child.pid for child in active_children()), flush=True)
"""


@pytest.mark.parametrize("ended", [signal.SIGKILL, signal.SIGINT])
def test_a_run_that_is_ended_leaves_no_process_and_nothing_torn(
    tmp_path: Path, ended: signal.Signals
) -> None:
    book = write_book(tmp_path, HOME_OWNER)
    with subprocess.Popen(
        [sys.executable, "-c", STARTED, str(book)],
        stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True, cwd=ROOT,
    ) as run:  # fmt: skip
        assert run.stdout
        quote = next(line.split() for line in run.stdout if line.startswith(f"{Paper.QUOTE} "))
        assert quote[1] == State.MADE
        workers = [int(pid) for pid in quote[2:]]
        assert len(workers) == 2
        run.send_signal(ended)
    while any(running(pid) for pid in workers):
        time.sleep(0.05)
    assert not list((tmp_path / "papers").rglob("*.part"))
    batch = work_out(book, (), TODAY)
    again = list(make_papers(batch, [Paper.QUOTE], tmp_path / "papers", TODAY))
    assert [o.state for o in again] == [State.UNCHANGED]


def running(pid: int) -> bool:
    """Whether a process is still there and not only waiting to be collected."""
    status = Path(f"/proc/{pid}/stat")
    try:
        return status.read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


def test_nothing_is_left_among_the_temporary_files(ready: Ready, tmp_path: Path) -> None:
    code = (
        "import pickle, sys\n"
        "from quotegen.making.workers import Workers\n"
        "if __name__ == '__main__':\n"
        "    with Workers(2) as workers, open(sys.argv[1], 'rb') as task:\n"
        "        assert workers.draw(pickle.load(task))().rendered.pages\n"
    )
    (tmp_path / "task").write_bytes(
        pickle.dumps(PaperTask(ready, Paper.VARIATION_SLIP, tmp_path, TODAY, None))
    )
    temporary = tmp_path / "temporary"
    temporary.mkdir()
    environment = {**os.environ, "TMPDIR": str(temporary)}
    subprocess.run(
        [sys.executable, "-c", code, tmp_path / "task"], check=True, cwd=ROOT, env=environment
    )
    assert list(temporary.iterdir()) == []
