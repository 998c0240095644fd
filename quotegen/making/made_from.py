"""A digest of everything a paper is made from, so that an unchanged paper is not drawn again.

Equal digests mean an equal paper. Different digests prove nothing: the content is then compared. So
the digest may cover more than matters, but never less.
"""

import hashlib
from collections.abc import Iterable, Sequence
from datetime import date
from functools import cache
from pathlib import Path

from quotegen.diary.records import DiarySubject
from quotegen.documents.printing.belongings import OWN_TEMPLATES
from quotegen.machine.resources import PACKAGE, templates_folder
from quotegen.model.enquiry import Enquiry
from quotegen.model.issue import Issue, IssuedPaper
from quotegen.model.own.learned import Learned
from quotegen.model.settings import PriceBook, Settings
from quotegen.paying.account import Account
from quotegen.problems import Problem


class MadeFrom:
    """The digests of one run; `folder` holds the pictures and the owner's templates."""

    def __init__(self, folder: Path, settings: Settings, prices: PriceBook, on: date) -> None:
        self._folder = folder
        self._of_firm = (settings.text("logo"), settings.text("insurance_file"))
        own_templates = _state_of(folder / OWN_TEMPLATES)
        self._common = _digest(_program(), own_templates, settings, prices, on)

    def enquiry(self, enquiry: Enquiry, problems: Sequence[Problem]) -> str:
        """The digest of an enquiry: row, firm's figures, prices, date, pictures, program."""
        photos = (enquiry.photo, *(finding.photo for finding in enquiry.findings))
        names = (*self._of_firm, *photos)
        pictures = [_stamp(self._folder / name) for name in names if name]
        return _digest(self._common, enquiry, problems, pictures)

    def firm(self) -> str:
        """The digest of a paper of the firm that no enquiry changes."""
        return _digest(self._common)

    def diary(self, subject: DiarySubject) -> str:
        """The digest of the papers of the diary."""
        return _digest(self._common, subject)

    def account(self, account: Account) -> str:
        """The digest of a statement of account."""
        return _digest(self._common, account)


def with_learned(digest: str, learned: Learned | None) -> str:
    """The digest of a paper that also rests on what done jobs say of the rates."""
    return _digest(digest, learned)


def with_sheet(digest: str, sheet: Issue) -> str:
    """The digest of a paper that names paragraphs of the standing sheet."""
    return _digest(digest, sheet)


def together(digests: Iterable[str], carried: Iterable[IssuedPaper]) -> str:
    """The digest of a paper made from several enquiries, or of one that carries other papers."""
    return _digest(list(digests), list(carried))


def _digest(*parts: object) -> str:
    return hashlib.sha256("\n".join(map(repr, parts)).encode()).hexdigest()


@cache
def _program() -> list[tuple[str, str]]:
    """A digest of the program and its templates."""
    return [*_state_of(PACKAGE), *_state_of(templates_folder())]


def _state_of(folder: Path) -> list[tuple[str, str]]:
    """Every file below a folder, by name, with its stamp; compiled files excepted."""
    files = sorted(file for file in folder.rglob("*") if file.suffix != ".pyc" and file.is_file())
    return [(str(file.relative_to(folder)), _stamp(file)) for file in files]


def _stamp(file: Path) -> str:
    """The time and size of a file, which change when it is written; empty where it is missing."""
    try:
        stat = file.stat()
    except (OSError, ValueError):
        return ""
    return f"{stat.st_mtime_ns} {stat.st_size}"
