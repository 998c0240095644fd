"""The register: revisions, dates, and that nothing issued is ever changed."""

import sqlite3
from datetime import date
from pathlib import Path

import pytest

from quotegen.register.store import FILE_NAME, Register, RegisterError

MONDAY, TUESDAY = date(2026, 11, 23), date(2026, 11, 24)


def issue(register: Register, fingerprint: str, on: date, paper: str = "quote") -> int:
    with register.issuing("R-1", paper, fingerprint, on) as issuing:
        issuing.record(f"R-1-{paper}-r{issuing.issue.revision}.pdf", b"a paper", "100.00")
        return issuing.issue.revision


def test_only_what_says_something_new_is_a_new_revision(tmp_path: Path) -> None:
    register = Register(tmp_path)
    assert issue(register, "one", MONDAY) == 0
    assert issue(register, "one", TUESDAY) == 0
    assert issue(register, "two", TUESDAY) == 1
    assert issue(register, "one", TUESDAY) == 2
    entries = register.entries()
    assert [(e.issue.revision, e.issue.issued, e.fingerprint) for e in entries] == [
        (0, MONDAY, "one"),
        (1, TUESDAY, "two"),
        (2, TUESDAY, "one"),
    ]


def test_what_says_nothing_new_keeps_its_first_date(tmp_path: Path) -> None:
    register = Register(tmp_path)
    issue(register, "one", MONDAY)
    with register.issuing("R-1", "quote", "one", TUESDAY) as issuing:
        assert issuing.issue.issued == MONDAY
        assert issuing.before is not None


def test_papers_and_references_count_apart(tmp_path: Path) -> None:
    register = Register(tmp_path)
    issue(register, "one", MONDAY)
    assert issue(register, "one", MONDAY, paper="method-statement") == 0


def test_nothing_is_entered_when_the_paper_fails(tmp_path: Path) -> None:
    register = Register(tmp_path)
    with (
        pytest.raises(RuntimeError, match="no paper"),
        register.issuing("R-1", "quote", "one", MONDAY) as issuing,
    ):
        issuing.record("R-1.pdf", b"a paper", "")
        raise RuntimeError("no paper")
    assert register.entries() == []


def test_a_paper_that_was_never_recorded_is_not_entered(tmp_path: Path) -> None:
    register = Register(tmp_path)
    with register.issuing("R-1", "quote", "one", MONDAY):
        pass
    assert register.entries() == []


@pytest.mark.parametrize("change", ["UPDATE issued SET total = '1'", "DELETE FROM issued"])
def test_an_issued_row_can_neither_be_changed_nor_removed(tmp_path: Path, change: str) -> None:
    register = Register(tmp_path)
    issue(register, "one", MONDAY)
    connection = sqlite3.connect(tmp_path / FILE_NAME)
    with pytest.raises(sqlite3.IntegrityError, match="never"):
        connection.execute(change)
    connection.close()
    assert len(register.entries()) == 1


def test_a_damaged_register_and_a_folder_that_is_none(tmp_path: Path) -> None:
    (tmp_path / FILE_NAME).write_bytes(b"not a database " * 100)
    with pytest.raises(RegisterError, match="not a database"):
        Register(tmp_path)
    with pytest.raises(RegisterError, match="File exists"):
        Register(tmp_path / FILE_NAME)
