"""Jobs for safety tests, measured by the real take-off: one for every fact.

A made job (`Made`) is an enquiry with its firm's settings and price lists. `BRINGS` changes one so
that a fact is present, `LACKS` so that it is known to be absent.
"""

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from quotegen.days.days import plan_days
from quotegen.model.choices import (
    Access,
    Answer,
    Below,
    BuildUp,
    Covering,
    CustomerKind,
    Deck,
    DeckCondition,
    EdgeKind,
    Household,
    Nation,
    Occupier,
    OpeningKind,
    Shape,
    Side,
    Size,
    WallJoint,
)
from quotegen.model.enquiry import Enquiry, Existing, Finding, Opening, SiteFacts
from quotegen.model.safety import Fact, Known, MethodStatement, Note
from quotegen.model.settings import PriceBook, Settings
from quotegen.model.takeoff import OptionTakeOff, TakeOff
from quotegen.problems import Place
from quotegen.reference import rules
from quotegen.reference.item_kinds import ItemKind
from quotegen.safety.facts.facts import facts_of
from quotegen.safety.facts.job import PlannedJob
from quotegen.safety.facts.roof_facts import HEAVY_COVERINGS
from quotegen.safety.statement.statement import make_statement
from quotegen.takeoff.measure import measure
from quotegen.working import Figure
from tests import builders

NAMED: dict[str, Any] = {"supervisor": "Ada Tern", "first_aider": "Wren Tern"}
SETTINGS = builders.settings(**NAMED)
NOTHING_NEAR = SiteFacts(
    heated_below=False,
    overhead_cables=False,
    flue_near=False,
    cars_near=False,
    asbestos_surveyed=True,
    room_for_tower=True,
    nesting_birds=False,
    lone_work=False,
    through_roof=False,
)
FELT = Existing(
    Covering.FELT, builders.given("layers", 2.0, "layers"), Deck.SHEET, DeckCondition.SOUND
)


def number(value: float, unit: str = "") -> Figure:
    """A measured number."""
    return builders.given("given", value, unit)


def plain_enquiry(**changes: Any) -> Enquiry:
    """An empty modern house, a felt roof over the garden, a mild day, everything known."""
    made = builders.enquiry(
        occupier=Occupier.EMPTY,
        nation=Nation.ENGLAND,
        household=(Household.NONE,),
        below=(Below.GARDEN,),
        site=NOTHING_NEAR,
        gutter_mm=number(0.0, "mm"),
        year_built=builders.given("year built", 2010.0, ""),
        deck_c=builders.given("deck expected", 15.0, "°C"),
        air_c=builders.given("air expected", 15.0, "°C"),
        humidity_pct=builders.given("humidity expected", 70.0, "%"),
        existing=FELT,
    )
    return replace(made, **changes)


def ladder_enquiry() -> Enquiry:
    """The plain job on a bay that a ladder may be worked from."""
    low = builders.ladder_enquiry()
    return plain_enquiry(roof=low.roof, access=low.access, ladder_reason=low.ladder_reason)


def take_off(
    enquiry: Enquiry, settings: Settings = SETTINGS, prices: PriceBook | None = None
) -> TakeOff:
    """The take-off of an enquiry that can be measured."""
    measured, _ = measure(enquiry, settings, prices or builders.prices(), builders.TODAY)
    assert measured is not None
    return measured


def statement(enquiry: Enquiry, settings: Settings = SETTINGS) -> MethodStatement:
    """The method statement of an enquiry."""
    return make_statement(take_off(enquiry, settings), settings, builders.TODAY)


def job(enquiry: Enquiry, settings: Settings = SETTINGS) -> PlannedJob:
    """The job that the facts of an enquiry's first build-up are read from."""
    measured = take_off(enquiry, settings)
    option = measured.options[0]
    deck = enquiry.deck_c or settings["planned_least_c"]
    plan = plan_days(option, settings, enquiry.start_on, builders.TODAY, deck.number)
    return PlannedJob(enquiry, measured.outline, option, settings, plan)


def facts(enquiry: Enquiry, settings: Settings = SETTINGS) -> dict[str, Fact]:
    """The facts of an enquiry's first build-up."""
    return dict(facts_of(job(enquiry, settings)))


