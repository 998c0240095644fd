"""HTML to PDF: tagged, with the packaged font, and fetching only what is allowed.

The engine is imported only when a paper is drawn. It may read files in the folders of the templates
and the font, and the pictures given to it; everything else is refused, the network included. A
refusal stops the paper (`ResourceRefusedError`); inside a drawing the engine only logs it, so it is
returned among the warnings.
"""

import logging
import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, datetime
from functools import cache, lru_cache
from multiprocessing.util import Finalize
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit
from urllib.request import url2pathname

from font_source_sans_pro import font_directory
from msgspec import Struct

from quotegen.machine.resources import templates_folder
from quotegen.problems import Problem

FONT_FOLDER = Path(font_directory)
PICTURE_SCHEME = "picture"
ONE_PAGE = "one-page"
"""How the `id` of a part of a paper begins that is to stand on one page."""

MOST_STYLE_BYTES = 300_000
"""The largest style sheet: twenty times ours. Laying out by a larger one takes minutes."""

MOST_FILE_BYTES = 20_000_000
"""The largest font or picture beside a template."""


class ResourceRefusedError(Exception):
    """A file or an address that a paper may not have, or a file that is missing."""

    def __init__(self, why: str, address: str) -> None:
        super().__init__(f"{why}: {address}")
        self.why = why
        self.address = address


class Picture(Struct, frozen=True):
    """A picture ready for print: its bytes and media type."""

    content: bytes
    media_type: str


class Attachment(Struct, frozen=True):
    """A file carried inside a PDF: the data behind the paper."""

    name: str
    description: str
    content: bytes


class Rendered(Struct, frozen=True):
    """A finished paper: its bytes, its page count, and the problems and engine warnings."""

    content: bytes
    warnings: tuple[str, ...]
    pages: int
    problems: tuple[Problem, ...] = ()


def load_engine() -> None:
    """Import the engine ahead of the first paper."""
    import weasyprint  # noqa: F401, PLC0415


def render(
    html: str,
    pictures: Mapping[str, Picture] | None = None,
    folders: tuple[Path, ...] = (),
    problems: tuple[Problem, ...] = (),
    attachments: tuple[Attachment, ...] = (),
    closer: Callable[[frozenset[str]], str] | None = None,
) -> Rendered:
    """Lay out HTML and write it as PDF/UA-1.

    `closer` gives the same paper with the named parts set closer: it is laid out instead where
    parts meant for one page (`ONE_PAGE`) run on to another.

    `pictures` are addressed as `picture:NAME`. `folders` are allowed besides those of the templates
    and the font, and a file in them replaces one of the same name beside the templates. The bytes
    depend only on the HTML and the files.
    """
    from PIL import EpsImagePlugin  # noqa: PLC0415
    from weasyprint import HTML  # noqa: PLC0415
    from weasyprint.urls import FatalURLFetchingError  # noqa: PLC0415

    base = f"{templates_folder().as_uri()}/"
    # The engine opens any kind of picture; PostScript would be handed to an outside program.
    EpsImagePlugin.gs_binary = False
    fonts = _fonts()
    with _logged() as logged:
        try:
            styles = [_style(file, folders) for file in _style_files(html, folders)]

            def laid_out(words: str) -> Any:
                return HTML(
                    string=_STYLE_LINK.sub("", words) if styles else words,
                    base_url=base,
                    url_fetcher=fetcher(pictures or {}, folders),
                ).render(
                    pdf_variant="pdf/ua-1",
                    stylesheets=[fonts.faces, *(style.sheet for style in styles)],
                    font_config=fonts.configuration,
                )

            document = laid_out(html)
            running_on = _running_on(document)
            if closer and running_on:
                logged.clear()
                document = laid_out(closer(running_on))
            content: bytes = document.write_pdf(
                pdf_variant="pdf/ua-1", attachments=[_attached(one) for one in attachments]
            )
        except FatalURLFetchingError as stopped:
            cause = stopped.__cause__
            if isinstance(cause, ResourceRefusedError):
                raise cause from None
            raise ResourceRefusedError(str(cause), str(stopped)) from stopped
    warnings = (*(line for style in styles for line in style.warnings), *logged)
    return Rendered(content, warnings, len(document.pages), problems)


def _running_on(document: Any) -> frozenset[str]:
    """The parts that are to stand on one page and are on more than one."""
    pages = Counter(name for page in document.pages for name in page.anchors)
    return frozenset(name for name, many in pages.items() if many > 1 and name.startswith(ONE_PAGE))


_STYLE_LINK = re.compile(r'<link rel="stylesheet" href="([\w/]+\.css)">')
"""A link to a style sheet in our templates; each sheet is read once for all papers."""
_FAMILY = "Source Sans Pro"
_FACES = (("Regular", 400, "normal"), ("It", 400, "italic"), ("Semibold", 600, "normal"))
_STYLES_KEPT = 32


class _Fonts(Struct, frozen=True):
    """The packaged font as loaded by the engine."""

    configuration: Any
    faces: Any


def font_faces() -> str:
    """The style sheet declaring the faces of the packaged font."""
    return "".join(
        f'@font-face {{ font-family: "{_FAMILY}"; font-weight: {weight}; font-style: {style};'
        f' src: url("{(FONT_FOLDER / f"SourceSansPro-{name}.ttf").as_uri()}") }}'
        for name, weight, style in _FACES
    )


