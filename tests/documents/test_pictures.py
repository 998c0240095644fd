"""Pictures: found only in their folder, turned upright, shrunk, and stripped of camera data.

Unprintable ones are reported by kind. All are made here with the picture library.
"""

import struct
import subprocess
import sys
import zlib
from io import BytesIO
from pathlib import Path

import pytest
from PIL import EpsImagePlugin, Image

from quotegen.documents.printing import pictures
from quotegen.documents.printing.pdf import Picture, render
from quotegen.documents.printing.pictures import DOTS_PER_MM, Unusable, read_picture
from quotegen.problem_kinds import PROBLEM_KINDS
from tests.builders import ROOT

ORIENTATION, ROTATED_QUARTER, PLACE_DATA = 0x0112, 6, 0x8825
POSTSCRIPT = b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 10 10\n%%EndComments\nshowpage\n%%EOF\n"


def opened(content: bytes) -> Image.Image:
    return Image.open(BytesIO(content))


def printed(folder: Path, name: str, width_mm: float = 50.0) -> Picture:
    found = read_picture(folder, name, width_mm)
    assert isinstance(found, Picture), found
    return found


def refused(folder: Path, name: str) -> Unusable:
    found = read_picture(folder, name, 50.0)
    assert isinstance(found, Unusable)
    assert PROBLEM_KINDS[found.code].severity == "warn", "the paper is made without it"
    return found


def head_of_png(width: int, height: int) -> bytes:
    """A PNG that says how large it is and has no more: signature and chunks of ISO 15948."""
    header = struct.pack(">IIBBBBB", width, height, 8, 6, 0, 0, 0)
    chunks = [(b"IHDR", header), (b"IDAT", b""), (b"IEND", b"")]
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        for kind, data in chunks
    )


def said_to_be(content: bytes, width: int, height: int) -> bytes:
    """A JPEG whose head gives another size: in the SOF marker of ITU-T T.81, B.2.2."""
    found = max(content.find(b"\xff\xc0"), content.find(b"\xff\xc2"))
    at = found + 5
    return content[:at] + struct.pack(">HH", height, width) + content[at + 4 :]


def saved(image: Image.Image, kind: str, **options: object) -> bytes:
    out = BytesIO()
    image.save(out, kind, **options)
    return out.getvalue()


