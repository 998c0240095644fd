"""The workbook file: a zip of parts, and how its sheets are found in it.

The format is ECMA-376 part 2 (packages) and part 1, 18.2 (workbook), 18.4.9 (shared texts) and 18.8
(styles). Nothing is unpacked to disk, and only requested parts are read.
"""

import posixpath
import zipfile

from msgspec import Struct

from quotegen.workbook.package.number_formats import Style, style_of
from quotegen.workbook.package.sheet_cells import LONGEST_TEXT, Shared, unescaped
from quotegen.workbook.package.xml_parts import RELATION_ID, DamagedError, read_part

WORKBOOK_PART = "xl/workbook.xml"
_MOST_TEXTS = 1_000_000
_YES = ("1", "true")


class SheetPart(Struct, frozen=True):
    """One sheet: the name on its tab, and the part that holds its cells."""

    name: str
    part: str


class Contents(Struct, frozen=True):
    """The sheets of a workbook and what they share."""

    sheets: tuple[SheetPart, ...]
    shared: Shared


def contents_of(archive: zipfile.ZipFile) -> Contents:
    """The sheets of a workbook from left to right, including hidden ones but not charts."""
    related = _relations(archive)
    listed: list[tuple[str, str]] = []
    from_1904 = False

    def started(name: str, attributes: dict[str, str]) -> None:
        nonlocal from_1904
        if name == "workbookPr":
            from_1904 = attributes.get("date1904", "") in _YES
            return
        key = next((attributes[space] for space in RELATION_ID if space in attributes), "")
        listed.append((attributes.get("name", ""), key))

    with archive.open(WORKBOOK_PART) as stream:
        read_part(stream, ("workbookPr", "sheet"), started, _nothing)
    parts = set(archive.namelist())
    sheets = [
        SheetPart(name, related[key].part)
        for name, key in listed
        if key in related and related[key].part in parts and not related[key].chart
    ]
    if not listed:
        raise DamagedError("no sheets")
    texts = next((one.part for one in related.values() if one.texts), "xl/sharedStrings.xml")
    styles = next((one.part for one in related.values() if one.styles), "xl/styles.xml")
    return Contents(
        tuple(sheets),
        Shared(
            _texts(archive, texts) if texts in parts else (),
            _styles(archive, styles) if styles in parts else (),
            from_1904,
        ),
    )


class _Related(Struct, frozen=True):
    """A part named by the workbook, and its type of relation."""

    part: str
    kind: str

    @property
    def chart(self) -> bool:
        return "chartsheet" in self.kind

    @property
    def texts(self) -> bool:
        return self.kind.endswith("/sharedStrings")

    @property
    def styles(self) -> bool:
        return self.kind.endswith("/styles")


def _relations(archive: zipfile.ZipFile) -> dict[str, _Related]:
    """The parts named by the workbook, by relation id; parts outside the file are left out."""
    folder, name = posixpath.split(WORKBOOK_PART)
    found: dict[str, _Related] = {}

    def started(_name: str, attributes: dict[str, str]) -> None:
        target = attributes.get("Target", "")
        if attributes.get("TargetMode") == "External" or not target:
            return
        part = posixpath.normpath(posixpath.join(f"/{folder}", target)).lstrip("/")
        found[attributes.get("Id", "")] = _Related(part, attributes.get("Type", ""))

    with archive.open(f"{folder}/_rels/{name}.rels") as stream:
        read_part(stream, ("Relationship",), started, _nothing)
    return found


def _texts(archive: zipfile.ZipFile, part: str) -> list[str]:
    """The shared texts of cells, each joined from its runs, without phonetic guides."""
    texts: list[str] = []
    pieces: list[str] = []
    open_text = aloud = False

    def started(name: str, _attributes: dict[str, str]) -> None:
        nonlocal open_text, aloud
        if name == "si":
            pieces.clear()
        elif name == "rPh":
            aloud = True
        else:
            open_text = not aloud

    def ended(name: str) -> None:
        nonlocal open_text, aloud
        if name == "rPh":
            aloud = False
        elif name == "t":
            open_text = False
        else:
            texts.append(unescaped("".join(pieces)[: LONGEST_TEXT + 1]))
            if len(texts) > _MOST_TEXTS:
                raise DamagedError("too many texts")

    def said(text: str) -> None:
        if open_text:
            pieces.append(text)

    with archive.open(part) as stream:
        read_part(stream, ("si", "t", "rPh"), started, ended, said)
    return texts


def _styles(archive: zipfile.ZipFile, part: str) -> list[Style]:
    """The cell styles by number, as far as they change what a number means."""
    custom: dict[int, str] = {}
    numbers: list[int] = []
    in_cells = False

    def started(name: str, attributes: dict[str, str]) -> None:
        nonlocal in_cells
        if name == "numFmt":
            custom[_whole(attributes.get("numFmtId"))] = attributes.get("formatCode", "")
        elif name == "cellXfs":
            in_cells = True
        elif in_cells:
            numbers.append(_whole(attributes.get("numFmtId")))

    def ended(name: str) -> None:
        nonlocal in_cells
        if name == "cellXfs":
            in_cells = False

    with archive.open(part) as stream:
        read_part(stream, ("numFmt", "cellXfs", "xf"), started, ended)
    known = {number: style_of(number, custom) for number in set(numbers)}
    return [known[number] for number in numbers]


def _whole(text: str | None) -> int:
    return int(text) if text and text.isdecimal() and len(text) < 9 else 0


def _nothing(_name: str) -> None:
    """Ignore the end of an element."""
