"""The van list: all that the papers of the job demand, each once, on the days it is needed."""

import re
from collections import Counter
from datetime import date

import pytest
from msgspec.structs import replace

from quotegen.documents.crew.order import order_view
from quotegen.documents.crew.van_list import (
    DAYS_A_PAGE,
    VAN_LIST,
    KitRow,
    VanListView,
    van_list_view,
)
from quotegen.model.days import Span, Spell, WorkDay, WorkPlan
from quotegen.model.safety import MethodStatement
from quotegen.model.takeoff import Phase
from quotegen.reference import house_rules
from quotegen.safety.facts.day_store import day_store
from quotegen.safety.facts.worn import check_worn, worn_by_day
from quotegen.safety.rules.van_kit import closing_sheet_m
from tests.documents.conftest import ISSUE, first_issue, text_of
from tests.safety import jobs

WORN = ("gloves", "over_gloves", "filters")
SAID = {
    r"[Ee]ye wash": "eye-wash",
    r"running water": "water",
    r"dry powder extinguisher": "extinguisher",
    r"tray, extinguisher, absorbent": "spill-kit",
    r"[Ss]and or (other )?(absorbent|vermiculite)": "spill-kit",
    r"dispenser or a marked syringe": "measure",
    r"lidded metal bin": "rag-bin",
    r"skin cleaner": "washing",
    r"small lidded tin": "working-tin",
    r"[Ii]ts own vented b": "catalyst-box",
    r"fire-resisting box": "shut-box",
    r"on a tray for": "tray",
    r"class M": "vacuum",
    r"RCD": "power",
    r"magnet over the ground": "strip-tools",
    r"[Ss]plash goggles": "splash-goggles",
    r"[Dd]ust goggles": "dust-goggles",
    r"[Ss]afety glasses": "safety-glasses",
    r"[Hh]alf mask with": "half-mask",
    r"FFP3 dust mask": "dust-mask",
    r"[Ee]ar defenders": "ear-defenders",
    r"Work gloves": "work-gloves",
    r"Work gloves kept for lead": "lead-gloves",
    r"knee pads": "boots",
    r"[Hh]elmet": "helmet",
    r"than you can close today": "closing-sheet",
    r"Sheet what is below": "dust-sheets",
    r"supports of their own": "cover-boards",
    r"[Cc]over each rooflight": "rooflight-covers",
    r"Measure deck, air, humidity": "hygrometer",
    r"Measure deck": "deck-thermometer",
    r"Deck dry \(not over": "moisture-meter",
    r"Rest it on a stand-off": "ladder",
    r"before the asbestos survey is read": "asbestos-survey",
    r"No licence, no platform": "licence",
    r"operator’s answer on the cables": "cable-answer",
    r"sun cream": "sun",
    r"lit in the dark": "lamps",
    r"Lower it in a bucket": "lowering",
}
"""What the statement asks for, as it is written there, and the row of the van list."""


def keys_of(made: MethodStatement) -> set[str]:
    return {kit.key for kit in made.kit}


def rows_of(view: VanListView) -> list[KitRow]:
    return [
        row
        for page in view.pages
        for groups in page.columns
        for group in groups
        for row in group.rows
    ]


def asked_in(made: MethodStatement) -> str:
    return "\n".join([jobs.all_text(made), *(note.text for note in made.stored)])


@pytest.mark.parametrize("key", sorted(jobs.BRINGS))
def test_what_the_statement_demands_is_on_the_list(key: str) -> None:
    """Over the jobs of every fact: each mark of protection, and each thing named in a sentence."""
    made = jobs.BRINGS[key](jobs.PLAIN).statement()
    listed = keys_of(made)
    bought = {need.item for need in made.option.needs}
    for mark in made.marks:
        assert mark.key in listed or (mark.key == "chemical-gloves" and "gloves" in bought)
    said = asked_in(made)
    wanting = {row for words, row in SAID.items() if re.search(words, said) and row not in listed}
    assert wanting == set()


def test_every_thing_looked_for_is_said_by_some_job() -> None:
    """None of the words above has died out: each is in the statement of one job at least."""
    texts = [asked_in(change(jobs.PLAIN).statement()) for change in jobs.BRINGS.values()]
    assert [words for words in SAID if not any(re.search(words, text) for text in texts)] == []


def test_barriers_are_asked_for_whether_ours_or_hired() -> None:
    """That the hirer brings them takes nothing off the list: somebody looks that they are there."""
    for key in ("work_at_height", "pavement_below"):
        assert "barriers" in keys_of(jobs.BRINGS[key](jobs.PLAIN).statement())


def test_each_line_of_the_order_that_the_crew_carries_is_on_it_once(
    demo_statements: list[MethodStatement],
) -> None:
    """What is hired is brought by the hirer; everything else is loaded, on one day or by days."""
    items = house_rules.items()
    for made in demo_statements:
        view = van_list_view(made, first_issue(made))
        goods = Counter(
            line.item for page in view.pages for load in page.loads for line in load.lines
        )
        worn = Counter(row.item.split(",")[0] for row in rows_of(view))
        assert len(order_view(made, first_issue(made)).suppliers) > 0
        for need in made.option.needs:
            item = items[need.item]
            if item.hired:
                assert goods[item.words] == 0
            elif need.item in WORN:
                assert (goods[item.words], worn[item.words]) == (0, 1)
            else:
                assert goods[item.words] == 1, (made.enquiry.ref, item.words)


