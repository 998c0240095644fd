"""Measure how fast quotegen is and write docs/performance.md: `python docs/make_performance.py`.

Every figure is a ratio of two things measured in one run, because machines are shared and differ.
It takes about twenty minutes. It also needs the repository's history (for the commit that speed is
compared with) and, for one row, Debian's `chromium`.
"""

import compileall
import os
import pickle
import platform
import resource
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from functools import partial
from importlib.metadata import version
from pathlib import Path
from time import perf_counter, process_time
from typing import Any

from msgspec import Struct

from quotegen.demo.scenario import demo_date, workbook_rows, write_demo
from quotegen.documents.printing.paper import PictureBox
from quotegen.documents.printing.pdf import fetcher, font_faces, load_engine
from quotegen.machine.process import set_process
from quotegen.machine.resources import price_lists_folder, templates_folder
from quotegen.making.drawing_up import PaperTask, draw_up
from quotegen.making.papers import PAPER_KINDS, Paper, Ready, draft_of, ready_for
from quotegen.model.issue import Issue
from quotegen.problems import Problem
from quotegen.workbook.writing.writing import write_workbook
from quotegen.working_out import work_out

ROOT = Path(__file__).resolve().parent.parent
PAGE = ROOT / "docs" / "performance.md"
BASELINE = "f2c5052"
"""The commit before the work on speed."""
REF = "MH-101"
RUNS = 5
LISTS = sorted(price_lists_folder().glob("*.xlsx"))
SMALL, LARGE = 1_000, 10_000
OUTLINED = ("five-facet bay", "measured outline")
MEGABYTE = 1024


class Row(Struct, frozen=True):
    """One line of the page."""

    what: str
    goal: str
    found: str
    met: bool


def say(words: str) -> None:
    """Print progress on a line of its own."""
    print(words, file=sys.stderr, flush=True)  # noqa: T201


def least(task: Callable[[], object], clock: Callable[[], float], runs: int = RUNS) -> float:
    """The least time of a task in several runs [s], to leave out other load on the machine."""

    def once() -> float:
        start = clock()
        task()
        return clock() - start

    return min(once() for _ in range(runs))


def ready(book: Path) -> Ready:
    """One job of the demo, worked out."""
    batch = work_out(book, LISTS, demo_date(), [REF])
    (worked,) = batch.worked
    job = ready_for(worked, batch.prices)
    if job is None:
        raise SystemExit(f"{REF} is stopped by a problem")
    return job


def over_the_engine(job: Ready, folder: Path) -> Iterator[Row]:
    """Each PDF as we make it, beside the engine alone on the same HTML and CSS.

    Each run uses a new job, so the first paper to need a shared result makes it.
    """
    load_engine()
    packed = pickle.dumps(job)
    drawn = [
        p for p in Paper if PAPER_KINDS[p].maker.suffix == ".pdf" and PAPER_KINDS[p].wanted(job)
    ]
    ours, alone = dict.fromkeys(drawn, 9e9), dict.fromkeys(drawn, 9e9)
    for run in range(RUNS + 1):
        new = pickle.loads(packed)
        for paper in drawn:
            task = partial(draw_up, PaperTask(new, paper, folder, demo_date(), None))
            engine = partial(engine_alone, *filled(new, paper, folder))
            times = (least(task, process_time, 1), least(engine, process_time, 1))
            if run:
                ours[paper], alone[paper] = min(ours[paper], times[0]), min(alone[paper], times[1])
    for paper in drawn:
        ratio = ours[paper] / alone[paper]
        what = f"{paper}: our time over WeasyPrint alone on the same HTML and CSS"
        yield Row(what, "at most 1.05", f"{ratio:.2f}", ratio <= 1.05)


def filled(job: Ready, paper: Paper, folder: Path) -> tuple[str, PictureBox]:
    """The HTML of a paper with its pictures, from a separate job, so that nothing is shared."""
    apart: Ready = pickle.loads(pickle.dumps(job))
    draft, issue = draft_of(apart, paper), Issue(job.ref, 0, demo_date())
    box = PictureBox(folder, job.ref)
    return draft.maker.said(draft.subject(issue), issue, box), box


