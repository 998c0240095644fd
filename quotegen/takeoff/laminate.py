"""Glass mat, resin, topcoat and the catalyst to buy for them."""

from quotegen.model.takeoff import Stage
from quotegen.takeoff.catalyst import buying_dose_pct, coldest_deck_c
from quotegen.takeoff.job import Demand, Job
from quotegen.takeoff.mat import MatPlan
from quotegen.working import Figure, derive, total


def laminate_demands(job: Job, mat: MatPlan) -> list[Demand]:
    """Mat, resin, topcoat and catalyst for the laminate of this build-up."""
    resin, topcoat = resin_kg(job), topcoat_kg(job)
    return [
        Demand(
            f"mat_{job.enquiry.mat_g_m2.number:.0f}", Stage.LAMINATE, mat.area_m2, job.waste("mat")
        ),
        Demand("resin", Stage.LAMINATE, resin, job.waste("resin")),
        Demand("topcoat", Stage.LAMINATE, topcoat, job.waste("topcoat")),
        Demand(
            "catalyst",
            Stage.LAMINATE,
            _catalyst_ml(job, resin, topcoat),
            job.settings["waste_catalyst_pct"],
        ),
    ]


def resin_l(job: Job) -> Figure:
    """Laminating resin in litres, before waste."""
    return derive(
        "resin",
        "l",
        laminating_resin_l,
        laminate_m2=job.laminate_m2,
        mat_g_m2=job.enquiry.mat_g_m2,
        layers=job.enquiry.mat_layers,
        guide_mat_g_m2=job.settings["resin_guide_mat_g_m2"],
        first_layer_l_m2=job.settings["resin_l_per_m2"],
        further_layer_l_m2=job.settings["resin_second_layer_l_per_m2"],
    )


def topcoat_l(job: Job) -> Figure:
    """Topcoat in litres, before waste, at the coldest deck planned for."""
    spread = derive(
        "area from a litre of topcoat",
        "m2/l",
        topcoat_spread_m2_l,
        deck_c=coldest_deck_c(job.settings, job.enquiry.deck_c),
        cold_c=job.settings["topcoat_cold_c"],
        cold_m2_l=job.settings["topcoat_cold_m2_per_l"],
        warm_c=job.settings["topcoat_warm_c"],
        warm_m2_l=job.settings["topcoat_warm_m2_per_l"],
    )
    return derive("topcoat", "l", spread_l, area_m2=job.topcoat_m2, m2_per_l=spread)


def resin_kg(job: Job) -> Figure:
    """Laminating resin in kilograms, before waste."""
    return derive(
        "resin", "kg", mass_kg, volume_l=resin_l(job), kg_per_l=job.settings["resin_kg_per_l"]
    )


def topcoat_kg(job: Job) -> Figure:
    """Topcoat in kilograms, before waste."""
    return derive(
        "topcoat", "kg", mass_kg, volume_l=topcoat_l(job), kg_per_l=job.settings["topcoat_kg_per_l"]
    )


def laminate_mass_kg(job: Job, mat: MatPlan) -> Figure:
    """What the new laminate and topcoat weigh, before waste."""
    glass = derive("glass", "kg", glass_kg, mat_m2=mat.area_m2, mat_g_m2=job.enquiry.mat_g_m2)
    parts = [glass, resin_kg(job), topcoat_kg(job)]
    return derive("new laminate and topcoat", "kg", total, parts=parts)


def _catalyst_ml(job: Job, resin: Figure, topcoat: Figure) -> Figure:
    per_pct = job.settings["catalyst_ml_per_kg_per_pct"]
    coldest = coldest_deck_c(job.settings, job.enquiry.deck_c)
    parts = []
    for material, mass, waste in (
        ("resin", resin, job.waste("resin")),
        ("topcoat", topcoat, job.waste("topcoat")),
    ):
        parts.append(
            derive(
                f"catalyst for the {material}",
                "ml",
                catalyst_ml,
                mass_kg=mass,
                waste_pct=waste,
                dose_pct=buying_dose_pct(job.settings, material, coldest),
                ml_per_kg_per_pct=per_pct,
            )
        )
    return derive("catalyst", "ml", total, parts=parts)


def laminating_resin_l(
    laminate_m2: float,
    mat_g_m2: float,
    layers: float,
    guide_mat_g_m2: float,
    first_layer_l_m2: float,
    further_layer_l_m2: float,
) -> float:
    """Resin for a laminate: area x mat / guide mat x (first layer + further layers), all in.

    The rates are for the guide mat; heavier mat takes resin in proportion. Inputs [m2, g/m2,
    layers, g/m2, l/m2], result [l]. Source of the proportion: common practice, no source.

    >>> laminating_resin_l(10, 450, 1, 450, 2.0, 1.1)
    20.0
    >>> round(laminating_resin_l(10, 600, 1, 450, 2.0, 1.1), 1)
    26.7
    """
    per_m2 = first_layer_l_m2 + (layers - 1) * further_layer_l_m2
    return laminate_m2 * per_m2 * mat_g_m2 / guide_mat_g_m2


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


def mass_kg(volume_l: float, kg_per_l: float) -> float:
    """Mass of a volume: volume x density.

    Inputs [l, kg/l], result [kg].

    >>> round(mass_kg(20, 1.1), 3)
    22.0
    """
    return volume_l * kg_per_l


def volume_l(mass_kg: float, kg_per_l: float) -> float:
    """Volume of a mass: mass / density.

    Inputs [kg, kg/l], result [l].

    >>> round(volume_l(22, 1.1), 3)
    20.0
    """
    return mass_kg / kg_per_l


def catalyst_ml(
    mass_kg: float, waste_pct: float, dose_pct: float, ml_per_kg_per_pct: float
) -> float:
    """Catalyst for a mass of resin and its waste: mass x (1 + waste) x dose x ml per kg and %.

    Inputs [kg, %, %, ml/kg], result [ml].

    >>> catalyst_ml(10.0, 10.0, 2.0, 10.0)
    220.0
    """
    return mass_kg * (1 + waste_pct / 100) * dose_pct * ml_per_kg_per_pct


def glass_kg(mat_m2: float, mat_g_m2: float) -> float:
    """Mass of mat: area x mass of a square metre.

    Inputs [m2, g/m2], result [kg].

    >>> glass_kg(10, 450)
    4.5
    """
    return mat_m2 * mat_g_m2 / 1000
