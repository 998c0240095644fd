"""Workbooks and price lists spoilt by lot, the same on every machine: the number is the seed."""

import random
import re
from functools import cache

from tests.workbook.bad_books import sound_ods_prices
from tests.workbook.small_books import Parts, packed, part_of, parts_of, sound_book, sound_prices

WAYS = ("zip bytes", "XML bytes", "attributes", "cells", "numbers", "shared texts", "styles")
_ODD = (
    b"", b"-1", b"0", b"9" * 30, b"9" * 400, b"x", b"1e9", b"1e999", b"nan", b"A1:XFD1048576",
    b"XFD1048576", b"#REF!", b"true", b"\xc3\xa9", b"&amp;", b"&lt;", b"../../x", b"\x00", b"\xff",
    b"_x000D_", b"=1+1", b"{{x}}", b"31/02/2026", b" ",
)  # fmt: skip
_VALUE = re.compile(rb'="([^"]*)"|<v>([^<]*)</v>|<t[^>]*>([^<]*)</t>')
_CELL = re.compile(rb"<c [^>]*?/>|<c .*?</c>|<table:table-cell.*?</table:table-cell>", re.DOTALL)
_NUMBER = re.compile(rb'(?<=<v>)[0-9.]+(?=</v>)|(?<=office:value=")[0-9.]+')


def fuzzed(seed: int) -> tuple[bytes, bool, str]:
    """A spoilt file, whether it is a price list, and the ending of its name."""
    lot = random.Random(seed)
    kind = seed % 5
    content = _sound()[kind]
    ending = ".ods" if kind == 4 else ".xlsx"
    way = WAYS[seed // 5 % len(WAYS)]
    if way == "zip bytes":
        return _spoilt_bytes(content, lot), kind > 2, ending
    parts = parts_of(content)
    return packed(_SPOILERS[way](parts, lot)), kind > 2, ending


@cache
def _sound() -> tuple[bytes, ...]:
    book = sound_book()
    return book, book, book, sound_prices(), sound_ods_prices()


def _spoilt_bytes(content: bytes, lot: random.Random) -> bytes:
    """Bytes changed, put in or cut out, half of them in the list of contents at the end."""
    spoilt = bytearray(content)
    first = max(0, len(spoilt) - 1500) if lot.random() < 0.5 else 0
    for _ in range(lot.choice((1, 2, 8, 40))):
        spoilt[lot.randrange(first, len(spoilt))] = lot.randrange(256)
    if lot.random() < 0.2:
        cut = lot.randrange(len(spoilt))
        del spoilt[cut : cut + lot.randrange(900)]
    if lot.random() < 0.1:
        at = lot.randrange(len(spoilt))
        spoilt[at:at] = lot.randbytes(lot.randrange(200))
    return bytes(spoilt)


def _some_part(parts: Parts, lot: random.Random) -> str:
    """A part that the reader looks into, most often one with cells."""
    looked = [name for name in parts if name == "content.xml" or name.startswith("xl/")]
    sheets = [name for name in looked if name in (part_of("Enquiries"), "content.xml")]
    return lot.choice([*looked, *(sheets * len(looked))])


def _spoil_xml(parts: Parts, lot: random.Random) -> Parts:
    name = _some_part(parts, lot)
    spoilt = bytearray(parts[name])
    for _ in range(lot.choice((1, 1, 2, 6))):
        at = lot.randrange(len(spoilt))
        put = lot.choice((bytes([lot.randrange(256)]), b"<", b">", b"</c>", b"<row>", b"&#0;", b""))
        spoilt[at : at + lot.randrange(30)] = put
    return {**parts, name: bytes(spoilt)}


def _spoil_attributes(parts: Parts, lot: random.Random) -> Parts:
    name = _some_part(parts, lot)
    return {**parts, name: _put_odd(parts[name], _VALUE, lot, lot.choice((1, 1, 3)))}


def _spoil_cells(parts: Parts, lot: random.Random) -> Parts:
    """Cells gone, doubled, swapped or repeated."""
    name = "content.xml" if "content.xml" in parts else part_of("Enquiries")
    content = parts[name]
    places = [found.span() for found in _CELL.finditer(content)]
    for _ in range(lot.choice((1, 2, 5))):
        (first, last), (other, end) = lot.choice(places), lot.choice(places)
        put = lot.choice((b"", content[other:end], content[first:last] * 2, content[other:end] * 9))
        content = content[:first] + put + content[last:]
    return {**parts, name: content}


def _spoil_numbers(parts: Parts, lot: random.Random) -> Parts:
    name = _some_part(parts, lot)
    return {**parts, name: _put_odd(parts[name], _NUMBER, lot, lot.choice((1, 2, 4)))}


def _spoil_named(parts: Parts, lot: random.Random, name: str) -> Parts:
    if name not in parts:
        return _spoil_xml(parts, lot)
    if lot.random() < 0.2:
        return {one: content for one, content in parts.items() if one != name}
    if lot.random() < 0.5:
        return {**parts, name: _put_odd(parts[name], _VALUE, lot, lot.choice((1, 5, 20)))}
    spoilt = bytearray(parts[name])
    at = lot.randrange(len(spoilt))
    del spoilt[at : at + lot.randrange(200)]
    return {**parts, name: bytes(spoilt)}


def _put_odd(content: bytes, what: re.Pattern[bytes], lot: random.Random, times: int) -> bytes:
    for _ in range(times):
        found = [match.span(match.lastindex or 0) for match in what.finditer(content)]
        if found:
            first, last = lot.choice(found)
            content = content[:first] + lot.choice(_ODD) + content[last:]
    return content


def _spoil_texts(parts: Parts, lot: random.Random) -> Parts:
    return _spoil_named(parts, lot, "xl/sharedStrings.xml")


def _spoil_styles(parts: Parts, lot: random.Random) -> Parts:
    return _spoil_named(parts, lot, "xl/styles.xml")


_SPOILERS = {
    "XML bytes": _spoil_xml,
    "attributes": _spoil_attributes,
    "cells": _spoil_cells,
    "numbers": _spoil_numbers,
    "shared texts": _spoil_texts,
    "styles": _spoil_styles,
}
