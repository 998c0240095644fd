"""Reading PDFs back, each page once: the text of a page is slow to get and never changes."""

from functools import cache, lru_cache
from io import BytesIO

from pypdf import PdfReader


@lru_cache(maxsize=32)
def reader_of(content: bytes) -> PdfReader:
    """A PDF to look into, not to change."""
    return PdfReader(BytesIO(content))


@cache
def page_texts(content: bytes) -> tuple[str, ...]:
    """The text of each page with single spaces, in the order it would be read out."""
    return tuple(" ".join(page.extract_text().split()) for page in reader_of(content).pages)


def whole_text(content: bytes) -> str:
    """The text of all pages, one after the other, with single spaces."""
    return " ".join(" ".join(page_texts(content)).split())
