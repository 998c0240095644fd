"""Hand-made bad workbooks and price lists, each with what the reader is to say of it.

File facts are those of ISO/IEC 29500-1 (sheets, cells, styles), 29500-2 (packages), OASIS
OpenDocument 1.3 part 3 and, for the wrapping of encrypted files, [MS-CFB] and [MS-OFFCRYPTO].
"""

import io
import struct
import zipfile
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache, partial
from typing import Any

from quotegen.workbook.package.book import MOST_BOOK_BYTES
from quotegen.workbook.sheets.prices import PRICES
from tests.workbook.small_books import (
    Parts,
    packed,
    part_of,
    parts_of,
    small_cell,
    sound_book,
    sound_prices,
    typed,
    with_cell,
)

FINE: frozenset[tuple[str, str]] = frozenset()
NO_BOOK = frozenset({("", "file-not-a-workbook")})
TOO_LARGE = frozenset({("", "file-too-large")})


@dataclass(frozen=True)
class Bad:
    """One file: what it is, how it is made, and the problems it has, each with its cell."""

    name: str
    make: Callable[[], bytes]
    expected: frozenset[tuple[str, str]]
    prices: bool = False
    ending: str = ".xlsx"


_LENGTHS: Mapping[Any, str] = {
    "2 400": "", "2,400": "", "2.4 metres": "", "2.4m": "", "2.4 m.": "", "240 cm": "",
    "2400mm": "", "2\u00a0400": "", "2\u2009400 mm": "", "2\u202f400": "", "2400 millimetres": "",
    "240 Centimetres": "", "2.4 mtr": "", "2400.0": "", " 2400 ": "", 2400.0: "", "２４００": "",
    "2400\u200b": "", "2.4 meters": "", "8ft": "cell-in-feet", "8 feet": "cell-in-feet",
    "94 inches": "cell-in-feet", "8'": "cell-in-feet", '94.5"': "cell-in-feet",
    "7'10": "cell-not-a-length", "7ft 10in": "cell-not-a-length", 2.4: "cell-unit-doubtful",
    "2.4": "cell-unit-doubtful", "2,4": "cell-not-a-length", "24 00": "cell-not-a-length",
    "2400 x 600": "cell-not-a-length", "2400-2450": "cell-not-a-length",
    "approx 2400": "cell-not-a-length", "~2400": "cell-not-a-length", "2400?": "cell-not-a-length",
    "2.4 km": "cell-not-a-length", "2400 kg": "cell-not-a-length", "2400mm2": "cell-not-a-length",
    "2½ m": "cell-not-a-length", "1e3": "cell-not-a-length", "0x960": "cell-not-a-length",
    "NaN": "cell-not-a-length", "inf": "cell-not-a-length", "": "size-missing",
    "\u00a0": "size-missing", "don't know": "size-missing", "don’t know": "size-missing",
    "DK": "size-missing", "?": "size-missing", "??": "size-missing", "not sure": "size-missing",
    "TBC": "cell-not-a-length", "=2400": "cell-not-a-length", True: "cell-not-a-length",
    -2400: "cell-out-of-range", 0: "cell-out-of-range", 10**9: "cell-out-of-range",
    1e300: "cell-out-of-range", "-2.4 m": "cell-out-of-range", "24 mm": "cell-out-of-range",
    "9" * 400: "cell-not-a-length", "x" * 32_000: "cell-not-a-length",
    "{{ 7*7 }}": "cell-not-a-length", "<b>2400</b>": "cell-not-a-length",
    "=cmd|'/C calc'!A0": "cell-not-a-length", "2.400,00": "cell-not-a-length",
}  # fmt: skip
_CHOICES: Mapping[tuple[str, Any], str] = {
    ("shape", "canted-bay"): "", ("shape", "Canted Bay "): "", ("shape", "CANTED_BAY"): "",
    ("shape", "canted\u00a0bay"): "", ("shape", "cantedbay"): "",
    ("shape", "cantd bay"): "cell-nearly-a-choice",
    ("shape", "canted bays"): "cell-nearly-a-choice",
    ("shape", "triangle"): "cell-not-a-choice", ("shape", 7): "cell-not-a-choice",
    ("shape", "?"): "cell-missing", ("shape", "dk"): "cell-missing",
    ("shape", None): "cell-missing", ("shape", "{% for x in y %}"): "cell-not-a-choice",
    ("cars_near", "Y"): "", ("cars_near", "n"): "", ("cars_near", "YES"): "",
    ("cars_near", "no "): "", ("cars_near", "don't know"): "", ("cars_near", "dk"): "",
    ("cars_near", "?"): "", ("cars_near", True): "", ("cars_near", "yess"): "cell-nearly-a-choice",
    ("cars_near", "maybe"): "cell-not-a-choice", ("cars_near", 2): "cell-not-a-choice",
    ("cars_near", "y/n"): "cell-not-a-choice", ("build_ups", "Cap-over, New Deck"): "",
    ("build_ups", "cap over; nwe deck"): "cell-nearly-a-choice",
    ("build_ups", "cap over; patch"): "cell-not-a-choice", ("build_ups", ";;"): "cell-not-a-choice",
    ("covering", "Felt"): "", ("covering", "felts"): "cell-nearly-a-choice",
    ("deck", "sheet-boards"): "", ("condition", "SOUND"): "",
    ("customer_kind", "land lord"): "", ("customer_kind", "landlrd"): "cell-nearly-a-choice",
}  # fmt: skip
_OTHERS: Mapping[tuple[str, Any], str] = {
    ("dated", "25/11/2026"): "", ("dated", "25.11.2026"): "", ("dated", "25 November 2026"): "",
    ("dated", "25th Nov 2026"): "", ("dated", "Wed 25 Nov 2026"): "",
    ("dated", "Wednesday, 25th of November, 2026"): "", ("dated", "25 - 11 - 2026"): "",
    ("dated", "Thursday 25 November 2026"): "cell-not-a-date",
    ("dated", "11/25/2026"): "cell-not-a-date", ("dated", "11/25/26"): "cell-not-a-date",
    ("dated", "2026-11-25"): "cell-not-a-date", ("dated", "31/02/2026"): "cell-not-a-date",
    ("dated", "November 2026"): "cell-not-a-date", ("dated", "next Tuesday"): "cell-not-a-date",
    ("dated", 46351): "cell-not-a-date", ("dated", "25/11/1926"): "cell-out-of-range",
    ("dated", "25/11/9999"): "cell-out-of-range",
    ("dated", "00/00/0000"): "cell-not-a-date", ("dated", "25 Octember 2026"): "cell-not-a-date",
    ("humidity_pct", "65%"): "", ("humidity_pct", "65 %"): "", ("humidity_pct", 65): "",
    ("humidity_pct", 0.65): "cell-percent-doubtful", ("humidity_pct", "wet"): "cell-not-a-number",
    ("air_c", "12 °C"): "", ("air_c", "12C"): "", ("air_c", "12 ℃"): "",
    ("air_c", "12 K"): "cell-not-a-number", ("layers", "2"): "", ("layers", 1.5): "cell-not-whole",
    ("layers", "two"): "cell-not-a-number", ("layers", "9" * 40): "cell-not-a-number",
    ("customer_name", "x" * 32_000): "cell-too-long", ("customer_name", "{{ config }}"): "",
    ("customer_name", "<script>alert(1)</script>"): "", ("customer_name", "=1+1"): "",
    ("customer_name", "@import url(file:///etc/passwd)"): "", ("customer_name", "\u202eevil"): "",
    ("customer_name", None): "cell-missing", ("customer_name", "\u200b"): "cell-missing",
    ("private_notes", "?"): "", ("email", "a\nBcc: x@example.com"): "",
    ("ref", "../../x"): "reference-malformed", ("ref", "a/b"): "reference-malformed",
    ("ref", "C:x"): "reference-malformed", ("ref", "NUL"): "reference-malformed",
    ("ref", "con.txt"): "reference-malformed", ("ref", "x" * 500): "reference-malformed",
    ("ref", ".."): "reference-malformed", ("ref", "a\tb"): "reference-malformed",
    ("ref", "{{x}}"): "reference-malformed", ("ref", "=1+1"): "reference-malformed",
    ("ref", None): "reference-missing", ("ref", 101): "", ("ref", "T-01\u00a0"): "",
    ("ref", "Total"): "total-row", ("ref", "Grand total"): "total-row",
}  # fmt: skip
_RAW_CELLS: Mapping[str, tuple[str, str]] = {
    "24x0 as a number": ('<c r="@"><v>24x0</v></c>', "cell-damaged"),
    "a number of 400 digits": (f'<c r="@"><v>{"9" * 400}</v></c>', "cell-damaged"),
    "not a number": ('<c r="@"><v>NaN</v></c>', "cell-damaged"),
    "infinity": ('<c r="@"><v>1E999</v></c>', "cell-not-a-length"),
    "a text that is not there": ('<c r="@" t="s"><v>99999</v></c>', "cell-damaged"),
    "a text of minus one": ('<c r="@" t="s"><v>-1</v></c>', "cell-damaged"),
    "a text of many digits": (f'<c r="@" t="s"><v>{"9" * 300}</v></c>', "cell-damaged"),
    "an odd truth": ('<c r="@" t="b"><v>2</v></c>', "cell-damaged"),
    "an odd day": ('<c r="@" t="d"><v>2026-13-45</v></c>', "cell-damaged"),
    "an unknown type": ('<c r="@" t="zz"><v>2400</v></c>', ""),
    "a style that is not there": ('<c r="@" s="999999"><v>2400</v></c>', ""),
    "a style below nought": ('<c r="@" s="-1"><v>2400</v></c>', ""),
    "a reference lost": ('<c r="@" t="e"><v>#REF!</v></c>', "cell-error-value"),
    "a division by nought": ('<c r="@" t="e"><f>1/0</f><v>#DIV/0!</v></c>', "cell-error-value"),
    "not available": ('<c r="@" t="e"><v>#N/A</v></c>', "cell-error-value"),
    "an error as text": ('<c r="@" t="str"><v>#NAME?</v></c>', "cell-error-value"),
    "never calculated": ('<c r="@"><f>1200*2</f></c>', "cell-formula-not-calculated"),
    "an empty result": ('<c r="@" t="str"><f>""</f><v></v></c>', "size-missing"),
    "a formula with its result": ('<c r="@"><f>1200*2</f><v>2400</v></c>', ""),
    "a formula as deep as it goes": (
        f'<c r="@"><f>{"(" * 5000}1{")" * 5000}</f><v>2400</v></c>', ""),
    "a shared formula without a master": (
        '<c r="@"><f t="shared" si="7"/></c>', "cell-formula-not-calculated"),
    "an array formula": ('<c r="@"><f t="array" ref="A1:XFD1048576">1</f><v>2400</v></c>', ""),
    "a link to another file": ("<c r=\"@\"><f>'[1]Sheet'!A1</f><v>2400</v></c>", ""),
    "a link never followed": (
        "<c r=\"@\"><f>'[1]Sheet'!A1</f></c>", "cell-formula-not-calculated"),
    "a call of a program": (
        '<c r="@"><f>cmd|"/C calc"!A0</f></c>', "cell-formula-not-calculated"),
    "two values": ('<c r="@"><v>24</v><v>2400</v></c>', ""),
    "rich text": (
        '<c r="@" t="inlineStr"><is><r><t>24</t></r><r><t>00</t></r></is></c>', ""),
    "a phonetic guide": (
        '<c r="@" t="inlineStr"><is><t>2400</t><rPh sb="0" eb="1"><t>9</t></rPh></is></c>', ""),
    "a text in a number cell": ('<c r="@" t="str"><v>2400</v></c>', ""),
    "a hundred thousand letters": (
        f'<c r="@" t="inlineStr"><is><t>{"x" * 100_000}</t></is></c>', "cell-not-a-length"),
}  # fmt: skip


