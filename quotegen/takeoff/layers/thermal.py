"""The insulation that can be bought and laid, how warm it makes the roof, and how much higher."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import combinations_with_replacement

from msgspec.structs import replace

from quotegen import wording
from quotegen.model.choices import INSULATED
from quotegen.model.enquiry import Enquiry
from quotegen.model.settings import PriceBook, Settings
from quotegen.problems import Problem, problem
from quotegen.reference import house_rules
from quotegen.reference import loader as reference
from quotegen.reference.item_kinds import ItemKind
from quotegen.takeoff.basis.job import Job
from quotegen.units import Unit, as_decimal
from quotegen.working import Figure, chosen, derive, total

_LAYERS_MOST = 2
_LAMINATE_MM = 3.0
"""Laminate and topcoat; its thickness matters to nothing but the upstand."""


def u_value(job: Job) -> Figure | None:
    """U-value of the insulated build-up without fixings or ceiling, None without insulation."""
    thickness = job.enquiry.insulation_mm
    if not job.layers.insulation or thickness is None:
        return None
    return derive(
        "U-value, fixings and ceiling left out",
        Unit.W_PER_M2K,
        u_value_w_m2k,
        surfaces_m2k_w=reference.figure("thermal.surface_resistance"),
        insulation_mm=thickness,
        insulation_w_mk=job.settings["insulation_w_mk"],
        boards_mm=_boards_mm(job),
        board_w_mk=reference.figure("thermal.board_conductivity"),
    )


def rise_mm(job: Job) -> float:
    """How much higher the finished roof stands than the deck it is laid on [mm]."""
    insulation = job.enquiry.insulation_mm
    if job.layers.insulation and insulation is not None:
        return insulation.number + job.enquiry.board_mm.number + _LAMINATE_MM
    if job.layers.cap_boards:
        return job.settings.number("cap_board_mm") + _LAMINATE_MM
    return _LAMINATE_MM


def _boards_mm(job: Job) -> Figure:
    below = job.settings.number("new_board_mm")
    both = job.enquiry.board_mm.number + below
    return chosen("boards above and below", both, Unit.MM, "the new board and the deck below")


def u_value_w_m2k(
    surfaces_m2k_w: float,
    insulation_mm: float,
    insulation_w_mk: float,
    boards_mm: float,
    board_w_mk: float,
) -> float:
    """U-value of layers in a row: 1 / (surfaces + sum of thickness / conductivity).

    Inputs [m2K/W, mm, W/mK], result [W/m2K]. Source: BS EN ISO 6946, layers without bridges.

    >>> round(u_value_w_m2k(0.14, 130, 0.022, 36, 0.13), 3)
    0.158
    """
    resistance = surfaces_m2k_w
    resistance += insulation_mm / 1000 / insulation_w_mk + boards_mm / 1000 / board_w_mk
    return 1 / resistance


def lay_insulation(
    enquiry: Enquiry, settings: Settings, prices: PriceBook
) -> tuple[Enquiry | None, list[Problem]]:
    """The enquiry with the insulation that can be bought; None where no price list reaches it.

    A thickness on a price list is laid as it is. For any other, one sheet or two layers that come
    to no less are laid, the cheapest by the square metre with the work of the second layer.
    """
    asked = enquiry.insulation_mm
    insulated = any(build_up in INSULATED for build_up in enquiry.build_ups)
    if asked is None or not insulated or enquiry.insulation_layers_mm:
        return enquiry, []
    sold = dict(_sold(prices))
    if asked.number in sold:
        return enquiry, []
    place = enquiry.insulation_at or enquiry.place
    second = (
        as_decimal(settings.number("hours_insulation")) * settings["labour_cost_per_hour"].money
    )
    between = (asked.number, _held_mm(enquiry, settings))
    layers = cheapest_layers(between, tuple(sold.items()), second)
    if not layers and asked.number in house_rules.sizes(ItemKind.INSULATION):
        return enquiry, []
    if not layers:
        listed = ", ".join(wording.mm(mm) for mm in sorted(sold)) or "none"
        lacks = problem(
            "insulation-not-sold",
            place,
            seen=wording.mm(asked.number),
            ref=enquiry.ref,
            listed=listed,
        )
        return None, [lacks]
    parts = [chosen("layer of insulation", mm, Unit.MM, "a price list") for mm in layers]
    laid = derive("insulation laid", Unit.MM, total, parts=parts)
    found = problem(
        "insulation-laid",
        place,
        seen=wording.mm(asked.number),
        ref=enquiry.ref,
        laid=layer_words(parts),
    )
    return replace(enquiry, insulation_mm=laid, insulation_layers_mm=tuple(parts)), [found]


def layers_mm(enquiry: Enquiry) -> tuple[Figure, ...]:
    """The layers of insulation from the bottom up; none where its thickness is not known."""
    whole = enquiry.insulation_mm
    return enquiry.insulation_layers_mm or ((whole,) if whole is not None else ())


def layer_words(layers: Sequence[Figure]) -> str:
    """The layers as words: `80 mm`, or `170 mm in two layers, 50 mm and 120 mm`."""
    if len(layers) == 1:
        return wording.mm(layers[0].number)
    thick = " and ".join(wording.mm(layer.number) for layer in layers)
    return f"{wording.mm(sum(layer.number for layer in layers))} in two layers, {thick}"


def _sold(prices: PriceBook) -> Iterator[tuple[float, Decimal]]:
    """The thicknesses on the price lists [mm], each with its least price [GBP/m2]."""
    for mm in house_rules.sizes(ItemKind.INSULATION):
        packs = prices.of(house_rules.item_of(ItemKind.INSULATION, mm).code)
        if packs:
            yield mm, min(pack.pack_price / as_decimal(pack.pack_size) for pack in packs)


def _held_mm(enquiry: Enquiry, settings: Settings) -> float:
    """The thickest insulation the longest screw listed holds down to the joists [mm]."""
    boards_mm = enquiry.board_mm.number + settings.number("new_board_mm")
    longest = max(house_rules.sizes(ItemKind.LONG_SCREW))
    return longest - boards_mm - settings.number("fixing_joist_grip_mm")


def cheapest_layers(
    between_mm: tuple[float, float], sold: Sequence[tuple[float, Decimal]], second_gbp_m2: Decimal
) -> tuple[float, ...]:
    """One thickness or two that come to what is wanted or a little more, at the least cost.

    The cost is the price of each layer, and of a second one the work [GBP/m2]; of equal costs the
    thinner is taken. Thicknesses [mm], the thinner layer first; empty where no two reach it.

    >>> thin = (25, Decimal(6)), (50, Decimal(9))
    >>> cheapest_layers((75, 300), (*thin, (80, Decimal(14))), Decimal(5))
    (80,)
    >>> cheapest_layers((75, 300), (*thin, (80, Decimal(24))), Decimal(5))
    (25, 50)
    """
    ways = [
        (
            sum((price for _, price in way), second_gbp_m2 * (count - 1)),
            sum(mm for mm, _ in way),
            tuple(sorted(mm for mm, _ in way)),
        )
        for count in range(1, _LAYERS_MOST + 1)
        for way in combinations_with_replacement(sold, count)
    ]
    least, most = between_mm
    return min((way for way in ways if least <= way[1] <= most), default=(0, 0, ()))[2]
