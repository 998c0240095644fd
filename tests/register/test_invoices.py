"""Invoices in the register: numbers without a gap, nothing changed, and kills while issuing."""

import os
import signal
import sqlite3
import sys
import tempfile
from collections.abc import Callable, Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path
from types import FrameType
from typing import Any

import pytest
from msgspec.structs import replace

from quotegen.machine import files
from quotegen.model.own.invoiced import Invoice, PayStage, standing_invoices
from quotegen.register import invoices, placing, store
from quotegen.register.placing import digest_of
from quotegen.register.store import FILE_NAME, Numbering, Register, RegisterError

MONDAY, DUE = date(2026, 11, 23), date(2026, 12, 7)
KILLS = 120
ASKED = (("R-1", PayStage.DEPOSIT), ("R-2", PayStage.DEPOSIT), ("R-1", PayStage.BALANCE))
TRACED = {str(one.__file__) for one in (store, placing, invoices, files)}


def invoice(number: int, ref: str = "R-1", stage: PayStage = PayStage.DEPOSIT) -> Invoice:
    net = Decimal("100.10") * number
    return Invoice(
        number, ref, stage, "new deck", 0, "Ms E. Example", "", True, MONDAY, MONDAY, DUE, net
    )


def content_of(one: Invoice) -> bytes:
    """The bytes of an invoice, which name what it asks for."""
    return f"{one.number} {one.reference} {one.stage} {one.to_pay}\n".encode() * 300


def record(numbering: Numbering, one: Invoice) -> None:
    paper = f"invoice-{one.number:04}"
    file = f"{one.reference}/{one.reference}-{paper}.pdf"
    numbering.record(one, paper, file, content_of(one))


def issue(out: Path, ref: str, stage: PayStage, first: int = 1) -> None:
    """Invoice a stage unless an invoice asks for it already, as the command does."""
    with Register(out).invoicing(first) as numbering:
        asked = {(one.reference, one.stage) for one in standing_invoices(numbering.issued)}
        if (ref, stage) not in asked:
            record(numbering, invoice(numbering.number, ref, stage))


def issue_all(out: Path) -> None:
    for ref, stage in ASKED:
        issue(out, ref, stage)


def test_numbers_follow_one_another_from_the_first_that_was_asked(tmp_path: Path) -> None:
    for ref, stage in ASKED:
        issue(tmp_path, ref, stage, first=41)
    issued = Register(tmp_path).invoices()
    assert [one.number for one in issued] == [41, 42, 43]
    assert [(one.reference, one.stage) for one in issued] == list(ASKED)
    assert [entry.paper for entry in Register(tmp_path).entries()] == [
        "invoice-0041", "invoice-0043", "invoice-0042"
    ]  # fmt: skip


def test_an_invoice_that_fails_leaves_its_number_to_the_next(tmp_path: Path) -> None:
    issue(tmp_path, *ASKED[0])
    with (
        pytest.raises(RuntimeError, match="no paper"),
        Register(tmp_path).invoicing() as numbering,
    ):
        assert numbering.number == 2
        raise RuntimeError("no paper")
    issue(tmp_path, *ASKED[1])
    assert [one.number for one in Register(tmp_path).invoices()] == [1, 2]


@pytest.mark.parametrize("number", [1, 3, 7])
def test_a_number_twice_or_left_out_is_refused(tmp_path: Path, number: int) -> None:
    """By the database itself, whoever asks."""
    issue(tmp_path, *ASKED[0])
    with pytest.raises(RegisterError), Register(tmp_path).invoicing() as numbering:
        record(numbering, invoice(number, "R-9"))
    assert [one.number for one in Register(tmp_path).invoices()] == [1]


@pytest.mark.parametrize(
    "change", ["UPDATE invoices SET to_pay_pence = 1", "DELETE FROM invoices WHERE number = 1"]
)
def test_an_issued_invoice_is_never_changed_or_removed(tmp_path: Path, change: str) -> None:
    issue(tmp_path, *ASKED[0])
    connection = sqlite3.connect(tmp_path / FILE_NAME)
    with pytest.raises(sqlite3.IntegrityError):
        connection.execute(change)
    connection.close()
    assert Register(tmp_path).invoices() == (invoice(1),)


