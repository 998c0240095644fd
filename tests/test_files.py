"""Files are written whole or not at all."""

from pathlib import Path

import pytest

from quotegen.machine.files import replace_file


def test_a_file_is_replaced_and_nothing_is_left_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "new folder" / "quote.pdf"
    replace_file(path, b"one")
    replace_file(path, b"two")
    assert path.read_bytes() == b"two"
    assert [p.name for p in path.parent.iterdir()] == ["quote.pdf"]


def test_a_failed_write_leaves_the_old_file_and_no_part(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "quote.pdf"
    replace_file(path, b"one")

    def refuse(_self: Path, _target: Path) -> Path:
        raise PermissionError("held by another program")

    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(PermissionError):
        replace_file(path, b"two")
    assert path.read_bytes() == b"one"
    assert [p.name for p in tmp_path.iterdir()] == ["quote.pdf"]


def test_what_a_killed_run_left_behind_is_cleared_away(tmp_path: Path) -> None:
    path = tmp_path / "quote [1].pdf"
    (tmp_path / ".quote [1].pdf.abc.part").write_bytes(b"half")
    (tmp_path / ".other.pdf.abc.part").write_bytes(b"of another paper")
    replace_file(path, b"whole")
    assert {p.name for p in tmp_path.iterdir()} == {"quote [1].pdf", ".other.pdf.abc.part"}
