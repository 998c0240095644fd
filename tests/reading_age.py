"""Words and reading age of the demo's papers: `python tests/reading_age.py [reference]`.

The age is the Flesch-Kincaid grade plus five, for the years at school begin at five; a block of
fewer words than a short sentence (a cell, a label, a figure) is no prose and is left out. Goals:
12 years for the quote and the notice, 11 for what is read on the roof. Not a test.
"""

import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path
from statistics import mean

import readability

from quotegen.demo.scenario import demo_date, write_demo
from quotegen.machine.resources import price_lists_folder
from quotegen.making.papers import Paper, ready_for
from quotegen.problems import Problem
from quotegen.working_out import work_out
from tests.documents.said_papers import LETTERS, PaperSet, paper_set

SHORTEST_PROSE = 5
SCHOOL_BEGINS_AT = 5


def reading_age(blocks: Sequence[str]) -> float:
    """The age at which the prose of a paper is read with ease [years].

    0.39 x words in a sentence + 11.8 x syllables in a word - 15.59 + 5. Source: J. P. Kincaid and
    others, Derivation of new readability formulas for Navy enlisted personnel, 1975.
    """
    prose = [block for block in blocks if len(block.split()) >= SHORTEST_PROSE]
    sentences = [part.strip() for block in prose for part in block.split(". ")]
    lines = "\n".join(f"{one.rstrip('.')} ." for one in sentences if one)
    measures = readability.getmeasures(lines, lang="en")
    return float(measures["readability grades"]["Kincaid"]) + SCHOOL_BEGINS_AT


def main(only: str = "") -> None:
    """Print a row for each paper: words of each job, and the reading age over all of them."""
    with tempfile.TemporaryDirectory() as folder:
        book = write_demo(Path(folder))
        if isinstance(book, Problem):
            sys.exit(book.message)
        batch = work_out(book, sorted(price_lists_folder().glob("*.xlsx")), demo_date())
    ready = [ready_for(one, batch.prices) for one in batch.worked if only in one.ref]
    sets = [paper_set(one, demo_date()) for one in ready if one]
    sys.stdout.write(f"{'words':26}{'  '.join(one.ref for one in sets)}   reading age\n")
    for paper in Paper:
        found = [one for one in sets if paper in one.blocks]
        if not found or paper is Paper.ORDER_BOOK or paper in LETTERS:
            continue
        ages = [reading_age(one.blocks[paper]) for one in found]
        sys.stdout.write(f"{paper:24}{_counts(sets, paper)}{mean(ages):14.1f}\n")


def _counts(sets: Sequence[PaperSet], paper: Paper) -> str:
    return "".join(
        f"{len(one.texts[paper].split()) if paper in one.blocks else 0:8}" for one in sets
    )


if __name__ == "__main__":
    main(*sys.argv[1:2])
