"""The owner's pictures: found in the folder, turned upright, shrunk to the size of the print."""

from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache
from io import BytesIO
from pathlib import Path

from PIL import Image, ImageFile, ImageOps

from quotegen.documents.pdf import Picture

DOTS_PER_MM = 200 / 25.4
JPEG_QUALITY = 82
_KEPT = 64


def read_picture(folder: Path | None, name: str, width_mm: float) -> Picture | None:
    """A picture for printing at this width [mm], or None.

    None when it is not there, not a whole picture, too large to be one, or outside the folder.
    One with transparency stays PNG, everything else becomes JPEG; camera data such as the place
    are dropped.
    """
    file = _inside(folder, name)
    if file is None:
        return None
    try:
        stat = file.stat()
        return _shrunk(file, width_mm, stat.st_mtime_ns, stat.st_size)
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        return None


@lru_cache(maxsize=_KEPT)
def _shrunk(file: Path, width_mm: float, _changed_ns: int, _size: int) -> Picture:
    """A picture packed for printing; kept, for every paper asks for it to compare and to print."""
    with _whole_pictures_only(), Image.open(file) as opened:
        upright = ImageOps.exif_transpose(opened)
        side = round(width_mm * DOTS_PER_MM)
        upright.thumbnail((side, side))
        return _packed(upright)


def _inside(folder: Path | None, name: str) -> Path | None:
    if folder is None or not name:
        return None
    try:
        file = (folder / name).resolve()
        found = file.is_relative_to(folder.resolve()) and file.is_file()
    except (OSError, ValueError):
        return None
    return file if found else None


@contextmanager
def _whole_pictures_only() -> Iterator[None]:
    """Refuse a picture that is cut short, also where the PDF engine has allowed it."""
    allowed = ImageFile.LOAD_TRUNCATED_IMAGES
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    try:
        yield
    finally:
        ImageFile.LOAD_TRUNCATED_IMAGES = allowed


def _packed(image: Image.Image) -> Picture:
    out = BytesIO()
    if "transparency" in image.info or image.mode in ("RGBA", "LA", "PA"):
        image.convert("RGBA").save(out, "PNG", optimize=True)
        return Picture(out.getvalue(), "image/png")
    image.convert("RGB").save(out, "JPEG", quality=JPEG_QUALITY, optimize=True)
    return Picture(out.getvalue(), "image/jpeg")
