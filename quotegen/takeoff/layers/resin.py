"""Resin and topcoat: by part of the roof, all in, and whether the laminate is as usual."""

from collections.abc import Sequence

from quotegen.model.choices import EdgeKind, ResinBy
from quotegen.model.roof import Edge
from quotegen.model.settings import Lost
from quotegen.model.takeoff import ResinPlan
from quotegen.takeoff.basis.job import Job, detail_areas, strip_m2, times, turned_mm
from quotegen.takeoff.layers.catalyst import coldest_deck_c
from quotegen.takeoff.layers.mat import MatPlan
from quotegen.units import Unit
from quotegen.working import Figure, alike, chosen, derive, total

_ON_TRIM = (EdgeKind.WALL, EdgeKind.GUTTER_DRIP, EdgeKind.FREE_DRIP)
"""Edges whose laminate lies on a trim, which does not drink resin as a board does."""


def plan_resin(job: Job, mat: MatPlan, bandage_m: Figure) -> ResinPlan:
    """What is mixed, by part of the roof; what is ordered, by the firm's rule; and topcoat.

    The order is never less than what is mixed.
    """
    wet_out = tuple(_wet_out(job, mat))
    soak = _soak(job)
    bandage = derive(
        "resin in the bandage",
        Unit.L,
        times,
        number=bandage_m,
        each=job.settings["resin_bandage_l_per_m"],
    )
    parts = [*wet_out, *soak, bandage]
    laid = derive("resin laid", Unit.L, total, parts=parts)
    left = derive(
        "resin left in bucket, roller and tray",
        Unit.L,
        left_in_bucket_l,
        laid_l=laid,
        left_pct=job.waste(Lost.RESIN),
    )
    mixed = derive("resin, the parts added up", Unit.L, total, parts=[laid, left])
    guide = _guide_l(job)
    by_guide = ResinBy(job.settings.text("resin_by")) is ResinBy.GUIDE
    ordered = (
        derive("resin to order", Unit.L, larger, one=guide, other=mixed) if by_guide else mixed
    )
    topcoat = _topcoat_l(job)
    film = derive("film of topcoat", Unit.MM, film_mm, volume_l=topcoat, area_m2=job.topcoat_m2)
    glass = _glass_pct(job, mat, wet_out)
    return ResinPlan((*parts, left), bandage, mixed, guide, ordered, topcoat, glass, film)


def _guide_l(job: Job) -> Figure:
    return derive(
        "resin, all-in guide",
        Unit.L,
        guide_resin_l,
        laminate_m2=job.laminate_m2,
        mat_g_m2=job.enquiry.mat_g_m2,
        layers=job.enquiry.mat_layers,
        guide_mat_g_m2=job.settings["resin_guide_mat_g_m2"],
        guide_l_m2=job.settings["resin_l_per_m2"],
        wet_out_l_m2=job.settings["resin_wet_out_l_per_m2"],
    )


def _wet_out(job: Job, mat: MatPlan) -> list[Figure]:
    """Resin in the mat itself, part by part: deck, edges, details, laps and patches."""
    layers = job.enquiry.mat_layers
    areas = [("deck", job.deck_m2, layers)]
    areas += [(f"{edge.kind} at {edge.name}", area, layers) for edge, area in _turned(job)]
    areas += [(area.name, area, layers) for area in detail_areas(job.enquiry, job.settings)]
    one = chosen("layers", 1.0, Unit.LAYERS, "laps are counted over all layers")
    areas.append(("laps and patches", mat.double_m2, one))
    return [
        derive(
            f"resin in the mat, {words}",
            Unit.L,
            wet_out_resin_l,
            area_m2=area,
            mat_g_m2=job.enquiry.mat_g_m2,
            layers=many,
            guide_mat_g_m2=job.settings["resin_guide_mat_g_m2"],
            wet_out_l_m2=job.settings["resin_wet_out_l_per_m2"],
            uplift=_cold(job),
        )
        for words, area, many in areas
    ]


def _soak(job: Job) -> list[Figure]:
    """Resin that new board soaks up: the deck, and what is turned up on board, not on a trim."""
    boards = [("deck", job.deck_m2)]
    boards += [(edge.name, area) for edge, area in _turned(job) if edge.kind not in _ON_TRIM]
    return [
        derive(
            f"resin soaked up by the board, {words}",
            Unit.L,
            soaked_resin_l,
            board_m2=area,
            soak_l_m2=job.settings["resin_soak_l_per_m2"],
        )
        for words, area in boards
    ]


def _turned(job: Job) -> list[tuple[Edge, Figure]]:
    """The edges whose laminate is turned up or carried over, each with its area."""
    heights = ((edge, turned_mm(edge, job.settings)) for edge in job.outline.edges)
    return [
        (
            edge,
            derive(
                f"laminate at {edge.name}",
                Unit.M2,
                strip_m2,
                length_mm=edge.length,
                height_mm=height,
            ),
        )
        for edge, height in heights
        if height is not None
    ]


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
    return derive("topcoat", Unit.L, spread_l, area_m2=job.topcoat_m2, m2_per_l=spread)


def _cold(job: Job) -> Figure:
    """The extra resin that mat takes on a cold deck, where resin is thick and slow to wet out."""
    return derive(
        "extra for a cold deck",
        Unit.TIMES,
        cold_uplift,
        deck_c=coldest_deck_c(job.settings, job.enquiry.deck_c),
        below_c=job.settings["cold_below_c"],
        uplift_pct=job.settings["cold_uplift_pct"],
    )