def test_work_at_a_price_of_its_own_is_to_be_got_for(
    demo_statements: list[MethodStatement],
) -> None:
    """Each thing agreed has its goods on the order or a line to get them by (common practice)."""
    seen = []
    for made in demo_statements:
        first, *rest = van_list_view(made, first_issue(made)).pages
        (agreed,) = [step for step in made.steps if step.key == "arrive"]
        fixed = [
            found.advised
            for found in made.enquiry.findings
            if found.is_done_in(made.build_up) and found.fixed_price is not None
        ]
        fixed += [extra.words for extra in made.enquiry.extras if extra.included]
        assert list(first.to_get) == fixed
        assert all(words in " ".join(agreed.lines) for words in fixed)
        assert not any(page.to_get for page in rest)
        seen += fixed
    assert "Fit a new rooflight on the kerb we build." in seen


def test_filters_and_gloves_are_people_by_days(demo_statements: list[MethodStatement]) -> None:
    """By hand: two people, a pair of filters each on each day of resin or topcoat, new each day."""
    for made in demo_statements:
        needs = {need.item: need for need in made.option.needs}
        wet = [
            sum(spell.phase in (Phase.LAY, Phase.COAT) for spell in day.spells) > 0
            for day in made.days.worked
        ]
        laid = [any(s.phase is Phase.LAY for s in day.spells) for day in made.days.worked]
        layers = made.enquiry.mat_layers.number
        args = (made.enquiry, made.option, made.days.worked, made.settings)
        assert worn_by_day(needs["filters"], *args) == tuple(
            2 * (layers if lay else 1) if on else 0 for on, lay in zip(wet, laid, strict=True)
        )
        assert worn_by_day(needs["over_gloves"], *args) == tuple(4.0 if on else 0 for on in wet)
        for item in WORN:
            assert sum(worn_by_day(needs[item], *args)) <= needs[item].gross.number
        assert check_worn(made.enquiry, made.option, made.days, made.settings) == []


def test_what_is_on_the_van_is_what_the_statement_counts_on_site(
    demo_statements: list[MethodStatement],
) -> None:
    """By the demo's sheet: 120 ml of catalyst, 2.5 l of acetone, 4 pairs of gloves."""
    (bay,) = [made for made in demo_statements if made.enquiry.ref == "MH-101"]
    view = van_list_view(bay, ISSUE)
    goods = {
        line.item: line.much for page in view.pages for load in page.loads for line in load.lines
    }
    assert goods["Catalyst (MEKP)"].endswith(", 120 ml off the van")
    assert goods["Acetone"] == "1 of 2.5 l on the van"
    amounts = {one.key: one.amount for one in bay.substances}
    assert "120 ml off the van" in amounts["catalyst"]
    assert "2.5 l off the van" in amounts["acetone"]
    (gloves,) = [row for row in rows_of(view) if row.item.startswith("Chemical gloves")]
    (need,) = [need for need in bay.option.needs if need.item == "gloves"]
    assert need.purchase is not None
    assert need.purchase.bought.number + 4 == need.gross.number == 16
    assert gloves.item.endswith(", 4 on the van")


@pytest.mark.parametrize("key", sorted(jobs.BRINGS))
def test_nothing_to_stand_on_goes_along_where_nobody_is_on_the_roof(key: str) -> None:
    """Over the jobs of every fact: the card's “NOBODY on the roof” and the list agree."""
    made = jobs.BRINGS[key](jobs.PLAIN).statement()
    boards = "crawling-boards" in keys_of(made)
    weak = any(made.facts[fact].present for fact in ("fragile_deck", "open_joists", "deck_stays"))
    assert boards is (weak and made.option.access.stood_on)
    assert made.option.access.stood_on or "boards across three joists" not in asked_in(made)


def test_boards_to_stand_on_go_along_where_the_roof_is_stood_on(
    demo_statements: list[MethodStatement],
) -> None:
    """A rotten deck behind a scaffold is walked on: HSE HSG33, from memory, spreads the load."""
    (large,) = [made for made in demo_statements if made.enquiry.ref == "MH-104"]
    assert "boards across three joists" in asked_in(large)
    assert "crawling-boards" in keys_of(large)


def test_two_people_on_two_wet_days_have_four_pairs(
    demo_statements: list[MethodStatement],
) -> None:
    """The bay of the demo: the order, the statement and the van list give the same."""
    (bay,) = [made for made in demo_statements if made.enquiry.ref == "MH-101"]
    (filters,) = [need for need in bay.option.needs if need.item == "filters"]
    assert filters.gross.number == 4
    assert "new filters each day" in jobs.said(bay.marks)["half-mask"]
    (row,) = [r for r in rows_of(van_list_view(bay, ISSUE)) if r.item.startswith("Vapour filters")]
    assert (row.many, row.boxes) == ("2 a day", (True, True))