def made_up_facts(known: dict[str, Known], others: Known = Known.NO) -> dict[str, Fact]:
    """Every declared fact: as given in `known`, otherwise as `others`."""
    return {
        key: Fact(key, rule.words, rule.ask, known.get(key, others), "made up")
        for key, rule in rules.facts().items()
    }


def without_needs(option: OptionTakeOff, *items: str) -> OptionTakeOff:
    """The option as if it took none of these items."""
    return replace(option, needs=tuple(n for n in option.needs if n.item not in items))


_STATEMENTS: dict[str, MethodStatement] = {}


class Made(Struct, frozen=True):
    """A job to be measured; needs of the kinds `left_out` are dropped."""

    enquiry: Enquiry
    firm: tuple[tuple[str, Any], ...] = tuple(NAMED.items())
    small_packs: bool = False
    left_out: tuple[ItemKind, ...] = ()

    def settings(self) -> Settings:
        """The house defaults with this firm's values."""
        return builders.settings(**dict(self.firm))

    def statement(self) -> MethodStatement:
        """The statement, made the way every job's is; equal jobs are written once."""
        alike = repr(self)
        if alike not in _STATEMENTS:
            _STATEMENTS[alike] = self._written()
        return _STATEMENTS[alike]

    def _written(self) -> MethodStatement:
        prices = builders.prices()
        if self.small_packs:
            prices = PriceBook(
                {
                    item: tuple(
                        replace(pack, pack_size=min(pack.pack_size, 10.0)) for pack in packs
                    )
                    for item, packs in prices.packs.items()
                }
            )
        measured = take_off(self.enquiry, self.settings(), prices)
        options = tuple(
            without_needs(option, *(n.item for n in option.needs if n.kind in self.left_out))
            for option in measured.options
        )
        options = options if self.left_out else measured.options
        return make_statement(replace(measured, options=options), self.settings(), builders.TODAY)


Change = Callable[[Made], Made]
SHALLOW = builders.roof(sizes={Size.WIDTH: 2400, Size.PROJECTION: 600})
PLAIN = Made(plain_enquiry(roof=SHALLOW))


def _row(**changes: Any) -> Change:
    return lambda made: replace(made, enquiry=replace(made.enquiry, **changes))


def _roof(**changes: Any) -> Change:
    return lambda made: _row(roof=replace(made.enquiry.roof, **changes))(made)


def _existing(**changes: Any) -> Change:
    return lambda made: _row(existing=replace(made.enquiry.existing, **changes))(made)


def _site(**changes: Any) -> Change:
    return lambda made: _row(site=replace(made.enquiry.site, **changes))(made)


def _back(kind: EdgeKind) -> Change:
    return lambda made: _roof(edges={**made.enquiry.roof.edges, Side.BACK: kind})(made)


def _named(**changes: Any) -> Change:
    return lambda made: replace(made, firm=tuple({**dict(made.firm), **changes}.items()))


def _customer(kind: CustomerKind) -> Change:
    return lambda made: _row(customer=replace(made.enquiry.customer, kind=kind))(made)


def _without(*kinds: ItemKind) -> Change:
    return lambda made: replace(made, left_out=(*made.left_out, *kinds))


def _with(*kinds: ItemKind) -> Change:
    return lambda made: replace(
        made, left_out=tuple(kind for kind in made.left_out if kind not in kinds)
    )


def _below(*added: Below) -> Change:
    return lambda made: _row(below=tuple(dict.fromkeys((*made.enquiry.below, *added))))(made)


def _not_below(*gone: Below) -> Change:
    return lambda made: _row(below=tuple(b for b in made.enquiry.below if b not in gone))(made)


def _where(holds: Callable[[Enquiry], bool], change: Change) -> Change:
    """A change applied only to a job it concerns, so that it undoes nothing else."""
    return lambda made: change(made) if holds(made.enquiry) else made


def _all(*changes: Change) -> Change:
    def change(made: Made) -> Made:
        for one in changes:
            made = one(made)
        return made

    return change


def finding(answer: Answer) -> Finding:
    """A finding with its answer."""
    return Finding(
        place=Place("jobs.xlsx", "Findings", "A2"),
        seen="The fascia is soft at the left end.",
        if_left="The trim has nothing to hold to.",
        advised="Replace that length of fascia.",
        basis=None,
        quantity=None,
        fixed_price=None,
        answer=answer,
    )


