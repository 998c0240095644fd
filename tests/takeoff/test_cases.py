"""Whole roofs worked by hand, every figure of them: tests/cases/roofs.toml.

The file gives the arithmetic beside each figure. Nothing in it was copied from the program's
output. All wrong figures of a roof are reported together, each by name.
"""

import tomllib
from collections import defaultdict
from collections.abc import Iterator
from typing import Any

import pytest

from quotegen.model.choices import (
    Access,
    BuildUp,
    Covering,
    Deck,
    DeckCondition,
    EdgeKind,
    OpeningKind,
    RoofKind,
    Shape,
    Side,
    Size,
    WallJoint,
)
from quotegen.model.enquiry import Enquiry, Existing, MeasuredRoof, Opening, OutlineRow, SiteFacts
from quotegen.model.roof import Outline
from quotegen.model.takeoff import CutList, Mixes, OptionTakeOff
from quotegen.problem_kinds import Severity
from quotegen.problems import Place
from quotegen.takeoff.measure import measure
from quotegen.working import Figure
from tests import builders

CASES = tomllib.loads((builders.ROOT / "tests/cases/roofs.toml").read_text())["case"]
SHARE = 5e-4
"""How far a figure may be from the one worked by hand, which is rounded to five places."""
LENGTH_MM = 0.5
_SAW_MM, _TRIM_MM = 0.0, 3000.0


def roof_of(case: dict[str, Any]) -> MeasuredRoof:
    """The roof of a case: from its sizes, or from the corners given by offsets."""
    facts = case["roof"]
    shape = Shape(facts["shape"])
    given = builders.given
    rows = tuple(
        OutlineRow(
            Place(builders.BOOK, "Outline", f"A{number}"),
            EdgeKind(kind),
            along_mm=given("along", float(along), "mm"),
            out_mm=given("out", float(out), "mm"),
        )
        for number, (along, out, kind) in enumerate(case.get("corners", []), start=2)
    )
    return builders.roof(
        shape,
        sizes={Size(heading): mm for heading, mm in case.get("sizes", {}).items()},
        edges={Side(side): EdgeKind(kind) for side, kind in case.get("edges", {}).items()},
        kind=RoofKind(facts["kind"]),
        notch_at=Side(facts.get("notch", "right")),
        height_mm=given("height to edge", float(facts["height_mm"]), "mm"),
        joist_centres_mm=given("joist centres", 400.0, "mm"),
        outline_rows=rows,
    )


def enquiry_of(case: dict[str, Any]) -> Enquiry:
    """The enquiry of a case: what is there now, what is to be done, what is known of the site."""
    given, facts = builders.given, case["facts"]
    old = Existing(
        covering=Covering(facts["covering"]),
        layers=given("layers", float(facts["layers"]), "layers"),
        deck=Deck(facts["deck"]) if "deck" in facts else None,
        condition=DeckCondition(facts["condition"]) if "condition" in facts else None,
    )
    openings = tuple(
        Opening(
            Place(builders.BOOK, "Openings", f"A{number}"),
            OpeningKind(opening["kind"]),
            given("how many", float(opening["count"]), "each"),
            length_mm=_length(opening, "length_mm"),
            width_mm=_length(opening, "width_mm"),
            kerb_mm=_length(opening, "kerb_mm"),
        )
        for number, opening in enumerate(case.get("opening", []), start=2)
    )
    return builders.enquiry(
        roof_of(case),
        existing=old,
        build_ups=(BuildUp(facts["build_up"]),),
        mat_g_m2=given("mat", float(facts["mat_g_m2"]), "g/m2"),
        mat_layers=given("layers of mat", float(facts["mat_layers"]), "layers"),
        wall_joint=WallJoint(facts["wall_joint"]),
        access=Access(facts["access"]) if "access" in facts else None,
        deck_c=given("deck temperature", float(facts["deck_c"]), "°C"),
        site=SiteFacts(room_for_tower=True, lone_work=False),
        openings=openings,
        insulation_mm=_length(facts, "insulation_mm"),
        gutter_mm=_length(facts, "gutter_mm"),
        tiles_mm=_length(facts, "tiles_mm"),
    )


def _length(given: dict[str, Any], name: str) -> Figure | None:
    """A length that a case gives, None where it says nothing of it."""
    return builders.given(name, float(given[name]), "mm") if name in given else None


def taken_off(case: dict[str, Any]) -> tuple[Outline, OptionTakeOff]:
    settings = builders.settings(deck_boards=case["facts"]["boards"])
    found, problems = measure(enquiry_of(case), settings, builders.prices(), builders.TODAY)
    stopping = [p.message for p in problems if p.severity is Severity.STOP]
    assert not stopping
    assert found is not None
    return found.outline, found.options[0]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_every_figure_of_a_roof_worked_by_hand(case: dict[str, Any]) -> None:
    outline, option = taken_off(case)
    expect = case["expect"]
    wrong = [
        f"{name}: {seen} and not {hand}"
        for name, hand, seen in _figures(expect, outline, option)
        if not _agrees(hand, seen)
    ]
    assert not wrong, "\n".join([case["name"], *wrong])


