"""The trims of a job cut from whole lengths, as bought."""

from collections.abc import Mapping
from decimal import Decimal

from msgspec import Struct

from quotegen.model.settings import PriceBook
from quotegen.model.takeoff import CutList, PackCount, Purchase
from quotegen.reference import house_rules
from quotegen.takeoff.basis.job import Job
from quotegen.takeoff.basis.packs import purchase
from quotegen.takeoff.trims.cutting import Cut, Stock, cut_runs
from quotegen.takeoff.trims.trim_plan import TrimPlan
from quotegen.units import Unit, m_to_mm
from quotegen.working import Figure, chosen


class TrimWork(Struct, frozen=True):
    """The trims of a job as bought and cut, and the counts that bandage and hours need.

    `purchases` are of the trims that are cut from whole lengths; one without a price is cut from
    the stock length of the Rates sheet and not among them.
    """

    needs: Mapping[str, Figure]
    purchases: Mapping[str, Purchase]
    cuts: tuple[CutList, ...]
    joints: Figure
    pre_formed: Mapping[str, int]
    mitres: Figure
    made_up: Figure


def cut_trims(job: Job, plan: TrimPlan, prices: PriceBook) -> TrimWork:
    """Cut every trim from the lengths these prices offer, at the least cost."""
    purchases: dict[str, Purchase] = {}
    cuts: dict[str, Cut] = {}
    unpriced = (Stock(job.settings.number("trim_length_mm"), Decimal(1)),)
    for item, (wanted, rules) in plan.runs.items():
        packs = prices.of(item)
        stocks = tuple(Stock(m_to_mm(pack.pack_size), pack.pack_price) for pack in packs)
        cut = cuts[item] = cut_runs(wanted, stocks or unpriced, rules)
        if packs:
            taken = [PackCount(pack, n) for i, pack in enumerate(packs) if (n := cut.count(i))]
            purchases[item] = purchase(plan.needs[item], taken)
    joints = sum(cut.joints for cut in cuts.values())
    return TrimWork(
        needs=plan.needs,
        purchases=purchases,
        cuts=tuple(_cut_list(job, item, cut) for item, cut in cuts.items()),
        joints=chosen("trim joints", float(joints), Unit.EACH, "counted on the cutting lists"),
        pre_formed=plan.pre_formed,
        mitres=plan.mitres,
        made_up=plan.made_up,
    )


def _cut_list(job: Job, item: str, cut: Cut) -> CutList:
    least_mm = job.settings.number("offcut_useful_mm")
    lengths = tuple(length for _, length in cut.lengths)
    kept = tuple(length.left_mm for length in lengths if length.left_mm >= least_mm)
    return CutList(item, house_rules.items()[item].words, lengths, cut.proved, kept)
