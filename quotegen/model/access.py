"""Access to the edge and protection against falls."""

from msgspec import Struct

from quotegen.model.choices import Access, EdgeWay
from quotegen.reference.remarks import Remark
from quotegen.working import Figure


class LadderUse(Struct, frozen=True):
    """The longest task a ladder would be used for, by the clock.

    `refusals` are the reasons against it; if there are none, the ladder is allowed. `task` is its
    words.
    """

    task: str
    longest_min: Figure
    refusals: tuple[Remark, ...]


class GuardRails(Struct, frozen=True):
    """The guard rails of a platform: heights above its boards, and the largest gap.

    `middle_mm` are the rails between toe board and top rail, the lowest first.
    """

    top_mm: Figure
    middle_mm: tuple[Figure, ...]
    toe_board_mm: Figure
    largest_gap_mm: Figure


class TowerPlace(Struct, frozen=True):
    """A place of the tower: at which edge, and which of how many along it, counted from its start.

    `face` is the line of the working side of its platform on the plan [mm].
    """

    edge: str
    number: int
    of: int
    face: tuple[tuple[float, float], tuple[float, float]]


class Platform(Struct, frozen=True):
    """The platform at the edge; heights are above the ground, None while nobody has measured.

    `below_mm` is how far it stands below the edge; `load` what each square metre carries, for the
    load class `load_class`. `brick_guards` on a scaffold where people may pass below; a tower
    carries nothing that catches the wind.
    """

    below_mm: Figure
    up_m: Figure | None
    top_rail_m: Figure | None
    rails: GuardRails
    load_class: str
    load: Figure
    load_kg: Figure
    stacked: bool
    brick_guards: bool


class WayCost(Struct, frozen=True):
    """One way of guarding people, and why it is not safe here or what it costs.

    `cost` is hire and hours to put up, move and strike; None where the way is refused, or where
    nobody prices the hire.
    """

    way: EdgeWay
    refusals: tuple[Remark, ...]
    cost: Figure | None = None


class AccessPlan(Struct, frozen=True):
    """How the crew works at the edge, with the reasons in order of control.

    `platform_m` is the length of edge to be protected, `towers` how many towers are up at once, if
    any; `away_m2` is the roof area far enough from every open edge to stand on while edges
    are unguarded. `asked` is the access the row asks for; None if blank, when the cheapest of the
    ways that are safe enough is chosen. `ladder` is the verdict on a ladder, None where none was
    asked for with a reason. `way` and `platform` are None without a platform; `places` are those of
    the one tower, in turn, and `ways` what the ways were compared by.
    """

    chosen: Access
    asked: Access | None
    reasons: tuple[Remark, ...]
    platform_m: Figure
    towers: Figure
    away_m2: Figure
    ladder: LadderUse | None
    way: EdgeWay | None = None
    places: tuple[TowerPlace, ...] = ()
    platform: Platform | None = None
    ways: tuple[WayCost, ...] = ()

    @property
    def stood_on(self) -> bool:
        """Whether anyone may stand on the roof: only where every open edge is guarded at once."""
        return self.way in (EdgeWay.TOWERS, EdgeWay.SCAFFOLD)
