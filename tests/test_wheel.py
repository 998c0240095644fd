"""The program installed as a wheel, away from the checkout, finds everything it needs."""

import os
import subprocess
import sys
import zipfile
from pathlib import Path

from tests.builders import ROOT


def test_a_wheel_runs_the_demo_elsewhere(tmp_path: Path) -> None:
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check", "--no-input", "-q"]
    build = [*pip, "wheel", "--no-deps", "--no-index", "--no-build-isolation", "-w", str(tmp_path)]
    subprocess.run([*build, str(ROOT)], check=True, capture_output=True)
    (wheel,) = tmp_path.glob("*.whl")
    names = zipfile.ZipFile(wheel).namelist()
    assert "quotegen/templates/paper.css" in names
    assert any(name.startswith("quotegen/price_lists/") for name in names)
    assert not any(name.startswith(("tests/", "docs/")) for name in names)
    place = tmp_path / "installed"
    install = [*pip, "install", "--no-deps", "--no-index", "--target", str(place), str(wheel)]
    subprocess.run(install, check=True, capture_output=True)
    environment = {**os.environ, "PYTHONPATH": str(place), "PYTHONSAFEPATH": "1"}
    code = (
        "import quotegen, pathlib, sys\n"
        f"assert pathlib.Path(quotegen.__file__).is_relative_to({str(place)!r})\n"
        "from quotegen.cli.commands import cli\n"
        "cli(['quote', 'demo.xlsx', '--ref', sys.argv[1], '--on', '2026-11-25', '--prices', "
        "*sys.argv[2:3], '--prices', *sys.argv[3:4]])\n"
    )
    write = (
        "from pathlib import Path\n"
        "from quotegen.demo.scenario import write_demo\n"
        "from quotegen.machine.resources import price_lists_folder\n"
        "write_demo(Path('.')).rename('demo.xlsx')\n"
        "print(*sorted(price_lists_folder().glob('*.xlsx')), sep='\\n')\n"
    )
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    lists = subprocess.run(
        [sys.executable, "-c", write],
        cwd=elsewhere,
        env=environment,
        check=True,
        capture_output=True,
        text=True,
    ).stdout.split("\n")[:2]
    made = subprocess.run(
        [sys.executable, "-c", code, "MH-101", *lists],
        cwd=elsewhere,
        env=environment,
        check=False,
        capture_output=True,
        text=True,
    )
    assert made.returncode == 0, made.stderr
    assert list(elsewhere.rglob("MH-101-quote-r0.pdf"))
