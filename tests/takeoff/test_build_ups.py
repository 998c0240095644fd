"""The four build-ups of the trade: what stays, what comes up, and what is laid."""

import pytest

from quotegen.model.choices import INSULATED, OVER_OLD_DECK, BuildUp, Covering, Deck, DeckCondition
from quotegen.model.enquiry import Existing
from quotegen.reference.remark_keys import Task
from quotegen.takeoff.basis.job import layers_of
from quotegen.takeoff.measure import measure
from tests import builders
from tests.builders import given

FELT = Existing(Covering.FELT, given("layers", 1.0, "layers"), Deck.SHEET, DeckCondition.SOUND)


@pytest.mark.parametrize("condition", [*DeckCondition, None])
@pytest.mark.parametrize(
    ("build_up", "deck_up", "boards", "insulated"),
    [
        (BuildUp.CAP_OVER, False, 1, False),
        (BuildUp.CAP_OVER_INSULATED, False, 1, True),
        (BuildUp.NEW_DECK, True, 1, False),
        (BuildUp.NEW_DECK_INSULATED, True, 2, True),
    ],
)
def test_a_build_up_is_what_its_name_says_whatever_the_deck(
    build_up: BuildUp,
    deck_up: bool,
    boards: int,
    insulated: bool,
    condition: DeckCondition | None,
) -> None:
    """Common practice, no source: the owner's own words, over the old deck or on a new one."""
    existing = Existing(Covering.FELT, FELT.layers, Deck.SHEET, condition)
    layers = layers_of(build_up, existing)
    assert layers.strips_covering
    assert (layers.strips_deck, layers.boards, layers.insulation) == (deck_up, boards, insulated)


def test_the_build_ups_part_by_the_old_deck_and_by_insulation() -> None:
    assert {b for b in BuildUp if "cap over" in b} == {*OVER_OLD_DECK}
    assert {b for b in BuildUp if "insulation" in b} == {*INSULATED}


def test_old_fibreglass_stays_where_its_deck_stays_and_comes_up_with_it() -> None:
    existing = Existing(Covering.OLD_GRP, FELT.layers, Deck.SHEET, DeckCondition.SOUND)
    for build_up in BuildUp:
        layers = layers_of(build_up, existing)
        assert layers.strips_covering is layers.strips_deck


@pytest.mark.parametrize(
    ("build_up", "laid"),
    [
        (BuildUp.CAP_OVER, [Task.CAP]),
        (BuildUp.CAP_OVER_INSULATED, [Task.DECK_OVER_INSULATION]),
        (BuildUp.NEW_DECK, [Task.DECK]),
        (BuildUp.NEW_DECK_INSULATED, [Task.DECK, Task.DECK_OVER_INSULATION]),
    ],
)
def test_every_board_laid_has_its_hours_under_its_own_name(
    build_up: BuildUp, laid: list[Task]
) -> None:
    insulation = given("insulation", 130.0, "mm")
    asked = builders.enquiry(build_ups=(build_up,), existing=FELT, insulation_mm=insulation)
    found, _ = measure(asked, builders.settings(), builders.prices(), builders.TODAY)
    assert found is not None
    (option,) = found.options
    boards = (Task.CAP, Task.DECK, Task.DECK_OVER_INSULATION)
    assert [line.key for line in option.labour if line.key in boards] == laid
