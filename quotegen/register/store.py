"""The register: a small database, beside the papers, of what was issued and when.

A paper gets a new revision only when its content has changed; an issued row is never changed and
never removed.
"""

import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from msgspec import Struct, json
from msgspec.structs import replace

from quotegen.machine.files import replace_file
from quotegen.model.issue import Issue, Memory, Replaced, next_issue
from quotegen.model.own.invoiced import Invoice
from quotegen.model.own.quoted import EnquiryNote, IssuedQuote
from quotegen.register.invoices import INVOICE_TABLES, all_invoices, enter_invoice, owed_pence
from quotegen.register.offers import enter_offers, last_quotes, won_pence
from quotegen.register.placing import NOTE_NAME, Entry, digest_of, done_with, noted, place_paper
from quotegen.units import PENCE_IN_POUND

FILE_NAME = "register.sqlite"
_WAIT_SECONDS = 60.0
_ISSUED = """
SELECT reference, paper, revision, issued, fingerprint, file, total, replaces
FROM issued LEFT JOIN remembered USING (reference, paper, revision)
"""
_MEMORY = """
SELECT content FROM remembered JOIN memories ON memory = digest
WHERE reference = ? AND paper = ? AND revision = ?
"""
_SCHEMA = f"""
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
CREATE TABLE IF NOT EXISTS memories (
    digest TEXT NOT NULL PRIMARY KEY,
    content TEXT NOT NULL
) STRICT;
CREATE TABLE IF NOT EXISTS remembered (
    reference TEXT NOT NULL,
    paper TEXT NOT NULL,
    revision INTEGER NOT NULL,
    replaces TEXT NOT NULL,
    memory TEXT NOT NULL REFERENCES memories (digest),
    PRIMARY KEY (reference, paper, revision)
) STRICT;
CREATE TABLE IF NOT EXISTS offers (
    reference TEXT NOT NULL,
    revision INTEGER NOT NULL,
    issued TEXT NOT NULL,
    valid_until TEXT NOT NULL,
    build_up TEXT NOT NULL,
    net_pence INTEGER NOT NULL,
    total_pence INTEGER NOT NULL,
    cost_pence INTEGER NOT NULL,
    PRIMARY KEY (reference, revision, build_up)
) STRICT;
CREATE TABLE IF NOT EXISTS deposits (
    reference TEXT NOT NULL,
    revision INTEGER NOT NULL,
    build_up TEXT NOT NULL,
    deposit_pence INTEGER NOT NULL,
    PRIMARY KEY (reference, revision, build_up)
) STRICT;
CREATE TABLE IF NOT EXISTS jobs (
    reference TEXT NOT NULL PRIMARY KEY,
    note TEXT NOT NULL
) STRICT;
CREATE TRIGGER IF NOT EXISTS never_change BEFORE UPDATE ON issued
BEGIN SELECT RAISE(ABORT, 'an issued paper is never changed'); END;
CREATE TRIGGER IF NOT EXISTS never_remove BEFORE DELETE ON issued
BEGIN SELECT RAISE(ABORT, 'an issued paper is never removed'); END;
{INVOICE_TABLES}"""


class RegisterError(Exception):
    """The register cannot be read or written: damaged, held by another run, or the disk is full."""


