"""Items are found by their kind and size: what their codes look like does not matter."""

from collections.abc import Iterable, Iterator

import pytest
from msgspec.structs import replace

from quotegen.model.choices import BuildUp
from quotegen.model.settings import PriceBook
from quotegen.model.takeoff import TakeOff
from quotegen.pricing.scope import includes, leaves_undone
from quotegen.reference import house_rules
from quotegen.reference.house_rules import Item
from quotegen.reference.item_kinds import SIZE_UNITS, ItemKind
from quotegen.takeoff.measure import measure
from quotegen.takeoff.strip.lifting import lays_boards
from tests import builders

ALL_THREE = builders.enquiry(
    build_ups=tuple(BuildUp), insulation_mm=builders.given("insulation", 130.0, "mm")
)


def renamed(items: Iterable[Item]) -> dict[str, Item]:
    """The catalogue by its codes, with a bare number as the code of all that comes in sizes."""
    return {
        item.code: replace(item, code=f"n{number}") if item.kind in SIZE_UNITS else item
        for number, item in enumerate(items)
    }


@pytest.fixture
def other_codes(monkeypatch: pytest.MonkeyPatch) -> Iterator[PriceBook]:
    """The prices of a shop in which all that comes in sizes has a code that says nothing."""
    new = renamed(house_rules.items().values())
    packs = {
        new[code].code: tuple(replace(pack, item=new[code].code) for pack in sold)
        for code, sold in builders.prices().packs.items()
    }
    found = {item.code: item for item in new.values()}
    monkeypatch.setattr(house_rules, "items", lambda: found)
    house_rules.item_of.cache_clear()
    yield PriceBook(packs)
    house_rules.item_of.cache_clear()


def taken_off(boards: str, prices: PriceBook) -> TakeOff:
    settings = builders.settings(deck_boards=boards)
    found, _ = measure(ALL_THREE, settings, prices, builders.TODAY)
    assert found is not None
    return found


def said(found: TakeOff) -> list[object]:
    """What a take-off says, but for codes."""
    settings = builders.settings()
    return [
        (
            option.build_up,
            sorted((need.words, need.gross.number) for need in option.needs),
            [(lift.words, lift.mass_kg.number) for lift in option.lifts],
            lays_boards(option.needs),
            includes(ALL_THREE, option, settings),
            leaves_undone(ALL_THREE, option, settings),
        )
        for option in found.options
    ]


BOUGHT = builders.prices()
BEFORE = {boards: said(taken_off(boards, BOUGHT)) for boards in ("square-edge", "tongued")}


@pytest.mark.parametrize("boards", BEFORE)
def test_codes_that_say_nothing_change_nothing(other_codes: PriceBook, boards: str) -> None:
    found = taken_off(boards, other_codes)
    sized = [n for option in found.options for n in option.needs if n.kind in SIZE_UNITS]
    assert {need.item[0] for need in sized} == {"n"}
    assert said(found) == BEFORE[boards]


def test_an_item_is_found_by_kind_and_size() -> None:
    for item in house_rules.items().values():
        assert house_rules.item_of(item.kind, item.size) is item
        assert (item.size is None) is (item.kind not in SIZE_UNITS)
    with pytest.raises(KeyError, match="no deck-board of size 12"):
        house_rules.item_of(ItemKind.DECK_BOARD, 12)
    with pytest.raises(KeyError):
        house_rules.item_of(ItemKind.MAT)


def test_the_words_of_an_item_name_its_size() -> None:
    """What a merchant reads; 2 mm more or less is another board."""
    for item in house_rules.items().values():
        if item.size is not None:
            assert f" {item.size} " in f"{item.words} "
