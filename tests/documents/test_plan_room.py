"""Places for words on a plan: sums by hand on squares, and shapely on the placed words."""

import pytest
from shapely.geometry import Polygon, box

from quotegen.documents.drawing.plan_geometry import roomiest, stretches_inside, without

SQUARE = box(0, 0, 42, 42)
BLOCK = (10.0, 6.0)


def block_at(at: tuple[float, float]) -> Polygon:
    return box(at[0] - 5, at[1] - 3, at[0] + 5, at[1] + 3)


def test_a_block_alone_stands_in_the_middle() -> None:
    """42 wide, the block 10: 16 on either side, which is nearer than the 18 above and below."""
    found = roomiest(SQUARE, SQUARE.bounds, BLOCK, ample=100)
    assert found is not None
    assert found[0] == (21.0, 21.0)
    assert found[1] == pytest.approx(16.0)


def test_what_has_ample_room_is_not_pushed_aside_for_more() -> None:
    """A post at the right side leaves 7 mm in the middle; further left there is more."""
    free = without(SQUARE, [(33.0, 20.0, 42.0, 22.0)])
    ample = roomiest(free, SQUARE.bounds, BLOCK, ample=3)
    most = roomiest(free, SQUARE.bounds, BLOCK, ample=100)
    assert ample is not None
    assert most is not None
    assert ample[0] == (21.0, 21.0)
    assert ample[1] == pytest.approx(7.0)
    assert most[1] > 7


def test_words_leave_what_is_taken_alone() -> None:
    """A box over the middle: the block stands clear of it by what is said."""
    taken = (15.0, 15.0, 27.0, 27.0)
    found = roomiest(without(SQUARE, [taken]), SQUARE.bounds, BLOCK, ample=2)
    assert found is not None
    at, room = found
    block = block_at(at)
    assert SQUARE.contains(block)
    clear = min(block.distance(box(*taken)), block.distance(SQUARE.exterior))
    assert clear == pytest.approx(room)
    assert clear >= 2


def test_a_roof_too_narrow_has_no_room() -> None:
    assert roomiest(box(0, 0, 9.9, 40), (0.0, 0.0, 9.9, 40.0), BLOCK, ample=3) is None


def test_a_line_runs_inside_a_roof_in_as_many_stretches_as_it_enters() -> None:
    """A U of 6 by 3 with a slot of 2 by 1.5 in its front, crossed at 2 and at 1."""
    u_shape = Polygon([(0, 0), (6, 0), (6, 3), (4, 3), (4, 1.5), (2, 1.5), (2, 3), (0, 3)])
    assert stretches_inside(u_shape, 2.0, axis=1) == [(0.0, 2.0), (4.0, 6.0)]
    assert stretches_inside(u_shape, 1.0, axis=1) == [(0.0, 6.0)]