class Register:
    """The register of one folder of papers.

    Opening it first finishes what a killed run left half done. Raises `RegisterError` where the
    folder cannot be made or the file in it cannot be used.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._path = folder / FILE_NAME
        with _in_plain_words():
            folder.mkdir(parents=True, exist_ok=True)
        with _in_plain_words(), closing(self._connect()) as connection:
            connection.executescript(_SCHEMA)
            if (folder / NOTE_NAME).is_file():
                self._mend(connection)

    def entries(self) -> list[Entry]:
        """All issued papers, in order of reference, paper and revision."""
        with _in_plain_words(), closing(self._connect()) as connection:
            rows = connection.execute(f"{_ISSUED} ORDER BY reference, paper, revision").fetchall()
        return [_entry(row) for row in rows]

    def last(self, reference: str, paper: str) -> Entry | None:
        """The last revision of a paper, None before the first."""
        with _in_plain_words(), closing(self._connect()) as connection:
            return _last(connection, reference, paper)

    def memory(self, entry: Entry) -> Memory | None:
        """What an entered paper was made from; None where an older register kept nothing."""
        with _in_plain_words(), closing(self._connect()) as connection:
            return _memory(connection, entry)

    def made_from(self, reference: str, paper: str) -> str:
        """The digest of everything the last revision was made from, empty where unknown."""
        with _in_plain_words(), closing(self._connect()) as connection:
            row = connection.execute(
                "SELECT digest FROM made_from WHERE reference = ? AND paper = ?", (reference, paper)
            ).fetchone()
        return str(row[0]) if row else ""

    @contextmanager
    def issuing(
        self,
        reference: str,
        paper: str,
        fingerprint: str,
        on: date,
        made_of: Memory | None = None,
    ) -> Iterator["Issuing"]:
        """Hold the register while one paper is entered; nothing is recorded if that fails.

        A paper that says the same as the last revision keeps its number and date. A new one says
        what has changed since, if what both are made of is remembered.
        """
        with _in_plain_words(), closing(self._connect()) as connection:
            connection.execute("BEGIN IMMEDIATE")
            last = _last(connection, reference, paper)
            same = last if last and last.fingerprint == fingerprint else None
            before = _memory(connection, last) if last else None
            marks = last.issue if last else None
            issue = same.issue if same else next_issue(reference, marks, on, before, made_of)
            new = Entry(issue, paper, fingerprint, memory=made_of)
            issuing = Issuing(connection, self._folder, new, same)
            try:
                yield issuing
            except BaseException:
                connection.rollback()
                raise
            connection.commit()
            done_with(self._folder)

    @contextmanager
    def invoicing(self, first: int = 1) -> Iterator["Numbering"]:
        """Hold the register while one invoice is made; nothing is recorded if that fails.

        Its number is the one after the last, or `first` where there is none yet. It is given only
        when the invoice is placed: one that never was leaves its number to the next.
        """
        with _in_plain_words(), closing(self._connect()) as connection:
            connection.execute("BEGIN IMMEDIATE")
            issued = all_invoices(connection)
            number = issued[-1].number + 1 if issued else first
            try:
                yield Numbering(connection, self._folder, number, issued)
            except BaseException:
                connection.rollback()
                raise
            connection.commit()
            done_with(self._folder)

    def invoices(self) -> tuple[Invoice, ...]:
        """Every invoice and credit note in the order of their numbers."""
        with _in_plain_words(), closing(self._connect()) as connection:
            return all_invoices(connection)

    def owed(self, on: date) -> Decimal:
        """What is unpaid by a day of all invoices that stand, added up by the register [GBP]."""
        with _in_plain_words(), closing(self._connect()) as connection:
            return Decimal(owed_pence(connection, on)) / PENCE_IN_POUND

    def note(self, jobs: Iterable[EnquiryNote]) -> None:
        """Keep what the rows tell of their jobs now; what rows since removed told stays."""
        rows = [(job.reference, json.encode(job).decode()) for job in jobs]
        with _in_plain_words(), closing(self._connect()) as connection:
            connection.execute("BEGIN IMMEDIATE")
            connection.executemany("INSERT OR REPLACE INTO jobs VALUES (?, ?)", rows)
            connection.commit()

    def notes(self) -> tuple[EnquiryNote, ...]:
        """The last note of every job, by reference."""
        with _in_plain_words(), closing(self._connect()) as connection:
            rows = connection.execute("SELECT note FROM jobs ORDER BY reference").fetchall()
        return tuple(json.decode(row[0], type=EnquiryNote) for row in rows)

    def quotes(self) -> tuple[IssuedQuote, ...]:
        """The last revision of every quote with its options, by reference."""
        with _in_plain_words(), closing(self._connect()) as connection:
            return last_quotes(connection)

    def remember(self, quotes: Iterable[IssuedQuote]) -> None:
        """Keep quotes that were issued elsewhere, before this register; they have no paper here."""
        with _in_plain_words(), closing(self._connect()) as connection:
            connection.execute("BEGIN IMMEDIATE")
            for quote in quotes:
                enter_offers(connection, quote)
            connection.commit()

    def won(self) -> Decimal:
        """The price without VAT of all that was accepted, added up by the register [GBP]."""
        with _in_plain_words(), closing(self._connect()) as connection:
            return Decimal(won_pence(connection)) / PENCE_IN_POUND

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

    def _mend(self, connection: sqlite3.Connection) -> None:
        """Enter the paper that a dead run had put in place; a live one holds the register."""
        connection.execute("BEGIN IMMEDIATE")
        note = noted(self._folder)
        if note and note.is_placed(self._folder) and not _is_entered(connection, note.entry):
            _enter(connection, note.entry)
        connection.commit()
        done_with(self._folder)

    def _connect(self) -> sqlite3.Connection:
        return sqlite3.connect(self._path, timeout=_WAIT_SECONDS, isolation_level=None)


class Issuing(Struct, frozen=True):
    """A paper being issued; `before` is its existing entry when it says nothing new."""

    connection: sqlite3.Connection
    folder: Path
    entry: Entry
    before: Entry | None

    @property
    def issue(self) -> Issue:
        """The marks that the paper has to bear."""
        return self.entry.issue

    def record(
        self, file: str, content: bytes, total: str, quote: IssuedQuote | None = None
    ) -> None:
        """Put the paper in its place and enter it; a known one is only put back.

        `file` is its path below the register's folder, `quote` what a quote offers. Raises OSError
        where the file cannot be put there.
        """
        if self.before is not None:
            replace_file(self.folder / file, content)
            return
        entry = replace(self.entry, file=file, total=total, quote=quote)
        place_paper(self.folder, entry, content)
        _enter(self.connection, entry)

    def remember(self, made_from: str) -> None:
        """Record the digest of what the paper is made from, for the next run."""
        self.connection.execute(
            "INSERT OR REPLACE INTO made_from VALUES (?, ?, ?)",
            (self.issue.reference, self.entry.paper, made_from),
        )


class Numbering(Struct, frozen=True):
    """An invoice being made under the register's lock: its number, and all issued before it."""

    connection: sqlite3.Connection
    folder: Path
    number: int
    issued: tuple[Invoice, ...]

    def record(self, invoice: Invoice, paper: str, file: str, content: bytes) -> None:
        """Enter the invoice, among the papers of its job too, and put it in its place.

        A number that the register refuses leaves no file behind. Raises OSError where the file
        cannot be put there; the invoice is not entered then.
        """
        marks = Issue(invoice.reference, 0, invoice.issued)
        entry = Entry(marks, paper, digest_of(content), file, str(invoice.to_pay), invoice=invoice)
        self.connection.execute("SAVEPOINT entering")
        _enter(self.connection, entry)
        try:
            place_paper(self.folder, entry, content)
        except OSError:
            self.connection.execute("ROLLBACK TO entering")
            raise


