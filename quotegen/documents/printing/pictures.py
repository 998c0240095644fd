"""The owner's pictures: found in the folder, turned upright, shrunk to their printed size.

Only JPEG, PNG and HEIC are opened, recognised by content and not by name: a reader for another kind
may start an outside program on the file. The size is read from the header and checked before
anything is decoded.
"""

import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache
from io import BytesIO
from pathlib import Path

from msgspec import Struct
from PIL import Image, ImageFile, ImageOps, UnidentifiedImageError
from PIL.JpegImagePlugin import JpegImageFile
from pillow_heif import register_heif_opener

from quotegen.documents.printing.pdf import Picture

DOTS_PER_MM = 200 / 25.4
JPEG_QUALITY = 82
PICTURE_FORMATS = ("JPEG", "PNG", "HEIF")
"""The formats opened, by the library's names; a phone's HEIC is a HEIF."""

MOST_PICTURE_BYTES = 100_000_000
"""The largest file read; a photo of 200 megapixels has about half of that."""

MOST_PIXELS_SHRUNK = 250_000_000
"""The largest JPEG in pixels. It is decoded a few rows at a time at an eighth of its size, so 200
megapixels, the most a phone takes, need about 20 MB.
"""

MOST_PIXELS_WHOLE = 50_000_000
"""The largest picture decoded whole: PNG, HEIC, and progressive JPEG. Most need 8 bytes a pixel
during decoding, so this is 400 MB; phones take HEIC up to 49 megapixels.
"""

MOST_CERTIFICATE_BYTES = 10_000_000
"""The largest PDF sent along with an e-mail; many mailboxes take no more than twice that in all."""

CERTIFICATE_WIDTH_MM = 190.0
_PDF = b"%PDF"
_KEPT = 64
_HEAD_BYTES = 512
_KINDS_KNOWN = (
    (b"%PDF", "a PDF"),
    (b"%!PS", "PostScript"),
    (b"\xc5\xd0\xd3\xc6", "PostScript"),
    (b"GIF8", "a GIF"),
    (b"BM", "a BMP"),
    (b"II*\0", "a TIFF or the raw picture of a camera"),
    (b"MM\0*", "a TIFF or the raw picture of a camera"),
    (b"PK\3\4", "a packed file or a document"),
    (b"<svg", "an SVG drawing"),
    (b"<?xml", "an SVG drawing or other XML"),
)
"""The opening bytes of other kinds of file, from their specifications."""

register_heif_opener(thumbnails=False, depth_images=False, aux_images=False, decode_threads=1)


class Unusable(Struct, frozen=True):
    """A picture that cannot be printed: the kind of problem, and what was seen."""

    code: str
    why: str = ""


def read_picture(folder: Path | None, name: str, width_mm: float) -> Picture | Unusable:
    """A picture for printing at this width [mm], or the problem with it.

    A picture with transparency stays PNG, any other becomes JPEG; camera data such as the location
    are dropped.
    """
    file = _inside(folder, name)
    if isinstance(file, Unusable):
        return file
    try:
        stat = file.stat()
    except OSError:
        return Unusable("photo-missing")
    if stat.st_size > MOST_PICTURE_BYTES:
        return Unusable("photo-too-large", f"{_millions(stat.st_size, MOST_PICTURE_BYTES)} bytes")
    return _shrunk(file, width_mm, stat.st_mtime_ns, stat.st_size)


def read_certificate(folder: Path | None, name: str) -> Picture | Unusable:
    """A certificate to send along: a PDF as it is, or a picture as for printing on a page.

    It is looked for where the pictures are, and told by its content.
    """
    file = _inside(folder, name)
    if isinstance(file, Unusable):
        return _of_certificate(file)
    try:
        with file.open("rb") as opened:
            content = opened.read(MOST_CERTIFICATE_BYTES + 1)
    except OSError:
        return Unusable("certificate-missing")
    if not content.startswith(_PDF):
        found = read_picture(folder, name, CERTIFICATE_WIDTH_MM)
        return _of_certificate(found) if isinstance(found, Unusable) else found
    if len(content) > MOST_CERTIFICATE_BYTES:
        size = _millions(file.stat().st_size, MOST_CERTIFICATE_BYTES)
        return Unusable("certificate-too-large", f"{size} bytes")
    return Picture(content, "application/pdf")


