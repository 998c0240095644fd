"""Every figure has a unit, and sums and formulas get figures in the right one."""

import inspect
from collections.abc import Iterator, Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any, get_type_hints

import msgspec
import pytest
from msgspec import Struct

from quotegen import tables
from quotegen.demo.scenario import demo_date, write_demo
from quotegen.machine.resources import price_lists_folder
from quotegen.pricing.costs import money_total
from quotegen.reference import house_rules, loader
from quotegen.takeoff.hours.elapsed import crew_hours
from quotegen.takeoff.shape.outline import difference
from quotegen.units import Unit
from quotegen.working import (
    _ALIKE,
    Figure,
    MixedUnitsError,
    Step,
    chosen,
    derive,
    product,
    total,
)
from quotegen.working_out import work_out

LENGTH = chosen("wall", 2400.0, Unit.MM, "example")
AREA = chosen("deck", 1.5, Unit.M2, "example")


ADDING = {
    "total": ("parts",),
    "money_sum": ("parts",),
    "money_total": ("parts",),
    "difference": ("whole", "part"),
    "half_difference": ("larger", "smaller"),
    "remaining": ("whole", "first", "second"),
    "less_openings_m2": ("plan_m2", "openings_m2"),
    "spare_quantity": ("bought", "needed"),
    "bought_quantity": ("sizes",),
    "less": ("amount", "paid"),
    "shortfall": ("amount", "least"),
    "used_of_stock": ("gross", "stock"),
    "to_buy_quantity": ("gross", "used"),
    "left_on_van": ("stock", "used"),
    "days_paid": ("day_step", "least_days"),
    "rest_of_cost": ("cost", "parts"),
    "area_hours": ("least_hours",),
    "strip_hours": ("least_hours",),
    "laminate_hours": ("least_hours",),
    "scaffold_m": ("open_edge_m", "return_m", "least_m"),
    "rise_m": ("height_m", "projection_m"),
    "barrier_m": ("open_edge_m", "out_m"),
    "largest_gap_mm": ("top_mm", "middle_mm", "toe_board_mm"),
}
"""The formulas that add, take away or take the larger, by hand from their documentation."""

NOT_IN_THE_DEMO = {"left_on_van", "shortfall", "rest_of_cost"}
"""Those of which no figure is kept there."""

UNITS_OF_NAMES = {
    "each_hours": {Unit.PERSON_HOURS, Unit.PERSON_HOURS_EACH, Unit.PERSON_HOURS_PER_M},
    "hours_per_m2": {Unit.PERSON_HOURS_PER_M2},
    "hours_per_m": {Unit.PERSON_HOURS_PER_M},
    "kg_per_l": {Unit.KG_PER_L},
    "m2_per_l": {Unit.M2_PER_L},
    "per_tonne": {Unit.GBP_PER_TONNE},
    "per_hour": {Unit.GBP_PER_PERSON_HOUR},
    "w_m2k": {Unit.W_PER_M2K},
    "m2k_w": {Unit.M2K_PER_W},
    "w_mk": {Unit.W_PER_MK},
    "kg_m3": {Unit.KG_PER_M3},
    "kg_m2": {Unit.KG_PER_M2},
    "kn_m2": {Unit.KN_PER_M2},
    "m_s2": {Unit.M_PER_S2},
    "g_m2": {Unit.G_PER_M2},
    "l_m2": {Unit.L_PER_M2},
    "m2_l": {Unit.M2_PER_L},
    "m3": {Unit.M3},
    "m2": {Unit.M2},
    "mm": {Unit.MM},
    "m": {Unit.M},
    "ml": {Unit.ML},
    "l": {Unit.L},
    "kg": {Unit.KG},
    "h": {Unit.H},
    "hours": {Unit.PERSON_HOURS},
    "days": {Unit.DAYS, Unit.PERSON_DAYS},
    "minutes": {Unit.MIN},
    "pct": {Unit.PERCENT},
    "c": {Unit.CELSIUS},
    "deg": {Unit.DEGREES},
    "rad": {Unit.RADIANS},
    "gbp": {Unit.GBP},
}
"""What a name ending so is in, as `units.py` says that names end; the longest ending holds."""


