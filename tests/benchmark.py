"""Times of each stage and their ratios, in one run: `python tests/benchmark.py [runs]`.

Not a test: the machine may be busy. Compare ratios, not milliseconds.
"""

import sys
import tempfile
from collections.abc import Callable, Sequence
from decimal import Decimal
from pathlib import Path
from random import Random
from statistics import median
from time import perf_counter

from msgspec.structs import replace

from quotegen.app import make_papers
from quotegen.demo.scenario import demo_date, workbook_rows, write_demo
from quotegen.documents.customer.quote import QUOTE
from quotegen.documents.safety.method import METHOD
from quotegen.machine.resources import price_lists_folder
from quotegen.making.papers import Paper
from quotegen.model.issue import Issue
from quotegen.pricing.quote import make_quote
from quotegen.problems import Problem
from quotegen.safety.statement.statement import make_statement
from quotegen.takeoff.basis.packs import cheapest_packs
from quotegen.takeoff.measure import measure
from quotegen.takeoff.trims import cutting
from quotegen.takeoff.trims.cutting import CutRules, Run, Stock, cut_runs
from quotegen.workbook.reading.price_lists import read_price_lists
from quotegen.workbook.reading.reader import read_workbook
from quotegen.workbook.writing.writing import write_workbook
from quotegen.working_out import work_out
from tests import builders
from tests.takeoff.test_properties import random_ring, roof_of_ring

LISTS = sorted(price_lists_folder().glob("*.xlsx"))
MANY_ROWS = 40
MANY_PIECES = 40
A_ROOF_OF_PIECES = 15
MANY_OUTLINES = 1000


def timed(task: Callable[[], object], runs: int) -> float:
    """The median time of a task [s], after one warm-up run."""
    task()
    return median(once(task) for _ in range(runs))


def once(task: Callable[[], object]) -> float:
    """The time of one run of a task [s]."""
    start = perf_counter()
    task()
    return perf_counter() - start


def say(*words: str) -> None:
    """Print a line of the report."""
    print(*words, flush=True)  # noqa: T201


def stages(folder: Path, runs: int) -> None:
    """Each stage for one demo enquiry, and the papers of the whole demo."""
    book = demo_in(folder)
    on = demo_date()
    read, prices = read_workbook(book), read_price_lists(LISTS).book
    enquiry, firm = read.enquiries[0], read.settings
    if firm is None:
        raise SystemExit("the settings of the demo are not whole")
    take_off, _ = measure(enquiry, firm, prices, on)
    if take_off is None:
        raise SystemExit("the first demo enquiry has no take-off")
    quote, _ = make_quote(take_off, firm, prices, on)
    statement = make_statement(take_off, firm, on)
    issue = Issue(enquiry.ref, 0, on)
    tasks: dict[str, Callable[[], object]] = {
        "read the workbook (10 rows)": lambda: read_workbook(book),
        "read two price lists": lambda: read_price_lists(LISTS),
        "take off": lambda: measure(enquiry, firm, prices, on),
        "price": lambda: make_quote(take_off, firm, prices, on),
        "make safe": lambda: make_statement(take_off, firm, on),
        "fill the quote": lambda: QUOTE.html(quote, issue),
        "draw the quote": lambda: QUOTE.make(quote, issue, folder),
        "fill the statement": lambda: METHOD.html(statement, issue),
        "draw the statement": lambda: METHOD.make(statement, issue, folder),
    }
    times = {stage: timed(task, runs) for stage, task in tasks.items()}
    for stage, seconds in times.items():
        ratio = seconds / times["take off"]
        say(f"{stage:32}{seconds * 1000:9.1f} ms {ratio:9.1f} x take off")
    batch = work_out(book, LISTS, on)
    seconds = once(lambda: list(make_papers(batch, list(Paper), folder / "papers", on)))
    say(f"papers of the demo: {seconds:.1f} s")