def _glass_pct(job: Job, mat: MatPlan, wet_out: Sequence[Figure]) -> Figure:
    """Glass in the laminate of this job, not counting resin soaked up, bandaged or left over."""
    glass = derive(
        "glass laid",
        Unit.KG,
        laid_glass_kg,
        laminate_m2=job.laminate_m2,
        layers=job.enquiry.mat_layers,
        double_m2=mat.double_m2,
        mat_g_m2=job.enquiry.mat_g_m2,
    )
    return derive(
        "glass in the laminate",
        Unit.PERCENT,
        glass_content_pct,
        glass_kg=glass,
        resin_l=derive("resin in the laminate", Unit.L, total, parts=wet_out),
        resin_kg_per_l=job.settings["resin_kg_per_l"],
    )


def guide_resin_l(
    laminate_m2: float,
    mat_g_m2: float,
    layers: float,
    guide_mat_g_m2: float,
    guide_l_m2: float,
    wet_out_l_m2: float,
) -> float:
    """Resin by the all-in guide: area x (guide + wet-out x (layers x mat / guide mat - 1)).

    The guide is per square metre of laminate, deck and turned up, for one layer of the guide mat,
    and includes everything: wet-out, what the board soaks up, laps, bandage, patches, and what
    stays in bucket and roller. More glass adds its own wet-out and no more. Inputs [m2, g/m2,
    layers, g/m2, l/m2, l/m2], result [l]. Source: common practice, no source.

    >>> guide_resin_l(10, 450, 1, 450, 2.0, 1.0), guide_resin_l(10, 450, 2, 450, 2.0, 1.0)
    (20.0, 30.0)
    >>> round(guide_resin_l(10, 600, 1, 450, 2.0, 1.0), 2)
    23.33
    """
    more_glass = layers * mat_g_m2 / guide_mat_g_m2 - 1
    return laminate_m2 * (guide_l_m2 + wet_out_l_m2 * more_glass)


def wet_out_resin_l(
    area_m2: float,
    mat_g_m2: float,
    layers: float,
    guide_mat_g_m2: float,
    wet_out_l_m2: float,
    uplift: float,
) -> float:
    """Resin in the mat itself: area x layers x mat / guide mat x wet-out x extra for cold.

    Inputs [m2, g/m2, layers, g/m2, l/m2, times], result [l]. Mat takes resin in proportion to its
    mass: common practice, no source.

    >>> wet_out_resin_l(10, 450, 2, 450, 1.0, 1.0), wet_out_resin_l(9, 600, 1, 450, 1.0, 1.0)
    (20.0, 12.0)
    """
    return area_m2 * layers * mat_g_m2 / guide_mat_g_m2 * wet_out_l_m2 * uplift


def soaked_resin_l(board_m2: float, soak_l_m2: float) -> float:
    """Resin that new board soaks up, however much mat is on it: area x soak.

    Inputs [m2, l/m2], result [l].

    >>> round(soaked_resin_l(10, 0.36), 2)
    3.6
    """
    return board_m2 * soak_l_m2


def left_in_bucket_l(laid_l: float, left_pct: float) -> float:
    """Resin mixed but not laid, because it stays in bucket, roller and tray: laid x share.

    Inputs [l, % of what is laid], result [l].

    >>> left_in_bucket_l(20.0, 10)
    2.0
    """
    return laid_l * left_pct / 100


@alike("one", "other")
def larger(one: float, other: float) -> float:
    """The larger of two quantities.

    >>> larger(27.0, 24.5)
    27.0
    """
    return max(one, other)


def topcoat_spread_m2_l(
    deck_c: float, cold_c: float, cold_m2_l: float, warm_c: float, warm_m2_l: float
) -> float:
    """Area a litre of topcoat covers: level outside the two temperatures, linear between.

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
    """Factor on the resin in the mat: 1 + extra on a deck colder than the mark, 1 on any other.

    Inputs [C, C, %], result [times]. Source: from memory (5 to 10 % below 10 C).

    >>> cold_uplift(8, 10, 5), cold_uplift(10, 10, 5)
    (1.05, 1.0)
    """
    return 1 + uplift_pct / 100 if deck_c < below_c else 1.0


def laid_glass_kg(laminate_m2: float, layers: float, double_m2: float, mat_g_m2: float) -> float:
    """Glass in the laminate: (area x layers + what lies double) x mat.

    Inputs [m2, layers, m2, g/m2], result [kg].

    >>> laid_glass_kg(10, 1, 1, 450)
    4.95
    """
    return (laminate_m2 * layers + double_m2) * mat_g_m2 / 1000


def glass_content_pct(glass_kg: float, resin_l: float, resin_kg_per_l: float) -> float:
    """Glass in a laminate by mass: 100 x glass / (glass + resin x density).

    Inputs [kg, l, kg/l], result [%].

    >>> round(glass_content_pct(4.5, 10, 1.1), 1)
    29.0
    """
    return 100 * glass_kg / (glass_kg + resin_l * resin_kg_per_l)


def film_mm(volume_l: float, area_m2: float) -> float:
    """Wet film: volume / area, since a litre on a square metre is a millimetre.

    Inputs [l, m2], result [mm].

    >>> film_mm(3.0, 6.0)
    0.5
    """
    return volume_l / area_m2
