"""Two safety properties, over jobs that run all the way from enquiry to statement.

Turning any one answer into "not known" never removes a rule or lowers a rating. Nor does making the
job taller, longer, hotter or more crowded. Rules are compared, not sentences: their figures differ
from job to job.

Where the access changes (a refused ladder to a tower, or to a scaffold if more towers would be
needed than the firm puts up; one tower to a guard at every edge at once), its rules replace those
of the old access. Then, for every hazard both jobs have, no level of control disappears, and no
rating falls except where a platform has replaced a ladder, which is the better control.
"""

from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import fields, replace

from quotegen.demo.scenario import write_demo
from quotegen.model.choices import (
    Access,
    Below,
    BuildUp,
    Covering,
    Deck,
    DeckCondition,
    EdgeKind,
    Household,
    Occupier,
    OpeningKind,
    Shape,
    Side,
    Size,
    WallJoint,
)
from quotegen.model.enquiry import Enquiry, SiteFacts
from quotegen.model.safety import MethodStatement, Rating
from quotegen.model.settings import Settings
from quotegen.reference import rules
from quotegen.workbook.reading.reader import read_workbook
from tests import builders
from tests.documents.on_paper import off_paper
from tests.safety import jobs
from tests.safety.conditions import Rule, every_rule, is_printed, stands
from tests.safety.jobs import number
from tests.workbook.books import settings_of

RULES = every_rule()
WAYS = frozenset({
    "ladder_worked_from", "platform", "tower", "scaffold", "tower_without_room",
    "off_the_roof", "roof_stood_on", "tower_moved",
})  # fmt: skip
WHO_RUNS_IT = frozenset({"sole_contractor", "leading_contractor"})
"""A scaffolder is another contractor, so who runs the project follows from the way of working."""
SMALL = frozenset({"no_place_away_from_edges"})
"""A larger roof may have a place away from its edges; the control then says how one stays there."""
PLATFORMS = (Access.TOWER, Access.SCAFFOLD)

Blank = Callable[[Enquiry], Enquiry]


def row(**changes: Any) -> Blank:
    return lambda enquiry: replace(enquiry, **changes)


def measured(**changes: Any) -> Blank:
    return lambda enquiry: replace(enquiry, roof=replace(enquiry.roof, **changes))


def existing(**changes: Any) -> Blank:
    return lambda enquiry: replace(enquiry, existing=replace(enquiry.existing, **changes))


def site(name: str) -> Blank:
    return lambda enquiry: replace(enquiry, site=replace(enquiry.site, **{name: None}))


def no_gutter(enquiry: Enquiry) -> Enquiry:
    """Blank is "not known" only where an edge drips to a gutter; elsewhere it is none."""
    kinds = {*enquiry.roof.edges.values(), *(one.kind for one in enquiry.roof.outline_rows)}
    return replace(enquiry, gutter_mm=None) if EdgeKind.GUTTER_DRIP in kinds else enquiry


def no_deck(enquiry: Enquiry) -> Enquiry:
    """Under covering "none" a blank deck says that the joists lie open, as the heading says."""
    bare = enquiry.existing.covering is Covering.NONE
    return enquiry if bare else existing(deck=None)(enquiry)


def no_openings(enquiry: Enquiry) -> Enquiry:
    return replace(enquiry, openings=(), site=replace(enquiry.site, through_roof=None))


BLANKS: Mapping[str, Blank] = {
    "occupier": row(occupier=None),
    "household": row(household=()),
    "below": row(below=()),
    "wall joint": row(wall_joint=None),
    "year built": row(year_built=None),
    "deck expected": row(deck_c=None),
    "air expected": row(air_c=None),
    "humidity": row(humidity_pct=None),
    "access": row(access=None),
    "start": row(start_on=None),
    "gutter": no_gutter,
    "openings": no_openings,
    "height": measured(height_mm=None),
    "upstand": measured(upstand_mm=None),
    "level drop": measured(level_drop_mm=None),
    "joist centres": measured(joist_centres_mm=None),
    "joists run": measured(joist_run=None),
    "covering": existing(covering=None),
    "layers": existing(layers=None),
    "deck": no_deck,
    "condition": existing(condition=None),
    **{fact.name: site(fact.name) for fact in fields(SiteFacts)},
}
"""Every cell whose blank means "not known". `Accepted build-up` is a choice, not a fact."""