def forty_rows(folder: Path) -> None:
    """A workbook of forty enquiries, read and worked out."""
    rows = workbook_rows()
    jobs = [job for job in rows["Enquiries"] if job["shape"] not in OUTLINED]
    rows["Enquiries"] = [{**jobs[n % len(jobs)], "ref": f"B-{n:03}"} for n in range(MANY_ROWS)]
    for sheet in ("Outline", "Openings", "Findings", "Extras"):
        rows[sheet] = []
    book = folder / "forty.xlsx"
    if write_workbook(book, rows):
        raise SystemExit("the workbook of forty rows could not be written")
    seconds = once(lambda: read_workbook(book))
    say(f"{MANY_ROWS} rows read: {seconds:.2f} s")
    seconds = once(lambda: work_out(book, LISTS, demo_date()))
    say(f"{MANY_ROWS} rows read, taken off, priced and made safe: {seconds:.2f} s")


OUTLINED = ("five-facet bay", "measured outline")


def solving(runs: int) -> None:
    """Trims of forty pieces and packs of five sizes, each to a proven optimum."""
    stock = (Stock(3000.0, Decimal("11.40")),)
    several = (*stock, Stock(2400.0, Decimal("9.00")), Stock(3600.0, Decimal("12.90")))
    for words, stocks, many in (
        ("one stock length", stock, MANY_PIECES),
        ("three stock lengths", several, A_ROOF_OF_PIECES),
        ("three stock lengths", several, MANY_PIECES),
    ):
        times, proved = [], 0
        for seed in range(max(20, runs)):
            random = Random(seed)
            cuts = tuple(Run(f"edge {n}", roof_like(random), pieces=1) for n in range(many))
            cutting.cut_runs.cache_clear()
            start = perf_counter()
            proved += cut_runs(cuts, stocks, CutRules(50, 300, 3)).proved
            times.append(perf_counter() - start)
        spread(f"trims of {many} pieces, {words}, {proved} of {len(times)} proved", times)
    pack = builders.prices().of("resin")[0]
    sizes = ((1, "7.90"), (2.5, "17.50"), (5, "32.50"), (10, "56.00"), (20, "98.00"))
    packs = [replace(pack, pack_size=size, pack_price=Decimal(price)) for size, price in sizes]
    times = []
    for amount in range(1, 200):
        start = perf_counter()
        cheapest_packs(amount / 2 + 0.13, packs)
        times.append(perf_counter() - start)
    spread("packs of five sizes, exact", times)


def roof_like(random: Random) -> float:
    """A typical length of trim: mostly one to three metres, in whole centimetres."""
    return random.choice((random.randint(40, 299), random.randint(80, 160))) * 10.0


def outlines() -> None:
    """A thousand random outlines, each with a full take-off and price."""
    random = Random(1)
    firm, prices = builders.settings(), builders.prices()
    times: list[float] = []
    while len(times) < MANY_OUTLINES:
        roof = roof_of_ring(random_ring(random), random)
        if roof is None:
            continue
        enquiry = builders.enquiry(roof)
        start = perf_counter()
        take_off, _ = measure(enquiry, firm, prices, builders.TODAY)
        if take_off is None:
            raise SystemExit("a random outline has no take-off")
        make_quote(take_off, firm, prices, builders.TODAY)
        times.append(perf_counter() - start)
    spread(f"{MANY_OUTLINES} random outlines, taken off and priced without an error", times)


def spread(words: str, times: Sequence[float]) -> None:
    """Median and greatest of some times."""
    middle, most = median(times) * 1000, max(times) * 1000
    say(f"{words}: median {middle:.1f} ms, greatest {most:.1f} ms")


def demo_in(folder: Path) -> Path:
    """The demo workbook in a folder."""
    book = write_demo(folder)
    if isinstance(book, Problem):
        raise SystemExit(book.message)
    return book


def main(runs: int) -> None:
    """Print every measurement."""
    with tempfile.TemporaryDirectory() as name:
        stages(Path(name), runs)
        forty_rows(Path(name))
    solving(runs)
    outlines()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
