"""The sheets of the firm's tables: catalyst by the deck, curing by the deck, what is lost."""

from quotegen.model.settings import Curing, Lost, Mixed
from quotegen.units import Unit
from quotegen.workbook.sheets.columns import Group, Sheet

_ROW = Group("Row")
_FIGURE = Group("Figure")
_BASIS = Group("Basis")
_DECKS_C = (0, 40)
_WHOLE_ROW = "To drop the row, clear all of it."
_BASIS_HELP = "Where the figure comes from. Change it when you change the figure."


class CatalystDoses(Sheet):
    """One row a material and a deck temperature."""

    material = _ROW.choice(
        "Material",
        "What you mix the catalyst into.",
        Mixed,
        required=True,
        example="resin",
        width=16,
    )
    deck_c = _ROW.number(
        "Deck (°C)",
        "Each temperature once for each material. Between two of them we work the dose out in "
        "proportion.",
        _DECKS_C,
        Unit.CELSIUS,
        required=True,
        example=15,
        width=12,
    )
    dose_pct = _FIGURE.number(
        "Catalyst (% by mass)",
        "By mass of the resin or topcoat. Type 2.5 for 2.5 %. The least and most you may mix are "
        f"on the Rates sheet. {_WHOLE_ROW}",
        (0, 10),
        Unit.PERCENT,
        required=True,
        example=2.5,
        width=14,
    )
    basis = _BASIS.text("Basis", _BASIS_HELP, 3000, example="data sheet of the resin", width=60)


CATALYST_DOSES = CatalystDoses(
    "Catalyst doses",
    "How much catalyst goes into resin and topcoat, by deck temperature. Rows in any order; for "
    "each material they must run from the coldest deck to where the heat begins.",
)


class CuringTimes(Sheet):
    """One row a stage and a deck temperature."""

    stage = _ROW.choice(
        "Coat and stage",
        "Which coat, and how hard it has to be.",
        Curing,
        required=True,
        example="laminate until it is walked on",
        width=34,
    )
    deck_c = _ROW.number(
        "Deck (°C)",
        "Each temperature once for each coat. Between two of them we work the time out in "
        "proportion.",
        _DECKS_C,
        Unit.CELSIUS,
        required=True,
        example=15,
        width=12,
    )
    hours = _FIGURE.number(
        "Hours",
        f"Counted from laying it. {_WHOLE_ROW}",
        (0.25, 48),
        Unit.H,
        required=True,
        example=2.25,
        width=12,
    )
    basis = _BASIS.text("Basis", _BASIS_HELP, 3000, example="seen on our own roofs", width=60)


CURING_TIMES = CuringTimes(
    "Curing times",
    "How long a coat takes to set, by deck temperature. Rows in any order; for each coat they "
    "must begin at the coldest deck.",
)


class MaterialLosses(Sheet):
    """One row a material."""

    material = _ROW.choice(
        "Material",
        "Each material once. For resin it is what stays in the bucket, roller and tray.",
        Lost,
        required=True,
        example="insulation",
        width=40,
    )
    plain_pct = _FIGURE.number(
        "Plain roof (%)",
        "For a roof where every corner is square. Type 10 for 10 %.",
        (0, 100),
        Unit.PERCENT,
        required=True,
        example=10,
        width=14,
    )
    cut_up_pct = _FIGURE.number(
        "Cut-up roof (%)",
        "For a roof with a curve or a corner that is not square. Blank: as on a plain roof.",
        (0, 100),
        Unit.PERCENT,
        example=20,
        width=14,
    )
    basis = _BASIS.text("Basis", _BASIS_HELP, 3000, example="last year's offcuts", width=60)


MATERIAL_LOSSES = MaterialLosses(
    "Material losses",
    "What is lost in cutting and mixing, and so has to be bought or mixed on top. One row for "
    "each material, in any order.",
)
