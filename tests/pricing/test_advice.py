"""What is advised, rule by rule: a judgement of the house, common practice, no source."""

from decimal import Decimal
from itertools import product

import pytest
from msgspec.structs import replace

from quotegen.documents.shared.remark_words import said
from quotegen.model.choices import (
    INSULATED,
    OVER_OLD_DECK,
    BuildUp,
    Covering,
    DeckCondition,
    PriceBasis,
)
from quotegen.model.enquiry import Enquiry, Existing, Finding
from quotegen.model.prestart.record import BeforeItem, BeforeStart, Gate, OfferedStart, Payer
from quotegen.model.quote import Advice, Quote, QuotedOption
from quotegen.pricing import advice as pricing_advice
from quotegen.pricing.advice import advise
from quotegen.pricing.quote import make_quote
from quotegen.reference.firm.advice import advice_rules
from quotegen.reference.remark_keys import AdviceKey
from quotegen.reference.rule_keys import BeforeKey
from quotegen.tables import ReferenceFileError
from quotegen.takeoff.measure import measure
from quotegen.working import Scalar
from tests.builders import TODAY, enquiry, given, prices, roof, settings

HIGH_WALL = roof(upstand_mm=given("upstand", 400.0, "mm"))
BOTH = (BuildUp.CAP_OVER, BuildUp.NEW_DECK)
ASK = {
    AdviceKey.NOT_PRICED,
    AdviceKey.PRICED,
    AdviceKey.NEEDS_CHECK,
    AdviceKey.TOO_LOW,
    AdviceKey.LOW_AND_CHECK,
    AdviceKey.SETTLED,
}
"""The words that tell the customer of building control where an option has no insulation."""


def asked(
    *build_ups: BuildUp,
    heated: bool | None = False,
    condition: DeckCondition | None = DeckCondition.SOUND,
    **changes: object,
) -> Enquiry:
    made = enquiry(HIGH_WALL, build_ups=build_ups, insulation_mm=given("insulation", 100.0, "mm"))
    made = replace(
        made,
        site=replace(made.site, heated_below=heated),
        existing=replace(made.existing, condition=condition),
    )
    return replace(made, **changes)


def quoted(one: Enquiry, **changes: Scalar | None) -> Quote:
    """The quote of an enquiry, with any weight borne unless the settings say otherwise."""
    firm = settings(**{"weight_change_pct": 5000.0, **changes})
    take_off, _ = measure(one, firm, prices(), TODAY)
    assert take_off is not None
    return make_quote(take_off, firm, prices(), TODAY)[0]


def at(quote: Quote, **totals: str) -> Quote:
    """The quote with these totals, by the build-up's name in capitals."""

    def priced(option: QuotedOption) -> QuotedOption:
        total = replace(option.totals.total, value=Decimal(totals[option.build_up.name]))
        return replace(option, totals=replace(option.totals, total=total))

    return replace(quote, options=tuple(priced(option) for option in quote.options))


def waiting(quote: Quote, key: BeforeKey, *, done: bool) -> Quote:
    """The quote with one thing to be settled first, open or done."""
    item = BeforeItem(
        key=key,
        sure=False,
        gates=Gate.ORDERING,
        pays=Payer.DIRECT,
        cost=None,
        wait=None,
        expected_on=None,
        until=None,
        clear_on=TODAY,
        done=done,
        done_at=None,
    )
    before = {option.build_up: BeforeStart(TODAY, (item,)) for option in quote.options}
    return replace(quote, start=OfferedStart(before))


def finding(basis: PriceBasis) -> Finding:
    return Finding(
        enquiry().place, "Split", "It moves", "Mend it", basis, given("n", 2.0, "each"), None, None
    )


def keys(advice: Advice) -> list[object]:
    return [one.key for one in advice.because]


def test_a_small_extra_for_a_new_deck_and_a_longer_guarantee_beat_capping_over() -> None:
    # By hand: 15 % of £1,000 is £150.
    quote = quoted(asked(*BOTH), guarantee_cap_over=10.0, guarantee_new_deck=20.0)
    advice = advise(at(quote, CAP_OVER="1000.00", NEW_DECK="1150.00"))
    assert (advice.build_up, keys(advice)) == (BuildUp.NEW_DECK, [AdviceKey.SMALL_EXTRA])
    assert said(advice.because[0]).startswith("For £150.00 more")
    assert "20 years, not 10" in said(advice.because[0])
    advice = advise(at(quote, CAP_OVER="1000.00", NEW_DECK="1150.01"))
    assert (advice.build_up, keys(advice)) == (BuildUp.CAP_OVER, [AdviceKey.LARGE_EXTRA])
    assert "£150.01" in said(advice.because[0])
    advice = advise(at(quote, CAP_OVER="1000.00", NEW_DECK="1000.00"))
    assert (advice.build_up, keys(advice)) == (BuildUp.NEW_DECK, [AdviceKey.NO_EXTRA])


