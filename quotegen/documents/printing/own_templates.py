"""The owner's templates read without a job: which are sound, and which papers use them."""

from collections.abc import Iterator
from itertools import islice
from pathlib import Path

from jinja2 import TemplateError, TemplateNotFound
from jinja2.meta import find_referenced_templates
from msgspec import Struct

from quotegen.documents.printing.templates import (
    PLAIN_TEXT,
    OwnTemplateError,
    read_template,
    source_of,
)
from quotegen.machine.resources import templates_folder

MARKUP = ".html"
MOST_FILES = 200
"""The most owner's templates that are checked; of ours there are under twenty."""


class OwnTemplates(Struct, frozen=True):
    """Problems in the owner's templates, and those that no paper uses.

    `left_out` has one file if there are more than are checked.
    """

    errors: tuple[OwnTemplateError, ...]
    unused: tuple[Path, ...]
    left_out: tuple[Path, ...]
    most: int = MOST_FILES


def read_own_templates(own: Path) -> OwnTemplates:
    """Read every owner's template that a paper may be made from."""
    found = list(islice(_files(own), MOST_FILES + 1))
    names = sorted(file.relative_to(own).as_posix() for file in found[:MOST_FILES])
    ours = [file.relative_to(templates_folder()).as_posix() for file in _files(templates_folder())]
    asked = {other for name in (*names, *ours) for other in _asked_for(name, own)}
    used = [name for name in names if name in ours or name in asked or None in asked]
    errors = (read_template(name, own) for name in used)
    return OwnTemplates(
        errors=tuple(error for error in errors if error),
        unused=tuple(own / name for name in names if name not in used),
        left_out=tuple(found[MOST_FILES:]),
    )


def takes_part(template: str, own: Path) -> bool:
    """Whether a paper of ours uses one of the owner's templates, itself or in its parts.

    A template name known only when the paper is filled in counts as a use.
    """
    waiting, seen = [template], {template}
    while waiting:
        name = waiting.pop()
        if (own / name).is_file():
            return True
        for asked in _asked_for(name, own):
            if asked is None:
                return True
            if asked not in seen:
                seen.add(asked)
                waiting.append(asked)
    return False


def _files(own: Path) -> Iterator[Path]:
    """The templates of a folder and its subfolders, in no particular order."""
    return (file for file in own.rglob("*") if file.suffix in (MARKUP, PLAIN_TEXT))


def _asked_for(name: str, own: Path) -> set[str | None]:
    """The templates that one extends, includes or imports; None for a computed name."""
    try:
        return set(find_referenced_templates(source_of(name, own)))
    except (TemplateError, TemplateNotFound, OwnTemplateError, RecursionError):
        return set()