def engine_alone(html: str, box: PictureBox) -> bytes:
    """HTML to PDF in the ordinary way."""
    from weasyprint import HTML  # noqa: PLC0415

    whole = html.replace("<head>", f"<head><style>{font_faces()}</style>", 1)
    base = f"{templates_folder().as_uri()}/"
    document = HTML(string=whole, base_url=base, url_fetcher=fetcher(box.pictures, ()))
    content: bytes = document.write_pdf(pdf_variant="pdf/ua-1")
    return content


PAPERS_OF_A_JOB = """
import gc, sys, tempfile
from pathlib import Path
from time import process_time
import weasyprint
from quotegen.app import make_papers
from quotegen.demo.scenario import demo_date, write_demo
try:
    from quotegen.making.papers import Paper
    from quotegen.working_out import work_out
except ImportError:
    from quotegen.app import work_out
    from quotegen.papers import Paper
ref, *lists = sys.argv[1:]
gc.set_threshold(50_000)
with tempfile.TemporaryDirectory() as folder:
    book = write_demo(Path(folder))
    for _ in range(3):
        batch = work_out(book, [Path(one) for one in lists], demo_date(), [ref])
        gc.freeze()
        with tempfile.TemporaryDirectory() as out:
            start = process_time()
            made = list(make_papers(batch, list(Paper), Path(out), demo_date()))
            if len(made) < 13:
                raise SystemExit(f"{len(made)} papers made of {ref}")
            print(process_time() - start)
"""


def against_the_baseline() -> Row:
    """The processor time of all papers of a job, now and before the work on speed.

    Each commit reads its own demo workbook: the sheets have changed since.
    """
    with tempfile.TemporaryDirectory() as name:
        archive = subprocess.run(
            ["git", "archive", BASELINE], cwd=ROOT, check=True, capture_output=True
        )
        subprocess.run(["tar", "-x", "-C", name], input=archive.stdout, check=True)
        times: dict[Path, list[float]] = {Path(name): [], ROOT: []}
        for _ in range(2):
            for tree in times:
                times[tree] += papers_of_a_job(tree)
    before, now = (min(found) for found in times.values())
    return Row(
        f"processor time of the {len(Paper)} papers of {REF} against commit {BASELINE}",
        "at most 0.35", f"{now / before:.2f}", now / before <= 0.35,
    )  # fmt: skip


def papers_of_a_job(tree: Path) -> list[float]:
    lists = sorted((tree / "price_lists").glob("*.xlsx"))
    command = [sys.executable, "-c", PAPERS_OF_A_JOB, REF, *map(str, lists)]
    environment = {**os.environ, "PYTHONPATH": str(tree)}
    made = subprocess.run(
        command, cwd=tree, env=environment, check=True, capture_output=True, text=True
    )
    return [float(line) for line in made.stdout.split()]


def run_quotegen(*words: object) -> None:
    """The command line, as a user runs it; a demo job that warns is no failure."""
    command = [sys.executable, "-m", "quotegen", *map(str, words)]
    subprocess.run(command, cwd=ROOT, check=True, capture_output=True)


def on_two_cores() -> Iterator[Row]:
    """The demo drawn by one process and by two, and again with nothing changed."""

    def demo(out: Path, at_once: int) -> None:
        run_quotegen("demo", "--out", out, "--at-once", at_once)

    times: dict[int, list[float]] = {1: [], 2: []}
    with tempfile.TemporaryDirectory() as name:
        for run in range(2):
            for at_once, found in times.items():
                out = Path(name) / f"{run}-{at_once}"
                found.append(least(partial(demo, out, at_once), perf_counter, 1))
        unchanged = least(partial(demo, Path(name) / "1-1", 1), perf_counter, 3)
    one, two = (min(found) for found in times.values())
    yield Row("wall time of the demo (ten jobs) on two cores against one", "at most 0.55",
              f"{two / one:.2f}", two / one <= 0.55)  # fmt: skip
    yield Row("wall time of the demo again with nothing changed against the first time on one core",
              "under 0.05", f"{unchanged / one:.3f}", unchanged / one < 0.05)  # fmt: skip