@contextmanager
def _in_plain_words() -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise RegisterError(error.strerror) from error
    except sqlite3.Error as error:
        raise RegisterError(str(error)) from error


def _is_taken(connection: sqlite3.Connection, reference: str) -> bool:
    """Whether some customer already has a reference, ignoring capitals."""
    taken = "SELECT 1 FROM customers WHERE reference = ?"
    return connection.execute(taken, (reference,)).fetchone() is not None


def _last(connection: sqlite3.Connection, reference: str, paper: str) -> Entry | None:
    row = connection.execute(
        f"{_ISSUED} WHERE reference = ? AND paper = ? ORDER BY revision DESC LIMIT 1",
        (reference, paper),
    ).fetchone()
    return _entry(row) if row else None


def _memory(connection: sqlite3.Connection, entry: Entry) -> Memory | None:
    row = connection.execute(_MEMORY, _marks(entry)).fetchone()
    return json.decode(row[0], type=Memory) if row else None


def _marks(entry: Entry) -> tuple[str, str, int]:
    """What an entry is found by."""
    return entry.issue.reference, entry.paper, entry.issue.revision


def _is_entered(connection: sqlite3.Connection, entry: Entry) -> bool:
    """Whether this revision of the paper is entered already."""
    last = _last(connection, entry.issue.reference, entry.paper)
    return last is not None and last.issue.revision >= entry.issue.revision


def _enter(connection: sqlite3.Connection, entry: Entry) -> None:
    issue = entry.issue
    connection.execute(
        "INSERT INTO issued VALUES (?, ?, ?, ?, ?, ?, ?)",
        (
            *_marks(entry),
            issue.issued.isoformat(),
            entry.fingerprint,
            entry.file,
            entry.total,
        ),
    )

    if entry.memory is not None:
        content = json.encode(entry.memory)
        digest = digest_of(content)
        connection.execute(
            "INSERT OR IGNORE INTO memories VALUES (?, ?)", (digest, content.decode())
        )
        connection.execute(
            "INSERT INTO remembered VALUES (?, ?, ?, ?, ?)",
            (*_marks(entry), json.encode(issue.replaces).decode(), digest),
        )

    if entry.quote is not None:
        enter_offers(connection, entry.quote)

    if entry.invoice is not None:
        enter_invoice(connection, entry.invoice)


def _entry(row: tuple[Any, ...]) -> Entry:
    reference, paper, revision, issued, fingerprint, file, total, replaces = row
    replaced = json.decode(replaces, type=Replaced | None) if replaces else None
    issue = Issue(reference, revision, date.fromisoformat(issued), replaced)
    return Entry(issue, paper, fingerprint, file, total)
