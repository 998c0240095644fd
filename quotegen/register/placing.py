"""Putting a paper in its folder so that a run killed on the way is mended by the next.

A note beside the register says which paper is about to be put in its place, and a digest of its
bytes. It is written before the file and removed once the paper is entered. A run that finds a note
while it alone holds the register knows that another died: if the file is there, whole, the paper is
entered as that run would have done; if not, nothing of it was issued.
"""

import hashlib
from pathlib import Path

from msgspec import DecodeError, Struct, ValidationError, json

from quotegen.machine.files import replace_file
from quotegen.model.issue import Issue, Memory
from quotegen.model.own.invoiced import Invoice
from quotegen.model.own.quoted import IssuedQuote

NOTE_NAME = ".being-issued.json"


class Entry(Struct, frozen=True):
    """One issued paper: its marks, its total, and its file below the register's folder.

    `memory` is what it was made from, None where the register that entered it kept none; `quote`
    is what a quote offers, `invoice` what an invoice or a credit note asks for.
    """

    issue: Issue
    paper: str
    fingerprint: str
    file: str = ""
    total: str = ""
    memory: Memory | None = None
    quote: IssuedQuote | None = None
    invoice: Invoice | None = None


class PlacingNote(Struct, frozen=True):
    """What is about to be entered, and the digest of the bytes of its file."""

    entry: Entry
    digest: str

    def is_placed(self, folder: Path) -> bool:
        """Whether the file is in its place, whole."""
        try:
            return digest_of((folder / self.entry.file).read_bytes()) == self.digest
        except OSError:
            return False


def digest_of(content: bytes) -> str:
    """The digest that a file's bytes are told by."""
    return hashlib.sha256(content).hexdigest()


def place_paper(folder: Path, entry: Entry, content: bytes) -> None:
    """Note what is about to be entered, then put its file in place in one step.

    Raises OSError where the folder is full or read-only, or another program holds the file; nothing
    is left behind then.
    """
    replace_file(folder / NOTE_NAME, json.encode(PlacingNote(entry, digest_of(content))))
    try:
        replace_file(folder / entry.file, content)
    except OSError:
        done_with(folder)
        raise


def noted(folder: Path) -> PlacingNote | None:
    """The note that a dead run left, None where there is none that can be read.

    One that cannot be read is none of ours, for a note is written whole or not at all.
    """
    try:
        return json.decode((folder / NOTE_NAME).read_bytes(), type=PlacingNote)
    except (FileNotFoundError, DecodeError, ValidationError):
        return None


def done_with(folder: Path) -> None:
    """Remove the note."""
    (folder / NOTE_NAME).unlink(missing_ok=True)