def test_an_invoice_is_cancelled_once(tmp_path: Path) -> None:
    issue(tmp_path, *ASKED[0])
    for number in (2, 3):
        note = replace(invoice(number), credits=1, because="wrong roof")
        try:
            with Register(tmp_path).invoicing() as numbering:
                record(numbering, note)
        except RegisterError:
            assert number == 3
    assert [one.credits for one in Register(tmp_path).invoices()] == [None, 1]


def test_an_invoice_that_cannot_be_put_in_its_place_is_not_entered(tmp_path: Path) -> None:
    """A file stands where the folder of the job has to be."""
    Register(tmp_path)
    (tmp_path / "R-1").write_bytes(b"in the way")
    with Register(tmp_path).invoicing() as numbering, pytest.raises(OSError, match="R-1"):
        record(numbering, invoice(1))
    assert Register(tmp_path).invoices() == ()
    assert placing.noted(tmp_path) is None


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
    """Issue all in a child that is killed at a line."""
    child = os.fork()
    if child == 0:
        count = iter(range(1, at_line + 1))

        def step() -> None:
            if next(count) == at_line:
                os.kill(os.getpid(), signal.SIGKILL)

        try:
            lines_of(lambda: issue_all(out), step)
        finally:
            os._exit(3)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status), f"line {at_line} was never reached"


def faults(out: Path) -> Iterator[str]:
    """What is torn, lost or numbered wrong: the folder against the register, byte by byte."""
    issued = Register(out).invoices()
    if [one.number for one in issued] != list(range(1, len(issued) + 1)):
        yield f"numbered {[one.number for one in issued]}"
    entries = {entry.file: entry for entry in Register(out).entries()}
    wanted = {f"{one.reference}/{one.reference}-invoice-{one.number:04}.pdf": one for one in issued}
    if entries.keys() != wanted.keys():
        yield "an invoice is among the papers and not among the invoices, or the other way round"
    for file, one in wanted.items():
        path = out / file
        content = path.read_bytes() if path.is_file() else b""
        if content != content_of(one) or entries[file].fingerprint != digest_of(content):
            yield f"{file} is not what was entered"
    there = {str(one.relative_to(out)) for one in out.rglob("*.pdf")}
    yield from (f"{one} is there and not entered" for one in sorted(there - wanted.keys()))


@pytest.fixture(scope="module")
def lines() -> int:
    """How many lines issuing all of them goes through, counted once."""
    count = 0

    def step() -> None:
        nonlocal count
        count += 1

    with tempfile.TemporaryDirectory() as folder:
        lines_of(lambda: issue_all(Path(folder) / "papers"), step)
    assert count > KILLS
    return count


def test_kills_while_issuing_tear_nothing_and_leave_no_gap(tmp_path: Path, lines: int) -> None:
    for kill in range(KILLS):
        out = tmp_path / str(kill)
        killed(out, at_line=1 + kill * (lines - 1) // (KILLS - 1))
        before = Register(out).invoices()
        assert not list(faults(out)), kill
        issue_all(out)
        assert not list(faults(out)), kill
        after = Register(out).invoices()
        assert after[: len(before)] == before, "what was issued stays as it was"
        assert [(one.reference, one.stage) for one in after] == list(ASKED), kill
        assert placing.noted(out) is None


def test_runs_at_the_same_time_share_out_the_numbers(tmp_path: Path) -> None:
    Register(tmp_path)
    children = []
    for run in range(3):
        child = os.fork()
        if child == 0:
            code = 1
            try:
                for job in range(6):
                    issue(tmp_path, f"R-{run}-{job}", PayStage.BALANCE)
                code = 0
            finally:
                os._exit(code)
        children.append(child)
    assert [os.waitpid(child, 0)[1] for child in children] == [0, 0, 0]
    assert len(Register(tmp_path).invoices()) == 18
    assert not list(faults(tmp_path))
