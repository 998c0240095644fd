"""Pictures: found only in their folder, turned upright, shrunk, and stripped of camera data."""

from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from quotegen.documents.pictures import DOTS_PER_MM, read_picture

ORIENTATION, ROTATED_QUARTER, PLACE_DATA = 0x0112, 6, 0x8825


def opened(content: bytes) -> Image.Image:
    return Image.open(BytesIO(content))


def test_a_photo_is_turned_upright_shrunk_and_loses_its_camera_data(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[ORIENTATION] = ROTATED_QUARTER
    exif[PLACE_DATA] = {1: "N", 2: (50.0, 0.0, 0.0)}
    Image.new("RGB", (2000, 1000), "red").save(tmp_path / "a.jpg", exif=exif)
    found = read_picture(tmp_path, "a.jpg", 50.0)
    assert found is not None
    image = opened(found.content)
    assert found.media_type == "image/jpeg"
    assert image.height == 2 * image.width
    assert image.height == round(50.0 * DOTS_PER_MM)
    assert not image.getexif()


def test_a_logo_with_transparency_stays_png(tmp_path: Path) -> None:
    Image.new("RGBA", (40, 20), (0, 0, 0, 0)).save(tmp_path / "logo.png")
    found = read_picture(tmp_path, "logo.png", 44.0)
    assert found is not None
    assert found.media_type == "image/png"
    assert opened(found.content).size == (40, 20)


@pytest.mark.parametrize(
    "name",
    ["", "none.png", "broken.png", "text.png", "../outside.png", ".", "a" * 5000, "a\0b.png"],
)
def test_what_cannot_be_had_is_none(tmp_path: Path, name: str) -> None:
    folder = tmp_path / "pictures"
    folder.mkdir()
    Image.effect_noise((400, 400), 90).save(tmp_path / "outside.png")
    whole = (tmp_path / "outside.png").read_bytes()
    (folder / "broken.png").write_bytes(whole[: len(whole) // 2])
    (folder / "text.png").write_text("not a picture")
    assert read_picture(folder, name, 44.0) is None


def test_without_a_folder_there_are_no_pictures() -> None:
    assert read_picture(None, "logo.png", 44.0) is None
