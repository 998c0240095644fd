"""The common parts of every paper: marks, the firm's head, language and fonts."""

from pathlib import Path

from msgspec import Struct

from quotegen import wording
from quotegen.documents.printing.belongings import own_templates
from quotegen.documents.printing.pdf import PICTURE_SCHEME, Picture
from quotegen.documents.printing.pictures import Unusable, read_certificate, read_picture
from quotegen.model.enquiry import Enquiry, Finding
from quotegen.model.issue import Change, Issue
from quotegen.model.settings import DefaultedSettings, Settings
from quotegen.problems import Place, Problem, problem
from quotegen.working import Origin

LOGO, CERTIFICATE = "logo", "insurance_file"
"""The settings that name a file beside the workbook."""
LOGO_WIDTH_MM = 44.0
PHOTO_WIDTH_MM = 56.0
_MOST_CHANGES = 6
_LONGEST_CHANGE = 40


class PaperFrame(Struct, frozen=True):
    """The frame of a paper: its margins, head and data; `replaces` is blank for a first issue."""

    language: str
    kind: str
    title: str
    description: str
    author: str
    dated: str
    mark: str
    replaces: str = ""


class Letterhead(Struct, frozen=True):
    """The firm's head; `logo` is the address of the picture, empty if none."""

    firm: str
    form: str
    address: str
    contact: tuple[str, ...]
    registered: tuple[str, ...]
    logo: str


class PictureBox:
    """Collects the pictures of a paper and the problems of those that cannot be printed."""

    def __init__(self, folder: Path | None, ref: str) -> None:
        self._folder = folder
        self._ref = ref
        self.pictures: dict[str, Picture] = {}
        self.problems: list[Problem] = []

    def anew(self) -> "PictureBox":
        """An empty box for the same paper, to fill it in once more."""
        return PictureBox(self._folder, self._ref)

    @property
    def templates(self) -> Path | None:
        """The folder of the owner's templates, None where there is none."""
        return own_templates(self._folder)

    def logo(self, settings: DefaultedSettings, book: str) -> str:
        """The address of the firm's logo, empty if none; its faults concern every paper."""
        name = settings.text(LOGO)
        return self.add(name, LOGO_WIDTH_MM, _place_of(LOGO, settings, book), "") if name else ""

    def certificate(self, settings: DefaultedSettings, book: str) -> Picture | None:
        """The insurance certificate to send along, None where there is none that can be sent."""
        name = settings.text(CERTIFICATE)
        if not name:
            return None
        found = read_certificate(self._folder, name)
        if isinstance(found, Unusable):
            place = _place_of(CERTIFICATE, settings, book)
            self.problems.append(problem(found.code, place, seen=name, why=found.why))
            return None
        return found

    def photo(self, shown: Finding | Enquiry, ref: str | None = None) -> str:
        """The address of the photo of a finding or of the whole roof, empty if none."""
        name = shown.photo
        return self.add(name, PHOTO_WIDTH_MM, shown.photo_place, ref) if name else ""

    def add(self, name: str, width_mm: float, place: Place, ref: str | None = None) -> str:
        """The address of a picture for the template, empty if it cannot be printed.

        `ref` is its enquiry, if that is not the reference of the paper.
        """
        found = read_picture(self._folder, name, width_mm)
        if isinstance(found, Unusable):
            ref = self._ref if ref is None else ref
            self.problems.append(problem(found.code, place, seen=name, ref=ref, why=found.why))
            return ""
        key = f"p{len(self.pictures) + 1}"
        self.pictures[key] = found
        return f"{PICTURE_SCHEME}:{key}"


def sheet(
    kind: str, about: str, issue: Issue, settings: Settings, *, accepted: bool = False
) -> PaperFrame:
    """The frame of a paper of this kind for this roof; `accepted` as of `replaced_words`."""
    firm = settings.text("firm_name")
    revision = f"revision {issue.revision}"
    return PaperFrame(
        language=wording.LANGUAGE,
        kind=kind,
        title=f"{kind} {issue.reference}, {about}",
        description=f"{kind} {issue.reference}, {revision}, from {firm}: {about}",
        author=firm,
        dated=issue.issued.isoformat(),
        mark=mark_of(kind, issue, settings),
        replaces=replaced_words(issue, accepted=accepted),
    )


