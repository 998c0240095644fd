"""What a price takes for granted where a cell was left blank and money or safety hangs on it.

The words, and why each matters, are in `reference/house/taken.toml`. For safety a blank cell stays
unknown: nothing here is a fact of the method statement.
"""

from collections.abc import Iterator
from itertools import chain

from quotegen.model.choices import PLATFORMS, Access, Covering, EdgeKind
from quotegen.model.enquiry import Enquiry
from quotegen.model.quote import TakenAs
from quotegen.model.settings import Settings
from quotegen.model.takeoff import TakeOff
from quotegen.phrases import listed
from quotegen.problems import Problem, problem
from quotegen.reference.firm.house_taken import house_taken
from quotegen.reference.remark_keys import TakenKey
from quotegen.reference.remarks import Remark, remark, written
from quotegen.takeoff.access.edge_ways import only_in_doubt


def taken_as(take_off: TakeOff, settings: Settings) -> tuple[TakenAs, ...]:
    """Every value taken for granted, in the order of the table."""
    table = house_taken(TakenKey)
    words = {key: row.text for key, row in table.items()}
    found = {
        said.key: said
        for said in chain(
            take_off.enquiry.taken,
            _of_roof(take_off),
            _of_access(take_off),
            _of_old_roof(take_off.enquiry),
            _of_travel(take_off.enquiry, settings),
        )
    }
    return tuple(
        TakenAs(row.heading, written(found[TakenKey(key)], words), row.why, row.name)
        for key, row in table.items()
        if key in found
    )


def taken_problems(enquiry: Enquiry, taken: tuple[TakenAs, ...]) -> list[Problem]:
    """A warning for each of them, for whoever checks the workbook.

    What lies underneath has a warning of its own (`below-not-known`), and a scaffold in place of a
    tower nobody has looked at is safe: only the customer's paper says that one may cost less.
    """
    apart = {house_taken(TakenKey)[key].heading for key in (TakenKey.BELOW, TakenKey.ROOM)}
    return [
        problem(
            "taken-as", enquiry.place, ref=enquiry.ref, column=one.heading, words=one.words,
            why=one.why,
        )
        for one in taken
        if one.heading not in apart
    ]  # fmt: skip


def _of_roof(take_off: TakeOff) -> Iterator[Remark]:
    """What its edges need and nobody has measured."""
    enquiry = take_off.enquiry
    kinds = {edge.kind for edge in take_off.outline.edges}
    if EdgeKind.WALL in kinds:
        if enquiry.wall_joint is None:
            yield remark(TakenKey.WALL_JOINT)
        if enquiry.roof.upstand_mm is None:
            yield remark(TakenKey.UPSTAND)
    if EdgeKind.GUTTER_DRIP in kinds and enquiry.gutter_mm is None:
        yield remark(TakenKey.GUTTER)
    if EdgeKind.TILES in kinds and enquiry.tiles_mm is None:
        yield remark(TakenKey.TILES)
    if enquiry.roof.level_drop_mm is None:
        yield remark(TakenKey.LEVEL_DROP)


def _of_access(take_off: TakeOff) -> Iterator[Remark]:
    """What the edge is guarded with where nobody has measured the height or said what is below."""
    enquiry, ways = take_off.enquiry, [option.access.chosen for option in take_off.options]
    if enquiry.roof.height_mm is None:
        yield remark(TakenKey.HEIGHT, access=listed([str(way) for way in dict.fromkeys(ways)]))
    if not enquiry.below and any(way in PLATFORMS for way in ways):
        yield remark(TakenKey.BELOW)
    if enquiry.site.room_for_tower is None and any(
        option.access.chosen is Access.SCAFFOLD and only_in_doubt(option.access.ways)
        for option in take_off.options
    ):
        yield remark(TakenKey.ROOM)


def _of_old_roof(enquiry: Enquiry) -> Iterator[Remark]:
    """What lies there now, goes through it, and may be in it."""
    covered = enquiry.existing.covering is not Covering.NONE
    if covered and enquiry.existing.layers is None:
        yield remark(TakenKey.LAYERS)
    if not enquiry.openings and enquiry.site.through_roof is None:
        yield remark(TakenKey.OPENINGS)
    if covered and enquiry.year_built is None:
        yield remark(TakenKey.YEAR_BUILT)


def _of_travel(enquiry: Enquiry, settings: Settings) -> Iterator[Remark]:
    """The way there, as the firm usually has it."""
    if enquiry.travel_min is None:
        yield remark(TakenKey.TRAVEL, minutes=settings["travel_min"])
