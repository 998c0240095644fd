"""How wide words are when set, by the packaged font's widths: the one measure for all papers."""

from functools import cache

from PIL import ImageFont

from quotegen.documents.printing.pdf import FONT_FOLDER

_SIZE = 100


@cache
def words_width(words: str, size: float, *, bold: bool = False) -> float:
    """How wide words on one line are, in the unit of their size.

    Source: the advances and the kerning of the packaged font, as Pillow reads them.
    """
    return _font("Semibold" if bold else "Regular").getlength(words) / _SIZE * size


def size_within(words: str, most: float, wide: float, *, bold: bool = False) -> float:
    """The size of words that are no wider than this, and no larger than `most`."""
    return min(most, wide / words_width(words, 1.0, bold=bold))


@cache
def _font(weight: str) -> ImageFont.FreeTypeFont:
    """The packaged font, kerned wherever Pillow has the library for it."""
    return ImageFont.truetype(FONT_FOLDER / f"SourceSansPro-{weight}.ttf", _SIZE)
