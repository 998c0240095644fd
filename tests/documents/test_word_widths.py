"""How wide words are, against the tables of the packaged font as fontTools reads them."""

import pytest
from fontTools.ttLib import TTFont

from quotegen.documents.printing.pdf import FONT_FOLDER
from quotegen.documents.printing.word_widths import size_within, words_width

WORDS = ("1111 × 2222", "22.5 m", "4444", "laminate")


@pytest.mark.parametrize(("bold", "weight"), [(False, "Regular"), (True, "Semibold")])
def test_words_are_as_wide_as_their_letters(bold: bool, weight: str) -> None:
    """The sum of the advances; kerning of such words and the rounding of either are under 2 %."""
    font = TTFont(FONT_FOLDER / f"SourceSansPro-{weight}.ttf")
    letters, advances = font.getBestCmap(), font["hmtx"]
    for words in WORDS:
        ems = sum(advances[letters[ord(one)]][0] for one in words) / font["head"].unitsPerEm
        assert words_width(words, 3.0, bold=bold) == pytest.approx(3 * ems, rel=0.02)


def test_words_get_smaller_only_where_they_have_to() -> None:
    wide = words_width("laminate", 2.6)
    assert size_within("laminate", 2.6, wide * 2) == 2.6
    assert size_within("laminate", 2.6, wide / 2) == pytest.approx(1.3)
    assert size_within("laminate", 2.6, wide, bold=True) < 2.6