@cache
def _base() -> Parts:
    return parts_of(sound_book())


@cache
def _list() -> Parts:
    return parts_of(sound_prices())


def _at(sheet: str, field: str, *codes: str) -> frozenset[tuple[str, str]]:
    return frozenset((f"{sheet}!{small_cell(sheet, field, 2)}", code) for code in codes if code)


def bad_books() -> Iterator[Bad]:
    """All of them, in order."""
    yield from _cells()
    yield from _sheets()
    yield from _packages()
    yield from _open_documents()
    yield from _price_lists()


def _cells() -> Iterator[Bad]:
    def of(field: str, value: Any) -> Callable[[], bytes]:
        return lambda: packed(typed(_base(), "Enquiries", field, value))

    for value, code in _LENGTHS.items():
        name = f"width: {str(value)[:30]!r} {type(value).__name__}"
        yield Bad(name, of("width_mm", value), _at("Enquiries", "width_mm", code))
    for (field, value), code in [*_CHOICES.items(), *_OTHERS.items()]:
        name = f"{field}: {str(value)[:40]!r} {type(value).__name__}"
        expected = _at("Enquiries", field, code)
        if code == "total-row":
            expected = frozenset({("Enquiries!A2", code)})
        yield Bad(name, of(field, value), expected)
    address = small_cell("Enquiries", "width_mm", 2)
    for name, (xml, code) in _RAW_CELLS.items():
        made = partial(_with_raw, address, xml.replace("@", address))
        yield Bad(f"raw: {name}", made, _at("Enquiries", "width_mm", code))


