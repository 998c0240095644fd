"""Several jobs bought in one order: needs added up, the van used once, trims cut together.

For each family that has to come from one supplier, two groupings are compared: one supplier for all
jobs, or for each job the one it would use on its own. Jobs of a group are covered and cut together,
so the order is never dearer than the jobs bought apart.
"""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from msgspec import Struct
from msgspec.structs import replace

from quotegen.model.choices import BuildUp
from quotegen.model.settings import PriceBook, Settings
from quotegen.model.several import SharedNeed, Together
from quotegen.model.takeoff import CutLength, CutList, PackCount, Piece, Purchase, TakeOff
from quotegen.reference import house_rules
from quotegen.reference.house_rules import Family
from quotegen.takeoff.basis.packs import purchase
from quotegen.takeoff.buying.needs import Lack, lacks, stock_after
from quotegen.takeoff.buying.order import Bought, buy, leftovers, lots_of, make_order
from quotegen.takeoff.buying.suppliers import Lot, Way, best_choice
from quotegen.takeoff.measure import Plan, plan_build_up
from quotegen.takeoff.trims.cutting import CutRules, Run, Stock, cut_runs
from quotegen.takeoff.trims.trim_plan import trim_saw_mm
from quotegen.units import Unit, m_to_mm
from quotegen.working import derive, total

_Source = frozenset[str]


class _Site(Struct, frozen=True):
    """One job of several: its plans by source of trim, and its own purchase."""

    ref: str
    build_up: BuildUp
    plans: Mapping[_Source, Plan]
    apart: Bought
    source: _Source


class _Pool(Struct, frozen=True):
    """One way of buying for all jobs: what each lacks, and the trims cut for those sharing them."""

    lacking: tuple[tuple[Lack, ...], ...]
    cuts: tuple[tuple[CutList, tuple[PackCount, ...]], ...]
    way: Way


def buy_together(
    take_offs: Sequence[TakeOff], settings: Settings, prices: PriceBook
) -> Together | None:
    """One order for several jobs, each in its accepted build-up or else the first asked for.

    Whole things such as boards are counted for each job and then added. Pieces of trim are labelled
    with the reference of their job. None where there is nothing to buy together.
    """
    sites = _sites(take_offs, settings, prices)
    if len(sites) < 2:
        return None
    pools = list(_pools(sites, settings, prices))
    ways = [pool.way for pool in pools]
    choice = best_choice(ways, prices)
    if choice is None:
        raise ValueError("every lot is made from items that somebody prices")
    pool = pools[choice.way]
    packs: dict[str, list[PackCount]] = {}
    for taken in (*(taken for _, taken in pool.cuts), *choice.packs):
        for count in taken:
            packs.setdefault(count.pack.item, []).append(count)
    needs = _shared(sites, pool, packs)
    cuts = tuple(cut for cut, _ in pool.cuts)
    spare = [(need.item, need.words, need.purchase) for need in needs if need.purchase]
    order = make_order(choice, ways, prices, leftovers(spare, cuts), cuts)
    apart = [(s.ref, s.apart.order.total.renamed(f"{s.ref} by itself")) for s in sites]
    saves = derive(
        "saved by buying together",
        Unit.GBP,
        saved,
        apart=[figure for _, figure in apart],
        together=order.total,
    )
    jobs = tuple((site.ref, site.build_up) for site in sites)
    return Together(jobs, needs, cuts, order, tuple(apart), saves)


def _sites(take_offs: Sequence[TakeOff], settings: Settings, prices: PriceBook) -> list[_Site]:
    """Every job planned, and bought alone in turn from what earlier jobs leave on the van."""
    stock = settings.van_stock
    sites = []
    for take_off in take_offs:
        enquiry = take_off.enquiry
        build_up = enquiry.accepted or enquiry.build_ups[0]
        plans = plan_build_up(enquiry, take_off.outline, settings, prices, build_up)
        offered = [(p.trims, lacks(p.demands, p.trims.work, settings, stock)) for p in plans]
        apart = buy(offered, prices)
        trims, lacking = offered[apart.way]
        stock = stock_after(stock, lacking)
        by_source = {plan.trims.source: plan for plan in plans}
        sites.append(_Site(enquiry.ref, build_up, by_source, apart, trims.source))
    return sites


