"""Trims as an old hand fits them: free ends, made-up corners, bows, near misses, bandage."""

import math

import pytest
from msgspec.structs import replace

from quotegen.documents.shared.remark_words import said as said_of
from quotegen.model.choices import BuildUp, DeckCondition, EdgeKind, OpeningKind, Shape, Side, Size
from quotegen.model.enquiry import Enquiry, Opening
from quotegen.model.takeoff import OptionTakeOff
from quotegen.pricing.scope import includes
from quotegen.reference.remark_keys import Included, Task
from quotegen.safety.statement.statement import make_statement
from quotegen.takeoff.basis.job import Job, make_job
from quotegen.takeoff.measure import measure
from quotegen.takeoff.shape.outline import build_outline
from quotegen.takeoff.trims.near_miss import trim_near_misses
from quotegen.takeoff.trims.trim_plan import facet_count, plan_trims
from quotegen.working import Scalar
from tests import builders

BOW = builders.roof(
    Shape.BOW,
    sizes={Size.WIDTH: 2600.0, Size.PROJECTION: 500.0},
    edges={Side.BACK: EdgeKind.WALL, Side.FRONT: EdgeKind.FREE_DRIP},
)
L_OF_WALLS = {
    Side.BACK: EdgeKind.WALL,
    Side.LEFT: EdgeKind.WALL,
    Side.FRONT: EdgeKind.FREE_DRIP,
    Side.RIGHT: EdgeKind.FREE_DRIP,
}


def job_of(enquiry: Enquiry, **changes: Scalar | None) -> Job:
    firm = builders.settings(**changes)
    outline, _ = build_outline(enquiry, firm)
    assert outline is not None
    return make_job(enquiry, outline, firm, enquiry.build_ups[0])


def option_of(enquiry: Enquiry, **changes: Scalar | None) -> OptionTakeOff:
    found, _ = measure(enquiry, builders.settings(**changes), builders.prices(), builders.TODAY)
    assert found is not None
    return found.options[0]


def runs_of(job: Job, item: str) -> dict[str, float]:
    return {run.edge: run.length_mm for run in plan_trims(job).runs[item][0]}


def sized(width_mm: float, out_mm: float, kinds: dict[Side, EdgeKind] | None = None) -> Enquiry:
    sizes = {Size.WIDTH: width_mm, Size.PROJECTION: out_mm}
    return builders.enquiry(
        builders.roof(sizes=sizes, edges=kinds) if kinds else builders.roof(sizes=sizes)
    )


def test_trims_are_cut_with_snips_unless_the_firm_saws() -> None:
    enquiry = builders.enquiry()
    rules = plan_trims(job_of(enquiry)).runs["trim_drip"][1]
    assert rules.saw_mm == 0
    sawn = plan_trims(job_of(enquiry, trim_cut_with="saw")).runs["trim_drip"][1]
    assert sawn.saw_mm == builders.settings().number("saw_cut_mm") == 3


def test_flashing_runs_on_past_the_free_ends_of_a_wall() -> None:
    """100 mm at each end where nothing stops it. Common practice, no source."""
    assert runs_of(job_of(sized(2000, 1500)), "trim_flashing") == {"back": 2200}
    assert runs_of(job_of(sized(2000, 1500), flashing_past_mm=0), "trim_flashing") == {"back": 2000}


def test_another_wall_or_the_corner_of_the_house_ends_the_flashing() -> None:
    """In a corner of two walls each has one free end. Where the roof goes on round the corner of
    the house, at 270 degrees, the wall ends there: of an L whose notch front is a wall, the notch
    front is free at the right alone."""
    in_corner = runs_of(job_of(sized(2000, 1500, L_OF_WALLS)), "trim_flashing")
    assert in_corner == {"back": 2100, "left": 1600}
    sizes = {
        Size.WIDTH: 5000.0, Size.PROJECTION: 4000.0,
        Size.NOTCH_WIDTH: 2000.0, Size.NOTCH_DEPTH: 1500.0,
    }  # fmt: skip
    drips = (Side.RIGHT, Side.FRONT, Side.LEFT, Side.BACK)
    edges = dict.fromkeys(drips, EdgeKind.FREE_DRIP) | {Side.NOTCH: EdgeKind.WALL}
    notch = builders.enquiry(builders.roof(Shape.L_SHAPE, sizes=sizes, edges=edges))
    assert runs_of(job_of(notch), "trim_flashing") == {"notch front": 2100, "notch side": 1600}


