"""Compare the demo's papers of two commits, byte for byte: `python docs/compare_papers.py COMMIT`.

The demo is made from COMMIT and from the working files, and every file that differs is named; for a
PDF also the lines of text that differ, if poppler's `pdftotext` is there to read them. The register
and the workbook carry times and are left out. The exit code is 1 if anything differs.
"""

import difflib
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
CARRY_TIMES = {"register.sqlite", "demo-jobs.xlsx"}
MOST_LINES = 20


def main() -> int:
    """Make both demos and print the differences."""
    if len(sys.argv) != 2:
        print("Say which commit to compare with: python docs/compare_papers.py COMMIT")  # noqa: T201
        return 2
    with tempfile.TemporaryDirectory() as folder:
        tree = Path(folder) / "tree"
        subprocess.run(
            ["git", "worktree", "add", "--quiet", "--detach", tree, sys.argv[1]],
            cwd=ROOT, check=True,
        )  # fmt: skip
        try:
            before, after = demo(tree, Path(folder, "before")), demo(ROOT, Path(folder, "after"))
        finally:
            subprocess.run(["git", "worktree", "remove", "--force", tree], cwd=ROOT, check=True)
        found = list(differences(before, after))
    print("\n".join(found) or "Every paper is the same.")  # noqa: T201
    return 1 if found else 0


def demo(tree: Path, out: Path) -> Path:
    """Make the demo from a tree; its jobs have problems of their own, so exit 1 is no failure."""
    command = [sys.executable, "-m", "quotegen", "demo", "--out", str(out)]
    made = subprocess.run(command, cwd=tree, capture_output=True, text=True, check=False)
    if made.returncode not in (0, 1):
        raise SystemExit(made.stderr)
    return out


def differences(before: Path, after: Path) -> Iterator[str]:
    """A line for each file that differs, and for a PDF the text that differs."""
    names = {
        file.relative_to(folder)
        for folder in (before, after)
        for file in folder.rglob("*")
        if file.is_file() and file.name not in CARRY_TIMES
    }
    for name in sorted(names):
        old, new = before / name, after / name
        if not (old.is_file() and new.is_file()):
            yield f"only {'before' if old.is_file() else 'after'}: {name}"
        elif old.read_bytes() != new.read_bytes():
            yield f"differs: {name}"
            yield from changed_lines(old, new)


def changed_lines(old: Path, new: Path) -> Iterator[str]:
    """The lines of text that only one of two PDFs has."""
    if old.suffix != ".pdf" or not shutil.which("pdftotext"):
        return
    found = difflib.ndiff(text(old), text(new))
    changed = [line for line in found if line.startswith(("- ", "+ "))]
    yield from (f"  {line}" for line in changed[:MOST_LINES])


def text(pdf: Path) -> list[str]:
    """The lines of a PDF, with single spaces."""
    read = subprocess.run(
        ["pdftotext", "-layout", pdf, "-"], capture_output=True, text=True, check=True
    )
    return [" ".join(line.split()) for line in read.stdout.splitlines() if line.strip()]


if __name__ == "__main__":
    sys.exit(main())
