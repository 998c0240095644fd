"""Reading one XML part of a workbook as a stream, refusing anything risky.

A part that declares a document type is refused, so no entity is ever expanded and nothing outside
the file is read. Only elements of the spreadsheet format are reported, by their local names; those
of its strict form count as the same.
"""

from collections.abc import Callable, Collection, Iterable
from typing import IO
from xml.parsers import expat

NAMESPACES = (
    "http://schemas.openxmlformats.org/spreadsheetml/2006/main",
    "http://purl.oclc.org/ooxml/spreadsheetml/main",
    "http://schemas.openxmlformats.org/package/2006/relationships",
)
RELATION_ID = (
    "http://schemas.openxmlformats.org/officeDocument/2006/relationships id",
    "http://purl.oclc.org/ooxml/officeDocument/relationships id",
)
MOST_OTHERS = 2_000_000
"""The most unrequested elements in a part: more than any spreadsheet program writes."""
_CHUNK = 65_536
_ENCODINGS = ("utf-8", "utf-16", "us-ascii")
"""ISO/IEC 29500-2, 9.1.4: the XML of a package is in UTF-8 or UTF-16."""

Started = Callable[[str, dict[str, str]], None]
Ended = Callable[[str], None]


class DamagedError(Exception):
    """A part that breaks the format; the text says briefly how."""


def read_part(
    stream: IO[bytes],
    wanted: Collection[str],
    started: Started,
    ended: Ended,
    said: Callable[[str], None] | None = None,
    namespaces: Iterable[str] = NAMESPACES,
) -> None:
    """Read a part to its end, reporting the elements wanted and, if asked, all text.

    Raises DamagedError if it is not XML that may be read.
    """
    names = {f"{space} {name}": name for space in namespaces for name in wanted}
    others = 0

    def start(name: str, attributes: dict[str, str]) -> None:
        nonlocal others
        bare = names.get(name)
        if bare is not None:
            started(bare, attributes)
            return
        others += 1
        if others > MOST_OTHERS:
            raise DamagedError("too many elements")

    def end(name: str) -> None:
        bare = names.get(name)
        if bare is not None:
            ended(bare)

    def refuse(*_: object) -> None:
        raise DamagedError("a document type declared inside")

    def declared(_version: str, encoding: str | None, _alone: int) -> None:
        if (encoding or _ENCODINGS[0]).casefold() not in _ENCODINGS:
            raise DamagedError("XML in another encoding than Unicode")

    parser = expat.ParserCreate(namespace_separator=" ")
    parser.buffer_text = True
    parser.StartElementHandler = start
    parser.EndElementHandler = end
    parser.CharacterDataHandler = said
    parser.XmlDeclHandler = declared
    parser.StartDoctypeDeclHandler = refuse
    try:
        while chunk := stream.read(_CHUNK):
            parser.Parse(chunk, False)
        parser.Parse(b"", True)
    except expat.ExpatError as error:
        raise DamagedError(f"XML that ends or goes wrong in line {error.lineno}") from error