def _with_raw(address: str, xml: str) -> bytes:
    return packed(with_cell(_base(), "Enquiries", address, xml))


def _changed(part: str, old: str, new: str, count: int = 1) -> Callable[[], bytes]:
    """The small workbook with some words of a part changed."""

    def make() -> bytes:
        parts = _base()
        text = parts[part].decode()
        assert old in text, (part, old)
        return packed({**parts, part: text.replace(old, new, count).encode()})

    return make


def _with(**parts: bytes | None) -> Callable[[], bytes]:
    """The small workbook with whole parts changed or gone."""

    def make() -> bytes:
        changed = {**_base(), **parts}
        return packed({name: content for name, content in changed.items() if content is not None})

    return make


def _sheets() -> Iterator[Bad]:
    enquiries = part_of("Enquiries")
    end = "</sheetData>"

    def merged(ref: str, rows: str = "") -> Callable[[], bytes]:
        merge = f'{rows}{end}<mergeCells count="1"><mergeCell ref="{ref}"/></mergeCells>'
        return _changed(enquiries, end, merge)

    def also(rows: str) -> Callable[[], bytes]:
        return _changed(enquiries, end, rows + end)

    whole = frozenset({("Enquiries!A30", "merge-too-large")})
    yield Bad("merge over the whole sheet", merged("A40:XFD1048576"), FINE)
    yield Bad("merge down a column", merged("A40:A1048576"), FINE)
    yield Bad("merge backwards", merged("C50:A40"), FINE)
    yield Bad("merge of nonsense", merged("A0:??"), NO_BOOK)
    yield Bad("merge of nothing", merged(""), NO_BOOK)
    blank_row = '<row r="30"><c r="A30" t="inlineStr"><is><t> </t></is></c></row>'
    yield Bad("merge of a blank over the whole sheet", merged("A30:XFD1048576", blank_row), whole)
    yield Bad(
        "a million rows with a format alone",
        also("".join(f'<row r="{n}" s="1"/>' for n in range(40, 1_000_000, 4))),
        FINE,
    )
    yield Bad(
        "a column with a format to its end",
        also("".join(f'<row r="{n}"><c r="A{n}" s="1"/></row>' for n in range(40, 400_000))),
        FINE,
    )
    yield Bad(
        "rows without end",
        also("".join(f'<row r="{n}"><c r="A{n}"><v>1</v></c></row>' for n in range(40, 30_000))),
        frozenset({("Enquiries!A20038", "rows-too-many")}),
    )
    yield Bad("a row called nought", also('<row r="0"/>'), NO_BOOK)
    yield Bad("a row beyond the last", also('<row r="1048577"/>'), NO_BOOK)
    yield Bad("a row called by a word", also('<row r="x"/>'), NO_BOOK)
    yield Bad(
        "a cell beyond the last", also('<row r="30"><c r="XFE30"><v>1</v></c></row>'), NO_BOOK
    )
    yield Bad("a cell with no name", also('<row r="30"><c r=""><v>1</v></c></row>'), NO_BOOK)
    yield Bad("a blank row between and rows in no order", also('<row r="50"/><row r="40"/>'), FINE)
    yield Bad(
        "one text in the last column",
        also('<row r="30"><c r="XFD30" t="inlineStr"><is><t>mine</t></is></c></row>'),
        FINE,
    )
    yield Bad(
        "a hidden row",
        _changed(enquiries, '<row r="2"', '<row hidden="1" r="2"'),
        frozenset({("Enquiries!A2", "rows-hidden")}),
    )
    yield Bad(
        "a row folded under a heading",
        _changed(enquiries, '<row r="2"', '<row hidden="1" outlineLevel="1" r="2"'),
        FINE,
    )
    yield Bad("a hidden row with nothing in it", also('<row r="30" hidden="1"/>'), FINE)
    yield Bad(
        "a hidden sheet", _changed("xl/workbook.xml", 'state="visible"', 'state="veryHidden"'), FINE
    )
    yield Bad("the sound book", also(""), FINE)
    yield Bad(
        "a heading that is not known",
        lambda: packed(
            with_cell(
                _base(), "Enquiries", "CZ1", '<c r="CZ1" t="inlineStr"><is><t>Dog</t></is></c>'
            )
        ),
        frozenset({("Enquiries!CZ1", "heading-unknown")}),
    )
    yield Bad(
        "a heading in capitals with spaces",
        lambda: packed(
            with_cell(
                _base(),
                "Enquiries",
                "A1",
                '<c r="A1" t="inlineStr"><is><t>  REFER ENCE\n</t></is></c>',
            )
        ),
        FINE,
    )
    yield Bad(
        "a heading twice",
        lambda: packed(
            with_cell(
                _base(),
                "Enquiries",
                "CZ1",
                '<c r="CZ1" t="inlineStr"><is><t>Reference</t></is></c>',
            )
        ),
        frozenset({("Enquiries!CZ1", "heading-twice")}),
    )