def test_every_way_of_cutting_worked_by_hand_comes_out_of_its_lengths() -> None:
    for case in CASES:
        for item, lengths in case["expect"]["cut"].items():
            for pieces in lengths:
                used = sum(pieces) + _SAW_MM * (len(pieces) - 1)
                assert used <= _TRIM_MM, f"{case['name']}: {item} {pieces}"


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_no_wrong_figure_goes_unseen(case: dict[str, Any]) -> None:
    """A figure altered by a hundredth, a count by one, is found: the comparison can fail."""
    outline, option = taken_off(case)
    for name, hand, _ in _figures(case["expect"], outline, option):
        assert not _agrees(hand, _altered(hand)), name


def _altered(hand: Any) -> Any:
    if isinstance(hand, bool) or hand is None:
        return not hand
    if isinstance(hand, str):
        return f"{hand} or so"
    if isinstance(hand, list):
        return [*hand, 1.0]
    return hand + 1 if isinstance(hand, int) else hand * 1.01 + 0.001


def _agrees(hand: Any, seen: Any) -> bool:
    """Counts and words exactly; lists of lengths [mm] and other measures within the tolerances."""
    if isinstance(hand, list):
        return len(hand) == len(seen) and bool(seen == pytest.approx(hand, rel=0, abs=LENGTH_MM))
    if isinstance(hand, float) and isinstance(seen, float):
        return seen == pytest.approx(hand, rel=SHARE, abs=1e-9)
    return bool(hand == seen)


def _figures(
    expect: dict[str, Any], outline: Outline, option: OptionTakeOff
) -> Iterator[tuple[str, Any, Any]]:
    """Every figure as (name, worked by hand, found); what only one of the two has, as None."""
    yield "area_m2", expect["area_m2"], outline.area_m2.number
    yield "laminate_m2", expect["laminate_m2"], option.laminate_area_m2.number
    yield "topcoat_m2", expect["topcoat_m2"], option.topcoat_area_m2.number
    edges = {edge.name: edge.length.number for edge in outline.edges}
    yield from _table("edges", expect["edges"], edges)
    corners = {f"{c.before}/{c.after}": str(c.kind) for c in outline.corners}
    yield from _table("corners", expect["corners"], corners)
    deck = expect["deck"]
    yield "deck board", deck["board"], option.boards.kind.item
    yield "sheets in a layer", deck["sheets"], len(option.boards.sheets)
    yield "rows of boards", deck["rows"], len({piece.row for piece in option.boards.pieces})
    yield from _trims(expect["cut"], {cut.item: cut for cut in option.cuts})
    yield from _table("to hand", expect["to_hand"], {n.item: n.gross.number for n in option.needs})
    mat = expect["mat"]
    yield "strips along the low edge", mat["along_low_edge"], option.mat.along_low_edge
    strips = option.mat.strips
    yield "mat strips, length", _floats(mat["lengths"]), [s.length_mm for s in strips]
    yield "mat strips, width", _floats(mat["widths"]), [s.width_mm for s in strips]
    yield "resin_l", expect["resin_l"], option.resin.ordered_l.number
    yield "topcoat_l", expect["topcoat_l"], option.resin.topcoat_l.number
    for planned in option.mixes:
        name = f"{planned.material} in the heat" if planned.hot else planned.material
        yield from _mixes(name, expect["mixes"][name], planned)
    yield from _table(
        "strip", expect["strip_kg"], {s.words: s.mass_kg.number for s in option.strip}
    )
    yield "access", expect["access"], str(option.access.chosen)
    hours: dict[str, float] = defaultdict(float)
    for line in option.labour:
        hours[line.task] += line.hours.number
    yield from _table("hours", expect["hours"], hours)
    yield "person_hours", expect["person_hours"], option.programme.person_hours.number
    yield "days", expect["days"], option.programme.days.number
    yield "paid_days", expect["paid_days"], option.programme.paid_days.number


def _floats(lengths: list[float]) -> list[float]:
    return [float(mm) for mm in lengths]


def _table(name: str, hand: dict[str, Any], seen: dict[str, Any]) -> Iterator[tuple[str, Any, Any]]:
    for key in {**hand, **seen}:
        worked, found = hand.get(key), seen.get(key)
        if isinstance(found, float) and isinstance(worked, int):
            worked = float(worked)
        yield f"{name}: {key}", worked, found


def _trims(
    hand: dict[str, list[list[float]]], seen: dict[str, CutList]
) -> Iterator[tuple[str, Any, Any]]:
    """The number of lengths and the pieces; which piece comes out of which length is free."""
    for item in {**hand, **seen}:
        lengths = hand.get(item, [])
        cut = seen[item].lengths if item in seen else ()
        yield f"{item}: lengths", len(lengths), len(cut)
        wanted = sorted(float(mm) for pieces in lengths for mm in pieces)
        yield f"{item}: pieces", wanted, sorted(p.length_mm for one in cut for p in one.pieces)


def _mixes(name: str, hand: dict[str, Any], seen: Mixes) -> Iterator[tuple[str, Any, Any]]:
    size = seen.size
    yield f"{name}: number of mixes", hand["number"], size.count
    yield f"{name}: litres of one", float(hand["litres"]), size.litres.number
    doses = {f"{dose.deck_c:.0f}": dose.ml for dose in size.doses}
    for deck_c, ml in hand["ml"].items():
        yield f"{name}: ml at {deck_c} C", float(ml), doses.get(deck_c)