def test_without_a_longer_guarantee_the_extra_buys_too_little() -> None:
    quote = quoted(asked(*BOTH), guarantee_cap_over=10.0, guarantee_new_deck=10.0)
    advice = advise(at(quote, CAP_OVER="1000.00", NEW_DECK="1001.00"))
    assert (advice.build_up, keys(advice)) == (BuildUp.CAP_OVER, [AdviceKey.DECK_SOUND])


def test_the_firm_says_what_a_small_extra_is() -> None:
    quote = quoted(
        asked(*BOTH), guarantee_cap_over=10.0, guarantee_new_deck=20.0, small_extra_pct=5.0
    )
    advice = advise(at(quote, CAP_OVER="1000.00", NEW_DECK="1051.00"))
    assert advice.build_up is BuildUp.CAP_OVER


@pytest.mark.parametrize("condition", [DeckCondition.SOFT, DeckCondition.ROTTEN, None])
@pytest.mark.parametrize("heated", [True, False, None])
def test_an_old_deck_that_is_not_known_to_be_sound_is_never_advised_to_stay(
    condition: DeckCondition | None, heated: bool | None
) -> None:
    quote = quoted(asked(*BuildUp, heated=heated, condition=condition))
    advice = advise(at(quote, **{one.name: f"{100 * n}.00" for n, one in enumerate(BuildUp, 1)}))
    assert advice.build_up is not None
    assert advice.build_up not in OVER_OLD_DECK
    wanted = AdviceKey.DECK_COMES_UP if condition else AdviceKey.NOT_SEEN_COMES_UP
    assert keys(advice)[0] is wanted
    only = quoted(asked(*OVER_OLD_DECK, heated=heated, condition=condition))
    advice = advise(only)
    assert advice.build_up is None
    assert [one.key for one in advice.against] == [
        AdviceKey.DECK_NOT_SOUND if condition else AdviceKey.DECK_NOT_SEEN
    ]


def test_what_is_said_of_the_deck() -> None:
    rotten = advise(quoted(asked(BuildUp.NEW_DECK, condition=DeckCondition.ROTTEN)))
    assert said(rotten.because[0]) == "The old deck is rotten, so it has to come up"
    sound = advise(quoted(asked(BuildUp.NEW_DECK)))
    assert keys(sound) == [AdviceKey.NEW_DECK]
    bare = Existing(Covering.NONE, None, None, None)
    assert keys(advise(quoted(asked(BuildUp.NEW_DECK, existing=bare)))) == [AdviceKey.NO_DECK_YET]


def test_bad_boards_in_the_deck_speak_for_a_new_one() -> None:
    quote = quoted(asked(*BOTH, findings=(finding(PriceBasis.BOARD),)))
    advice = advise(at(quote, CAP_OVER="1000.00", NEW_DECK="2000.00"))
    assert (advice.build_up, keys(advice)) == (BuildUp.NEW_DECK, [AdviceKey.BOARDS_COME_UP])
    only = advise(quoted(asked(BuildUp.CAP_OVER, findings=(finding(PriceBasis.BOARD),))))
    assert only.build_up is BuildUp.CAP_OVER
    assert [one.key for one in only.against] == [AdviceKey.BOARDS_FOUND]


def test_a_heated_room_asks_for_insulation() -> None:
    quote = quoted(asked(BuildUp.NEW_DECK, BuildUp.NEW_DECK_INSULATED, heated=True))
    advice = advise(quote)
    assert advice.build_up is BuildUp.NEW_DECK_INSULATED
    assert AdviceKey.ASKED_FOR in keys(advice)
    cold = advise(quoted(asked(BuildUp.NEW_DECK, BuildUp.NEW_DECK_INSULATED)))
    assert cold.build_up is BuildUp.NEW_DECK
    assert AdviceKey.NEEDLESS in keys(cold)


@pytest.mark.parametrize("key", [BeforeKey.STRUCTURE])
def test_what_a_check_is_open_for_is_not_advised_while_another_needs_none(key: BeforeKey) -> None:
    quote = quoted(asked(BuildUp.NEW_DECK, BuildUp.NEW_DECK_INSULATED, heated=True))
    held = waiting(quote, key, done=False)
    assert held.start is not None
    plain = {**held.start.before, BuildUp.NEW_DECK: BeforeStart(TODAY, ())}
    advice = advise(replace(held, start=replace(held.start, before=plain)))
    assert advice.build_up is BuildUp.NEW_DECK
    assert AdviceKey.NEEDS_CHECK in keys(advice)
    assert advice.against == ()
    assert advise(waiting(quote, key, done=True)).build_up is BuildUp.NEW_DECK_INSULATED
    both = advise(held)
    assert [one.key for one in both.against] == [AdviceKey.CHECK_WANTED]