def _packages() -> Iterator[Bad]:
    book, texts, styles = "xl/workbook.xml", "xl/sharedStrings.xml", "xl/styles.xml"
    enquiries = part_of("Enquiries")
    laughs = b'<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">' + b"".join(
        b'<!ENTITY %c "%s">' % (98 + n, b"&%c;" % (97 + n) * 10) for n in range(9)
    )
    outside = b'<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]>'

    def before(part: str, said: bytes) -> Callable[[], bytes]:
        def make() -> bytes:
            content = _base()[part]
            body = content[content.index(b"?>") + 2 :] if content.startswith(b"<?") else content
            return packed({**_base(), part: said + body})

        return make

    for part in (book, enquiries, texts, styles, "xl/_rels/workbook.xml.rels"):
        yield Bad(f"an entity bomb in {part}", before(part, laughs + b"]>"), NO_BOOK)
        yield Bad(f"an entity from outside in {part}", before(part, outside), NO_BOOK)
        if part not in (texts, enquiries):
            # Without its style a day is a bare number.
            gone = _at("Enquiries", "dated", "cell-not-a-date") if part == styles else NO_BOOK
            yield Bad(f"{part} gone", _with(**{part: None}), gone)
        yield Bad(f"{part} empty", _with(**{part: b""}), NO_BOOK)
        yield Bad(f"{part} of noughts", _with(**{part: bytes(5000)}), NO_BOOK)
        yield Bad(
            f"{part} in an unknown writing",
            before(part, b'<?xml version="1.0" encoding="x-odd"?>'),
            NO_BOOK,
        )
        yield Bad(f"{part} nested without end", _with(**{part: b"<a>" * 200_000}), NO_BOOK)
    yield Bad(
        "an entity bomb in a part that is not read",
        _with(**{"docProps/odd.xml": laughs + b"]><x>&j;</x>"}),
        FINE,
    )
    lost = frozenset({("Enquiries!", "sheet-missing")})
    yield Bad("a sheet gone", _with(**{enquiries: None}), lost)
    yield Bad(
        "an address outside the file as a sheet",
        _changed("xl/_rels/workbook.xml.rels", "/xl/worksheets/sheet1.xml", "../../../etc/passwd"),
        lost,
    )
    yield Bad(
        "a sheet on another machine",
        _changed(
            "xl/_rels/workbook.xml.rels",
            'Target="/xl/worksheets/sheet1.xml"',
            'TargetMode="External" Target="http://example.com/sheet1.xml"',
        ),
        lost,
    )
    yield Bad(
        "macros",
        _with(**{"xl/vbaProject.bin": b"\xd0\xcf\x11\xe0" + bytes(900)}),
        FINE,
        ending=".xlsm",
    )
    yield Bad(
        "a link to another workbook",
        _with(**{"xl/externalLinks/externalLink1.xml": b"<externalLink/>"}),
        FINE,
    )
    yield Bad("a picture that is a bomb", _with(**{"xl/media/image1.png": bytes(8_000_000)}), FINE)
    yield Bad("names that climb out", _with(**{"../../climbed.xml": b"<x/>", "/etc/x": b""}), FINE)
    yield Bad(
        "the count from 1904",
        _changed(book, "<workbookPr /", '<workbookPr date1904="1" /'),
        frozenset(),
    )
    yield Bad("a zip bomb", _with(**{"xl/bomb.bin": bytes(MOST_BOOK_BYTES)}), TOO_LARGE)
    yield Bad("a sheet that says it is small", _lying, NO_BOOK)
    yield Bad(
        "locked by a password", lambda: ole_file("EncryptionInfo", "EncryptedPackage"), NO_BOOK
    )
    yield Bad("an old .xls", lambda: ole_file("Workbook"), NO_BOOK)
    yield Bad("an older .xls", lambda: ole_file("Book"), NO_BOOK, ending=".xls")
    for name, content in {
        "empty": b"", "a page of the web": b"<html><table><tr><td>Reference</td></tr></table>",
        "a list of commas": b"Reference,Shape\nT-01,bow\n", "a PDF": b"%PDF-1.7\n",
        "PostScript": b"%!PS-Adobe-3.0\n", "SVG": b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        "noughts": bytes(100_000), "the start of a zip": b"PK\x03\x04" + bytes(100),
        "the end of a zip": b"PK\x05\x06" + bytes(18), "a lock file": b"\x07A. Tern" + bytes(157),
        "a zip of something else": packed({"readme.txt": b"hello"}),
    }.items():  # fmt: skip
        yield Bad(f"not a workbook: {name}", partial(bytes, content), NO_BOOK)
    for cut in (30, 500, 2000, -30, -1000):
        yield Bad(f"cut short at {cut}", partial(_cut, cut), NO_BOOK)
    yield Bad("no sheets", _with(**{book: b"<workbook/>"}), NO_BOOK)
    yield Bad("a file before the zip", lambda: b"MZ" + sound_book(), NO_BOOK)


