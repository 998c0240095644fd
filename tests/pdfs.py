"""Reading PDFs back, each page once: a page's text is slow to extract and never changes."""

import re
from functools import cache, lru_cache
from io import BytesIO
from typing import Any

from pypdf import PageObject, PdfReader
from pypdf.generic import DecodedStreamObject, NameObject

_SHOWS_NOTHING = re.compile(
    rb"""^(?:
        [-.\d\ \[\]]*\ ?(?:m|l|c|re|h|S|f\*?|B\*?|W\*?|n|w|J|j|M|d|RG|rg)  # paths and their looks
        | /[\w.]+\ gs
        | /(?:Span|Artifact)\n(?:<</MCID\ \d+>>\nBDC|BMC)
        | EMC
    )\n""",
    re.MULTILINE | re.VERBOSE,
)
_MOVED_BY_NOTHING = b">0<"


@lru_cache(maxsize=32)
def reader_of(content: bytes) -> PdfReader:
    """A PDF for reading, not for changing."""
    return PdfReader(BytesIO(content))


def root_of(content: bytes) -> Any:
    """The root of a PDF; its values may be of any kind."""
    return reader_of(content).trailer["/Root"]


@cache
def page_texts(content: bytes) -> tuple[str, ...]:
    """The text of each page with single spaces, in reading order.

    A page is read without its lines, areas and colours, and with adjoining glyphs as one string
    (ISO 32000-1, 8.2 and 9.4.3), which saves two fifths of the time.
    """
    return tuple(map(_text, reader_of(content).pages))


@cache
def last_page_text(content: bytes) -> str:
    """The text of the last page only."""
    return _text(reader_of(content).pages[-1])


def _text(page: PageObject) -> str:
    return spaced_text(_words_alone(page))


def spaced_text(page: PageObject) -> str:
    """The text of a page with single spaces."""
    return " ".join(page.extract_text().split())


def _words_alone(page: PageObject) -> PageObject:
    """A copy of a page with only its words."""
    contents = page.get_contents()
    assert contents is not None
    words = DecodedStreamObject()
    words.set_data(_SHOWS_NOTHING.sub(b"", contents.get_data()).replace(_MOVED_BY_NOTHING, b""))
    alone = PageObject(page.pdf, page.indirect_reference)
    alone.update(page)
    alone[NameObject("/Contents")] = words
    return alone


def whole_text(content: bytes) -> str:
    """The text of all pages in sequence, with single spaces."""
    return " ".join(" ".join(page_texts(content)).split())
