"""Two-column lists: nothing lost, read one column after the other, about equal in height."""

from itertools import pairwise

import pytest
from markupsafe import Markup
from PIL import ImageFont

from quotegen.documents.printing.halves import SPACE_BETWEEN, halved, height, place_to_split
from quotegen.documents.printing.pdf import FONT_FOLDER


def as_written(words: str) -> Markup:
    return Markup("<strong>{}</strong>").format(words)


@pytest.mark.parametrize("many", range(8))
def test_nothing_is_lost_and_the_order_stays(many: int) -> None:
    entries = [f"entry {n} & " + "word " * (n * 7 % 5) for n in range(many)]
    halves = halved(entries, as_written, mm=12 * 3.5278, pt=10)
    assert [words for half in halves for words in half] == [as_written(one) for one in entries]
    assert len(halves) == min(many, 2)


def test_no_other_split_has_a_lower_column() -> None:
    """Every split of some lists tried by hand of a loop."""
    for heights in ([3, 1, 1, 1], [1, 1, 1, 5], [2, 2, 2], [1.2, 4.2, 2.2, 2.2, 1.2]):
        found = place_to_split(heights)
        highest = max(sum(heights[:found]), sum(heights[found:]))
        for place in range(len(heights) + 1):
            assert highest <= max(sum(heights[:place]), sum(heights[place:]))


def test_the_first_column_is_the_higher_where_both_splits_are_alike() -> None:
    assert place_to_split([1, 1, 1]) == 2


def test_an_entry_takes_the_lines_its_words_need() -> None:
    """Source of the widths: Pillow on the packaged font, a whole line measured at once."""
    font = ImageFont.truetype(FONT_FOLDER / "SourceSansPro-Regular.ttf", 100)
    words = "No smoking, flame or sparks near resin, topcoat, acetone or catalyst."
    whole = font.getlength(words) / 100
    assert height(words, whole * 1.02, 0) == 1 + SPACE_BETWEEN
    assert height(words, whole * 0.98, 0) == 2 + SPACE_BETWEEN
    lines = [height(words, whole / part, 0) for part in (1, 2, 4, 8)]
    assert all(fewer < more for fewer, more in pairwise(lines))


def test_a_word_longer_than_the_line_takes_one() -> None:
    assert height("wallplates", 1, 0) == 1 + SPACE_BETWEEN
    assert height("", 10, 0) == 0


def test_bold_words_are_wider_and_what_stands_further_in_has_less_room() -> None:
    """Source of the widths: Pillow on the packaged font, a whole line measured at once."""
    words = "Wear goggles when anybody near you pours or measures catalyst."
    bold = (
        ImageFont.truetype(FONT_FOLDER / "SourceSansPro-Semibold.ttf", 100).getlength(words) / 100
    )
    assert height(f"<strong>{words}</strong>", bold * 1.01, 0) == 1 + SPACE_BETWEEN
    assert height(f"<strong>{words}</strong>", bold * 0.99, 0) == 2 + SPACE_BETWEEN
    assert height(words, bold * 0.99, 0) == 1 + SPACE_BETWEEN
    assert height(f'<p class="deep2">{words}</p>', bold, 0.01 * bold) == 1 + SPACE_BETWEEN
    assert height(f'<p class="deep2">{words}</p>', bold, 0.1 * bold) == 2 + SPACE_BETWEEN