def test_a_new_deck_that_spares_the_check_of_a_heavier_roof_is_advised_for_that() -> None:
    quote = waiting(quoted(asked(*BOTH)), BeforeKey.STRUCTURE, done=False)
    assert quote.start is not None
    light = {**quote.start.before, BuildUp.NEW_DECK: BeforeStart(TODAY, ())}
    quote = replace(quote, start=replace(quote.start, before=light))
    advice = advise(at(quote, CAP_OVER="1000.00", NEW_DECK="3000.00"))
    assert (advice.build_up, keys(advice)) == (BuildUp.NEW_DECK, [AdviceKey.SPARES_CHECK])


@pytest.mark.parametrize(
    ("upstand_mm", "wanted"),
    [(400.0, BuildUp.NEW_DECK_INSULATED), (200.0, BuildUp.NEW_DECK), (None, BuildUp.NEW_DECK)],
)
def test_insulation_that_leaves_too_low_an_upstand_is_not_advised(
    upstand_mm: float | None, wanted: BuildUp
) -> None:
    # By hand: 100 mm of insulation and an 18 mm board over it leave less than 150 mm of 200 mm.
    upstand = given("upstand", upstand_mm, "mm") if upstand_mm else None
    one = asked(BuildUp.NEW_DECK, BuildUp.NEW_DECK_INSULATED, heated=True)
    quote = quoted(replace(one, roof=replace(one.roof, upstand_mm=upstand)))
    assert advise(quote).build_up is wanted


def test_a_low_upstand_that_nothing_avoids_is_said_with_the_advice() -> None:
    one = asked(BuildUp.NEW_DECK)
    low = replace(one, roof=replace(one.roof, upstand_mm=given("upstand", 120.0, "mm")))
    advice = advise(quoted(low))
    assert advice.build_up is BuildUp.NEW_DECK
    assert [one.key for one in advice.against] == [AdviceKey.LOW_UPSTAND]
    assert "150 mm is advised" in said(advice.against[0])


def test_the_owner_comes_before_the_rules_but_is_not_silent_about_them() -> None:
    one = asked(*BOTH, heated=True, advised=BuildUp.CAP_OVER, advised_because="The tenant is ill.")
    quote = quoted(one, guarantee_cap_over=10.0, guarantee_new_deck=20.0)
    quote = at(quote, CAP_OVER="1000.00", NEW_DECK="1001.00")
    advice = advise(quote)
    assert (advice.build_up, advice.by_owner) == (BuildUp.CAP_OVER, True)
    assert advice.own_words == "The tenant is ill."
    assert keys(advice) == [AdviceKey.NOT_PRICED]
    silent = replace(quote, enquiry=replace(one, advised_because=""))
    assert keys(advise(silent)) == [AdviceKey.DECK_SOUND, AdviceKey.NOT_PRICED]
    held = waiting(quote, BeforeKey.STRUCTURE, done=False)
    assert [one.key for one in advise(held).against] == [AdviceKey.CHECK_WANTED]


def test_what_is_advised_says_what_speaks_against_it_and_asks_of_building_control() -> None:
    """Over every choice of two build-ups, deck, heat, upstand and check, and every owner's cell."""
    seen = 0
    for pair, condition, heated, upstand_mm in product(
        ((a, b) for a in BuildUp for b in BuildUp if a is not b),
        (*DeckCondition, None),
        (True, False, None),
        (400.0, 160.0),
    ):
        one = asked(*pair, heated=heated, condition=condition)
        one = replace(one, roof=replace(one.roof, upstand_mm=given("up", upstand_mm, "mm")))
        quote = quoted(one, weight_change_pct=15.0)
        for own in (None, pair[0]):
            advice = advise(replace(quote, enquiry=replace(one, advised=own)))
            if advice.build_up is None:
                assert advice.against
                continue
            seen += 1
            told = {remark.key for remark in (*advice.because, *advice.against)}
            option = quote.option(advice.build_up)
            if advice.build_up in OVER_OLD_DECK and condition is not DeckCondition.SOUND:
                assert own is advice.build_up
                assert told & {AdviceKey.DECK_NOT_SOUND, AdviceKey.DECK_NOT_SEEN}
            left, heavier = option.take_off.upstand_left_mm, option.take_off.weight_change_pct
            assert left and (left.number >= 150 or AdviceKey.LOW_UPSTAND in told)
            assert heavier is None or heavier.number <= 15 or AdviceKey.CHECK_WANTED in told
            if heated and advice.build_up not in INSULATED:
                assert told & ASK
    assert seen > 400


def test_a_rule_that_waits_for_a_fact_there_is_not_is_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    rules = advice_rules()
    wrong = replace(rules, bars=(replace(rules.bars[0], all_of=("over_old_dek",)),))
    monkeypatch.setattr(pricing_advice, "advice_rules", lambda: wrong)
    pricing_advice._rules.cache_clear()
    with pytest.raises(ReferenceFileError, match="over_old_dek"):
        advise(quoted(asked(*BOTH)))
    pricing_advice._rules.cache_clear()
