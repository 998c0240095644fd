"""The files beside the workbook that the papers take: logo, photos, certificate, own templates.

All are checked before a paper is made. The code that reads pictures and templates is imported only
where there are any.
"""

from collections.abc import Sequence
from pathlib import Path

from quotegen.model.enquiry import Enquiry, Finding
from quotegen.model.settings import DefaultedSettings
from quotegen.problems import Place, Problem, problem

OWN_TEMPLATES = "templates"
"""The folder beside the workbook for the owner's templates, under the names of ours."""


def own_templates(folder: Path | None) -> Path | None:
    """The folder of the owner's templates, None where there is none."""
    own = folder and folder / OWN_TEMPLATES
    return own if own and own.is_dir() else None


def check_belongings(
    book: Path, settings: DefaultedSettings, enquiries: Sequence[Enquiry]
) -> list[Problem]:
    """Problems with the files a workbook names, and with the templates beside it.

    The papers report the same faults at the same places. A template is only read here; filling it
    in needs a job.
    """
    return [*_pictures(book, settings, enquiries), *_templates(own_templates(book.parent))]


def _pictures(
    book: Path, settings: DefaultedSettings, enquiries: Sequence[Enquiry]
) -> list[Problem]:
    photos: list[tuple[str, Enquiry | Finding]] = []
    for enquiry in enquiries:
        photos += [(enquiry.ref, enquiry)] if enquiry.photo else []
        photos += [(enquiry.ref, one) for one in enquiry.findings if one.photo]
    if not photos and not settings.text("logo") and not settings.text("insurance_file"):
        return []
    from quotegen.documents.printing.paper import PictureBox  # noqa: PLC0415

    box = PictureBox(book.parent, "")
    box.logo(settings, book.name)
    box.certificate(settings, book.name)
    for ref, shown in photos:
        box.photo(shown, ref)
    return box.problems


def _templates(own: Path | None) -> list[Problem]:
    if own is None:
        return []
    from quotegen.documents.printing.own_templates import read_own_templates  # noqa: PLC0415

    read = read_own_templates(own)
    return [
        *(problem("templates-too-many", Place(str(own)), str(read.most)) for _ in read.left_out),
        *(problem("template-unused", Place(str(file)), file.name) for file in read.unused),
        *(
            problem(error.code, Place(str(error.file)), error.seen, line=error.line)
            for error in read.errors
        ),
    ]