OF_ONE = {("quotegen.pricing.costs.hours_cost", "hours")}
"""Where the hours are those of one metre or one piece, which is then priced."""


def named_units(name: str) -> set[Unit] | None:
    """The units a parameter or a formula of this name may have, None where it names none."""
    words = name.split("_")
    endings = ("_".join(words[at:]) for at in range(len(words)))
    return next((UNITS_OF_NAMES[ending] for ending in endings if ending in UNITS_OF_NAMES), None)


@pytest.fixture(scope="module")
def demo_figures(tmp_path_factory: pytest.TempPathFactory) -> list[Figure]:
    """Every figure of every job of the demo, each once."""
    book = write_demo(tmp_path_factory.mktemp("demo"))
    assert isinstance(book, Path)
    batch = work_out(book, sorted(price_lists_folder().glob("*.xlsx")), demo_date())
    assert all(one.quote and one.statement for one in batch.worked)
    return list(figures_in(batch.worked, set()))


def figures_in(thing: Any, seen: set[int]) -> Iterator[Figure]:
    """Every figure in a record, its lists and its records, with all below it."""
    if isinstance(thing, str) or id(thing) in seen:
        return
    if isinstance(thing, Mapping):
        for value in thing.values():
            yield from figures_in(value, seen)
    elif isinstance(thing, tuple | list | set | frozenset):
        for value in thing:
            yield from figures_in(value, seen)
    elif isinstance(thing, Figure):
        seen.add(id(thing))
        yield thing
        if isinstance(thing.basis, Step):
            yield from figures_in(thing.basis.inputs, seen)
    elif isinstance(thing, Struct):
        seen.add(id(thing))
        for name in thing.__struct_fields__:
            yield from figures_in(getattr(thing, name), seen)


def inputs(step: Step, parameter: str) -> tuple[Figure, ...]:
    given = step.inputs[parameter]
    return given if isinstance(given, tuple) else (given,)


def test_a_length_and_an_area_are_not_added() -> None:
    with pytest.raises(MixedUnitsError, match=r"'wall' is in “mm” and 'deck' in “m2”"):
        derive("x", Unit.M2, total, parts=[LENGTH, AREA])
    with pytest.raises(MixedUnitsError, match=r"'deck' is in “m2” and 'wall' in “mm”"):
        derive("x", Unit.MM, difference, whole=AREA, part=LENGTH)


def test_a_sum_is_in_the_unit_of_its_parts() -> None:
    with pytest.raises(MixedUnitsError, match=r"'wall' is in “mm” and 'x' in “m”"):
        derive("x", Unit.M, total, parts=[LENGTH, LENGTH])
    amount = chosen("amount", Decimal("1.00"), Unit.GBP, "example")
    with pytest.raises(MixedUnitsError):
        derive("x", Unit.PERCENT, money_total, parts=[amount])  # type: ignore[arg-type]  # no money
    assert derive("x", Unit.GBP, money_total, parts=[]).value == 0


def test_a_product_may_mix_them() -> None:
    assert derive("x", Unit.M2, product, factors=[LENGTH, AREA]).value == 3600.0


def test_two_spellings_of_one_unit_are_added() -> None:
    hours = [chosen("a", 1.0, Unit.H, "example"), chosen("b", 2.0, Unit.HOURS, "example")]
    assert derive("x", Unit.H, total, parts=hours).value == 3.0
    spellings = {unit for unit in Unit if unit.adds_as is not unit}
    assert {unit.adds_as for unit in spellings}.isdisjoint(spellings)


def test_hours_on_the_clock_are_added_to_person_hours_only_as_those_of_people() -> None:
    """A wait of 1.5 h is 3 person-hours for two, and with 2 of work that makes 5, by hand."""
    wait, work = chosen("wait", 1.5, Unit.H, "why"), chosen("work", 2.0, Unit.PERSON_HOURS, "why")
    for unit in (Unit.H, Unit.PERSON_HOURS):
        with pytest.raises(MixedUnitsError, match=r"'wait' is in “h” and 'work' in “person-hours”"):
            derive("x", unit, total, parts=[wait, work])
    with pytest.raises(MixedUnitsError, match=r"'wait' is in “h” and 'x' in “person-hours”"):
        derive("x", Unit.PERSON_HOURS, total, parts=[wait])
    crew = chosen("crew", 2.0, Unit.PEOPLE, "why")
    waited = derive("waited", Unit.PERSON_HOURS, crew_hours, clock_h=wait, crew=crew)
    assert derive("x", Unit.PERSON_HOURS, total, parts=[waited, work]).value == 5.0


