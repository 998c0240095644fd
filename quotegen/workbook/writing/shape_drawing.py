"""The pictures of the shapes for the workbook, drawn as one PNG."""

from io import BytesIO

from PIL import Image, ImageDraw, ImageFont

from quotegen.model.choices import Shape
from quotegen.workbook.sheets.shape_pictures import (
    SHAPE_PICTURES,
    STAND,
    STAND_WORDS,
    WALL_WORDS,
    WALL_Y,
    PicturePoint,
    ShapePicture,
)

PICTURE_SIZE = (1080, 520)
"""Width and height as shown in the workbook, in its pixels."""
_FINER = 2
_ACROSS = 3
_INK, _SOFT, _ROOF, _WALL, _MARK = "#1c2326", "#4a5458", "#dfe7ea", "#8c979c", "#b3261e"
_SMALL, _LARGE = 12 * _FINER, 16 * _FINER


def shapes_png() -> bytes:
    """All shapes with their letters and where to stand, three in a row."""
    wide, high = (side * _FINER for side in PICTURE_SIZE)
    image = Image.new("RGB", (wide, high), "#ffffff")
    pen = ImageDraw.Draw(image)
    across, down = wide / _ACROSS, high / (len(SHAPE_PICTURES) / _ACROSS)
    for number, (shape, picture) in enumerate(SHAPE_PICTURES.items()):
        left, top = across * (number % _ACROSS), down * (number // _ACROSS)
        _draw(pen, shape, picture, (left + (across - down) / 2, top), down / 100)
    content = BytesIO()
    image.save(content, "PNG", optimize=True)
    return content.getvalue()


def _draw(
    pen: ImageDraw.ImageDraw,
    shape: Shape,
    picture: ShapePicture,
    corner: PicturePoint,
    scale: float,
) -> None:
    """One shape, its box 100 high beginning at `corner`, each hundredth `scale` dots."""

    def at(spot: PicturePoint) -> PicturePoint:
        return corner[0] + spot[0] * scale, corner[1] + spot[1] * scale

    def words(spot: PicturePoint, text: str, size: int, ink: str) -> None:
        pen.text(at(spot), text, fill=ink, font=ImageFont.load_default(size), anchor="mm")

    words((50, 5), str(shape), _LARGE, _INK)
    pen.rectangle((at((-8, WALL_Y - 5)), at((108, WALL_Y))), fill=_WALL)
    words((14, WALL_Y - 2.5), WALL_WORDS, _SMALL, "#ffffff")
    pen.polygon([at(spot) for spot in picture.outline], fill=_ROOF, outline=_INK, width=2 * _FINER)
    for one in picture.measured:
        if one.letter.isalpha():
            pen.line((at(one.start), at(one.end)), fill=_MARK, width=_FINER)
            for end in (one.start, one.end):
                x, y = at(end)
                pen.ellipse((x - 4, y - 4, x + 4, y + 4), fill=_MARK)
        x, y = at(one.named_at)
        half = _LARGE * 0.62
        pen.ellipse((x - half, y - half, x + half, y + half), fill="#ffffff", outline=_MARK)
        words(one.named_at, one.letter, _LARGE, _MARK)
    x, y = at(STAND)
    pen.polygon([(x, y - 22), (x - 12, y), (x + 12, y)], fill=_SOFT)
    words((STAND[0], STAND[1] + 3.5), STAND_WORDS, _SMALL, _SOFT)