def opening(kind: OpeningKind) -> Opening:
    """One small opening of a kind."""
    return Opening(
        Place("jobs.xlsx", "Openings", "A2"),
        kind,
        count=builders.given("count", 1.0, "each"),
        length_mm=builders.given("length", 300.0, "mm"),
        width_mm=builders.given("width", 300.0, "mm"),
        kerb_mm=builders.given("kerb", 150.0, "mm"),
    )


_HIGH = _roof(height_mm=number(2600.0, "mm"))
_ON_A_TOWER = _all(_HIGH, _row(access=Access.TOWER), _site(room_for_tower=True))
_SHALLOW = _roof(shape=Shape.RECTANGLE, sizes=SHALLOW.sizes)
_GROUND_BELOW = _all(_not_below(Below.LOWER_ROOF, Below.GLASS), _below(Below.GARDEN))
_ALONG_A_FRONT = _all(
    _ON_A_TOWER,
    _GROUND_BELOW,
    _site(room_for_tower=None),
    _roof(
        shape=Shape.RECTANGLE,
        sizes=SHALLOW.sizes,
        edges={**dict.fromkeys(Side, EdgeKind.WALL), Side.FRONT: EdgeKind.GUTTER_DRIP},
    ),
)
"""A roof open only at the front, where one tower guards every open edge whoever stands on it."""
_ROUND_A_PORCH = _all(
    _ON_A_TOWER,
    _back(EdgeKind.WALL),
    _site(overhead_cables=False),
    _GROUND_BELOW,
    _roof(
        shape=Shape.RECTANGLE,
        sizes=builders.roof(sizes={Size.WIDTH: 1800, Size.PROJECTION: 1200}).sizes,
    ),
)
"""A porch that one tower reaches all of from three places."""
_ON_A_SCAFFOLD = _all(_HIGH, _row(access=Access.SCAFFOLD))
_FROM_THE_GROUND = _all(_roof(height_mm=number(1800.0, "mm")), _row(access=Access.GROUND))
_ON_A_LADDER = _all(
    _roof(height_mm=number(2400.0, "mm")),
    _row(access=Access.LADDER, ladder_reason="the alley is 600 mm wide"),
    _site(room_for_tower=False),
)
_NEW_DECK = _row(build_ups=(BuildUp.NEW_DECK,))
_CAPPED = _all(_row(build_ups=(BuildUp.CAP_OVER,)), _existing(condition=DeckCondition.SOUND))
_INSULATED = _row(build_ups=(BuildUp.NEW_DECK_INSULATED,), insulation_mm=number(120.0, "mm"))


def _insulates(enquiry: Enquiry) -> bool:
    return BuildUp.NEW_DECK_INSULATED in enquiry.build_ups


_OLD = _row(year_built=number(1974.0))
_FELT = _existing(covering=Covering.FELT)
_PLASTIC = _existing(covering=Covering.SINGLE_PLY)
_WALL = _back(EdgeKind.WALL)
_FLASHED = _all(_WALL, _row(wall_joint=WallJoint.NEW_FLASHING))
_LEADED = _all(_WALL, _row(wall_joint=WallJoint.KEEP_LEAD))
_NO_OLD_FLASHING = _where(lambda e: e.wall_joint is WallJoint.KEEP_LEAD, _FLASHED)
_NO_LEAD_ROOF = _where(lambda e: e.existing.covering is Covering.LEAD, _FELT)
_NO_TILES = _where(lambda e: EdgeKind.TILES in e.roof.edges.values(), _FLASHED)
_SQUARE = _roof(shape=Shape.RECTANGLE, sizes=SHALLOW.sizes)
_BAY = _roof(shape=Shape.CANTED_BAY, sizes=builders.canted_bay().sizes)
_LARGE = _roof(
    sizes={Size.WIDTH: number(12000.0, "mm"), Size.PROJECTION: number(12000.0, "mm")},
    shape=Shape.RECTANGLE,
)
_LIVED_IN = _row(occupier=Occupier.OWNER)
_HOME = _customer(CustomerKind.HOME_OWNER)
_LANDLORD = _customer(CustomerKind.LANDLORD)