def test_more_days_than_are_counted_are_a_problem(bay_statement: MethodStatement) -> None:
    day = WorkDay(None, 1, (), (), (), (), None, (Spell(Phase.LAY, Span(8.0, 10.0), None),))
    days = WorkPlan(tuple(replace(day, number=n) for n in range(1, 6)), Span(8, 16), False, None)
    found = check_worn(bay_statement.enquiry, bay_statement.option, days, bay_statement.settings)
    assert {p.code for p in found} == {"worn-short"}
    assert {p.seen for p in found} >= {"10"}  # two people, five days, a pair of filters each


def test_the_sheet_covers_the_roof_and_hangs_over(bay_statement: MethodStatement) -> None:
    """The bay is 2400 by 600: 500 mm more on every side are 3400 by 1600, in half metres."""
    points = bay_statement.take_off.outline.points
    assert closing_sheet_m(points, 500.0) == (3.5, 2.0)
    (sheet,) = [kit for kit in bay_statement.kit if kit.key == "closing-sheet"]
    assert "3.5 × 2 m" in sheet.words
    assert sheet.phases == ()  # every day


def test_statement_and_van_list_name_one_sheet(demo_statements: list[MethodStatement]) -> None:
    """The sheet loaded is the sheet the crew closes the roof with: one size on both papers."""
    for made in demo_statements:
        (kit,) = [kit for kit in made.kit if kit.key == "closing-sheet"]
        size = re.search(r"[\d.]+ × [\d.]+ m or more", kit.words)
        (step,) = [step for step in made.steps if step.key == "close"]
        assert size and size[0] in " ".join(step.lines)


def test_boxes_stand_where_the_day_needs_the_thing(bay_statement: MethodStatement) -> None:
    parts = ((Phase.OPEN,), (Phase.LAY,), (Phase.COAT,))
    worked = tuple(
        WorkDay(
            date(2026, 12, n), n, (), (), (), (), None,
            tuple(Spell(phase, Span(8.0, 10.0), None) for phase in phases),
        )
        for n, phases in enumerate(parts, 1)
    )  # fmt: skip
    days = WorkPlan(worked, Span(8, 16), True, None)
    rows = {
        row.item: row for row in rows_of(van_list_view(replace(bay_statement, days=days), ISSUE))
    }
    assert rows["Splash goggles"].boxes == (False, True, True)
    assert rows["Deck thermometer"].boxes == (False, True, True)
    assert rows["Moisture meter for boards"].boxes == (True, True, False)
    assert rows["First-aid kit, charged phone"].boxes == (True, True, True)
    assert rows["Splash goggles"].many == "2"


def test_flammable_liquids_go_along_as_the_day_store_has_it(
    demo_statements: list[MethodStatement],
) -> None:
    (large,) = [made for made in demo_statements if made.enquiry.ref == "MH-104"]
    view = van_list_view(large, ISSUE)
    store = day_store(large.option, large.days, large.settings)
    assert store.split
    loads = {load.day: load for page in view.pages for load in page.loads}
    order = [part for one in order_view(large, ISSUE).suppliers for part in one.by_day]
    assert {part.day for part in order} <= set(loads)
    for part in order:
        items = {line.item: line.much for line in loads[part.day].lines}
        item = next(name for name in ("Laminating resin", "Topcoat") if part.what.startswith(name))
        assert part.what.split("; ")[0] == f"{item} {items[item]}"
    assert [bool(loads[part.day].store) for part in order] == [True, False]
    # Catalyst too: HSE CS21 keeps it boxed apart, so there is none on site while nobody lays.
    with_catalyst = [part.day for part in order if "; catalyst (MEKP) 2 × 855 ml" in part.what]
    loaded = [at for at, load in loads.items() if "Catalyst (MEKP)" in {x.item for x in load.lines}]
    assert with_catalyst == loaded == ["Mon 7 Dec"]


def test_it_is_one_page_for_every_demo_job(demo_statements: list[MethodStatement]) -> None:
    for made in demo_statements:
        paper = VAN_LIST.make(made, first_issue(made), None)
        assert (paper.pages, paper.warnings) == (1, ()), made.enquiry.ref


def test_a_long_job_has_a_page_for_each_six_days(bay_statement: MethodStatement) -> None:
    day = replace(bay_statement.days.worked[0], day=None)
    worked = tuple(replace(day, number=n) for n in range(1, DAYS_A_PAGE + 3))
    days = replace(bay_statement.days, days=worked)
    view = van_list_view(replace(bay_statement, days=days), ISSUE)
    assert [len(page.heads) for page in view.pages] == [DAYS_A_PAGE, 2]


def test_without_days_everything_goes_along(bay_statement: MethodStatement) -> None:
    made = replace(bay_statement, days=replace(bay_statement.days, days=()))
    view = van_list_view(made, ISSUE)
    (page,) = view.pages
    assert page.heads == ("First day",)
    assert all(row.boxes == (True,) for row in rows_of(view))
    text = text_of(VAN_LIST.make(made, ISSUE, None))
    assert "Goods for First day" in text
    assert "Eye wash" in text
