"""Whether slightly shorter edges would save a length of trim: near misses of cutting lists."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from msgspec.structs import replace

from quotegen import wording
from quotegen.model.choices import Along
from quotegen.model.roof import Outline
from quotegen.model.settings import PriceBook
from quotegen.phrases import listed
from quotegen.reference.remark_keys import JobNote
from quotegen.reference.remarks import Remark, remark
from quotegen.takeoff.basis.job import Job
from quotegen.takeoff.trims.cutting import CutRules, Run, Stock, cut_runs
from quotegen.takeoff.trims.trim_plan import plan_trims
from quotegen.units import Unit, m_to_mm
from quotegen.working import Figure, chosen

Wanted = Mapping[str, tuple[tuple[Run, ...], CutRules]]
_SAME_MM = 1.0


def trim_near_misses(job: Job, prices: PriceBook) -> list[Remark]:
    """What to say if shorter sides, within what the firm calls near, would save a length.

    Sides of one measurement are shortened together: straight edges of the same length. `prices` are
    those the trims are bought at; a trim nobody prices saves nothing.
    """
    most_mm = int(job.settings.number("trim_near_mm"))
    wanted = {item: runs for item, runs in plan_trims(job).runs.items() if prices.of(item)}
    stocks = {
        item: tuple(Stock(m_to_mm(p.pack_size), p.pack_price) for p in prices.of(item))
        for item in wanted
    }
    said = []
    for edges in _families(job.outline):
        shortest = _shortest(edges, wanted, stocks, most_mm)
        if shortest is not None:
            said.append(_said(edges, *shortest))
    return said


def _families(outline: Outline) -> Iterator[tuple[str, ...]]:
    """The straight edges that were measured as one length, by their names."""
    families: list[tuple[float, list[str]]] = []
    for edge in outline.edges:
        if edge.curve:
            continue
        length_mm = edge.length.number
        family = next((names for mm, names in families if abs(mm - length_mm) < _SAME_MM), None)
        if family is None:
            families.append((length_mm, [edge.name]))
        else:
            family.append(edge.name)
    return (tuple(names) for _, names in families)


def _shortest(
    edges: Sequence[str],
    wanted: Wanted,
    stocks: Mapping[str, tuple[Stock, ...]],
    most_mm: int,
) -> tuple[int, int, Decimal] | None:
    """By how little the edges have to be shorter to save a length: mm, lengths saved, money.

    The fewest mm are found by halving, since shorter pieces never take more.
    """
    as_measured = _bought(edges, wanted, stocks, 0)
    if most_mm < 1 or _bought(edges, wanted, stocks, most_mm)[1] >= as_measured[1]:
        return None
    too_little, enough = 0, most_mm
    while enough - too_little > 1:
        middle = (too_little + enough) // 2
        if _bought(edges, wanted, stocks, middle)[1] < as_measured[1]:
            enough = middle
        else:
            too_little = middle
    lengths, money = _bought(edges, wanted, stocks, enough)
    return enough, as_measured[0] - lengths, as_measured[1] - money


def _bought(
    edges: Sequence[str],
    wanted: Wanted,
    stocks: Mapping[str, tuple[Stock, ...]],
    shorter_mm: int,
) -> tuple[int, Decimal]:
    """How many lengths are bought and for how much, with these edges so much shorter."""
    counts: dict[Stock, int] = defaultdict(int)
    for item, (runs, rules) in wanted.items():
        cut_back = tuple(
            replace(run, length_mm=run.length_mm - shorter_mm)
            if run.along is Along.EDGE and run.edge in edges
            else run
            for run in runs
        )
        for place, _ in cut_runs(cut_back, stocks[item], rules).lengths:
            counts[stocks[item][place]] += 1
    money = sum((stock.cost * n for stock, n in counts.items()), Decimal(0))
    return sum(counts.values()), money


def _said(edges: Sequence[str], shorter_mm: int, lengths: int, money: Decimal) -> Remark:
    """One near miss, for the owner."""
    found: dict[str, Figure | str] = {
        "less": chosen("less", float(shorter_mm), Unit.MM, "the fewest that save a length"),
        "saved": wording.count(lengths, "length", "lengths"),
        "money": chosen("saved", money, Unit.GBP, "the lengths bought as measured and shorter"),
    }
    if len(edges) > 1:
        return remark(JobNote.TRIM_NEAR_EACH, edges=listed(edges), **found)
    return remark(JobNote.TRIM_NEAR, edge=edges[0], **found)
