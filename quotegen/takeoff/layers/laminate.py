"""Glass mat, resin, topcoat and the catalyst to buy for them."""

from quotegen.model.settings import Lost, Mixed
from quotegen.model.takeoff import ResinPlan, Stage
from quotegen.reference import house_rules
from quotegen.reference.item_kinds import ItemKind
from quotegen.takeoff.basis.job import Demand, Job
from quotegen.takeoff.layers.catalyst import buying_dose_pct, coldest_deck_c, ml_per_kg
from quotegen.takeoff.layers.mat import MatPlan
from quotegen.takeoff.layers.mixes import Share
from quotegen.units import Unit
from quotegen.working import Figure, chosen, derive, total


def laminate_demands(job: Job, mat: MatPlan, resin: ResinPlan) -> list[Demand]:
    """Mat, resin, topcoat and catalyst for the laminate of this build-up."""
    mat_item = house_rules.item_of(ItemKind.MAT, job.enquiry.mat_g_m2.number).code
    resin_mass, topcoat_mass = resin_kg(job, resin), topcoat_kg(job, resin)
    return [
        Demand(mat_item, Stage.LAMINATE, mat.area_m2, job.waste(Lost.MAT)),
        Demand("resin", Stage.LAMINATE, resin_mass, used=mixed_kg(job, resin)),
        Demand("topcoat", Stage.LAMINATE, topcoat_mass, job.waste(Lost.TOPCOAT)),
        Demand(
            "catalyst",
            Stage.LAMINATE,
            _catalyst_ml(job, resin_mass, topcoat_mass),
            job.waste(Lost.CATALYST),
        ),
    ]


def resin_kg(job: Job, resin: ResinPlan) -> Figure:
    """Laminating resin to order, in kilograms."""
    density = job.settings["resin_kg_per_l"]
    litres = resin.ordered_l
    return derive(
        "weight of the resin to order", Unit.KG, mass_kg, volume_l=litres, kg_per_l=density
    )


def mixed_kg(job: Job, resin: ResinPlan) -> Figure:
    """Laminating resin to mix, in kilograms."""
    density = job.settings["resin_kg_per_l"]
    return derive("resin mixed", Unit.KG, mass_kg, volume_l=resin.mixed_l, kg_per_l=density)


def topcoat_kg(job: Job, resin: ResinPlan) -> Figure:
    """Topcoat in kilograms, before waste."""
    density = job.settings["topcoat_kg_per_l"]
    return derive("topcoat", Unit.KG, mass_kg, volume_l=resin.topcoat_l, kg_per_l=density)


def mat_kg(job: Job, mat: MatPlan) -> Figure:
    """The weight of mat off the roll, before waste."""
    return derive(
        "mat off the roll", Unit.KG, glass_kg, mat_m2=mat.area_m2, mat_g_m2=job.enquiry.mat_g_m2
    )


def laminate_mass_kg(job: Job, mat: MatPlan, resin: ResinPlan) -> Figure:
    """The most the new laminate and topcoat can weigh: everything that is mixed."""
    parts = [mat_kg(job, mat), mixed_kg(job, resin), topcoat_kg(job, resin)]
    return derive("new laminate and topcoat", Unit.KG, total, parts=parts)


def laid_shares(mat: MatPlan, resin: ResinPlan, layers: int) -> tuple[Share, ...]:
    """The bandages and then the strips of every layer, in laying order, with what they take [l]."""
    many = layers > 1
    strips = [
        (
            f"layer {layer}, strip {strip.number}" if many else f"strip {strip.number}",
            strip.length_mm * strip.width_mm,
        )
        for layer in range(1, layers + 1)
        for strip in mat.layout.strips
    ]
    bandages_l = resin.bandage_l.number
    l_per_mm2 = (resin.mixed_l.number - bandages_l) / sum(mm2 for _, mm2 in strips)
    shares = [Share(words, mm2 * l_per_mm2) for words, mm2 in strips]
    return (Share("bandages", bandages_l), *shares) if bandages_l else tuple(shares)


def _catalyst_ml(job: Job, resin: Figure, topcoat: Figure) -> Figure:
    coldest = coldest_deck_c(job.settings, job.enquiry.deck_c)
    parts = []
    for material, mass, waste in (
        (Mixed.RESIN, resin, chosen("waste", 0.0, Unit.PERCENT, "counted in the resin")),
        (Mixed.TOPCOAT, topcoat, job.waste(Lost.TOPCOAT)),
    ):
        parts.append(
            derive(
                f"catalyst for the {material}",
                Unit.ML,
                catalyst_ml,
                mass_kg=mass,
                waste_pct=waste,
                dose_pct=buying_dose_pct(job.settings, material, coldest),
                kg_per_l=job.settings["catalyst_kg_per_l"],
            )
        )
    return derive("catalyst", Unit.ML, total, parts=parts)


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


def catalyst_ml(mass_kg: float, waste_pct: float, dose_pct: float, kg_per_l: float) -> float:
    """Catalyst for a mass of resin and its waste: mass x (1 + waste) x dose by mass / density.

    Inputs [kg, %, % by mass, kg/l of catalyst], result [ml].

    >>> round(catalyst_ml(10.0, 10.0, 2.0, 1.0), 6), round(catalyst_ml(4.4, 0.0, 2.0, 1.1), 6)
    (220.0, 80.0)
    """
    return mass_kg * (1 + waste_pct / 100) * ml_per_kg(dose_pct, kg_per_l)


def glass_kg(mat_m2: float, mat_g_m2: float) -> float:
    """Mass of mat: area x mass of a square metre.

    Inputs [m2, g/m2], result [kg].

    >>> glass_kg(10, 450)
    4.5
    """
    return mat_m2 * mat_g_m2 / 1000