def weight(one: Rating) -> tuple[int, int]:
    return one.likelihood * one.severity, one.severity


def lost(before: MethodStatement, after: MethodStatement, but: frozenset[str]) -> Iterator[Rule]:
    """The rules of the first that the second has not, leaving out those on some facts."""
    for rule in RULES:
        named = {fact for when in rule.whens for fact in when.facts}
        if stands(rule, before) and not stands(rule, after) and not named & but:
            yield rule


def nothing_lighter(before: MethodStatement, after: MethodStatement) -> None:
    ways = before.option.access.chosen, after.option.access.chosen
    changed = ways[0] is not ways[1] or before.option.access.way is not after.option.access.way
    excused = SMALL | (WAYS | WHO_RUNS_IT if changed else frozenset())
    assert [rule.name for rule in lost(before, after, excused)] == []
    better = ways[0] is Access.LADDER and ways[1] in PLATFORMS
    risks = {risk.key: risk for risk in after.risks}
    for risk in before.risks:
        if risk.key not in risks:
            (rule,) = [rule for rule in rules.hazards() if rule.key == risk.key]
            assert set(rule.when.facts) <= excused, risk.key
            continue
        found = risks[risk.key]
        if not better:
            assert {c.level for c in risk.controls} <= {c.level for c in found.controls}, risk.key
            assert weight(risk.before) <= weight(found.before), risk.key
        assert weight(risk.after) <= weight(found.after), risk.key


def everything_printed(made: MethodStatement) -> None:
    """What stands by the facts is in the record, and what is in the record on paper.

    So comparing rules is comparing papers.
    """
    assert [rule.name for rule in RULES if stands(rule, made) and not is_printed(rule, made)] == []
    assert off_paper(made) == []


SHAPES = {
    "rectangle": builders.roof(sizes={Size.WIDTH: 2400, Size.PROJECTION: 600}),
    "larger": builders.roof(sizes={Size.WIDTH: 4200, Size.PROJECTION: 3000}),
    "bay": builders.canted_bay(),
    "bow": builders.roof(
        Shape.BOW,
        sizes={Size.WIDTH: 2600, Size.PROJECTION: 450},
        edges={Side.BACK: EdgeKind.WALL, Side.FRONT: EdgeKind.FREE_DRIP},
    ),
    "under tiles": builders.roof(edges={**builders.roof().edges, Side.BACK: EdgeKind.TILES}),
}


@st.composite
def enquiries(draw: st.DrawFn) -> Enquiry:
    """Jobs on which everything is known, of several shapes, build-ups and ways of working."""
    condition = draw(st.sampled_from(list(DeckCondition)))
    build_ups = [
        up for up in BuildUp if up is not BuildUp.CAP_OVER or condition is DeckCondition.SOUND
    ]
    covering = draw(st.sampled_from(list(Covering)))
    decks = [Deck.SHEET, Deck.BOARDING, Deck.CHIPBOARD]
    opening = draw(st.sampled_from([None, *OpeningKind]))
    height = draw(st.sampled_from([1500.0, 1900.0, 2400.0, 2600.0, 5000.0]))
    roof = replace(SHAPES[draw(st.sampled_from(sorted(SHAPES)))], height_mm=number(height, "mm"))
    flags = {
        fact.name: draw(st.booleans()) for fact in fields(SiteFacts) if fact.name != "through_roof"
    }
    household = [
        (Household.NONE,),
        (Household.CHILDREN,),
        (Household.VULNERABLE,),
        tuple(Household)[:2],
    ]
    return jobs.plain_enquiry(
        roof=roof,
        occupier=draw(st.sampled_from(list(Occupier))),
        household=draw(st.sampled_from(household)),
        below=tuple(
            draw(st.lists(st.sampled_from(list(Below)), min_size=1, max_size=3, unique=True))
        ),
        existing=replace(
            jobs.FELT, covering=covering, deck=draw(st.sampled_from(decks)), condition=condition
        ),
        build_ups=tuple(
            draw(st.lists(st.sampled_from(build_ups), min_size=1, max_size=2, unique=True))
        ),
        insulation_mm=number(100.0, "mm"),
        wall_joint=draw(st.sampled_from(list(WallJoint))),
        year_built=number(draw(st.sampled_from([1930.0, 1985.0, 1999.0, 2000.0, 2015.0]))),
        deck_c=number(draw(st.sampled_from([4.0, 9.0, 15.0, 24.0, 25.0, 33.0])), "°C"),
        mat_layers=number(draw(st.sampled_from([1.0, 2.0])), "layers"),
        gutter_mm=number(draw(st.sampled_from([0.0, 2000.0])), "mm"),
        access=draw(st.sampled_from(list(Access))),
        ladder_reason="the alley is 600 mm wide",
        openings=(jobs.opening(opening),) if opening and roof is not SHAPES["bow"] else (),
        site=SiteFacts(**flags, through_roof=opening is not None),
    )