def _cut(at: int) -> bytes:
    return sound_book()[:at]


def _lying() -> bytes:
    """A part whose size in the list of contents is a lie (APPNOTE.TXT 4.4.9)."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in _base().items():
            archive.writestr(
                name, content + (b" " * 5_000_000 if name == part_of("Enquiries") else b"")
            )
    lying = bytearray(out.getvalue())
    at = lying.rindex(part_of("Enquiries").encode()) - 46
    assert lying[at : at + 4] == b"PK\x01\x02"
    lying[at + 24 : at + 28] = struct.pack("<I", 300)
    return bytes(lying)


def ole_file(*streams: str) -> bytes:
    """A compound file with empty streams of these names: [MS-CFB] 2.2 (header), 2.6.1 (entries).

    An encrypted workbook has `EncryptionInfo` and `EncryptedPackage` ([MS-OFFCRYPTO] 2.3.4).
    """
    free, end, fat = 0xFFFFFFFF, 0xFFFFFFFE, 0xFFFFFFFD
    header = bytes.fromhex("d0cf11e0a1b11ae1") + bytes(16)
    header += struct.pack("<HHHHH", 0x3E, 3, 0xFFFE, 9, 6) + bytes(6)
    header += struct.pack("<IIIIIIIII", 0, 1, 1, 0, 4096, end, 0, end, 0)
    header += struct.pack("<I", 0) + struct.pack("<I", free) * 108
    table = struct.pack("<II", fat, end) + struct.pack("<I", free) * 126
    entries = b""
    for number, name in enumerate(("Root Entry", *streams)):
        kind = 2 if number else 5
        words = (name + "\0").encode("utf-16-le")
        entries += words.ljust(64, b"\0") + struct.pack("<HBB", len(words), kind, 1)
        after = number + 1 if 0 < number < len(streams) else free
        entries += struct.pack("<III", free, after, free if number else 1) + bytes(36)
        entries += struct.pack("<IQ", end, 0)
    return header + table + entries.ljust(512, b"\0")


_ODS = "urn:oasis:names:tc:opendocument:xmlns:"


def ods(body: str, **others: bytes) -> bytes:
    """An OpenDocument workbook with this inside its sheets."""
    content = (
        f'<office:document-content xmlns:office="{_ODS}office:1.0" xmlns:table="{_ODS}table:1.0" '
        f'xmlns:text="{_ODS}text:1.0"><office:body><office:spreadsheet>{body}'
        "</office:spreadsheet></office:body></office:document-content>"
    )
    return packed({
        "mimetype": b"application/vnd.oasis.opendocument.spreadsheet",
        "META-INF/manifest.xml": b"<manifest/>",
        "content.xml": content.encode(), **others,
    })  # fmt: skip


def _ods_prices(cells: str, repeat: str = "", after: str = "") -> Callable[[], bytes]:
    row = "".join(_ods_text(column.heading) for column in PRICES.columns)
    return lambda: ods(
        f'<table:table table:name="Prices"><table:table-row>{row}</table:table-row>'
        f"<table:table-row {repeat}>{cells}</table:table-row>{after}</table:table>"
    )


def _ods_text(text: str) -> str:
    return (
        f'<table:table-cell office:value-type="string"><text:p>{text}</text:p></table:table-cell>'
    )


def _ods_number(value: str, attributes: str = "") -> str:
    return (
        f'<table:table-cell office:value-type="float" office:value="{value}" {attributes}>'
        f"<text:p>{value}</text:p></table:table-cell>"
    )


_ODS_DAY = '<table:table-cell office:value-type="date" office:date-value="2026-11-02"/>'


def _ods_row(size: str = "", price: str = "") -> str:
    return (
        _ods_text("resin") + _ods_text("Resin, drum") + _ods_text("kg")
        + (size or _ods_number("20")) + (price or _ods_number("96.5"))
        + _ods_text("Gannet Supplies") + _ODS_DAY
    )  # fmt: skip


def _open_documents() -> Iterator[Bad]:
    def of(name: str, made: Callable[[], bytes], *expected: tuple[str, str]) -> Bad:
        return Bad(f"ods: {name}", made, frozenset(expected), prices=True, ending=".ods")

    no_book = ("", "file-not-a-workbook")
    damaged = ("Prices!D2", "cell-damaged")
    endless = ("Prices!A2", "rows-too-many")
    yield of("a sound list", _ods_prices(_ods_row()))
    yield of("24x0 as a number", _ods_prices(_ods_row(_ods_number("24x0"))), damaged)
    yield of("400 digits", _ods_prices(_ods_row(_ods_number("9" * 400))), damaged)
    yield of(
        "an odd day",
        _ods_prices(
            _ods_row('<table:table-cell office:value-type="date" office:date-value="2026-99-99"/>')
        ),
        damaged,
    )
    yield of(
        "never calculated",
        _ods_prices(_ods_row('<table:table-cell table:formula="of:=1+1"/>')),
        ("Prices!D2", "cell-formula-not-calculated"),
    )
    yield of(
        "an error",
        _ods_prices(_ods_row("<table:table-cell><text:p>#REF!</text:p></table:table-cell>")),
        ("Prices!D2", "cell-error-value"),
    )
    yield of(
        "rows without end", _ods_prices(_ods_row(), 'table:number-rows-repeated="1048000"'), endless
    )
    yield of(
        "columns without end",
        _ods_prices(
            _ods_number("1", 'table:number-columns-repeated="99999999"'),
            'table:number-rows-repeated="15000"',
        ),
        endless,
    )
    yield of(
        "repeated by a word", _ods_prices(_ods_row(), 'table:number-rows-repeated="x"'), no_book
    )
    yield of(
        "repeated no times", _ods_prices(_ods_row(), 'table:number-rows-repeated="0"'), no_book
    )
    yield of(
        "a million empty rows",
        _ods_prices(
            _ods_row(),
            after="<table:table-row "
            'table:number-rows-repeated="1048000"><table:table-cell '
            'table:number-columns-repeated="16384"/></table:table-row>',
        ),
    )
    yield of(
        "a hidden row",
        _ods_prices(_ods_row(), 'table:visibility="filter"'),
        ("Prices!A2", "rows-hidden"),
    )
    yield of(
        "a comment in a cell",
        _ods_prices(
            _ods_row(
                price='<table:table-cell office:value-type="float" office:value="96.5">'
                "<office:annotation>"
                "<text:p>dear</text:p></office:annotation><text:p>96.5</text:p></table:table-cell>"
            )
        ),
    )
    yield of(
        "cells covered without end",
        _ods_prices(
            _ods_row(),
            after="<table:table-row "
            'table:number-rows-repeated="90000"><table:covered-table-cell/></table:table-row>',
        ),
        ("Prices!A3", "merge-too-large"),
    )
    yield of(
        "a table in a table",
        _ods_prices(
            _ods_row(),
            after="<table:table><table:table-row>"
            f"{_ods_number('1')}</table:table-row></table:table>",
        ),
    )
    yield of(
        "spaces without end",
        _ods_prices(
            _ods_row(
                price="<table:table-cell "
                'office:value-type="string"><text:p>96.5<text:s text:c="999999999"/></text:p>'
                "</table:table-cell>"
            )
        ),
    )
    yield of("no sheets", lambda: ods(""), no_book)
    yield of(
        "another sheet",
        lambda: ods('<table:table table:name="Other"/>'),
        ("Prices!", "price-sheet-missing"),
    )
    yield of(
        "an entity bomb",
        lambda: ods("", **{"content.xml": b'<!DOCTYPE x [<!ENTITY a "b">]><x/>'}),
        no_book,
    )
    yield of("cut short inside", lambda: ods("", **{"content.xml": b"<office"}), no_book)
    yield of(
        "a password",
        lambda: ods(
            "",
            **{"META-INF/manifest.xml": b"<manifest:encryption-data/>", "content.xml": bytes(200)},
        ),
        no_book,
    )
    yield of(
        "a zip bomb",
        lambda: ods("", **{"Pictures/a.png": bytes(MOST_BOOK_BYTES)}),
        ("", "file-too-large"),
    )


_PRICE_CELLS: Mapping[tuple[str, Any], str] = {
    ("pack_price", "£96.50"): "", ("pack_price", "96.50 pounds"): "",
    ("pack_price", "£1 096.50"): "",
    ("pack_price", "1,096.50"): "", ("pack_price", "about 96"): "cell-not-a-number",
    ("pack_price", -5): "cell-out-of-range", ("pack_price", "?"): "cell-missing",
    ("pack_price", "9" * 400): "cell-not-a-number",
    ("pack_price", "96.50 each"): "cell-not-a-number",
    ("pack_price", "96,50"): "cell-not-a-number", ("pack_size", "20 kg"): "cell-not-a-number",
    ("pack_size", "20"): "", ("pack_size", 0): "cell-out-of-range",
    ("unit", "KG"): "", ("unit", "tonne"): "price-unit-differs",
    ("item", "resins"): "price-item-unknown",
    ("item", "=1+1"): "price-item-unknown", ("item", None): "cell-missing",
    ("item", "Total"): "total-row", ("supplier", "x" * 32_000): "cell-too-long",
    ("supplier", "<b>"): "", ("supplier", "=cmd|'/C calc'!A0"): "", ("dated", "2 Nov 2026"): "",
    ("dated", "11/2026"): "cell-not-a-date", ("words", "{{ 7*7 }}"): "",
}  # fmt: skip


def _list_with(field: str, value: Any) -> bytes:
    return packed(typed(_list(), "Prices", field, value))


def _price_lists() -> Iterator[Bad]:
    for (field, value), code in _PRICE_CELLS.items():
        place = ("Prices!A2", code) if code == "total-row" else ("", "")
        expected = frozenset({place}) if place[1] else _at("Prices", field, code)
        yield Bad(
            f"price list, {field}: {str(value)[:30]!r}",
            partial(_list_with, field, value),
            expected,
            prices=True,
        )


@cache
def sound_ods_prices() -> bytes:
    """A price list of one sound row, as an OpenDocument workbook."""
    return _ods_prices(_ods_row())()