@pytest.mark.parametrize(
    "kind, file, name",
    [
        (house_rules._Setting, house_rules.HOUSE / "rates.toml", "setting"),
        (house_rules.Item, house_rules.HOUSE / "items.toml", "item"),
        (loader.PublishedValue, loader.REFERENCE_FOLDER / "protection" / "ladders.toml", "entry"),
    ],
)
def test_a_table_with_a_word_that_is_no_unit_is_refused(
    kind: type[tables.Table], file: Path, name: str
) -> None:
    row = tables.content(file)[name][0]
    assert tables.made(row, kind, "here")
    with pytest.raises(tables.ReferenceFileError, match=r"here: .*'furlongs'.*unit"):
        tables.made({**row, "unit": "furlongs"}, kind, "here")


def test_every_figure_of_the_demo_has_a_unit(demo_figures: list[Figure]) -> None:
    assert len(demo_figures) > 3000
    assert [f.name for f in demo_figures if not isinstance(f.unit, Unit)] == []


def test_what_the_demo_adds_up_has_one_unit(demo_figures: list[Figure]) -> None:
    mixed, seen = [], set()
    for figure in demo_figures:
        if not isinstance(figure.basis, Step) or figure.basis.formula.__name__ not in ADDING:
            continue
        step = figure.basis
        seen.add(step.formula.__name__)
        parts = [x for name in ADDING[step.formula.__name__] for x in inputs(step, name)]
        if {part.unit.adds_as for part in parts} - {figure.unit.adds_as}:
            mixed.append((step.formula_name, figure.name, [(p.name, str(p.unit)) for p in parts]))
    assert mixed == []
    assert seen == set(ADDING) - NOT_IN_THE_DEMO


def test_what_a_name_says_of_its_unit_is_so(demo_figures: list[Figure]) -> None:
    """Of parameters and of formulas: `length_mm` is in mm, `strip_m2` gives m2."""
    wrong, checked = set(), 0
    for figure in demo_figures:
        if not isinstance(figure.basis, Step):
            continue
        step = figure.basis
        pairs = [(name, given) for name in step.inputs for given in inputs(step, name)]
        for name, given in [*pairs, (step.formula.__name__, figure)]:
            units = named_units(name)
            if units is not None:
                checked += 1
                of_one = (step.formula_name, name) in OF_ONE
                if given.unit.adds_as not in (
                    units | UNITS_OF_NAMES["each_hours"] if of_one else units
                ):
                    wrong.add((step.formula_name, name, str(given.unit)))
    assert sorted(wrong) == []
    assert checked > 5000


def test_what_is_marked_alike_are_parameters(demo_figures: list[Figure]) -> None:
    assert len(_ALIKE) > 30
    for formula, (parameters, _) in _ALIKE.items():
        assert set(parameters) <= set(inspect.signature(formula).parameters), formula
    derived = [f.basis.formula for f in demo_figures if isinstance(f.basis, Step)]
    assert set(_ALIKE) & set(derived)


def test_what_reaches_a_formula_is_of_the_type_it_takes(demo_figures: list[Figure]) -> None:
    """What mypy cannot see, since a figure may hold any value. msgspec judges the values."""
    wrong, seen = set(), set()
    for figure in demo_figures:
        if not isinstance(figure.basis, Step):
            continue
        formula = figure.basis.formula
        types = get_type_hints(formula)
        for name, given in figure.basis.inputs.items():
            value = tuple(f.value for f in given) if isinstance(given, tuple) else given.value
            seen.add((formula, name))
            try:
                taken = msgspec.convert(value, types[name])
            except msgspec.ValidationError as error:
                wrong.add((figure.basis.formula_name, name, str(error)))
            else:  # It would make a float of a Decimal, and a Decimal of a float.
                if ("Decimal" in repr(value)) is not ("Decimal" in repr(taken)):
                    wrong.add((figure.basis.formula_name, name, repr(value)))
    assert sorted(wrong) == []
    assert len(seen) > 300
