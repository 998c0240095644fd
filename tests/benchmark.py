"""Times of each stage and their ratios, in one run: `python tests/benchmark.py [runs]`.

No test: the machine may be busy. Compare ratios, not milliseconds.
"""

import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import perf_counter

from quotegen.app import Paper, make_papers, work_out
from quotegen.demo.scenario import demo_date, write_demo
from quotegen.documents.method_paper import make_method_paper, method_html
from quotegen.documents.quote_paper import make_quote_paper, quote_html
from quotegen.model.issue import Issue
from quotegen.pricing.quote import make_quote
from quotegen.problems import Problem
from quotegen.resources import price_lists_folder
from quotegen.safety.statement import make_statement
from quotegen.takeoff.measure import measure
from quotegen.workbook.price_lists import read_price_lists
from quotegen.workbook.reader import read_workbook


def timed(task: Callable[[], object], runs: int) -> float:
    """The median time of a task [s], once warmed up."""
    task()
    times = []
    for _ in range(runs):
        start = perf_counter()
        task()
        times.append(perf_counter() - start)
    return median(times)


def main(runs: int) -> None:
    """Print the time of each stage for one demo enquiry, and of the whole demo."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        book = write_demo(folder)
        if isinstance(book, Problem):
            raise SystemExit(book.message)
        lists = sorted(price_lists_folder().glob("*.xlsx"))
        on = demo_date()
        read, prices = read_workbook(book), read_price_lists(lists).book
        enquiry, firm = read.enquiries[0], read.settings
        take_off, _ = measure(enquiry, firm, prices, on)
        if take_off is None:
            raise SystemExit("the first demo enquiry has no take-off")
        quote, _ = make_quote(take_off, firm, prices, on)
        statement = make_statement(take_off, firm, on)
        issue = Issue(enquiry.ref, 0, on)
        stages: dict[str, Callable[[], object]] = {
            "read the workbook (10 rows)": lambda: read_workbook(book),
            "read two price lists": lambda: read_price_lists(lists),
            "take off": lambda: measure(enquiry, firm, prices, on),
            "price": lambda: make_quote(take_off, firm, prices, on),
            "make safe": lambda: make_statement(take_off, firm, on),
            "fill the quote": lambda: quote_html(quote, issue),
            "draw the quote": lambda: make_quote_paper(quote, issue, folder),
            "fill the statement": lambda: method_html(statement, issue),
            "draw the statement": lambda: make_method_paper(statement, issue, folder),
        }
        times = {stage: timed(task, runs) for stage, task in stages.items()}
        unit = times["take off"]
        for stage, seconds in times.items():
            print(f"{stage:32}{seconds * 1000:9.1f} ms {seconds / unit:9.1f} x take off")  # noqa: T201
        start = perf_counter()
        batch = work_out(book, lists, on)
        outcomes = list(make_papers(batch, list(Paper), folder / "papers", on))
        seconds = perf_counter() - start
        print(f"{len(outcomes)} papers: {seconds:.1f} s, {len(outcomes) / seconds:.1f} a second")  # noqa: T201


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
