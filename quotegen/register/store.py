"""The register: a small database, beside the papers, of what was issued and when.

A paper gets a new revision only when its content has changed; an issued row is never changed and
never removed.
"""

import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager
from datetime import date
from pathlib import Path

from msgspec import Struct

from quotegen.model.issue import Issue, next_issue

FILE_NAME = "register.sqlite"
_WAIT_SECONDS = 60.0
_SCHEMA = """
CREATE TABLE IF NOT EXISTS issued (
    reference TEXT NOT NULL,
    paper TEXT NOT NULL,
    revision INTEGER NOT NULL,
    issued TEXT NOT NULL,
    fingerprint TEXT NOT NULL,
    file TEXT NOT NULL,
    total TEXT NOT NULL,
    PRIMARY KEY (reference, paper, revision)
) STRICT;
CREATE TABLE IF NOT EXISTS customers (
    reference TEXT NOT NULL PRIMARY KEY COLLATE NOCASE,
    name TEXT NOT NULL,
    address TEXT NOT NULL,
    UNIQUE (name, address)
) STRICT;
CREATE TABLE IF NOT EXISTS made_from (
    reference TEXT NOT NULL,
    paper TEXT NOT NULL,
    digest TEXT NOT NULL,
    PRIMARY KEY (reference, paper)
) STRICT;
CREATE TRIGGER IF NOT EXISTS never_change BEFORE UPDATE ON issued
BEGIN SELECT RAISE(ABORT, 'an issued paper is never changed'); END;
CREATE TRIGGER IF NOT EXISTS never_remove BEFORE DELETE ON issued
BEGIN SELECT RAISE(ABORT, 'an issued paper is never removed'); END;
"""


class RegisterError(Exception):
    """The register cannot be read or written: damaged, held by another run, or the disk is full."""


class Entry(Struct, frozen=True):
    """One issued paper: its marks, its total, and its file."""

    issue: Issue
    paper: str
    fingerprint: str
    file: str
    total: str


class Register:
    """The register of one folder of papers.

    Raises `RegisterError` where the folder cannot be made or the file in it cannot be used.
    """

    def __init__(self, folder: Path) -> None:
        self._path = folder / FILE_NAME
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise RegisterError(error.strerror) from error
        with _in_plain_words(), closing(self._connect()) as connection:
            connection.executescript(_SCHEMA)

    def entries(self) -> list[Entry]:
        """All issued papers, in order of reference, paper and revision."""
        with _in_plain_words(), closing(self._connect()) as connection:
            rows = connection.execute(
                "SELECT * FROM issued ORDER BY reference, paper, revision"
            ).fetchall()
        return [_entry(row) for row in rows]

    def last(self, reference: str, paper: str) -> Entry | None:
        """The last revision of a paper, None before the first."""
        with _in_plain_words(), closing(self._connect()) as connection:
            return _last(connection, reference, paper)

    def made_from(self, reference: str, paper: str) -> str:
        """The digest of everything the last revision was made from, empty where unknown."""
        with _in_plain_words(), closing(self._connect()) as connection:
            row = connection.execute(
                "SELECT digest FROM made_from WHERE reference = ? AND paper = ?", (reference, paper)
            ).fetchone()
        return str(row[0]) if row else ""

    @contextmanager
    def issuing(
        self, reference: str, paper: str, fingerprint: str, on: date
    ) -> Iterator["Issuing"]:
        """Hold the register while one paper is made; nothing is recorded if that fails.

        A paper that says the same as the last revision keeps its number and date.
        """
        with _in_plain_words(), closing(self._connect()) as connection:
            connection.execute("BEGIN IMMEDIATE")
            last = _last(connection, reference, paper)
            if last and last.fingerprint == fingerprint:
                issuing = Issuing(connection, last.issue, paper, fingerprint, last)
            else:
                issue = next_issue(reference, last.issue if last else None, on)
                issuing = Issuing(connection, issue, paper, fingerprint, None)
            try:
                yield issuing
            except BaseException:
                connection.rollback()
                raise
            connection.commit()

    def customer_reference(self, owner: tuple[str, str], wanted: Iterable[str]) -> str:
        """The reference a customer already has, or the first of `wanted` that is still free.

        `owner` identifies the customer (see `same_customer`).
        """
        with _in_plain_words(), closing(self._connect()) as connection:
            connection.execute("BEGIN IMMEDIATE")
            mine = "SELECT reference FROM customers WHERE name = ? AND address = ?"
            known = connection.execute(mine, owner).fetchone()
            if known is None:
                known = (next(one for one in wanted if not _is_taken(connection, one)),)
                connection.execute("INSERT INTO customers VALUES (?, ?, ?)", (*known, *owner))
            connection.commit()
        return str(known[0])

    def _connect(self) -> sqlite3.Connection:
        return sqlite3.connect(self._path, timeout=_WAIT_SECONDS, isolation_level=None)


class Issuing(Struct, frozen=True):
    """A paper being issued; `before` is its existing entry when it says nothing new."""

    connection: sqlite3.Connection
    issue: Issue
    paper: str
    fingerprint: str
    before: Entry | None

    def record(self, file: str, total: str) -> None:
        """Enter the paper once its file is in place; nothing to do where it says nothing new."""
        if self.before is not None:
            return
        self.connection.execute(
            "INSERT INTO issued VALUES (?, ?, ?, ?, ?, ?, ?)",
            (
                self.issue.reference,
                self.paper,
                self.issue.revision,
                self.issue.issued.isoformat(),
                self.fingerprint,
                file,
                total,
            ),
        )

    def remember(self, made_from: str) -> None:
        """Record the digest of what the paper is made from, for the next run."""
        self.connection.execute(
            "INSERT OR REPLACE INTO made_from VALUES (?, ?, ?)",
            (self.issue.reference, self.paper, made_from),
        )


@contextmanager
def _in_plain_words() -> Iterator[None]:
    try:
        yield
    except sqlite3.Error as error:
        raise RegisterError(str(error)) from error


def _is_taken(connection: sqlite3.Connection, reference: str) -> bool:
    """Whether some customer already has a reference, ignoring capitals."""
    taken = "SELECT 1 FROM customers WHERE reference = ?"
    return connection.execute(taken, (reference,)).fetchone() is not None


def _last(connection: sqlite3.Connection, reference: str, paper: str) -> Entry | None:
    row = connection.execute(
        "SELECT * FROM issued WHERE reference = ? AND paper = ? ORDER BY revision DESC LIMIT 1",
        (reference, paper),
    ).fetchone()
    return _entry(row) if row else None


def _entry(row: tuple[str, str, int, str, str, str, str]) -> Entry:
    reference, paper, revision, issued, fingerprint, file, total = row
    issue = Issue(reference, revision, date.fromisoformat(issued))
    return Entry(issue, paper, fingerprint, file, total)
