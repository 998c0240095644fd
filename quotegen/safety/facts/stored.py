"""Flammable liquids on site at once, against the guide for one store."""

from collections.abc import Sequence

from quotegen.model.settings import Settings
from quotegen.model.takeoff import Need, OptionTakeOff
from quotegen.reference.loader import figure
from quotegen.takeoff.basis.packs import size_of
from quotegen.takeoff.layers.laminate import volume_l
from quotegen.units import Unit
from quotegen.working import Figure, alike, derive, total

KG_PER_L = {"resin": "resin_kg_per_l", "topcoat": "topcoat_kg_per_l"}
"""Items bought by mass, with the setting for their mass per litre."""

FLASH_POINTS = {
    "resin": "fire.resin_flash_c",
    "topcoat": "fire.resin_flash_c",
    "acetone": "fire.acetone_flash_c",
}
"""The flammable liquids of the trade, with the references for their flash points."""


def on_site_l(option: OptionTakeOff, settings: Settings) -> Figure:
    """The flammable liquids brought to site [l]: whole packs bought, and everything on the van."""
    parts = [
        part for item in FLASH_POINTS for part in _brought(item, _need(option, item), settings)
    ]
    return derive("flammable liquids on site", Unit.L, total, parts=parts)


def guide_l(option: OptionTakeOff, settings: Settings) -> Figure:
    """The most one store should hold, by the lowest flash point of its contents."""
    there = [
        item for item in FLASH_POINTS if _need(option, item) or item in settings.van_stock
    ] or list(FLASH_POINTS)
    return derive(
        "guide for one store",
        Unit.L,
        store_guide_l,
        flash_points_c=[figure(FLASH_POINTS[item]) for item in there],
        warmest_c=settings["resin_most_c"],
        highly_below_c=figure("flammable_storage.highly_flammable_below_c"),
        highly_l=figure("flammable_storage.highly_flammable_l"),
        other_l=figure("flammable_storage.flammable_l"),
    )


def tray_l(option: OptionTakeOff, settings: Settings) -> Figure:
    """The capacity of the tray under the tins, for the largest tin on site."""
    tins = [tin for item in FLASH_POINTS for tin in _tins(item, _need(option, item), settings)]
    return derive(
        "tray under the tins",
        Unit.L,
        tray_volume_l,
        tins_l=tins,
        tray_pct=figure("flammable_storage.tray_pct"),
    )


def over_guide(option: OptionTakeOff, settings: Settings) -> bool:
    """Whether more comes to site than one store should hold."""
    return on_site_l(option, settings).number > guide_l(option, settings).number


def store_guide_l(
    flash_points_c: Sequence[float],
    warmest_c: float,
    highly_below_c: float,
    highly_l: float,
    other_l: float,
) -> float:
    """What one store should hold: the smaller guide where anything in it is highly flammable.

    A liquid is highly flammable if its flash point is below the limit of the class or below the
    warmest the place gets; liquids stored together count as the most flammable of them. Inputs
    [degC, l], result [l]. Source: HSE guidance on storing flammable liquids in workrooms, under
    DSEAR 2002 and L138.

    >>> store_guide_l([31.0], 35, 23, 50, 250), store_guide_l([31.0], 25, 23, 50, 250)
    (50, 250)
    """
    highly = min(flash_points_c) < max(warmest_c, highly_below_c)
    return highly_l if highly else other_l


@alike("tins_l")
def tray_volume_l(tins_l: Sequence[float], tray_pct: float) -> float:
    """What a tray has to hold: a share of the largest tin on it.

    Inputs [l, %], result [l]. Source: HSE guidance on storing flammable liquids in workrooms.

    >>> tray_volume_l([25.0, 5.0], 110)
    27.5
    """
    return max(tins_l, default=0.0) * tray_pct / 100


def _need(option: OptionTakeOff, item: str) -> Need | None:
    return next((need for need in option.needs if need.item == item), None)


def _brought(item: str, need: Need | None, settings: Settings) -> list[Figure]:
    """The amount bought and the amount on the van [l]; an unpriced need counts as bought."""
    van = settings.van_stock.get(item)
    brought = [van] if van else []
    if need is not None and need.purchase is not None:
        brought.append(need.purchase.bought)
    elif need is not None and need.unpriced:
        brought.append(need.gross)
    return [litres_of(item, figure, settings) for figure in brought]


def _tins(item: str, need: Need | None, settings: Settings) -> list[Figure]:
    """The tins of an item by size [l]; van stock is taken as one tin."""
    if need is None or need.purchase is None:
        return _brought(item, need, settings)
    van = settings.van_stock.get(item)
    tins = [*(size_of(count.pack) for count in need.purchase.packs), *([van] if van else [])]
    return [litres_of(item, tin, settings) for tin in tins]


def litres_of(item: str, found: Figure, settings: Settings) -> Figure:
    """An amount of an item as a volume [l]: by its density where it is bought by mass."""
    if item not in KG_PER_L:
        return found
    density = settings[KG_PER_L[item]]
    return derive(found.name, Unit.L, volume_l, mass_kg=found, kg_per_l=density)