@cache
def _fonts() -> _Fonts:
    """Load the packaged font into the engine, once for all papers."""
    from weasyprint import CSS  # noqa: PLC0415
    from weasyprint.text.fonts import FontConfiguration  # noqa: PLC0415

    configuration = FontConfiguration()
    Finalize(None, _tidy, (configuration,), exitpriority=0)
    sheet = CSS(string=font_faces(), font_config=configuration, url_fetcher=fetcher({}, ()))
    return _Fonts(configuration, sheet)


def _tidy(configuration: Any) -> None:
    """Remove the temporary copies of the fonts when a process ends, workers included.

    The engine does so when it releases the configuration, which at exit may be too late.
    """
    configuration.__del__()
    configuration._folder = None


class _Style(Struct, frozen=True):
    """A parsed style sheet, and the engine's warnings about it."""

    sheet: Any
    warnings: tuple[str, ...]


def _style_files(html: str, folders: tuple[Path, ...]) -> list[Path]:
    """The style sheets a paper links to, the owner's before ours; none if one is missing.

    The engine then looks for them itself and reports those it did not find.
    """
    places = (*folders, templates_folder())
    named = [[place / name for place in places] for name in _STYLE_LINK.findall(html)]
    found = [next((file for file in files if file.is_file()), None) for files in named]
    return [file for file in found if file] if all(found) else []


def _style(file: Path, folders: tuple[Path, ...]) -> _Style:
    stat = file.stat()
    return _read_style(file, folders, stat.st_mtime_ns, stat.st_size)


@lru_cache(maxsize=_STYLES_KEPT)
def _read_style(file: Path, folders: tuple[Path, ...], _changed_ns: int, _size: int) -> _Style:
    """A style sheet, read again only when it changes."""
    from weasyprint import CSS  # noqa: PLC0415

    with _logged() as warnings:
        fetch = fetcher({}, folders)
        sheet = CSS(url=file.as_uri(), font_config=_fonts().configuration, url_fetcher=fetch)
    return _Style(sheet, tuple(warnings))


def allowed_file(url: str, folders: tuple[Path, ...]) -> Path:
    """The real path of a `file:` address, if it lies in one of the folders."""
    parts = urlsplit(url)
    if parts.scheme.lower() != "file" or parts.netloc not in ("", "localhost"):
        raise ResourceRefusedError("not a file", url)
    file = Path(url2pathname(parts.path)).resolve()
    if not any(file.is_relative_to(folder.resolve()) for folder in folders):
        raise ResourceRefusedError("outside the folders of the paper", url)
    return file


def _read(url: str, folders: tuple[Path, ...]) -> tuple[Path, bytes]:
    """A file that a paper may have, and its content; `folders` come before our own."""
    ours = templates_folder()
    file = allowed_file(url, (ours, FONT_FOLDER, *folders))
    if file.is_relative_to(ours.resolve()):
        name = file.relative_to(ours.resolve())
        beside = [folder / name for folder in folders if (folder / name).is_file()]
        file = allowed_file(beside[0].resolve().as_uri(), folders) if beside else file
    most = MOST_STYLE_BYTES if file.suffix.lower() == ".css" else MOST_FILE_BYTES
    try:
        if file.stat().st_size > most:
            raise ResourceRefusedError(f"larger than {most} bytes", url)
        return file, file.read_bytes()
    except OSError as error:
        raise ResourceRefusedError(str(error.strerror), url) from error


def _attached(attachment: Attachment) -> Any:
    """An attachment in the engine's form, without its creation time."""
    from weasyprint import Attachment as EngineAttachment  # noqa: PLC0415

    return EngineAttachment(
        string=attachment.content,
        name=attachment.name,
        description=attachment.description,
        created=_UNDATED,
        modified=_UNDATED,
    )


_UNDATED = datetime(2000, 1, 1, tzinfo=UTC)
_MEDIA_TYPES = {".css": "text/css", ".ttf": "font/ttf", ".png": "image/png", ".jpg": "image/jpeg"}


def fetcher(pictures: Mapping[str, Picture], folders: tuple[Path, ...]) -> Any:
    """The engine's fetcher: pictures by name and files of the folders, nothing else."""
    from weasyprint.urls import URLFetcher, URLFetcherResponse  # noqa: PLC0415

    class AllowedOnly(URLFetcher):  # type: ignore[misc]  # comes without hints
        """Serves the pictures by name and the files a paper may have, nothing else."""

        def fetch(self, url: str, headers: object = None) -> Any:  # noqa: ARG002
            scheme, _, name = url.partition(":")
            if scheme == PICTURE_SCHEME and name in pictures:
                found = pictures[name]
                return URLFetcherResponse(url, found.content, {"Content-Type": found.media_type})
            file, content = _read(url, folders)
            media_type = _MEDIA_TYPES.get(file.suffix.lower(), "application/octet-stream")
            return URLFetcherResponse(url, content, {"Content-Type": media_type})

    return AllowedOnly(fail_on_errors=True)


class _Collector(logging.Handler):
    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.lines: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.lines.append(record.getMessage())


@contextmanager
def _logged() -> Iterator[list[str]]:
    collector = _Collector()
    logger = logging.getLogger("weasyprint")
    logger.addHandler(collector)
    try:
        yield collector.lines
    finally:
        logger.removeHandler(collector)
