"""Thousands of spoilt and bad workbooks and price lists, each checked in a child with limits.

    python -m tests.hostile_books [HOW MANY FUZZED] [THE FIRST]

Each file goes through all that `check` does, in a child that may use 20 s of processor time and
1 GiB of memory. What fails is listed: a traceback, a limit reached, or a hand-made file of which
the reader does not say what its table says. It is no test: `tests/workbook/test_bad_books.py` runs
the hand-made files and a tenth of the others within the suite.
"""

import json
import os
import resource
import sys
import tempfile
import traceback
from collections import Counter
from collections.abc import Callable
from datetime import date
from functools import partial
from pathlib import Path

from quotegen.machine.resources import price_lists_folder
from quotegen.workbook.reading.price_lists import read_price_lists
from quotegen.workbook.reading.reader import read_workbook
from quotegen.working_out import check_workbook
from tests.workbook.bad_books import Bad, bad_books
from tests.workbook.fuzzed import fuzzed
from tests.workbook.test_bad_books import said_of

FUZZED = 3000
MOST_SECONDS, MOST_BYTES = 20, 1 << 30
ON = date(2026, 11, 28)


def main(count: int = FUZZED, first: int = 0) -> int:
    """Check every file; print what failed and the most that any took."""
    lists = sorted(price_lists_folder().glob("*.xlsx"))
    failed: list[str] = []
    worst: list[tuple[float, int, str]] = []
    codes: Counter[str] = Counter()
    made = 0
    with tempfile.TemporaryDirectory() as folder:
        for name, bad in _files(count, first):
            path = Path(folder) / f"book{bad.ending}"
            path.write_bytes(bad.make())
            said, seconds, most = _in_child(partial(_checked, path, bad, lists))
            worst.append((seconds, most, name))
            made += 1
            if isinstance(said, str):
                failed.append(f"{name}: {said}")
                continue
            codes.update({code for _, code in said} or {"reads fine"})
            if not name.startswith("fuzzed") and said != bad.expected:
                failed.append(f"{name}: said {sorted(said)[:4]}, not {sorted(bad.expected)[:4]}")
    _say(f"{made} files; {len(failed)} failed")
    _say("\n".join(failed))
    _say(f"most processor time: {max(worst)[0]:.1f} s ({max(worst)[2]})")
    fullest = max(worst, key=lambda one: one[1])
    _say(f"most memory: {fullest[1] / 2**20:.0f} MiB ({fullest[2]})")
    _say(dict(codes.most_common()))
    return 1 if failed else 0


def _say(words: object) -> None:
    sys.stdout.write(f"{words}\n")


def _files(count: int, first: int) -> "list[tuple[str, Bad]]":
    made = [(bad.name, bad) for bad in bad_books()] if not first else []
    for seed in range(first, first + count):
        content, prices, ending = fuzzed(seed)
        bad = Bad(f"fuzzed {seed}", partial(bytes, content), frozenset(), prices, ending)
        made.append((bad.name, bad))
    return made


def _checked(path: Path, bad: Bad, lists: list[Path]) -> frozenset[tuple[str, str]]:
    """What is said of a file on reading it; all the rest of `check` is done too."""
    if bad.prices:
        return said_of(read_price_lists([path]).problems)
    found = check_workbook(path, lists, ON)
    assert all(one.message and one.cure for one in found)
    return said_of(read_workbook(path).problems)


def _in_child(
    work: Callable[[], frozenset[tuple[str, str]]],
) -> tuple[frozenset[tuple[str, str]] | str, float, int]:
    """The result of some work in a child, or what went wrong; its processor time and memory."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        resource.setrlimit(resource.RLIMIT_CPU, (MOST_SECONDS, MOST_SECONDS))
        here = int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
        resource.setrlimit(resource.RLIMIT_AS, (here + MOST_BYTES, here + MOST_BYTES))
        try:
            answer = json.dumps(sorted(work()))
        except BaseException:
            answer = json.dumps(traceback.format_exc()[-600:])
        with os.fdopen(writing, "w") as pipe:
            pipe.write(answer)
        os._exit(0)
    os.close(writing)
    with os.fdopen(reading) as pipe:
        answer = pipe.read()
    _, status, used = os.wait4(child, 0)
    seconds, most = used.ru_utime + used.ru_stime, used.ru_maxrss * 1024
    if status or not answer:
        return f"ended by {status}", seconds, most
    said = json.loads(answer)
    if isinstance(said, str):
        return said, seconds, most
    return frozenset((where, code) for where, code in said), seconds, most


if __name__ == "__main__":
    sys.exit(main(*(int(one) for one in sys.argv[1:])))