def _accepted(made: Made) -> Made:
    return _row(accepted=made.enquiry.build_ups[0])(made)


def _not_for_the_trade(made: Made) -> Made:
    trade = made.enquiry.customer.kind is CustomerKind.TRADE
    return _LANDLORD(made) if trade else made


BRINGS: Mapping[str, Change] = {
    "work_at_height": _ON_A_TOWER,
    "fall_over_2m": _ON_A_TOWER,
    "ladder_worked_from": _ON_A_LADDER,
    "platform": _ON_A_TOWER,
    "tower": _ON_A_TOWER,
    "scaffold": _ON_A_SCAFFOLD,
    "off_the_roof": _all(_ON_A_TOWER, _GROUND_BELOW, _back(EdgeKind.WALL), _SHALLOW),
    "roof_stood_on": _ON_A_SCAFFOLD,
    "tower_moved": _ROUND_A_PORCH,
    "tower_without_room": _ALONG_A_FRONT,
    "fragile_deck": _existing(deck=Deck.CHIPBOARD),
    "rooflights": _row(openings=(opening(OpeningKind.ROOFLIGHT),)),
    "openings": _row(openings=(opening(OpeningKind.PIPE),)),
    "open_joists": _all(
        _where(_insulates, _existing(condition=DeckCondition.SOFT)),
        _where(lambda enquiry: not _insulates(enquiry), _NEW_DECK),
    ),
    "deck_stays": _CAPPED,
    "people_below": _LIVED_IN,
    "pavement_below": _below(Below.PAVEMENT),
    "doorway_below": _below(Below.DOORWAY),
    "glass_below": _below(Below.GLASS),
    "lower_roof_below": _below(Below.LOWER_ROOF),
    "roof_beside": _below(Below.ROOF_BESIDE),
    "occupied": _LIVED_IN,
    "tenant": _row(occupier=Occupier.TENANT),
    "children": _all(_LIVED_IN, _row(household=(Household.CHILDREN,))),
    "vulnerable": _all(_LIVED_IN, _row(household=(Household.VULNERABLE,))),
    "heated_below": _site(heated_below=True),
    "in_england": _row(nation=Nation.ENGLAND),
    "outside_england": _row(nation=Nation.WALES),
    "party_wall_act": _row(nation=Nation.WALES),
    "overhead_cables": _site(overhead_cables=True),
    "flue_near": _site(flue_near=True),
    "cars_near": _site(cars_near=True),
    "nesting_birds": _site(nesting_birds=True),
    "lone_work": _site(lone_work=True),
    "nobody_in_charge": _named(supervisor=None),
    "no_first_aider": _named(first_aider=None),
    "before_2000": _OLD,
    "before_2007": _row(year_built=number(2006.0)),
    "no_asbestos_survey": _all(_OLD, _site(asbestos_surveyed=False)),
    "hot_day": _row(deck_c=number(27.0, "°C")),
    "agreed_work": _row(findings=(finding(Answer.DO_IT),)),
    "seen_not_ordered": _row(findings=(finding(Answer.DECLINED),)),
    "promised": _row(customer_notes="The side gate stays open."),
    "lead": _LEADED,
    "lead_roof": _existing(covering=Covering.LEAD),
    "keep_lead": _LEADED,
    "wall_edge": _FLASHED,
    "wall_chase": _FLASHED,
    "odd_corners": _BAY,
    "strip": _all(_FELT, _NEW_DECK),
    "hazardous_waste": _all(_OLD, _FELT),
    "old_grp": _existing(covering=Covering.OLD_GRP),
    "bitumen_roof": _FELT,
    "coal_tar": _all(_OLD, _FELT),
    "chippings": _existing(covering=Covering.FELT_CHIPPINGS),
    "heavy_strip": _existing(covering=Covering.ASPHALT),
    "gutters": _row(gutter_mm=number(2400.0, "mm")),
    "tiles": _back(EdgeKind.TILES),
    "boards": _with(ItemKind.DECK_BOARD, ItemKind.TONGUED_BOARD),
    "insulation": _INSULATED,
    "resin": _with(ItemKind.RESIN),
    "topcoat": _with(ItemKind.TOPCOAT),
    "catalyst": _with(ItemKind.CATALYST),
    "acetone": _with(ItemKind.ACETONE),
    "adhesive": _with(ItemKind.ADHESIVE),
    "power_tools": _with(ItemKind.RESIN, ItemKind.DECK_BOARD, ItemKind.TONGUED_BOARD),
    "two_person_lift": lambda made: replace(made, small_packs=False),
    "aid_lift": _named(deck_boards="square-edge"),
    "two_layers": _row(mat_layers=number(2.0, "layers")),
    "no_place_away_from_edges": _SQUARE,
    "home_client": _HOME,
    "business_client": _LANDLORD,
    "agent_client": _customer(CustomerKind.AGENT),
    "trade_client": _customer(CustomerKind.TRADE),
    "sole_contractor": _all(_ON_A_TOWER, _not_for_the_trade),
    "leading_contractor": _all(_ON_A_SCAFFOLD, _not_for_the_trade),
    "notice_due": _named(hours_laminate=3000.0),
    "flammables_over": _LARGE,
    "flammables_over_day": _LARGE,
    "not_accepted": _row(accepted=None),
    "may_cancel": _HOME,
    "deposit_asked": _named(deposit_pct_home_owner=25.0, deposit_pct_business=25.0),
    "colour_open": _row(colour="to be agreed"),
    "heavier_roof": _named(weight_change_pct=-100.0),
    "not_certified_by_us": _named(building_work_scheme=None),
}
LACKS: Mapping[str, Change] = {
    "work_at_height": _FROM_THE_GROUND,
    "fall_over_2m": _roof(height_mm=number(1900.0, "mm")),
    "ladder_worked_from": _ON_A_TOWER,
    "platform": _FROM_THE_GROUND,
    "tower": _ON_A_SCAFFOLD,
    "scaffold": _ON_A_TOWER,
    "off_the_roof": _ON_A_SCAFFOLD,
    "roof_stood_on": _all(_ON_A_TOWER, _GROUND_BELOW, _back(EdgeKind.WALL), _SHALLOW),
    "tower_moved": _ON_A_SCAFFOLD,
    "tower_without_room": _site(room_for_tower=True),
    "fragile_deck": _existing(deck=Deck.SHEET, condition=DeckCondition.SOUND),
    "rooflights": _row(openings=()),
    "openings": _all(_row(openings=()), _site(through_roof=False)),
    "open_joists": _CAPPED,
    "deck_stays": _NEW_DECK,
    "people_below": _all(
        _row(occupier=Occupier.EMPTY), _not_below(Below.PAVEMENT, Below.ROAD, Below.DOORWAY)
    ),
    "pavement_below": _not_below(Below.PAVEMENT),
    "doorway_below": _not_below(Below.DOORWAY),
    "glass_below": _not_below(Below.GLASS),
    "lower_roof_below": _not_below(Below.LOWER_ROOF),
    "roof_beside": _not_below(Below.ROOF_BESIDE),
    "occupied": _row(occupier=Occupier.EMPTY),
    "tenant": _LIVED_IN,
    "children": _row(household=(Household.NONE,)),
    "vulnerable": _row(household=(Household.NONE,)),
    "heated_below": _site(heated_below=False),
    "in_england": _row(nation=Nation.SCOTLAND),
    "outside_england": _row(nation=Nation.ENGLAND),
    "party_wall_act": _row(nation=Nation.NORTHERN_IRELAND),
    "overhead_cables": _site(overhead_cables=False),
    "flue_near": _site(flue_near=False),
    "cars_near": _site(cars_near=False),
    "nesting_birds": _site(nesting_birds=False),
    "lone_work": _site(lone_work=False),
    "nobody_in_charge": _named(supervisor="Ada Tern"),
    "no_first_aider": _named(first_aider="Wren Tern"),
    "before_2000": _row(year_built=number(2010.0)),
    "before_2007": _row(year_built=number(2010.0)),
    "no_asbestos_survey": _site(asbestos_surveyed=True),
    "hot_day": _row(deck_c=number(15.0, "°C")),
    "agreed_work": _row(findings=(), extras=()),
    "seen_not_ordered": _row(findings=()),
    "promised": _row(customer_notes=""),
    "lead": _all(_back(EdgeKind.RAISED), _NO_LEAD_ROOF),
    "lead_roof": _NO_LEAD_ROOF,
    "keep_lead": _NO_OLD_FLASHING,
    "wall_edge": _back(EdgeKind.RAISED),
    "wall_chase": _back(EdgeKind.RAISED),
    "odd_corners": _SQUARE,
    "strip": _all(_CAPPED, _existing(covering=Covering.NONE)),
    "hazardous_waste": _PLASTIC,
    "old_grp": _where(lambda e: e.existing.covering is Covering.OLD_GRP, _FELT),
    "bitumen_roof": _PLASTIC,
    "coal_tar": _PLASTIC,
    "chippings": _FELT,
    "heavy_strip": _where(lambda e: e.existing.covering in HEAVY_COVERINGS, _FELT),
    "gutters": _row(gutter_mm=number(0.0, "mm")),
    "tiles": _NO_TILES,
    "boards": _without(ItemKind.DECK_BOARD, ItemKind.TONGUED_BOARD),
    "insulation": _where(_insulates, _NEW_DECK),
    "resin": _without(ItemKind.RESIN),
    "topcoat": _without(ItemKind.TOPCOAT),
    "catalyst": _without(ItemKind.CATALYST),
    "acetone": _without(ItemKind.ACETONE),
    "adhesive": _without(ItemKind.ADHESIVE),
    "power_tools": _all(
        _without(ItemKind.RESIN, ItemKind.DECK_BOARD, ItemKind.TONGUED_BOARD),
        _back(EdgeKind.RAISED),
    ),
    "two_person_lift": lambda made: replace(made, small_packs=True),
    "aid_lift": _named(deck_boards="tongued", tongued_width_mm=500.0),
    "two_layers": _row(mat_layers=number(1.0, "layers")),
    "no_place_away_from_edges": _LARGE,
    "home_client": _customer(CustomerKind.TRADE),
    "business_client": _customer(CustomerKind.TRADE),
    "agent_client": _LANDLORD,
    "trade_client": _LANDLORD,
    "sole_contractor": _ON_A_SCAFFOLD,
    "leading_contractor": _ON_A_TOWER,
    "notice_due": _named(hours_laminate=0.2),
    "flammables_over": _SQUARE,
    "flammables_over_day": _SQUARE,
    "not_accepted": _accepted,
    "may_cancel": _LANDLORD,
    "deposit_asked": _named(deposit_pct_home_owner=0.0, deposit_pct_business=0.0),
    "colour_open": _row(colour="dark grey"),
    "heavier_roof": _named(weight_change_pct=1000.0),
    "not_certified_by_us": _named(building_work_scheme="an invented scheme"),
}


