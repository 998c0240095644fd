"""Writing files whole or not at all."""

import glob
import os
import tempfile
from pathlib import Path


def replace_file(path: Path, content: bytes) -> None:
    """Put a file in place in one step: readers see the old file or the new one, never a part.

    The content goes to a hidden file beside it first. One left behind by a killed run is removed by
    the next, so only one program at a time may write a path. Raises OSError where the folder is not
    writable or another program holds the file.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    for left_behind in path.parent.glob(f".{glob.escape(path.name)}.*.part"):
        left_behind.unlink(missing_ok=True)
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".part", dir=path.parent)
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        part.chmod(0o644)
        part.replace(path)
    except BaseException:
        part.unlink(missing_ok=True)
        raise