def test_a_raised_edge_into_a_drip_is_a_made_up_corner() -> None:
    """No stock corner fits two kinds of trim: both run on by 50 mm and are cut on site. A raised
    edge at the left and right, a drip in front: front 2000 + 2 x 25 + 2 x 50. Common practice."""
    option = option_of(sized(2000, 1500))
    assert not [need for need in option.needs if need.item.startswith("corner_")]
    assert runs_of(job_of(sized(2000, 1500)), "trim_drip") == {"front": 2150}
    (made_up,) = [line for line in option.labour if line.task.startswith("Make up corners")]
    assert made_up.key is Task.MADE_UP
    assert made_up.hours.number == pytest.approx(2 * 0.35)


def test_a_near_miss_says_what_it_saves() -> None:
    """Four drips of 3 m lengths. Sides of 1480, at a wall: 1480 + 25 - 50 = 1455, two are 2910, one
    length; sides of 1531: 1506 each, 3012, two lengths; 6 mm less on each saves one, of 20 pounds.
    The front stays as it is: 2000 + 2 x 25 - 2 x 50 = 1950."""
    drips = dict.fromkeys((Side.LEFT, Side.FRONT, Side.RIGHT), EdgeKind.FREE_DRIP)
    edges = drips | {Side.BACK: EdgeKind.WALL}
    prices = builders.prices()

    def said(out_mm: float, **changes: Scalar | None) -> list[str]:
        job = job_of(sized(2900, out_mm, edges), trim_joint_saves=100, **changes)
        return [said_of(one) for one in trim_near_misses(job, prices)]

    assert said(1531) == [
        "If right and left are each 6 mm shorter you save 1 length of trim, £20.00: measure again."
    ]
    assert said(1480) == []  # fits as it is
    assert said(1540) == []  # 15 mm, further than is called near
    assert said(1531, trim_near_mm=0) == []
    enquiry = sized(2900, 1531, edges)
    assert said(1531)[0] in map(said_of, option_of(enquiry, trim_joint_saves=100).notes)


def test_short_pieces_round_a_bow_by_the_sagitta() -> None:
    """Chord 2600, rise 500: R = 2600^2 / (8 x 500) + 250 = 1940. A piece of the angle t leaves the
    arc by R (1 - cos(t / 2)) (sagitta, any handbook of mensuration): 10 mm at t = 11.64 degrees;
    the bow turns 2 asin(1300 / 1940) = 84.2 degrees, so eight pieces, the arc and seven laps."""
    radius_mm = 2600**2 / (8 * 500) + 500 / 2
    turned = 2 * math.asin(1300 / radius_mm)
    arc_mm = radius_mm * turned
    n = facet_count(arc_mm, math.degrees(turned), 10)
    sagittas = [radius_mm * (1 - math.cos(turned / pieces / 2)) for pieces in (n - 1, n)]
    assert sagittas[0] > 10 >= sagittas[1]
    assert n == 8
    cuts = option_of(builders.enquiry(BOW), bow_trims="short pieces").cuts
    drip = next(cut for cut in cuts if cut.item == "trim_drip")
    grown_mm = (radius_mm + 25) * 2 * math.acos((radius_mm - 500) / (radius_mm + 25))
    pieces = [piece.length_mm for length in drip.lengths for piece in length.pieces]
    assert pieces == pytest.approx([(grown_mm + 7 * 50) / 8] * 8, rel=1e-3)


