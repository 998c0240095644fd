"""An independent spreadsheet program to open what we write: LibreOffice, where installed."""

import shutil
import subprocess
from pathlib import Path

import pytest


def converted(file: Path, kind: str, into: Path | None = None) -> Path:
    """A file converted by LibreOffice, written beside it; without LibreOffice the check is skipped.

    One that keeps its name is written `into` another folder. It gets a settings folder of its own,
    so that two may run at once. `kind` is the ending, with the
    options of its filter after a colon.
    """
    program = shutil.which("soffice")
    if program is None:
        pytest.skip("no LibreOffice")
    folder = into or file.parent
    own = (file.parent / "settings").as_uri()
    subprocess.run(
        [program, "--headless", f"-env:UserInstallation={own}", "--convert-to", kind,
         "--outdir", str(folder), str(file)],
        check=True, capture_output=True,
    )  # fmt: skip
    return folder / file.with_suffix(f".{kind.partition(':')[0]}").name