def _of_certificate(found: Unusable) -> Unusable:
    """What is wrong with a picture, said of a certificate."""
    kind = found.code.removeprefix("photo-")
    code = "certificate-wrong-kind" if kind == "damaged" else f"certificate-{kind}"
    return Unusable(code, found.why)


@lru_cache(maxsize=_KEPT)
def _shrunk(file: Path, width_mm: float, _changed_ns: int, _size: int) -> Picture | Unusable:
    """A picture encoded for printing, cached because every paper asks for it twice."""
    try:
        with _whole_pictures_only(), Image.open(file, formats=PICTURE_FORMATS) as opened:
            most = _most_pixels(opened)
            if opened.width * opened.height > most:
                pixels = _millions(opened.width * opened.height, most)
                return Unusable("photo-too-large", f"{pixels} pixels")
            # Shrink before turning: only then can the decoder skip detail that is not printed.
            side = round(width_mm * DOTS_PER_MM)
            opened.thumbnail((side, side))
            return _packed(ImageOps.exif_transpose(opened))
    except UnidentifiedImageError:
        return _other_kind(file)
    except (OSError, ValueError, SyntaxError, EOFError, RuntimeError, MemoryError) as error:
        return Unusable("photo-damaged", " ".join(str(error).split()) or type(error).__name__)


def _inside(folder: Path | None, name: str) -> Path | Unusable:
    """The file of this name in the folder; links are resolved before it is checked."""
    if folder is None or not name:
        return Unusable("photo-missing")
    try:
        file = (folder / name).resolve()
        if not file.is_relative_to(folder.resolve()):
            return Unusable("photo-outside")
        return file if file.is_file() else Unusable("photo-missing")
    except (OSError, ValueError):
        return Unusable("photo-missing")


def _most_pixels(opened: Image.Image) -> int:
    """The most pixels allowed for a picture, by the cost of decoding its kind."""
    by_rows = isinstance(opened, JpegImageFile) and "progressive" not in opened.info
    return MOST_PIXELS_SHRUNK if by_rows else MOST_PIXELS_WHOLE


def _millions(seen: int, most: int) -> str:
    """A number and its limit, both in millions."""
    return f"{seen / 1e6:.0f} million of at most {most / 1e6:.0f} million"


def _other_kind(file: Path) -> Unusable:
    """The kind of a file that no reader of ours takes, as far as its beginning tells."""
    try:
        with file.open("rb") as opened:
            head = opened.read(_HEAD_BYTES)
    except OSError as error:
        return Unusable("photo-damaged", str(error.strerror))
    for begins, kind in _KINDS_KNOWN:
        if head.lstrip().startswith(begins):
            return Unusable("photo-wrong-kind", kind)
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return Unusable("photo-wrong-kind", "a WebP")
    if head[4:12] in (b"ftypavif", b"ftypavis"):
        return Unusable("photo-wrong-kind", "an AVIF")
    return Unusable("photo-damaged", "it does not begin as a picture does" if head else "empty")


@contextmanager
def _whole_pictures_only() -> Iterator[None]:
    """Refuse truncated pictures, even where the PDF engine has allowed them.

    Our own limit replaces the library's limit on pixels, and its warnings are silenced.
    """
    allowed, most = ImageFile.LOAD_TRUNCATED_IMAGES, Image.MAX_IMAGE_PIXELS
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    Image.MAX_IMAGE_PIXELS = None
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            yield
    finally:
        ImageFile.LOAD_TRUNCATED_IMAGES = allowed
        Image.MAX_IMAGE_PIXELS = most


def _packed(image: Image.Image) -> Picture:
    out = BytesIO()
    if "transparency" in image.info or image.mode in ("RGBA", "LA", "PA"):
        image.convert("RGBA").save(out, "PNG", optimize=True)
        return Picture(out.getvalue(), "image/png")
    image.convert("RGB").save(out, "JPEG", quality=JPEG_QUALITY, optimize=True)
    return Picture(out.getvalue(), "image/jpeg")
