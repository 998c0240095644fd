"""The plans of boards and mat, sharing a page if both can be read there."""

from quotegen.documents.layers.cut_drawing import sheets_high_mm
from quotegen.documents.layers.layer_plan import (
    LayerPlan,
    board_frame,
    board_plan,
    mat_frame,
    mat_plan,
)
from quotegen.machine.once import once_a_job
from quotegen.model.takeoff import OptionTakeOff, TakeOff
from quotegen.takeoff.shape.openings import placed_openings

PAGE_WIDE_MM, PAGE_HIGH_MM = 176.0, 272.0
LARGEST_MM = 125.0
SMALLEST_SCALE = 50
HEIGHTS_MM = (LARGEST_MM, 110.0, 95.0, 80.0, 70.0, 60.0, 50.0)
_WORDS_MM, _ROW_MM, _OPENING_MM = 86.0, 4.6, 4.2
"""Heights on the page: the words of both parts, a table row, and an opening."""


@once_a_job
def fit_layers(
    take_off: TakeOff,
    option: OptionTakeOff,
    *,
    joists_mm: tuple[float, ...],
    ways_of_sheets: int,
) -> tuple[LayerPlan, LayerPlan]:
    """The plans of boards and mat, as large as one shared page allows, otherwise a page each.

    `ways_of_sheets` is the number of different ways the sheets are cut.
    """
    outline = take_off.outline
    placed = placed_openings(take_off.enquiry, outline)
    rows = len(option.boards.pieces) + len(option.mat.strips)
    sheets_mm = sheets_high_mm(option.boards.kind, ways_of_sheets, PAGE_WIDE_MM)
    room_mm = PAGE_HIGH_MM - _WORDS_MM - sheets_mm - rows * _ROW_MM - len(placed) * _OPENING_MM
    allowed = HEIGHTS_MM if 2 * HEIGHTS_MM[-1] <= room_mm else ()
    for box in ((PAGE_WIDE_MM, high_mm) for high_mm in allowed):
        frames = board_frame(outline, option.boards, box), mat_frame(outline, option.mat, box)
        readable = all(frame.scale <= SMALLEST_SCALE for frame in frames)
        if readable and sum(frame.high_mm for frame in frames) <= room_mm:
            break
    else:
        box = (PAGE_WIDE_MM, LARGEST_MM)
    return (
        board_plan(outline, option.boards, joists_mm, box, placed),
        mat_plan(outline, option.mat, box, placed),
    )
