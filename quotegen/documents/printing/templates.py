"""Filling a template with a view: sandboxed, escaped, and an undefined name is an error.

A template whose name ends in `.txt` makes plain text, which is not escaped.

A template of the same name in the owner's folder replaces ours, and may extend ours as `ours/NAME`.
A fault in an owner's template is the owner's to mend and raises `OwnTemplateError`; one in ours is
our own fault.
"""

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from functools import cache
from itertools import islice
from pathlib import Path
from traceback import walk_tb
from typing import Any
from urllib.parse import unquote

from jinja2 import (
    BaseLoader,
    BytecodeCache,
    ChoiceLoader,
    Environment,
    FileSystemLoader,
    PrefixLoader,
    StrictUndefined,
    TemplateNotFound,
    TemplateSyntaxError,
    UndefinedError,
)
from jinja2.bccache import Bucket
from jinja2.exceptions import SecurityError
from jinja2.loaders import split_template_path
from jinja2.nodes import Template
from jinja2.sandbox import ImmutableSandboxedEnvironment

from quotegen.documents.printing.bounded_templates import (
    BoundedEnvironment,
    Spending,
    TooMuchTextError,
    TurnsUsedUpError,
)
from quotegen.documents.printing.halves import halved
from quotegen.machine.resources import templates_folder
from quotegen.reference.life import UNREAD_SIGN

PLAIN_TEXT = ".txt"
STYLE_SHEET = ".css"
MOST_TEMPLATE_BYTES = 300_000
"""The largest owner's template or style sheet: twenty times the largest of ours."""

MOST_STYLE_SHEETS = 200
"""The most owner's style sheets searched for an address."""


class OwnTemplateError(Exception):
    """An owner's template that cannot be used: which, the line, and what was seen there.

    `code` is the kind of problem.
    """

    def __init__(self, code: str, file: Path, line: int, seen: str) -> None:
        super().__init__(f"{file}, line {line}: {seen}")
        self.code = code
        self.file = file
        self.line = line
        self.seen = seen


def fill(template: str, own: Path | None = None, /, **names: Any) -> str:
    """The HTML or text of a paper: `template` filled in with these names.

    `own` is the folder of the owner's templates.
    """
    kit = _kit(template, templates_folder(), own)
    kit.spending.start()
    with _told(kit):
        return kit.environment.get_template(template).render(**names)


def read_template(template: str, own: Path) -> OwnTemplateError | None:
    """The fault in an owner's template before it is filled in, None where there is none."""
    kit = _kit("", templates_folder(), own)
    kit.spending.start()
    try:
        with _told(kit):
            kit.environment.get_template(template)
    except OwnTemplateError as error:
        return error
    return None


def source_of(template: str, own: Path) -> Template:
    """A template's source, the owner's before ours; raises what Jinja and the loader raise."""
    environment = _kit("", templates_folder(), own).environment
    loader = environment.loader
    if loader is None:
        raise TemplateNotFound(template)
    source, file, _ = loader.get_source(environment, template)
    return environment.parse(source, template, file)


def asked_for(template: str, own: Path | None, address: str, why: str) -> OwnTemplateError | None:
    """The owner's template or style sheet that asks for a forbidden address.

    None if none takes part in the paper, so the fault is ours.
    """
    loader = _kit(template, templates_folder(), own).own
    if own is None or loader is None:
        return None
    files = [*loader.taken, *_small(own, STYLE_SHEET)]
    asked = unquote(address.removeprefix(f"{templates_folder().as_uri()}/"))
    name = asked.rpartition("/")[2]
    places = (
        (file, line)
        for file in files
        for line, words in enumerate(file.read_text("utf-8", "replace").splitlines(), 1)
        if name in unquote(words)
    )
    place = next(places, (files[0], 1) if files else None)
    return place and OwnTemplateError("template-file-refused", *place, f"{asked} ({why})")


