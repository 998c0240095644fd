"""Each paper drawn once per session, for all tests and workers.

The engine makes the same bytes from the same HTML and pictures; tests that ask for `drawn_anew`
check that on freshly drawn papers. So a test of filing, reading or a register loses nothing by
getting a paper drawn for another test.
"""

import os
import pickle
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path

from msgspec.structs import replace

from quotegen.documents.printing.pdf import Rendered
from quotegen.problems import Problem

Draw = Callable[..., Rendered]


def drawn_once(draw: Draw, shelf: Path) -> Draw:
    """Wrap `draw` to keep each paper on a shelf, under a digest of everything it is drawn from.

    A paper that may read from other folders (the owner's templates) is drawn every time, unless
    they are empty.
    """

    def from_shelf(
        *content: object,
        folders: tuple[Path, ...] = (),
        problems: tuple[Problem, ...] = (),
        **more: object,
    ) -> Rendered:
        if any(map(_filled, folders)):
            return draw(*content, folders=folders, problems=problems, **more)
        kept = shelf / _key(content, more)
        if kept.is_file():
            made: Rendered = pickle.loads(kept.read_bytes())
        else:
            made = draw(*content, **more)
            _put(kept, pickle.dumps(made))
        return replace(made, problems=problems)

    return from_shelf


def undrawn(draw: Draw, but: str = "") -> Draw:
    """Replace `draw` by a few bytes that differ whenever anything drawn differs.

    Papers whose HTML contains one of certain words are drawn.
    """

    def mark(
        *content: object,
        folders: tuple[Path, ...] = (),
        problems: tuple[Problem, ...] = (),
        **more: object,
    ) -> Rendered:
        if any(map(_filled, folders)) or (but and but in str(content[0])):
            return draw(*content, folders=folders, problems=problems, **more)
        return Rendered(b"%PDF " + _key(content, more).encode(), (), 1, problems)

    return mark


def _filled(folder: Path) -> bool:
    return not folder.is_dir() or any(folder.iterdir())


def _key(content: tuple[object, ...], more: dict[str, object]) -> str:
    """A digest of everything a paper is drawn from; how it is set closer follows from that."""
    drawn_from = {name: given for name, given in more.items() if name != "closer"}
    return sha256(repr((content, drawn_from)).encode()).hexdigest()


def _put(file: Path, content: bytes) -> None:
    """Write a file whole or not at all: another worker may be looking."""
    new = file.with_suffix(f".{os.getpid()}")
    new.write_bytes(content)
    new.replace(file)