def made_for(
    bringing: Iterable[str], lacking: Iterable[str] = (), base: Made = PLAIN
) -> MethodStatement:
    """The statement of a job with some facts added and then others removed."""
    for key in bringing:
        base = BRINGS[key](base)
    for key in lacking:
        base = LACKS[key](base)
    return base.statement()


def said(notes: Iterable[Note]) -> Mapping[str, str]:
    """The texts of notes, by their keys."""
    return {note.key: note.text for note in notes}


def all_text(made: MethodStatement) -> str:
    """Every sentence of a statement that comes from the rule tables, in one text."""
    parts: list[str] = [made.ladder_note, *made.injuries, *made.people]
    parts += [note.text for note in made.waste]
    parts += made.cautions
    parts += [text for note in made.law for text in (note.title, note.text)]
    for step in made.steps:
        parts += [step.title, *step.lines, step.hold_point]
        parts += [line.text for line in step.on_sheet]
    for risk in made.risks:
        parts += [risk.hazard, risk.who, *(control.text for control in risk.controls)]
        parts += [*risk.because, *risk.assumed]
    for one in made.substances:
        parts += [one.name, *one.storage, one.keep_from, one.spill, one.fire, one.waste]
        parts += [text for pair in (*one.statements, *one.first_aid) for text in pair]
        parts += one.limits
    for worn in made.protection:
        parts += [worn.task, worn.eyes, worn.gloves, worn.hands, worn.breathing, worn.other]
    parts += [text for note in made.emergency for text in (note.title, note.text)]
    return "\n".join(parts)