@pytest.fixture
def interpreter(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A stand-in for the outside interpreter, and the file it leaves when it is started."""
    folder, started = tmp_path / "bin", tmp_path / "started"
    folder.mkdir()
    (folder / "gs").write_text(f'#!/bin/sh\necho "$@" >>"{started}"\n')
    (folder / "gs").chmod(0o755)
    monkeypatch.setenv("PATH", f"{folder}:/usr/bin:/bin")
    monkeypatch.setattr(EpsImagePlugin, "gs_binary", None)
    return started


@pytest.mark.parametrize("kind", ["JPEG", "HEIF"])
def test_a_photo_is_turned_upright_shrunk_and_loses_its_camera_data(
    tmp_path: Path, kind: str
) -> None:
    exif = Image.Exif()
    exif[ORIENTATION] = ROTATED_QUARTER
    exif[PLACE_DATA] = {1: "N", 2: (50.0, 0.0, 0.0)}
    shown = Image.new("RGB", (2000, 1000), "blue")
    shown.paste("red", (0, 0, 1000, 1000))
    (tmp_path / "a.jpg").write_bytes(saved(shown, kind, exif=exif.tobytes()))
    found = printed(tmp_path, "a.jpg")
    image = opened(found.content)
    assert found.media_type == "image/jpeg"
    assert image.height == 2 * image.width
    assert image.height == round(50.0 * DOTS_PER_MM)
    assert not image.getexif()
    # A quarter turned clockwise (Exif 2.32, table 6): what was left comes to the top.
    top, bottom = (image.getpixel((100, y)) for y in (50, image.height - 50))
    assert isinstance(top, tuple)
    assert isinstance(bottom, tuple)
    assert top[0] > 200 > top[2]
    assert bottom[2] > 200 > bottom[0]


def test_a_logo_with_transparency_stays_png(tmp_path: Path) -> None:
    Image.new("RGBA", (40, 20), (0, 0, 0, 0)).save(tmp_path / "logo.png")
    found = printed(tmp_path, "logo.png", 44.0)
    assert found.media_type == "image/png"
    assert opened(found.content).size == (40, 20)


@pytest.fixture(scope="module")
def unusable(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder of pictures that cannot be printed, with one outside it."""
    outside = tmp_path_factory.mktemp("outside")
    folder = outside / "pictures"
    folder.mkdir()
    noise = Image.effect_noise((400, 400), 90)
    noise.save(outside / "outside.png")
    (folder / "link.png").symlink_to(outside / "outside.png")
    for kind, ending in (("PNG", "png"), ("JPEG", "jpg"), ("HEIF", "heic")):
        whole = saved(noise, kind)
        (folder / f"broken.{ending}").write_bytes(whole[: len(whole) // 2])
        (folder / f"begun.{ending}").write_bytes(whole[:40])
    (folder / "text.png").write_text("not a picture")
    (folder / "empty.png").write_bytes(b"")
    return folder


@pytest.mark.parametrize(
    ("name", "code"),
    [
        ("", "photo-missing"),
        ("none.png", "photo-missing"),
        (".", "photo-missing"),
        ("a" * 5000, "photo-missing"),
        ("a\0b.png", "photo-missing"),
        ("../outside.png", "photo-outside"),
        ("../nobody.png", "photo-outside"),
        ("link.png", "photo-outside"),
        ("empty.png", "photo-damaged"),
        ("text.png", "photo-damaged"),
        ("broken.png", "photo-damaged"),
        ("broken.jpg", "photo-damaged"),
        ("broken.heic", "photo-damaged"),
        ("begun.heic", "photo-damaged"),
        ("begun.png", "photo-damaged"),
    ],
)
def test_what_cannot_be_had_is_told_apart(unusable: Path, name: str, code: str) -> None:
    assert refused(unusable, name).code == code


@pytest.mark.parametrize(
    ("content", "named"),
    [
        (POSTSCRIPT, "PostScript"),
        (b"%PDF-1.7\n", "PDF"),
        (saved(Image.new("RGB", (9, 9)), "GIF"), "GIF"),
        (saved(Image.new("RGB", (9, 9)), "BMP"), "BMP"),
        (saved(Image.new("RGB", (9, 9)), "TIFF"), "TIFF"),
        (saved(Image.new("RGB", (9, 9)), "WEBP"), "WebP"),
        (saved(Image.new("RGB", (9, 9)), "AVIF"), "AVIF"),
        (b'<svg xmlns="http://www.w3.org/2000/svg"/>', "SVG"),
        (b"PK\3\4" + bytes(30), "document"),
    ],
)
def test_another_kind_is_named_whatever_its_name_ends_in(
    tmp_path: Path, content: bytes, named: str
) -> None:
    (tmp_path / "a.png").write_bytes(content)
    found = refused(tmp_path, "a.png")
    assert found.code == "photo-wrong-kind"
    assert named in found.why


def test_no_picture_starts_another_program(tmp_path: Path, interpreter: Path) -> None:
    (tmp_path / "x.png").write_bytes(POSTSCRIPT)
    assert refused(tmp_path, "x.png").why == "PostScript"
    assert not interpreter.exists()


@pytest.mark.parametrize("name", ["x.png", "x.css"])
def test_nor_does_one_of_the_owners_templates(tmp_path: Path, interpreter: Path, name: str) -> None:
    (tmp_path / name).write_bytes(POSTSCRIPT)
    page = f'<html lang="en"><head><title>T</title></head><body><img src="{name}" alt=""></body>'
    assert any(name in line for line in render(page, folders=(tmp_path,)).warnings)
    assert not interpreter.exists()


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (head_of_png(13000, 13000), "169 million of at most 50 million pixels"),
        (saved(Image.new("L", (9, 9)), "JPEG"), "400 million of at most 250 million pixels"),
        (
            saved(Image.new("L", (9, 9)), "JPEG", progressive=True),
            "400 million of at most 50 million pixels",
        ),
    ],
)
def test_too_many_pixels_are_told_by_the_head_alone(
    tmp_path: Path, content: bytes, said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def decoded(*_: object) -> None:
        raise AssertionError("decoded before it was judged")

    monkeypatch.setattr("PIL.ImageFile.ImageFile.load", decoded)
    jpeg = content[:2] == b"\xff\xd8"
    (tmp_path / "a.png").write_bytes(said_to_be(content, 20000, 20000) if jpeg else content)
    assert refused(tmp_path, "a.png") == Unusable("photo-too-large", said)


def test_too_many_bytes_are_not_read(tmp_path: Path) -> None:
    with (tmp_path / "a.jpg").open("wb") as file:
        file.truncate(pictures.MOST_PICTURE_BYTES + 1)
    assert refused(tmp_path, "a.jpg").code == "photo-too-large"


def test_a_photo_of_108_megapixels_is_decoded_small_and_without_a_word(tmp_path: Path) -> None:
    """In a process of its own: the warnings of the library would be seen there."""
    Image.new("RGB", (12000, 9000), "red").save(tmp_path / "a.jpg", quality=50)
    code = (
        "import sys\n"
        "from pathlib import Path\n"
        "from PIL.JpegImagePlugin import JpegImageFile\n"
        "from quotegen.documents.printing.pictures import read_picture\n"
        "load = JpegImageFile.load\n"
        "def sized(self):\n"
        "    print(self.size[0] * self.size[1])\n"
        "    return load(self)\n"
        "JpegImageFile.load = sized\n"
        "read_picture(Path(sys.argv[1]), 'a.jpg', 50.0).content\n"
    )
    run = subprocess.run(
        [sys.executable, "-c", code, str(tmp_path)],
        capture_output=True, text=True, check=True, cwd=ROOT,
    )  # fmt: skip
    assert run.stderr == ""
    assert max(map(int, run.stdout.split())) == 12000 * 9000 // 64, "an eighth of each side"


def test_a_photo_with_a_second_picture_in_it_is_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Phones put a second picture behind the first (MPO); the limits are those of a JPEG."""
    first, second = Image.new("RGB", (90, 60), "red"), Image.new("RGB", (90, 60), "blue")
    (tmp_path / "a.jpg").write_bytes(saved(first, "MPO", save_all=True, append_images=[second]))
    monkeypatch.setattr(pictures, "MOST_PIXELS_WHOLE", 1)
    with Image.open(tmp_path / "a.jpg") as whole:
        assert whole.format == "MPO"
    assert opened(printed(tmp_path, "a.jpg").content).size == (90, 60)


def test_without_a_folder_there_are_no_pictures() -> None:
    assert read_picture(None, "logo.png", 44.0) == Unusable("photo-missing")
