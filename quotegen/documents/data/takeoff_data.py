"""The take-off as data: the public JSON format, described in docs/takeoff-json.md."""

from collections.abc import Sequence
from typing import Any

from quotegen.documents.data.order_data import cut_data, order_data, packs_data
from quotegen.documents.shared.remark_words import said
from quotegen.model.access import WayCost
from quotegen.model.quote import Quote, QuotedOption
from quotegen.model.roof import BoardLayout, Edge, MatLayout
from quotegen.model.takeoff import (
    Mixes,
    MixSize,
    Need,
    OptionTakeOff,
    ResinPlan,
    TakeOff,
    WastePlan,
)
from quotegen.pricing.sensitivity import Shift
from quotegen.problems import Problem
from quotegen.reference.remarks import remark
from quotegen.takeoff.access.edge_ways import tower_place_words
from quotegen.units import MM_PER_M
from quotegen.working import Figure

TAKEOFF_FORMAT = 3
_MM_DIGITS, _QUANTITY_DIGITS, _AREA_DIGITS = 1, 3, 4


def takeoff_data(
    quote: Quote, problems: Sequence[Problem], shifts: Sequence[Shift]
) -> dict[str, Any]:
    """The take-off and price of one enquiry, and how they would shift, as data."""
    take_off = quote.take_off
    return {
        "ref": quote.enquiry.ref,
        "roof": _roof(take_off),
        "options": [_option(option) for option in quote.options],
        "sensitivity": [
            {
                "size": shift.size,
                "more_mm": quote.settings.number("sensitivity_mm"),
                "option": str(shift.build_up),
                "cost": str(shift.cost),
                "net": str(shift.net),
            }
            for shift in shifts
        ],
        "warnings": [p.to_data() for p in problems if not p.stops],
    }


def _roof(take_off: TakeOff) -> dict[str, Any]:
    outline = take_off.outline
    after = {corner.before: corner for corner in outline.corners}
    return {
        "shape": str(outline.shape),
        "area_m2": round(outline.area_m2.number, _AREA_DIGITS),
        "laminate_area_m2": round(take_off.options[0].laminate_area_m2.number, _AREA_DIGITS),
        "perimeter_mm": round(outline.perimeter_mm.number, _MM_DIGITS),
        "edges": [
            {
                **_edge(edge),
                "corner_after_deg": round(after[edge.name].interior_deg, _MM_DIGITS),
                "corner_after": str(after[edge.name].kind),
            }
            for edge in outline.edges
        ],
    }


def _edge(edge: Edge) -> dict[str, Any]:
    return {
        "name": edge.name,
        "kind": str(edge.kind),
        "length_mm": round(edge.length.number, _MM_DIGITS),
    }


def _option(quoted: QuotedOption) -> dict[str, Any]:
    option = quoted.take_off
    totals = quoted.totals
    return {
        "name": str(option.build_up),
        "needs": [_need(need) for need in option.needs],
        "order": order_data(option.order),
        "cuts": [cut_data(cut) for cut in option.cuts],
        "boards": _boards(option.boards),
        "mat": _mat(option.mat, option.mat_kg),
        "resin": _resin(option.resin),
        "mixes": [_mixes(mixes) for mixes in option.mixes],
        "labour": [
            {
                "task": line.task,
                "stage": str(line.stage),
                "hours": round(line.hours.number, _QUANTITY_DIGITS),
            }
            for line in option.labour
        ],
        "programme": {
            "person_hours": round(option.programme.person_hours.number, _QUANTITY_DIGITS),
            "crew": option.programme.crew.number,
            "days": option.programme.days.number,
            "visits": option.programme.visits.number,
            "paid_days": option.programme.paid_days.number,
        },
        "strip": _strip(option),
        "waste": _waste(option.waste),
        "lifts": _lifts(option),
        "expansion_joint_m": _rounded(option.expansion_m, _QUANTITY_DIGITS),
        "access": {
            "chosen": str(option.access.chosen),
            "reasons": list(map(said, option.access.reasons)),
            "open_edge_m": round(option.access.platform_m.number, _QUANTITY_DIGITS),
            "way": str(option.access.way) if option.access.way else None,
            "places": [tower_place_words(place) for place in option.access.places],
            "ways": [_way(one) for one in option.access.ways],
        },
        "weight_change_pct": _rounded(option.weight_change_pct, _MM_DIGITS),
        "load_kn_m2": _rounded(option.load_kn_m2, _QUANTITY_DIGITS),
        "u_value": _rounded(option.u_value, _QUANTITY_DIGITS),
        "notes": list(map(said, option.notes)),
        "money": {
            "cost": str(quoted.cost.money),
            "lines": [{"words": x.words, "net": str(x.amount.money)} for x in quoted.lines],
            "net": str(totals.net.money),
            "vat": str(totals.vat.money) if totals.vat else None,
            "total": str(totals.total.money),
            "deposit": str(quoted.deposit.money),
            "balance": str(quoted.balance.money),
        },
    }


def _way(one: WayCost) -> dict[str, Any]:
    return {
        "way": str(one.way),
        "not_safe": list(map(said, one.refusals)),
        "cost": str(one.cost.money) if one.cost else None,
    }