@settings(max_examples=15)
@given(enquiries())
def test_not_knowing_any_one_thing_takes_nothing_away(enquiry: Enquiry) -> None:
    known = jobs.statement(enquiry)
    everything_printed(known)
    for blank in BLANKS.values():
        forgetting = blank(enquiry)
        if forgetting != enquiry:
            nothing_lighter(known, jobs.statement(forgetting))


@settings(max_examples=10)
@given(enquiries(), st.sampled_from(["supervisor", "first_aider"]))
def test_not_naming_who_runs_it_takes_nothing_away(enquiry: Enquiry, duty: str) -> None:
    unnamed = builders.settings(**{**jobs.NAMED, duty: None})
    nothing_lighter(jobs.statement(enquiry), jobs.statement(enquiry, unnamed))


def wider(enquiry: Enquiry, times: float) -> Enquiry:
    sizes = {
        size: number(mm.number * times, "mm") if size in (Size.WIDTH, Size.FRONT_WIDTH) else mm
        for size, mm in enquiry.roof.sizes.items()
    }
    return replace(enquiry, roof=replace(enquiry.roof, sizes=sizes))


def taller(enquiry: Enquiry, by: float) -> Enquiry:
    height = enquiry.roof.height_mm
    assert height
    return measured(height_mm=number(height.number + 1000 * by, "mm"))(enquiry)


def hotter(enquiry: Enquiry, by: float) -> Enquiry:
    assert enquiry.deck_c
    return row(deck_c=number(enquiry.deck_c.number + 10 * by, "°C"))(enquiry)


MORE_CROWDED: tuple[Blank, ...] = (
    lambda e: replace(e, occupier=Occupier.OWNER) if e.occupier is Occupier.EMPTY else e,
    lambda e: (
        replace(e, household=(Household.CHILDREN, Household.VULNERABLE)) if e.household else e
    ),
    lambda e: (
        replace(e, below=tuple(dict.fromkeys((*e.below, Below.PAVEMENT, Below.DOORWAY))))
        if e.below
        else e
    ),
    lambda e: replace(e, site=replace(e.site, cars_near=True)) if e.site.cars_near is False else e,
)
"""More people there where it is known who is: to find out what was not known is another thing."""


@settings(max_examples=15)
@given(enquiries(), st.sampled_from([0.1, 0.5, 1.0, 2.0]))
def test_a_taller_longer_hotter_or_more_crowded_job_loses_nothing(
    enquiry: Enquiry, more: float
) -> None:
    made = jobs.statement(enquiry)
    harder = [taller(enquiry, more), wider(enquiry, 1 + more), hotter(enquiry, more)]
    harder += [crowd(enquiry) for crowd in MORE_CROWDED]
    for job in harder:
        nothing_lighter(made, jobs.statement(job))


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> tuple[Settings, tuple[Enquiry, ...]]:
    path = write_demo(tmp_path_factory.mktemp("demo"))
    assert isinstance(path, Path)
    read = read_workbook(path)
    return settings_of(read), read.enquiries


@pytest.mark.parametrize("place", range(10))
def test_the_demo_jobs_lose_nothing_either(
    demo: tuple[Settings, tuple[Enquiry, ...]], place: int
) -> None:
    firm, enquiries = demo
    enquiry = enquiries[place]
    made = jobs.statement(enquiry, firm)
    everything_printed(made)
    for blank in BLANKS.values():
        nothing_lighter(made, jobs.statement(blank(enquiry), firm))
    for job in (taller(enquiry, 1.0), *(crowd(enquiry) for crowd in MORE_CROWDED)):
        nothing_lighter(made, jobs.statement(job, firm))
    if enquiry.deck_c:
        nothing_lighter(made, jobs.statement(hotter(enquiry, 1.5), firm))
