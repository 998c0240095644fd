"""Several jobs bought in one order."""

from dataclasses import dataclass

from quotegen.model.choices import BuildUp
from quotegen.model.takeoff import CutList, Order, Purchase
from quotegen.working import Figure


@dataclass(frozen=True, slots=True)
class SharedNeed:
    """One thing that several jobs take, bought once for all of them."""

    item: str
    words: str
    unit: str
    by_job: tuple[tuple[str, Figure], ...]
    gross: Figure
    from_stock: Figure | None
    purchase: Purchase | None


@dataclass(frozen=True, slots=True)
class Together:
    """Several jobs bought in one order, and what that saves.

    `jobs` are references with the build-up bought for; `apart` what each would cost to buy by
    itself, one after another, with the van's stock used once.
    """

    jobs: tuple[tuple[str, BuildUp], ...]
    needs: tuple[SharedNeed, ...]
    cuts: tuple[CutList, ...]
    order: Order
    apart: tuple[tuple[str, Figure], ...]
    saves: Figure
