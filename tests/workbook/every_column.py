"""The rows of a workbook and of a price list with every column filled.

Each column holds something other than its default, and no two columns of a kind hold the same
values all the way down a sheet, so that a swap is seen. The column letters come from the file as
openpyxl finds it, not from our declaration.
"""

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from openpyxl import load_workbook
from openpyxl.utils import get_column_letter

from quotegen.model.settings import Lost
from quotegen.problems import Place
from quotegen.units import Unit
from quotegen.working import Figure, Origin, Source

CANTED: dict[str, Any] = {
    "ref": "R-01",
    "dated": date(2026, 11, 25),
    "make_documents": "yes",
    "customer_name": "Ms R. Petrel",
    "customer_kind": "landlord",
    "bill_address": "9 Gull Row, Mizzlehaven",
    "email": "petrel@example.com",
    "contact": "Wren at the desk",
    "site_address": "4 Kittiwake Street, Mizzlehaven",
    "nation": "Wales",
    "occupier": "tenant",
    "household": "children; elderly or unwell",
    "roof_kind": "dormer",
    "shape": "canted bay",
    "width_mm": 2400,
    "projection_mm": 600,
    "front_width_mm": 1100,
    "left_set_back_mm": 500,
    "edge_back": "wall upstand",
    "edge_right": "drip to gutter",
    "edge_front": "free drip",
    "edge_left": "raised edge",
    "falls_to": "left",
    "level_drop_mm": 35,
    "upstand_mm": 180,
    "wall_joint": "keep existing lead",
    "covering": "felt with chippings",
    "layers": 2,
    "deck": "chipboard",
    "condition": "soft in places",
    "through_roof": "yes",
    "joist_centres_mm": 450,
    "joist_depth_mm": 175,
    "joist_width_mm": 47,
    "joist_run": "along the wall",
    "year_built": 1934,
    "build_ups": "new deck; new deck with insulation",
    "board_mm": 22,
    "insulation_mm": 120,
    "mat_g_m2": 600,
    "mat_layers": 3,
    "colour": "dark grey",
    "gutter_mm": 2900,
    "tiles_mm": 1700,
    "accepted": "new deck with insulation",
    "advised": "new deck",
    "advised_because": "The joists want looking at.",
    "answered_on": date(2026, 11, 30),
    "pays_under_cis": "yes",
    "customer_vat": "yes",
    "end_user": "no",
    "paid_on": date(2026, 12, 21),
    "paid": 812.5,
    "height_mm": 2650,
    "access": "ladder",
    "ladder_reason": "Ten minutes of measuring.",
    "below": "drive; doorway",
    "room_for_tower": "yes",
    "heated_below": "yes",
    "overhead_cables": "no",
    "flue_near": "no",
    "cars_near": "no",
    "nesting_birds": "yes",
    "start_on": date(2026, 12, 7),
    "if_longer": "keep the price",
    "deck_c": 12,
    "air_c": 11,
    "humidity_pct": 70,
    "travel_min": 40,
    "customer_notes": "We bring our own water.",
    "photo": "bay-whole.jpg",
    "private_notes": "The dog bites.",
}
L_SHAPED: dict[str, Any] = {
    "ref": "R-02",
    "dated": date(2026, 11, 24),
    "make_documents": "no",
    "customer_name": "Mr F. Fulmar",
    "customer_kind": "agent",
    "bill_address": "2 Tern Court, Mizzlehaven",
    "email": "fulmar@example.com",
    "contact": "Mr S. Fulmar",
    "site_address": "7 Skua Lane, Mizzlehaven",
    "nation": "Northern Ireland",
    "occupier": "business",
    "household": "none of these",
    "roof_kind": "garage",
    "shape": "L-shape",
    "width_mm": 4000,
    "projection_mm": 3000,
    "notch_width_mm": 900,
    "notch_depth_mm": 700,
    "notch_at": "left",
    "edge_back": "raised edge",
    "edge_right": "wall upstand",
    "edge_front": "under tiles",
    "edges_at_once": "wall behind, gutter all round",
    "edge_notch": "free drip",
    "wall_joint": "new flashing",
    "covering": "lead",
    "deck": "concrete",
    "condition": "sound",
    "through_roof": "yes",
    "build_ups": "cap over",
    "colour": "lead grey",
    "accepted": "cap over",
    "pays_under_cis": "no",
    "customer_vat": "yes",
    "advised": "cap over",
    "if_longer": "charge the days planned",
    "heated_below": "yes",
    "overhead_cables": "yes",
    "flue_near": "no",
    "cars_near": "no",
    "asbestos_surveyed": "no",
    "lone_work": "yes",
}
FACETED: dict[str, Any] = {
    "ref": "R-03",
    "dated": date(2026, 11, 23),
    "make_documents": "yes",
    "customer_name": "Miss G. Gannet",
    "customer_kind": "home-owner",
    "site_address": "1 Auk Rise, Mizzlehaven",
    "roof_kind": "bay",
    "shape": "five-facet bay",
    "covering": "none",
    "build_ups": "new deck",
    "colour": "white",
    "said_no": "Dearer than the felt man.",
    "lone_work": "no",
    "heated_below": "no",
    "flue_near": "yes",
    "room_for_tower": "no",
    "through_roof": "no",
}
MEASURED = {**FACETED, "ref": "R-04", "shape": "measured outline", "heated_below": "yes"}
ROWS: dict[str, list[dict[str, Any]]] = {
    "Enquiries": [CANTED, L_SHAPED, FACETED, MEASURED],
    "Outline": [
        {"ref": "R-03", "length_mm": 2000, "turn_deg": 120, "kind": "kerb"},
        {"ref": "R-03", "length_mm": 800, "turn_deg": -45, "kind": "free drip"},
        {"ref": "R-04", "along_mm": 0, "out_mm": 30, "kind": "under tiles"},
        {"ref": "R-04", "along_mm": 3000, "out_mm": 900, "kind": "raised edge"},
    ],
    "Openings": [
        {"ref": "R-01", "kind": "rooflight", "count": 1, "length_mm": 910, "width_mm": 610,
         "kerb_mm": 150, "along_mm": 1250, "out_mm": 310},
        {"ref": "R-02", "kind": "pipe", "count": 2, "length_mm": 110},
    ],
    "Findings": [
        {"ref": "R-01", "seen": "Soft fascia.", "if_left": "The trim comes off.",
         "advised": "Replace it.", "basis": "fascia, per metre", "quantity": 1.2,
         "structural": "yes", "answer": "price it apart", "photo": "fascia.jpg"},
        {"ref": "R-02", "seen": "Wasps.", "if_left": "They come back.", "advised": "Ring somebody.",
         "basis": "fixed price", "fixed_price": 65.5, "structural": "no",
         "answer": "declined", "photo": "wasps.png"},
    ],
    "Extras": [
        {"ref": "R-01", "words": "Leaf guard", "quantity": 3.5, "unit": "m", "price_each": 6.25,
         "included": "yes"},
        {"ref": "R-02", "words": "Skip", "quantity": 1, "unit": "each", "price_each": 210,
         "included": "no"},
    ],
    "Before the start": [
        {"ref": "R-01", "key": "licence", "expected_on": date(2026, 12, 9), "cost": 135.5,
         "note": "Rang on Monday"},
        {"ref": "R-02", "key": "acceptance", "done_on": date(2026, 11, 24), "note": "By e-mail"},
    ],
    "Business": [
        {"code": "firm_name", "words": "Firm", "value": "Tern & Daughter", "unit": "one",
         "basis": "as registered"},
        {"code": "firm_address", "value": "1 Quay Lane"},
        {"code": "firm_phone", "value": "01632 960001"},
        {"code": "vat_registered", "value": "no"},
        {"code": "labour_cost_per_hour", "value": 31.5, "basis": "books of 2026"},
        {"code": "mixer", "value": "a beginner"},
    ],
    "Rates": [
        {"code": "new_board_mm", "words": "Board", "value": 15, "unit": "millimetres",
         "basis": "what we stock"},
        {"code": "mat_layers", "value": 2},
    ],
    "Waste": [
        {"code": "tip_charge_per_tonne", "words": "Tip", "value": 155, "unit": "£",
         "basis": "weighbridge ticket"},
        {"code": "tip_least", "value": 20},
    ],
    "Catalyst doses": [
        {"material": "topcoat", "deck_c": 25, "dose_pct": 1.75, "basis": "tin of topcoat"},
        {"material": "resin", "deck_c": 12, "dose_pct": 2.75, "basis": "drum of resin"},
        {"material": "topcoat", "deck_c": 5, "dose_pct": 2},
    ],
    "Curing times": [
        {"stage": "topcoat until it may get wet", "deck_c": 10, "hours": 6.5,
         "basis": "rained on"},
        {"stage": "laminate until it is walked on", "deck_c": 4, "hours": 7, "basis": "walked on"},
    ],
    "Material losses": [
        {"material": material, "plain_pct": line + 21, "cut_up_pct": 40 - line,
         "basis": f"skip {line}"}
        for line, material in enumerate(Lost)
    ],
    "Terms": [
        {"kind": "payment", "text": "Cash on the day."},
        {"kind": "general term", "applies_to": "cap over", "text": "It will be noisy."},
    ],
    "Forecast": [
        {"day": date(2026, 12, 7), "from_hour": 9, "air_c": 8, "humidity_pct": 72, "sky": "dry",
         "deck_c": 6, "gust_mph": 14},
        {"day": date(2026, 12, 8), "from_hour": 13, "air_c": 10, "humidity_pct": 64, "sky": "rain",
         "deck_c": 7, "gust_mph": 21},
    ],
    "Van stock": [
        {"item": "acetone", "quantity": 2.5, "unit": "l", "note": "half a can"},
        {"item": "mat_450", "quantity": 12, "unit": "m2", "note": "end of a roll"},
    ],
    "Done jobs": [
        {"ref": "TR-001", "done_on": date(2026, 6, 12), "kind": "bay", "what": "laminate",
         "amount": 2.5, "people": 2, "who": "Wren", "allowed": 4.4, "wrong": "rain"},
        {"ref": "TR-002", "done_on": date(2026, 7, 3), "kind": "porch", "what": "resin, kg",
         "amount": 31, "people": 1, "who": "Ada", "allowed": 28, "wrong": "deck drank it"},
    ],
}  # fmt: skip
PRICES: list[dict[str, Any]] = [
    {"item": "resin", "words": "Drum of resin", "unit": "kg", "pack_size": 20, "pack_price": 96.5,
     "supplier": "Gannet Supplies", "dated": date(2026, 11, 2)},
    {"item": "acetone", "words": "Can of acetone", "unit": "l", "pack_size": 5, "pack_price": 11.25,
     "supplier": "Guillemot Trade Counter", "dated": date(2026, 10, 19)},
]  # fmt: skip


def _headings(sheet: str) -> int:
    """The row of a sheet's headings: on Enquiries the heads of the groups stand above them."""
    return 2 if sheet == "Enquiries" else 1


class Cells:
    """The places of a written workbook, by sheet, heading and line.

    Lines are counted as if the headings stood on line 1.
    """

    def __init__(self, path: Path) -> None:
        self._name = path.name
        book = load_workbook(path)
        self._letters = {
            (page.title, cell.value): get_column_letter(number)
            for page in book.worksheets
            for number, cell in enumerate(page[_headings(page.title)], start=1)
        }

    def place(self, sheet: str, heading: str, line: int) -> Place:
        letter = self._letters[sheet, heading]
        return Place(self._name, sheet, f"{letter}{line + _headings(sheet) - 1}", heading)

    def figure(
        self, sheet: str, heading: str, line: int, value: float | Decimal, unit: str, name: str = ""
    ) -> Figure:
        """A number as the cell says it, under its heading unless a name is given."""
        place = self.place(sheet, heading, line)
        origin = Origin(Source.CELL, f"{sheet}!{place.cell}", heading)
        return Figure(name or heading, value, Unit(unit), origin)