def _need(need: Need) -> dict[str, Any]:
    bought = need.purchase
    return {
        "item": need.item,
        "words": need.words,
        "stage": str(need.stage),
        "net": round(need.net.number, _QUANTITY_DIGITS),
        "waste_factor": round(need.waste_factor.number, _QUANTITY_DIGITS),
        "gross": round(need.gross.number, _QUANTITY_DIGITS),
        "unit": need.unit,
        "from_stock": round(need.from_stock.number, _QUANTITY_DIGITS) if need.from_stock else 0.0,
        "stock_cost": str(need.stock_cost.money) if need.stock_cost else None,
        "packs": packs_data(bought.packs if bought else ()),
        "spare": round(bought.spare.number, _QUANTITY_DIGITS) if bought else None,
        "cost": str(bought.cost.money) if bought else None,
    }


def _boards(layout: BoardLayout) -> dict[str, Any]:
    return {
        "item": layout.kind.item,
        "staggered": layout.staggered,
        "fewest_sheets_possible": layout.best,
        "pieces": [
            {
                "number": piece.number,
                "row": piece.row,
                "x_mm": round(piece.x_mm, _MM_DIGITS),
                "y_mm": round(piece.y_mm, _MM_DIGITS),
                "wide_mm": round(piece.wide_mm, _MM_DIGITS),
                "deep_mm": round(piece.deep_mm, _MM_DIGITS),
            }
            for piece in layout.pieces
        ],
        "sheets": [[cut.number for cut in sheet] for sheet in layout.sheets],
    }


def _resin(plan: ResinPlan) -> dict[str, Any]:
    return {
        "parts": [
            {"part": part.name, "litres": round(part.number, _QUANTITY_DIGITS)}
            for part in plan.parts
        ],
        "mixed_l": round(plan.mixed_l.number, _QUANTITY_DIGITS),
        "guide_l": round(plan.guide_l.number, _QUANTITY_DIGITS),
        "ordered_l": round(plan.ordered_l.number, _QUANTITY_DIGITS),
        "topcoat_l": round(plan.topcoat_l.number, _QUANTITY_DIGITS),
        "glass_pct": round(plan.glass_pct.number, _MM_DIGITS),
        "topcoat_film_mm": round(plan.film_mm.number, _QUANTITY_DIGITS),
    }


def _mat(layout: MatLayout, mass: Figure) -> dict[str, Any]:
    return {
        "layer_m": round(layout.length_mm / MM_PER_M, _QUANTITY_DIGITS),
        "mass_kg": round(mass.number, _QUANTITY_DIGITS),
        "along_low_edge": layout.along_low_edge,
        "roll_mm": layout.roll_mm,
        "strips": [
            {
                "number": strip.number,
                "length_mm": round(strip.length_mm, _MM_DIGITS),
                "width_mm": round(strip.width_mm, _MM_DIGITS),
                "filler": strip.filler,
            }
            for strip in layout.strips
        ],
        "short_mm": round(layout.short_mm, _MM_DIGITS),
    }


def _rounded(figure: Figure | None, digits: int) -> float | None:
    return round(figure.number, digits) if figure else None


def _mixes(mixes: Mixes) -> dict[str, Any]:
    return {
        "material": mixes.material,
        "hot": mixes.hot,
        "hot_from_c": mixes.hot_from_c.number,
        "total_l": round(mixes.total_l.number, _QUANTITY_DIGITS),
        "limit_l": mixes.limit_l.number,
        "size": _mix_size(mixes.size),
    }


def _mix_size(size: MixSize) -> dict[str, Any]:
    return {
        "count": size.count,
        "litres": round(size.litres.number, _QUANTITY_DIGITS),
        "mass_kg": round(size.mass_kg.number, _QUANTITY_DIGITS),
        "parts": [
            {"part": part.words, "first": part.first, "last": part.last} for part in size.parts
        ],
        "doses": [
            {
                "deck_c": dose.deck_c,
                "percent": dose.percent,
                "catalyst_ml": dose.ml,
                "pot_life_min": None if dose.pot_life_min is None else round(dose.pot_life_min),
            }
            for dose in size.doses
        ],
    }


def _strip(option: OptionTakeOff) -> list[dict[str, Any]]:
    return [
        {
            "what": line.words,
            "mass_kg": round(line.mass_kg.number, _MM_DIGITS),
            "volume_m3": round(line.volume_m3.number, _QUANTITY_DIGITS),
            "leaves": str(line.leaves),
            "waste_code": line.waste_code,
            "hazardous": line.hazardous,
        }
        for line in option.strip
    ]


def _waste(plan: WastePlan) -> dict[str, Any]:
    return {
        "skip": plan.skip,
        "reason": said(remark(plan.reason)),
        "volume_m3": round(plan.volume_m3.number, _QUANTITY_DIGITS),
        "van_loads": plan.runs.number,
        "by_van": _money(plan.van_cost),
        "by_skip": _money(plan.skip_cost),
        "scrap_kg": _rounded(plan.scrap_kg, _MM_DIGITS),
        "scrap_value": _money(plan.scrap_value),
    }


def _money(figure: Figure | None) -> str | None:
    return str(figure.money) if figure else None


def _lifts(option: OptionTakeOff) -> list[dict[str, Any]]:
    return [
        {
            "what": lift.words,
            "mass_kg": round(lift.mass_kg.number, _MM_DIGITS),
            "people": lift.people.number,
            "beyond_two_people": lift.aid,
        }
        for lift in option.lifts
    ]