class _OwnTemplates(FileSystemLoader):
    """The owner's folder; `taken` are its templates used by the paper."""

    def __init__(self, folder: Path) -> None:
        super().__init__(folder)
        self.folder = folder
        self.taken: list[Path] = []

    def get_source(
        self, environment: Environment, template: str
    ) -> tuple[str, str, Callable[[], bool]]:
        file = self.folder.joinpath(*split_template_path(template))
        if file.is_file() and (size := file.stat().st_size) > MOST_TEMPLATE_BYTES:
            seen = f"the file has {size} characters, of at most {MOST_TEMPLATE_BYTES}"
            raise OwnTemplateError("template-too-large", file, 1, seen)
        try:
            found = super().get_source(environment, template)
        except UnicodeDecodeError as error:
            line = error.object.count(b"\n", 0, error.start) + 1
            seen = "it is not saved as UTF-8 text"
            raise OwnTemplateError("template-broken", self.folder / template, line, seen) from error
        self.taken.append(Path(found[1]))
        return found


class _Compiled(BytecodeCache):
    """Compiled templates, kept for all papers: many extend the same one."""

    def __init__(self) -> None:
        self._kept: dict[str, bytes] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        kept = self._kept.get(bucket.key)
        if kept:
            bucket.bytecode_from_string(kept)

    def dump_bytecode(self, bucket: Bucket) -> None:
        self._kept[bucket.key] = bucket.bytecode_to_string()


_COMPILED = _Compiled()


class _Kit:
    """The environment for one paper, kept so that its templates are read once.

    Without an owner's folder nothing is counted: ours are trusted.
    """

    def __init__(self, ours: Path, own: Path | None) -> None:
        shipped = FileSystemLoader(ours)
        self.own = _OwnTemplates(own) if own else None
        self.spending = Spending(lambda: bool(self.own and self.own.taken))
        first: list[BaseLoader] = [self.own] if self.own else []
        loader = ChoiceLoader([*first, shipped, PrefixLoader({"ours": shipped})])
        self.environment: Environment = (
            BoundedEnvironment(self.spending, loader, **_OPTIONS)
            if own
            else ImmutableSandboxedEnvironment(loader=loader, bytecode_cache=_COMPILED, **_OPTIONS)
        )
        self.environment.globals |= {"halved": halved, "unread_sign": UNREAD_SIGN}


@contextmanager
def _told(kit: _Kit) -> Iterator[None]:
    """Raise faults in the owner's templates as `OwnTemplateError`."""
    try:
        yield
    except OwnTemplateError:
        raise
    except Exception as error:
        place = kit.own and _own_place(error, kit.own)
        if not place:
            raise
        raise OwnTemplateError(_code_of(error), *place, _seen(error)) from error


@cache
def _kit(_template: str, ours: Path, own: Path | None) -> _Kit:
    """One kit per paper, to know which of the owner's templates that paper uses."""
    return _Kit(ours, own)


def _own_place(error: Exception, own: _OwnTemplates) -> tuple[Path, int] | None:
    """The owner's template and line that caused a failure; None if none is to blame.

    If one of ours fails for something an owner's template does not give it, the last owner's
    template used is named.
    """
    if isinstance(error, TemplateSyntaxError):
        file = Path(error.filename or "")
        return (file, error.lineno) if file in own.taken else None
    passed = [
        (Path(frame.f_code.co_filename), line) for frame, line in walk_tb(error.__traceback__)
    ]
    inside = [(file, line) for file, line in passed if file in own.taken]
    if inside:
        return inside[-1]
    return (own.taken[-1], 1) if own.taken else None


def _seen(error: Exception) -> str:
    """What went wrong, on one line."""
    if isinstance(error, RecursionError):
        return "it calls itself"
    return " ".join(str(error).split())


def _code_of(error: Exception) -> str:
    match error:
        case SecurityError():
            return "template-forbidden"
        case UndefinedError():
            return "template-name-unknown"
        case TemplateNotFound():
            return "template-part-missing"
        case RecursionError() | TurnsUsedUpError():
            return "template-endless"
        case TooMuchTextError() | MemoryError():
            return "template-too-large"
        case _:
            return "template-broken"


def _is_markup(name: str | None) -> bool:
    return name is None or not name.endswith(PLAIN_TEXT)


_OPTIONS: Mapping[str, Any] = {
    "autoescape": _is_markup,
    "undefined": StrictUndefined,
    "trim_blocks": True,
    "lstrip_blocks": True,
}


def _small(own: Path, ending: str) -> list[Path]:
    """The owner's files of one kind in order of name, within the limits on number and size."""
    found = islice(own.rglob(f"*{ending}"), MOST_STYLE_SHEETS)
    return sorted(
        file for file in found if file.is_file() and file.stat().st_size <= MOST_TEMPLATE_BYTES
    )
