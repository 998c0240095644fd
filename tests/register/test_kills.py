"""A run killed at any line of issuing: nothing torn or lost, and the next run mends.

A child process is forked for each kill and ends itself with SIGKILL at one line of the modules that
put papers in place and enter them. Drawing is left out: it writes nothing.
"""

import os
import signal
import sys
import tempfile
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from types import FrameType, SimpleNamespace
from typing import Any, cast

import pytest

from quotegen.documents.printing.pdf import Rendered
from quotegen.machine import files
from quotegen.making import issuing
from quotegen.making.drawing_up import Drawn, PaperTask
from quotegen.making.issuing import Issuer, Outcome, State
from quotegen.making.papers import Paper, Work
from quotegen.making.workers import Workers
from quotegen.model.issue import Issue, next_issue
from quotegen.register import placing, store
from quotegen.register.store import FILE_NAME, Register

KILLS = 200
MONDAY, TUESDAY, WEDNESDAY = date(2026, 11, 23), date(2026, 11, 24), date(2026, 11, 25)
PAPERS = (Paper.QUOTE, Paper.METHOD)
TRACED = {str(one.__file__) for one in (store, placing, issuing, files)}
WORK = cast(Work, SimpleNamespace(ref="R-1"))


def content_of(paper: object, issue: Issue, words: str) -> bytes:
    """A paper's bytes, which name its revision and day as a real one's do."""
    return f"{paper} {issue.revision} {issue.issued} {words}\n".encode() * 400


class Pen:
    """Draws papers that say the same words; the only part of the workers that is stood in for."""

    def __init__(self, words: str) -> None:
        self._words = words

    def draw(self, task: PaperTask) -> Callable[[], Drawn]:
        """Draw a paper as `draw_up` would: not at all where it says nothing new and is there."""
        last = task.last
        same = last is not None and last.fingerprint == self._words
        issue = (
            last.issue
            if last and same
            else next_issue("R-1", last.issue if last else None, task.on)
        )
        there = last is not None and same and last.in_place
        rendered = None if there else Rendered(content_of(task.paper, issue, self._words), (), 1)
        drawn = Drawn(issue, self._words, "", rendered, ())
        return lambda: drawn


def run(out: Path, words: str, on: date) -> list[Outcome]:
    """One run over the papers of one job."""
    issuer = Issuer(out, out, on, cast(Workers, Pen(words)))
    return [issuer.begin(WORK, paper, f"{words} {on}")() for paper in PAPERS]


def two_runs(out: Path) -> None:
    """A first issue, and a second revision over it on the same day."""
    run(out, "first", MONDAY)
    run(out, "second", MONDAY)


def lines_of(work: Callable[[], object], on_line: Callable[[], None]) -> None:
    """Do some work, calling `on_line` before each line of the traced modules."""

    def trace(frame: FrameType, event: str, _arg: Any) -> Any:
        if frame.f_code.co_filename not in TRACED:
            return None
        if event == "line":
            on_line()
        return trace

    sys.settrace(trace)
    try:
        work()
    finally:
        sys.settrace(None)


def killed(out: Path, at_line: int) -> None:
    """Run the two runs in a child that is killed at a line."""
    child = os.fork()
    if child == 0:
        count = iter(range(1, at_line + 1))

        def step() -> None:
            if next(count) == at_line:
                os.kill(os.getpid(), signal.SIGKILL)

        try:
            lines_of(lambda: two_runs(out), step)
        finally:
            os._exit(3)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status), f"line {at_line} was never reached"


def faults(out: Path) -> Iterator[str]:
    """What is torn or lost: the papers in the folder against the register, byte by byte."""
    entries = {out / one.file: one for one in Register(out).entries()} if out.exists() else {}
    for path, entry in entries.items():
        words = entry.fingerprint
        if not path.is_file():
            yield f"{path.name} is entered and not there"
        elif path.read_bytes() != content_of(entry.paper, entry.issue, words):
            yield f"{path.name} is not what was entered"
    there = {one for one in out.rglob("*") if one.is_file() and one.suffix == ".pdf"}
    yield from (f"{one.name} is there and not entered" for one in sorted(there - set(entries)))


def left_over(out: Path) -> list[str]:
    return [one.name for one in out.rglob("*") if one.is_file() and one.suffix != ".pdf"]


@pytest.fixture(scope="module")
def lines() -> int:
    """How many lines the two runs go through, counted once."""
    count = 0

    def step() -> None:
        nonlocal count
        count += 1

    with tempfile.TemporaryDirectory() as folder:
        lines_of(lambda: two_runs(Path(folder) / "papers"), step)
    assert count > KILLS
    return count


def test_two_hundred_kills_tear_and_lose_nothing(tmp_path: Path, lines: int) -> None:
    """Each is mended by the next run, on the same day and on another in turn."""
    for kill in range(KILLS):
        out = tmp_path / str(kill)
        killed(out, at_line=1 + kill * (lines - 1) // (KILLS - 1))
        assert not list(faults(out)), kill
        day = (MONDAY, WEDNESDAY)[kill % 2]
        entered = {one.file: one for one in Register(out).entries()}
        outcomes = run(out, "second", day)
        assert not [p for one in outcomes for p in one.problems], kill
        assert not list(faults(out)), kill
        assert left_over(out) == [FILE_NAME], kill
        after = {one.file: one for one in Register(out).entries()}
        assert entered.items() <= after.items(), kill
        last = {one.paper: one for one in sorted(after.values(), key=lambda e: e.issue.revision)}
        assert {one.fingerprint for one in last.values()} == {"second"}, kill


def test_a_paper_that_a_killed_run_had_in_its_place_keeps_its_day(tmp_path: Path) -> None:
    """Killed between the file in its place and its entry: the next day enters it as it is."""
    out = tmp_path / "papers"
    issue = Issue("R-1", 0, MONDAY)
    entry = placing.Entry(issue, "quote", "first", "R-1/R-1-quote-r0.pdf", "")
    Register(out)
    placing.place_paper(out, entry, content_of("quote", issue, "first"))
    outcomes = run(out, "first", TUESDAY)
    assert [one.state for one in outcomes] == [State.UNCHANGED, State.MADE]
    assert Register(out).last("R-1", "quote") == entry


def test_a_strange_file_is_still_left_alone(tmp_path: Path) -> None:
    out = tmp_path / "papers"
    (out / "R-1").mkdir(parents=True)
    stray = out / "R-1" / "R-1-quote-r0.pdf"
    stray.write_bytes(b"somebody else's")
    first, _ = run(out, "first", MONDAY)
    assert [one.code for one in first.problems] == ["paper-not-entered"]
    assert stray.read_bytes() == b"somebody else's"
    assert placing.noted(out) is None


def test_a_file_that_is_not_written_in_one_step_is_found_out(
    tmp_path: Path, lines: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With the one step broken into two, some of the same kills leave a torn paper."""

    def in_two_steps(path: Path, content: bytes) -> None:
        path.parent.mkdir(parents=True, exist_ok=True)
        half = len(content) // 2
        path.write_bytes(content[:half])
        with path.open("ab") as file:
            file.write(content[half:])

    in_two_steps.__code__ = in_two_steps.__code__.replace(co_filename=str(files.__file__))
    for module in (placing, store):
        monkeypatch.setattr(module, "replace_file", in_two_steps)
    found = 0
    for at_line in range(1, lines, 7):
        out = tmp_path / str(at_line)
        try:
            killed(out, at_line)
        except AssertionError:
            break
        found += bool(list(faults(out)))
    assert found