def one_job_on_two_cores(book: Path) -> Row:
    """All papers of one job from the command line, by one process and by two."""
    lists = [word for path in LISTS for word in ("--prices", path)]
    on = ("--on", demo_date().isoformat())
    times: dict[int, list[float]] = {1: [], 2: []}
    for _ in range(3):
        for at_once, found in times.items():
            with tempfile.TemporaryDirectory() as out:
                job = partial(run_quotegen, "job", book, "--every-paper", "--ref", REF, *lists, *on,
                              "--out", out, "--at-once", at_once)  # fmt: skip
                found.append(least(job, perf_counter, 1))
    one, two = (min(found) for found in times.values())
    return Row(f"wall time of one job ({REF}), start-up and reading included, on two cores against"
               " one", "at most 0.55", f"{two / one:.2f}", two / one <= 0.55)  # fmt: skip


@contextmanager
def many_rows(rows: int) -> Iterator[Path]:
    """A workbook of so many enquiries, repeating the demo's."""
    demo = workbook_rows()
    jobs = [job for job in demo["Enquiries"] if job["shape"] not in OUTLINED]
    filled_in: Mapping[str, Any] = {
        **demo,
        **{sheet: [] for sheet in ("Outline", "Openings", "Findings", "Extras")},
        "Enquiries": [{**jobs[n % len(jobs)], "ref": f"B-{n:05}"} for n in range(rows)],
    }
    with tempfile.TemporaryDirectory() as name:
        book = Path(name) / "many.xlsx"
        if write_workbook(book, filled_in):
            raise SystemExit("the workbook of many rows could not be written")
        yield book