def test_a_bow_takes_longer_by_the_metre() -> None:
    """0.15 h/m as any drip and 0.15 h/m, 9 minutes a metre, for slits and bending."""
    option = option_of(builders.enquiry(BOW))
    (hours,) = [line.hours.number for line in option.labour if line.task.endswith(", bow")]
    arc_m = 1.94 * 2 * math.asin(1.3 / 1.94)
    assert hours == pytest.approx(arc_m * (0.15 + 0.15))
    slower = option_of(builders.enquiry(BOW), hours_bow_trim=0.25)
    (hours,) = [line.hours.number for line in slower.labour if line.task.endswith(", bow")]
    assert hours == pytest.approx(arc_m * (0.15 + 0.25))


def trims_words(enquiry: Enquiry, **changes: Scalar | None) -> str:
    lines = includes(enquiry, option_of(enquiry, **changes), builders.settings(**changes))
    kinds = {Included.TRIMS, Included.TRIMS_SLIT, Included.TRIMS_SHORT}
    (words,) = [said_of(line) for line in lines if line.key in kinds]
    return words


def bandage_of(enquiry: Enquiry, **changes: Scalar | None) -> float:
    needs = option_of(enquiry, **changes).needs
    return next(need.net.number for need in needs if need.item == "bandage")


def test_bandage_is_promised_where_it_is_bought() -> None:
    """Joints and corners, and where the firm wants it every edge, which is then bought: 6.0 m more
    on a roof of 2 x 1 m. Common practice, no source."""
    enquiry = sized(2000, 1000)
    assert trims_words(enquiry, deck_boards="tongued") == (
        "New trims along every edge, bonded; trim joints and corners bandaged into the laminate"
    )
    along = trims_words(enquiry, deck_boards="tongued", bandage_along_trims="yes")
    assert "trim joints, corners and every trim along its edge bandaged" in along
    more = bandage_of(enquiry, bandage_along_trims="yes") - bandage_of(enquiry)
    assert more == pytest.approx(6.0)
    square = sized(3000, 2000)
    assert "board joints bandaged" in trims_words(square, deck_boards="square-edge")
    without = trims_words(square, deck_boards="square-edge", bandage_board_joints="no")
    assert "board joints" not in without


def test_the_method_statement_says_the_same_of_bandage() -> None:
    for along in ("yes", "no"):
        firm = builders.settings(bandage_along_trims=along)
        found, _ = measure(sized(2000, 1000), firm, builders.prices(), builders.TODAY)
        assert found is not None
        statement = make_statement(found, firm, builders.TODAY)
        lines = [line for step in statement.steps for line in step.lines]
        (said,) = [line for line in lines if line.startswith("Bandage first:")]
        assert ("every trim along its edge" in said) is (along == "yes")


def test_a_bow_is_said_in_the_quote() -> None:
    bow = builders.enquiry(BOW)
    assert "slit and bent round the bow, bonded" in trims_words(bow)
    assert "the trim round the bow" in trims_words(bow)
    assert "in short pieces round the bow" in trims_words(bow, bow_trims="short pieces")


def test_the_kerb_of_a_rooflight_is_an_edge_of_the_insulation() -> None:
    """A kerb of 1200 x 900: 2 x (1.2 + 0.9) = 4.2 m of timber more, and 0.15 h/m to fit it."""
    insulated = replace(
        builders.enquiry(build_ups=(BuildUp.NEW_DECK_INSULATED,)),
        existing=replace(builders.enquiry().existing, condition=DeckCondition.SOUND),
        insulation_mm=builders.given("insulation", 100.0, "mm"),
    )
    light = Opening(
        insulated.place,
        OpeningKind.ROOFLIGHT,
        builders.given("count", 1.0, "each"),
        builders.given("length", 1200.0, "mm"),
        builders.given("width", 900.0, "mm"),
    )
    plain, lit = option_of(insulated), option_of(replace(insulated, openings=(light,)))
    timber = [
        next(need.net.number for need in option.needs if need.item == "edge_timber")
        for option in (plain, lit)
    ]
    hours = [
        next(line.hours.number for line in option.labour if line.key is Task.EDGE_TIMBER)
        for option in (plain, lit)
    ]
    assert timber[1] - timber[0] == pytest.approx(4.2)
    assert hours[1] - hours[0] == pytest.approx(4.2 * 0.15)
