"""Every figure can be worked out again from its recorded working."""

import importlib
import json
from decimal import Decimal
from typing import Any

import pytest
from msgspec.structs import replace

from quotegen.documents.data.explanation import explained
from quotegen.model.choices import BuildUp
from quotegen.model.quote import Quote
from quotegen.pricing.quote import make_quote
from quotegen.reference import house_rules
from quotegen.takeoff.measure import measure
from quotegen.working import Step
from tests import builders


def quotes() -> list[Quote]:
    made = []
    held = {"resin": 2.0, "clout": 1000.0}
    stock = {
        i: builders.given(f"{i} on the van", n, house_rules.items()[i].unit, "Van stock!B2")
        for i, n in held.items()
    }
    settings = replace(builders.settings(), van_stock=stock)
    prices = builders.prices(without=())
    for roof in (builders.canted_bay(), builders.roof()):
        enquiry = builders.enquiry(
            roof, build_ups=tuple(BuildUp), insulation_mm=builders.given("ins", 130.0, "mm")
        )
        take_off, problems = measure(enquiry, settings, prices, builders.TODAY)
        assert take_off is not None
        assert [p.code for p in problems if p.stops] == []
        quote, problems = make_quote(take_off, settings, prices, builders.TODAY)
        assert problems == []
        made.append(quote)
    return made


def test_every_step_gives_its_figure_again() -> None:
    steps = 0
    for quote in quotes():
        for _, lines in explained(quote):
            for line in lines:
                for figure in line.figure.walk():
                    if isinstance(figure.basis, Step):
                        assert figure.basis.recompute() == figure.value, figure.name
                        steps += 1
    assert steps > 500


def test_every_step_gives_its_figure_again_from_the_json_alone() -> None:
    """The data printed by `explain --json` is enough to work every figure out again."""
    seen = 0
    for quote in quotes():
        for _, lines in explained(quote):
            for line in lines:
                data = json.loads(json.dumps(line.figure.to_data()))
                again = recomputed(data)
                assert again == line.figure.value, line.code
                seen += 1
    assert seen > 100


def recomputed(data: dict[str, Any]) -> Any:
    if "formula" not in data:
        return from_json(data["value"], data["unit"])
    module, _, name = data["formula"].rpartition(".")
    formula = getattr(importlib.import_module(module), name)
    inputs = {
        key: tuple(recomputed(part) for part in given)
        if isinstance(given, list)
        else recomputed(given)
        for key, given in data["inputs"].items()
    }
    return formula(**inputs)


def from_json(value: Any, unit: str) -> Any:
    if isinstance(value, list):
        return tuple(from_json(part, unit) for part in value)
    if isinstance(value, str) and unit.startswith("GBP"):
        return Decimal(value)
    return value


def test_every_given_figure_names_its_place() -> None:
    for quote in quotes():
        for _, lines in explained(quote):
            for line in lines:
                for figure in line.figure.walk():
                    if not isinstance(figure.basis, Step):
                        assert figure.basis.place, figure.name


def test_a_figure_of_the_wrong_kind_is_our_own_fault() -> None:
    figure = builders.given("name", "text", "")
    with pytest.raises(TypeError, match="not a number"):
        _ = figure.number
    with pytest.raises(TypeError, match="not money"):
        _ = figure.money
