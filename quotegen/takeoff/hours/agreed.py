"""Work that may turn up once the roof is open: its hours and material, and what was agreed."""

from collections.abc import Iterator, Mapping

from msgspec import Struct

from quotegen.model.choices import BuildUp, PriceBasis
from quotegen.model.enquiry import Enquiry, Finding
from quotegen.model.settings import Settings
from quotegen.model.takeoff import Labour, Stage
from quotegen.reference.firm.house_words import house_words
from quotegen.reference.remark_keys import Agreed, Task
from quotegen.takeoff.basis.job import Demand, times
from quotegen.takeoff.basis.task_names import task_name
from quotegen.units import Unit
from quotegen.working import Figure, derive


class AgreedWork(Struct, frozen=True):
    """One kind of extra work: its key, its pricing unit, its hours and its material.

    It is `counted` where it is priced by the piece rather than by the metre.
    """

    key: Agreed
    unit: str
    hours_code: str
    item: str

    @property
    def words(self) -> str:
        """What it is called."""
        return house_words("work.toml", "agreed", Agreed)[self.key]

    @property
    def counted(self) -> bool:
        """Whether it is priced by the piece."""
        return self.unit == EACH


EACH, METRE = "each", "metre"
AGREED_WORK: Mapping[PriceBasis, AgreedWork] = {
    PriceBasis.FASCIA: AgreedWork(Agreed.FASCIA, METRE, "hours_fascia", "fascia_board"),
    PriceBasis.JOIST: AgreedWork(Agreed.JOIST, EACH, "hours_joist", "joist"),
    PriceBasis.BOARD: AgreedWork(Agreed.BOARD, EACH, "hours_board", "repair_board"),
    PriceBasis.FIRRINGS: AgreedWork(Agreed.FIRRINGS, METRE, "hours_firrings", "firring"),
}


def agreed_demands(enquiry: Enquiry, build_up: BuildUp) -> list[Demand]:
    """Materials for the findings that a build-up puts right."""
    return [
        Demand(AGREED_WORK[basis].item, Stage.FOUND, quantity)
        for basis, quantity, _ in _to_be_done(enquiry, build_up)
    ]


def agreed_labour(enquiry: Enquiry, settings: Settings, build_up: BuildUp) -> list[Labour]:
    """Hours for the findings that a build-up puts right."""
    return [
        Labour(
            Task.FOUND,
            task_name(Task.FOUND, advised=finding.advised),
            Stage.FOUND,
            derive(
                finding.advised,
                Unit.PERSON_HOURS,
                times,
                number=quantity,
                each=settings[AGREED_WORK[basis].hours_code],
            ),
        )
        for basis, quantity, finding in _to_be_done(enquiry, build_up)
    ]


def _to_be_done(
    enquiry: Enquiry, build_up: BuildUp
) -> Iterator[tuple[PriceBasis, Figure, Finding]]:
    for finding in enquiry.findings:
        basis, quantity = finding.basis, finding.quantity
        if not finding.is_done_in(build_up) or basis is None or quantity is None:
            continue
        if basis in AGREED_WORK:
            yield basis, quantity, finding
