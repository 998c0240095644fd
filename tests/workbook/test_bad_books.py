"""Bad workbooks and price lists: each of the hand-made ones says what its table says, and a tenth
of those spoilt by lot are read or refused. `tests/hostile_books.py` runs them all, within limits.
"""

from collections import Counter
from collections.abc import Iterable
from pathlib import Path

from quotegen.problems import Problem
from quotegen.workbook.reading.price_lists import read_price_lists
from quotegen.workbook.reading.reader import read_workbook
from tests.workbook.bad_books import bad_books
from tests.workbook.fuzzed import fuzzed

FUZZED_HERE = 300


def said_of(problems: Iterable[Problem]) -> frozenset[tuple[str, str]]:
    """Problems as (sheet!cell, code); one of the whole file has no place."""
    return frozenset(
        (f"{p.place.sheet}!{p.place.cell}" if p.place.sheet else "", p.code) for p in problems
    )


def _problems(path: Path, prices: bool) -> tuple[Problem, ...]:
    return (read_price_lists([path]) if prices else read_workbook(path)).problems


def test_of_each_bad_file_the_reader_says_what_is_wrong_and_where(tmp_path: Path) -> None:
    wrong, names = {}, Counter[str]()
    for bad in bad_books():
        path = tmp_path / f"book{bad.ending}"
        path.write_bytes(bad.make())
        found = _problems(path, bad.prices)
        names[bad.name] += 1
        if said_of(found) != bad.expected:
            wrong[bad.name] = (sorted(said_of(found)), sorted(bad.expected))
        assert all(p.message and p.cure and len(p.message) < 300 for p in found), bad.name
    assert wrong == {}
    assert len(names) >= 250
    assert max(names.values()) == 1


def test_what_is_spoilt_by_lot_is_read_or_refused(tmp_path: Path) -> None:
    codes: Counter[str] = Counter()
    for seed in range(FUZZED_HERE):
        content, prices, ending = fuzzed(seed)
        path = tmp_path / f"book{ending}"
        path.write_bytes(content)
        found = _problems(path, prices)
        assert all(p.message and p.cure for p in found), seed
        codes.update({p.code for p in found} or {"reads fine"})
    assert {"reads fine", "file-not-a-workbook", "cell-damaged"} <= set(codes)
    assert codes["reads fine"] < FUZZED_HERE / 2