def replaced_words(issue: Issue, *, accepted: bool = False) -> str:
    """Which revision a paper replaces and what has changed since; blank for a first issue.

    An offer that was accepted is a contract, which no later paper of ours ends.

    >>> from datetime import date
    >>> from quotegen.model.issue import Replaced
    >>> old = Replaced(0, date(2026, 11, 23), (Change("Width", "2400 mm", "2450 mm"),))
    >>> replaced_words(Issue("R-1", 1, date(2026, 11, 25), old))
    'Replaces revision 0 of 23 November 2026, which is no longer valid. Changed: Width 2400 mm to \
2450 mm.'
    """
    old = issue.replaces
    if old is None:
        return ""
    named = [_change(one) for one in old.changes[:_MOST_CHANGES]]
    more = len(old.changes) - len(named)
    if more > 0:
        named.append(f"{more} more")
    if old.changes:
        what = f"Changed: {'; '.join(named)}."
    else:
        what = "Changed: our own figures." if old.own else "Changed: the wording."
    dated = wording.date(old.issued)
    last = f"revision {old.revision} of {dated}"
    if accepted:
        return f"Follows {last}. The price you accepted stands until we both agree another. {what}"
    return f"Replaces {last}, which is no longer valid. {what}"


def _change(one: Change) -> str:
    """A change in a few words: from what to what, unless that is long."""
    if max(len(one.before), len(one.now)) > _LONGEST_CHANGE:
        return one.where
    if not one.before:
        return f"{one.where} {one.now}"
    return f"{one.where} {one.before} to {one.now or 'blank'}"


def mark_of(kind: str, issue: Issue, settings: Settings) -> str:
    """The foot of every page: firm, paper, reference, revision and date."""
    return (
        f"{settings.text('firm_name')} · {kind} {issue.reference} · revision {issue.revision}"
        f" · {wording.date(issue.issued)}"
    )


def letterhead(settings: Settings, enquiry: Enquiry, box: PictureBox) -> Letterhead:
    """The firm's head; a missing or unusable logo is noted in the box."""
    vat_number = settings.text("vat_number")
    return Letterhead(
        firm=settings.text("firm_name"),
        form=settings.text("firm_form"),
        address=settings.text("firm_address"),
        contact=_given(settings.text("firm_phone"), settings.text("firm_email")),
        registered=_given(
            f"VAT number {vat_number}" if vat_number and settings.yes("vat_registered") else "",
            _after("Waste carrier", settings.text("waste_carrier")),
        ),
        logo=box.logo(settings, enquiry.place.book),
    )


def one_line(address: str) -> str:
    """An address on one line.

    >>> one_line("1 Quay Lane,\\n  Mizzlehaven")
    '1 Quay Lane, Mizzlehaven'
    """
    return " ".join(address.split())


def in_lines(address: str) -> str:
    """An address in lines, as typed or else broken at its commas.

    >>> in_lines("1 Quay Lane, Mizzlehaven ZZ1 1ZZ")
    '1 Quay Lane\\nMizzlehaven ZZ1 1ZZ'
    """
    return address if "\n" in address.strip() else "\n".join(address.split(", "))


def _given(*parts: str) -> tuple[str, ...]:
    return tuple(part for part in parts if part)


def _after(words: str, value: str) -> str:
    return f"{words} {value}" if value else ""


def _place_of(code: str, settings: DefaultedSettings, book: str) -> Place:
    """The cell that names a file."""
    named = settings[code]
    cell = named.basis.place.partition("!")[2] if isinstance(named.basis, Origin) else ""
    return Place(book, "Business", cell, named.name)