def children_time() -> float:
    """The processor time of finished child processes [s]."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def check_against_an_import() -> Row:
    """The time to check twenty rows, beside starting Python and importing openpyxl."""
    lists = [word for path in LISTS for word in ("--prices", path)]
    with many_rows(20) as book:
        command = [
            sys.executable,
            "-m",
            "quotegen",
            "check",
            book,
            *lists,
            "--on",
            str(demo_date()),
        ]
        # The user's own environment, without this script's settings.
        plain = {
            name: value for name, value in os.environ.items() if name != "OPENBLAS_NUM_THREADS"
        }
        running = partial(subprocess.run, cwd=ROOT, env=plain, check=False, capture_output=True)
        checking = partial(running, command)
        checking()
        importing = partial(running, [sys.executable, "-c", "import openpyxl"])
        checks, imports = [], []
        for _ in range(2 * RUNS):
            checks.append(least(checking, children_time, 1))
            imports.append(least(importing, children_time, 1))
    ratio = min(checks) / min(imports)
    return Row("`check` of 20 rows and two price lists against `python -c \"import openpyxl\"`",
               "at most 3", f"{ratio:.2f}", ratio <= 3)  # fmt: skip


CHECKED = """
import sys
from pathlib import Path
from time import process_time
from quotegen.demo.scenario import demo_date
from quotegen.working_out import check_workbook
start = process_time()
check_workbook(Path(sys.argv[1]), [Path(one) for one in sys.argv[2:]], demo_date())
spent = process_time() - start
status = Path("/proc/self/status").read_text().splitlines()
# The system's own count of the greatest memory would begin with that of this script.
print(spent, next(line.split()[1] for line in status if line.startswith("VmHWM")))
"""


def many_enquiries() -> Iterator[Row]:
    """Time and memory of checking a thousand and ten thousand enquiries."""
    found = []
    for rows in (SMALL, LARGE):
        say(f"  {rows} rows")
        with many_rows(rows) as book:
            made = subprocess.run(
                [sys.executable, "-c", CHECKED, book, *LISTS],
                cwd=ROOT, check=True, capture_output=True, text=True,
            )  # fmt: skip
            found.append([float(word) for word in made.stdout.split()])
    (small_s, small_kb), (large_s, large_kb) = found
    ratio = (large_s / LARGE) / (small_s / SMALL)
    yield Row(f"read, checked and taken off: time a row of {LARGE:,} rows against {SMALL:,}",
              "linear (at most 1.2)", f"{ratio:.2f}", ratio <= 1.2)  # fmt: skip
    grown = large_kb / small_kb
    yield Row(f"the same, greatest memory of {LARGE:,} rows against {SMALL:,}"
              f" ({small_kb / MEGABYTE:.0f} to {large_kb / MEGABYTE:.0f} MiB)",
              "flat but for the cells", f"{grown:.2f}", grown <= LARGE / SMALL / 2)  # fmt: skip


def against_chromium(job: Ready, folder: Path) -> Row:
    """A warm quote beside a browser started afresh to print the same HTML."""
    what, goal = (
        "one warm quote against headless Chromium, started anew, printing the same HTML",
        ("at most 0.5"),
    )
    browser = shutil.which("chromium")
    if browser is None:
        return Row(what, goal, "not measured: no chromium here", False)
    packed = pickle.dumps(job)

    def quote() -> None:
        draw_up(PaperTask(pickle.loads(packed), Paper.QUOTE, folder, demo_date(), None))

    html, _ = filled(job, Paper.QUOTE, folder)
    base = f"{templates_folder().as_uri()}/"
    whole = html.replace("<head>", f'<head><base href="{base}"><style>{font_faces()}</style>', 1)
    with tempfile.TemporaryDirectory() as name:
        page, printed = Path(name) / "quote.html", Path(name) / "quote.pdf"
        page.write_text(whole)

        def printing() -> None:
            subprocess.run(
                [browser, "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run",
                 "--disable-background-networking", "--disable-component-update", "--disable-sync",
                 f"--user-data-dir={name}/profile-{perf_counter()}", f"--print-to-pdf={printed}",
                 page.as_uri()],
                check=True, capture_output=True,
            )  # fmt: skip

        quote()
        printing()
        ours = min(least(quote, perf_counter, 1) for _ in range(RUNS))
        theirs = least(printing, perf_counter)
        if not printed.is_file():
            raise SystemExit("chromium printed nothing")
    return Row(what, goal, f"{ours / theirs:.2f}", ours / theirs <= 0.5)


def said_by(*command: str) -> str:
    """The output of a command."""
    made = subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True)
    return made.stdout.strip()


def machine() -> list[str]:
    """The machine and the versions measured."""
    model = next(
        (line.partition(":")[2].strip() for line in Path("/proc/cpuinfo").read_text().splitlines()
         if line.startswith("model name")), platform.processor(),
    )  # fmt: skip
    commit = subprocess.run(
        ["git", "rev-parse", "--short", "HEAD"],
        cwd=ROOT,
        check=True,
        capture_output=True,
        text=True,
    ).stdout.strip()
    browser = shutil.which("chromium")
    names = ("weasyprint", "pydyf", "jinja2", "shapely", "highspy", "openpyxl")
    packages = ", ".join(f"{name} {version(name)}" for name in names)
    printed = (
        subprocess.run([browser, "--version"], check=False, capture_output=True, text=True)
        if browser
        else None
    )
    found = f", {printed.stdout.split('built')[0].strip()}" if printed else ""
    return [
        f"Measured at commit {commit} on {os.cpu_count()} cores ({model or platform.machine()}),",
        f"Python {platform.python_version()}, {packages}{found}.",
    ]


def page(rows: Sequence[Row]) -> str:
    """The page as Markdown."""
    lines = [
        "# How fast it is",
        "",
        "Written by `python docs/make_performance.py`. Every figure is a ratio of two things",
        "measured in one run, each the least of several; processor time where it does not say wall",
        "time.",
        "",
        *machine(),
        "",
        "| what | goal | found | met |",
        "|---|---|---|---|",
        *(f"| {r.what} | {r.goal} | {r.found} | {'yes' if r.met else 'no'} |" for r in rows),
    ]
    return "\n".join(lines) + "\n"


def main() -> None:
    """Measure everything and write the page."""
    # As on a user's machine, where Python caches compiled modules.
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    compileall.compile_dir(ROOT / "quotegen", quiet=1)
    set_process()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        book = write_demo(folder)
        if isinstance(book, Problem):
            raise SystemExit(book.message)
        rows: list[Row] = []
        job = ready(book)
        for words, measured in (
            ("check", lambda: [check_against_an_import()]),
            ("papers against the engine", lambda: over_the_engine(job, folder)),
            ("the browser", lambda: [against_chromium(job, folder)]),
            ("papers against the baseline", lambda: [against_the_baseline()]),
            ("one job on two cores", lambda: [one_job_on_two_cores(book)]),
            ("the demo on two cores", on_two_cores),
            ("many rows", many_enquiries),
        ):
            say(words)
            for row in measured():
                rows.append(row)
                say(f"  {row.what}: {row.found} ({row.goal})")
    PAGE.write_text(page(rows), encoding="utf-8")


if __name__ == "__main__":
    main()