def _pools(sites: Sequence[_Site], settings: Settings, prices: PriceBook) -> Iterator[_Pool]:
    """The ways to compare: by the sources of the trims, and by how families are shared."""
    for sources in _trim_sources(sites):
        plans = [site.plans[source] for site, source in zip(sites, sources, strict=True)]
        stock = settings.van_stock
        lacking = []
        for plan in plans:
            lacked = lacks(plan.demands, plan.trims.work, settings, stock)
            stock = stock_after(stock, lacked)
            lacking.append(lacked)
        groups: dict[_Source, list[int]] = {}
        for number, source in enumerate(sources):
            groups.setdefault(source, []).append(number)
        cuts = [
            cut
            for source, members in groups.items()
            for cut in _cut_together(
                [(sites[n].ref, plans[n]) for n in members], source, settings, prices
            )
        ]
        taken = tuple(count for _, packs in cuts for count in packs)
        for shared in (False, True):
            lots = _pooled_lots(sites, lacking, sources, prices, shared=shared)
            if lots is not None:
                yield _Pool(tuple(lacking), tuple(cuts), Way(lots, taken))


def _trim_sources(sites: Sequence[_Site]) -> list[tuple[_Source, ...]]:
    """Sources of trims by job: each job's own choice, and every source that all can share."""
    common = set.intersection(*(set(site.plans) for site in sites))
    same = [(source,) * len(sites) for source in sorted(common, key=sorted)]
    return list(dict.fromkeys([tuple(site.source for site in sites), *same]))


def _pooled_lots(
    sites: Sequence[_Site],
    lacking: Sequence[Sequence[Lack]],
    sources: Sequence[_Source],
    prices: PriceBook,
    *,
    shared: bool,
) -> tuple[Lot, ...] | None:
    """The lots of all jobs, with like lots added up.

    Jobs share the lot of a family where it is `shared`, or where each by itself would buy it from
    the same suppliers; corner pieces where their trims have one source. None where sharing would
    split a family that each job can buy whole.
    """
    pooled: dict[tuple[object, ...], dict[str, float]] = {}
    kinds: dict[tuple[object, ...], Lot] = {}
    for site, lacked, source in zip(sites, lacking, sources, strict=True):
        for lot in lots_of(lacked, source, prices):
            first = lot.to_cover[0][0]
            family = house_rules.items()[first].family
            if not family:
                key: tuple[object, ...] = (first,)
            elif family is Family.TRIMS:
                key = (family, source, lot.one_supplier or first)
            else:
                apart = frozenset(
                    count.pack.supplier
                    for item, _ in lot.to_cover
                    if (bought := site.apart.purchases.get(item))
                    for count in bought.packs
                )
                key = (family, lot.one_supplier or first, None if shared else apart)
            amounts = pooled.setdefault(key, {})
            kinds[key] = lot
            for item, to_cover in lot.to_cover:
                amounts[item] = amounts.get(item, 0.0) + to_cover
    lots = tuple(
        replace(kinds[key], to_cover=tuple(found.items())) for key, found in pooled.items()
    )
    whole = all(
        frozenset.intersection(*(prices.sellers(item) for item, _ in lot.to_cover))
        for lot in lots
        if lot.one_supplier
    )
    return lots if whole else None


