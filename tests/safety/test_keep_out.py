"""The exclusion distance: a house rule, checked by hand."""

from typing import Any

import pytest

from quotegen.model.choices import EdgeKind, Side
from quotegen.model.safety import KeepOut
from quotegen.safety.rules.keep_out import keep_out_of
from quotegen.working import Step
from tests import builders
from tests.safety import jobs


def kept_out(height_mm: float | None, **changes: Any) -> KeepOut | None:
    height = None if height_mm is None else builders.given("height", height_mm, "mm")
    roof = builders.roof(height_mm=height, **changes)
    return keep_out_of(jobs.job(jobs.plain_enquiry(roof=roof)))


@pytest.mark.parametrize(
    ("height_mm", "out_m", "barrier_m"),
    # Three quarters of the height, at least 2 m (house rule). The roof is 3 m wide and 2 m deep at
    # a wall: across the front 3 + 2 x out, and 2 + out back to the wall on each side.
    [(2400.0, 2.0, 15.0), (4000.0, 3.0, 19.0), (6000.0, 4.5, 25.0)],
)
def test_further_out_the_higher_the_edge(height_mm: float, out_m: float, barrier_m: float) -> None:
    found = kept_out(height_mm)
    assert found
    assert (found.out_m.number, found.barrier_m.number) == (out_m, barrier_m)
    for figure in (found.out_m, found.barrier_m):
        assert isinstance(figure.basis, Step)
        assert figure.basis.recompute() == figure.value


def test_a_roof_open_all_round_is_fenced_all_round() -> None:
    edges = dict.fromkeys((Side.BACK, Side.FRONT, Side.LEFT, Side.RIGHT), EdgeKind.FREE_DRIP)
    found = kept_out(2400.0, edges=edges)
    # 3 by 2 m with 2 m round it: 7 by 6 m, by hand.
    assert found
    assert found.barrier_m.number == 26.0


def test_an_unknown_height_gives_no_distance() -> None:
    assert kept_out(None) is None
