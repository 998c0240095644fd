"""Resin and topcoat: by part of the roof, all in, and whether the laminate comes out as usual."""

from quotegen.model.choices import EdgeKind, ResinBy
from quotegen.model.takeoff import ResinPlan
from quotegen.takeoff.basis.job import Job, detail_areas, strip_m2, times, turned_mm
from quotegen.takeoff.layers.catalyst import coldest_deck_c
from quotegen.takeoff.layers.mat import MatPlan
from quotegen.units import Unit
from quotegen.working import Figure, chosen, derive, product, total

_ON_TRIM = (EdgeKind.WALL, EdgeKind.GUTTER_DRIP, EdgeKind.FREE_DRIP)
"""Edges whose laminate lies on a trim, which does not drink resin as a board does."""


def plan_resin(job: Job, mat: MatPlan, bandage_m: Figure) -> ResinPlan:
    """Resin by part and all in, and topcoat, before waste."""
    parts = tuple(_parts(job, mat, bandage_m))
    by_parts = derive("resin, the parts added up", Unit.L, total, parts=list(parts))
    guide = derive(
        "resin, all-in guide",
        Unit.L,
        laminating_resin_l,
        laminate_m2=job.laminate_m2,
        mat_g_m2=job.enquiry.mat_g_m2,
        layers=job.enquiry.mat_layers,
        guide_mat_g_m2=job.settings["resin_guide_mat_g_m2"],
        first_layer_l_m2=job.settings["resin_l_per_m2"],
        further_layer_l_m2=job.settings["resin_second_layer_l_per_m2"],
        uplift=_cold(job),
    )
    topcoat = _topcoat_l(job)
    film = derive("film of topcoat", Unit.MM, film_mm, volume_l=topcoat, area_m2=job.topcoat_m2)
    by = ResinBy(job.settings.text("resin_by"))
    wanted = by_parts if by is ResinBy.PARTS else guide
    return ResinPlan(parts, by_parts, guide, wanted, topcoat, _glass_pct(job), film)


def _parts(job: Job, mat: MatPlan, bandage_m: Figure) -> list[Figure]:
    settings = job.settings
    board, sealed = settings["resin_board_l_per_m2"], settings["resin_sealed_l_per_m2"]
    parts = [_part(job, "deck", job.deck_m2, board)]
    for edge in job.outline.edges:
        height = turned_mm(edge, settings)
        if height is None:
            continue
        area = derive(
            f"laminate at {edge.name}", Unit.M2, strip_m2, length_mm=edge.length, height_mm=height
        )
        rate = sealed if edge.kind in _ON_TRIM else board
        parts.append(_part(job, f"{edge.kind} at {edge.name}", area, rate))
    for area in detail_areas(job.enquiry, settings):
        parts.append(_part(job, area.name, area, sealed))
    one = chosen("layers", 1.0, Unit.LAYERS, "laps are counted over all layers")
    parts.append(_amount(job, "laps and patches", mat.double_m2, sealed, one))
    bandage = derive(
        "resin: bandage", Unit.L, times, number=bandage_m, each=settings["resin_bandage_l_per_m"]
    )
    return [*parts, bandage]


def _part(job: Job, words: str, area: Figure, rate: Figure) -> Figure:
    return _amount(job, words, area, rate, job.enquiry.mat_layers)


def _amount(job: Job, words: str, area: Figure, rate: Figure, layers: Figure) -> Figure:
    return derive(
        f"resin: {words}",
        Unit.L,
        laminating_resin_l,
        laminate_m2=area,
        mat_g_m2=job.enquiry.mat_g_m2,
        layers=layers,
        guide_mat_g_m2=job.settings["resin_guide_mat_g_m2"],
        first_layer_l_m2=rate,
        further_layer_l_m2=job.settings["resin_sealed_l_per_m2"],
        uplift=_cold(job),
    )


def _topcoat_l(job: Job) -> Figure:
    """Topcoat in litres, before waste, at the coldest deck planned for."""
    spread = derive(
        "area from a litre of topcoat",
        Unit.M2_PER_L,
        topcoat_spread_m2_l,
        deck_c=coldest_deck_c(job.settings, job.enquiry.deck_c),
        cold_c=job.settings["topcoat_cold_c"],
        cold_m2_l=job.settings["topcoat_cold_m2_per_l"],
        warm_c=job.settings["topcoat_warm_c"],
        warm_m2_l=job.settings["topcoat_warm_m2_per_l"],
    )
    volume = derive("topcoat as spread", Unit.L, spread_l, area_m2=job.topcoat_m2, m2_per_l=spread)
    return derive("topcoat", Unit.L, product, factors=[volume, _cold(job)])