def _cut_together(
    members: Sequence[tuple[str, Plan]], source: _Source, settings: Settings, prices: PriceBook
) -> Iterator[tuple[CutList, tuple[PackCount, ...]]]:
    """The trims of jobs with one source, cut from the same lengths, with the packs bought.

    The pieces are those of each job's own list; that they come out of the fewest lengths is all
    that is proved. Where it is not and costs no less, each job's own list stands.
    """
    lists: dict[str, list[tuple[str, CutList, Purchase]]] = {}
    for ref, plan in members:
        for cut in plan.trims.work.cuts:
            bought = plan.trims.work.purchases.get(cut.item)
            if bought:
                lists.setdefault(cut.item, []).append((ref, cut, bought))
    for item, own in lists.items():
        packs = [pack for pack in prices.of(item) if pack.supplier in source]
        stocks = tuple(Stock(m_to_mm(pack.pack_size), pack.pack_price) for pack in packs)
        labelled = [_labelled(ref, length) for ref, cut, _ in own for length in cut.lengths]
        runs = tuple(
            Run(piece.edge, piece.length_mm, piece.along, pieces=1)
            for length in labelled
            for piece in length.pieces
        )
        found = cut_runs(runs, stocks, CutRules(0.0, 0.0, trim_saw_mm(settings)))
        taken = [PackCount(packs[i], n) for i in range(len(packs)) if (n := found.count(i))]
        lengths, proved = [length for _, length in found.lengths], found.proved
        before = [count for _, _, bought in own for count in bought.packs]
        if not proved and _cost(before) <= _cost(taken):
            taken, lengths = before, labelled
        least_mm = settings.number("offcut_useful_mm")
        kept = tuple(length.left_mm for length in lengths if length.left_mm >= least_mm)
        words = house_rules.items()[item].words
        yield CutList(item, words, tuple(lengths), proved, kept), tuple(taken)


def _labelled(ref: str, length: CutLength) -> CutLength:
    pieces = tuple(
        Piece(piece.length_mm, f"{ref} {piece.edge}", piece.along) for piece in length.pieces
    )
    return replace(length, pieces=pieces)


def _cost(packs: Sequence[PackCount]) -> Decimal:
    return sum((count.pack.pack_price * count.count for count in packs), Decimal(0))


def _shared(
    sites: Sequence[_Site], pool: _Pool, packs: Mapping[str, Sequence[PackCount]]
) -> tuple[SharedNeed, ...]:
    """The total need of each item, with its purchase."""
    by_item: dict[str, list[tuple[str, Lack]]] = {}
    for site, lacking in zip(sites, pool.lacking, strict=True):
        for lack in lacking:
            by_item.setdefault(lack.item, []).append((site.ref, lack))
    needs = []
    for item, found in by_item.items():
        first = found[0][1]
        unit = first.gross.unit
        gross = derive(first.words, unit, total, parts=[lack.gross for _, lack in found])
        off_van = [lack.from_stock for _, lack in found if lack.from_stock]
        name = f"{first.words}, off the van"
        from_stock = derive(name, unit, total, parts=off_van) if off_van else None
        to_buy = derive(
            f"{first.words}, to buy", unit, total, parts=[lack.to_buy for _, lack in found]
        )
        bought = _merged(packs.get(item, ()))
        needs.append(
            SharedNeed(
                item=item,
                words=first.words,
                unit=house_rules.items()[item].unit,
                by_job=tuple((ref, lack.gross) for ref, lack in found),
                gross=gross,
                from_stock=from_stock,
                purchase=purchase(to_buy, bought) if bought else None,
            )
        )
    return tuple(needs)


def _merged(packs: Sequence[PackCount]) -> tuple[PackCount, ...]:
    counts = {count.pack: 0 for count in packs}
    for count in packs:
        counts[count.pack] += count.count
    return tuple(PackCount(pack, n) for pack, n in counts.items())


def saved(apart: Sequence[Decimal], together: Decimal) -> Decimal:
    """What one order saves: the separate orders added up, less the joint one [GBP].

    >>> saved((Decimal("120.00"), Decimal("80.00")), Decimal("170.00"))
    Decimal('30.00')
    """
    return sum(apart, Decimal("0.00")) - together