def _cold(job: Job) -> Figure:
    """What a cold deck takes more of resin and topcoat: thick and slow to wet out."""
    return derive(
        "uplift for cold",
        Unit.TIMES,
        cold_uplift,
        deck_c=coldest_deck_c(job.settings, job.enquiry.deck_c),
        below_c=job.settings["cold_below_c"],
        uplift_pct=job.settings["cold_uplift_pct"],
    )


def _glass_pct(job: Job) -> Figure:
    return derive(
        "glass in the laminate",
        Unit.PERCENT,
        glass_content_pct,
        mat_g_m2=job.enquiry.mat_g_m2,
        resin_l_m2=job.settings["resin_sealed_l_per_m2"],
        guide_mat_g_m2=job.settings["resin_guide_mat_g_m2"],
        resin_kg_per_l=job.settings["resin_kg_per_l"],
    )


def laminating_resin_l(
    laminate_m2: float,
    mat_g_m2: float,
    layers: float,
    guide_mat_g_m2: float,
    first_layer_l_m2: float,
    further_layer_l_m2: float,
    uplift: float,
) -> float:
    """Resin for a laminate: area x mat / guide mat x (first layer + further layers) x uplift.

    The rates are for the guide mat; heavier mat takes resin in proportion. Inputs [m2, g/m2,
    layers, g/m2, l/m2, times], result [l]. Source of the proportion: common practice, no source.

    >>> laminating_resin_l(10, 450, 1, 450, 2.0, 1.1, 1.0)
    20.0
    >>> round(laminating_resin_l(10, 600, 1, 450, 2.0, 1.1, 1.0), 1)
    26.7
    """
    per_m2 = first_layer_l_m2 + (layers - 1) * further_layer_l_m2
    return laminate_m2 * per_m2 * mat_g_m2 / guide_mat_g_m2 * uplift


def topcoat_spread_m2_l(
    deck_c: float, cold_c: float, cold_m2_l: float, warm_c: float, warm_m2_l: float
) -> float:
    """Area from a litre of topcoat: level outside the two temperatures, linear between.

    Inputs [C, m2/l], result [m2/l]. Source: common practice, no source.

    >>> topcoat_spread_m2_l(17.5, 10, 2.0, 25, 3.0), topcoat_spread_m2_l(5, 10, 2.0, 25, 3.0)
    (2.5, 2.0)
    """
    share = min(1.0, max(0.0, (deck_c - cold_c) / (warm_c - cold_c)))
    return cold_m2_l + share * (warm_m2_l - cold_m2_l)


def spread_l(area_m2: float, m2_per_l: float) -> float:
    """Volume that covers an area: area / spread.

    Inputs [m2, m2/l], result [l].

    >>> spread_l(6.0, 2.0)
    3.0
    """
    return area_m2 / m2_per_l


def cold_uplift(deck_c: float, below_c: float, uplift_pct: float) -> float:
    """Factor on resin and topcoat: 1 + uplift below a deck temperature, 1 above.

    Inputs [C, C, %], result [times]. Source: from memory (5 to 10 % below 10 C).

    >>> cold_uplift(8, 10, 5), cold_uplift(10, 10, 5)
    (1.05, 1.0)
    """
    return 1 + uplift_pct / 100 if deck_c < below_c else 1.0


def glass_content_pct(
    mat_g_m2: float, resin_l_m2: float, guide_mat_g_m2: float, resin_kg_per_l: float
) -> float:
    """Glass in a laminate that loses nothing to the board: 100 x mat / (mat + resin) by mass.

    Inputs [g/m2, l/m2 for the guide mat, g/m2, kg/l], result [%]. 25 to 30 % is usual for mat laid
    by hand: common practice, no source.

    >>> round(glass_content_pct(450, 1.05, 450, 1.1), 1)
    28.0
    """
    mat_kg = mat_g_m2 / 1000
    resin_kg = resin_l_m2 * mat_g_m2 / guide_mat_g_m2 * resin_kg_per_l
    return 100 * mat_kg / (mat_kg + resin_kg)


def film_mm(volume_l: float, area_m2: float) -> float:
    """Wet film: volume / area, since a litre on a square metre is a millimetre.

    Inputs [l, m2], result [mm].

    >>> film_mm(3.0, 6.0)
    0.5
    """
    return volume_l / area_m2
