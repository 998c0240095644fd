"""The landlord's schedule: the urgency of each roof, and sums equal to those of the quotes."""

from decimal import Decimal
from itertools import islice
from pathlib import Path
from typing import Any

import pytest
from msgspec import structs
from msgspec.structs import replace

from quotegen.model.choices import Answer, BuildUp, Covering, DeckCondition, PriceBasis
from quotegen.model.enquiry import Enquiry, Existing, Finding
from quotegen.model.quote import Quote
from quotegen.model.several import QuotedRoof, Sums
from quotegen.pricing import schedule as pricing_schedule
from quotegen.pricing.quote import make_quote
from quotegen.pricing.schedule import ACCEPTED, CHEAPEST, FULLEST, make_schedule, urgency_of
from quotegen.reference import house_rules
from quotegen.tables import ReferenceFileError
from quotegen.takeoff.measure import measure
from quotegen.working import Scalar
from tests.builders import TODAY, canted_bay, enquiry, given, prices, roof, settings


def with_deck(condition: DeckCondition | None, *findings: Finding, ref: str = "T-01") -> Enquiry:
    made = enquiry()
    return replace(
        made, ref=ref, findings=findings, existing=replace(made.existing, condition=condition)
    )


def finding(basis: PriceBasis | None, answer: Answer | None = None) -> Finding:
    return Finding(enquiry().place, "Seen", "It gets worse", "Mend it", basis, None, None, answer)


def quote_of(asked: Enquiry, **changes: Scalar | None) -> Quote:
    firm = settings(**changes)
    take_off, _ = measure(asked, firm, prices(), TODAY)
    assert take_off is not None
    return make_quote(take_off, firm, prices(), TODAY)[0]


# The rule is a judgement of the house: common practice, no source.
@pytest.mark.parametrize(
    ("asked", "band"),
    [
        (with_deck(DeckCondition.ROTTEN), "First"),
        (with_deck(DeckCondition.SOUND, finding(PriceBasis.JOIST)), "First"),
        (with_deck(DeckCondition.SOUND, finding(PriceBasis.JOIST, Answer.DECLINED)), "First"),
        (with_deck(None, finding(PriceBasis.JOIST)), "First"),
        (with_deck(DeckCondition.SOFT), "Soon"),
        (with_deck(DeckCondition.SOUND, finding(PriceBasis.BOARD)), "Soon"),
        (with_deck(None), "Soon"),
        (with_deck(DeckCondition.SOUND, finding(PriceBasis.FASCIA)), "Next"),
        (with_deck(DeckCondition.SOUND, finding(None)), "Next"),
        (with_deck(DeckCondition.SOUND), "In turn"),
        (replace(enquiry(), existing=Existing(Covering.NONE, None, None, None)), "First"),
        (replace(enquiry(), existing=Existing(None, None, None, None)), "Soon"),
    ],
)
def test_how_urgent_a_roof_is(asked: Enquiry, band: str) -> None:
    assert urgency_of(asked).band.words == band


def test_every_condition_of_a_deck_and_every_rule_is_reached() -> None:
    decks = {rule.deck for rule in house_rules.urgency()}
    assert decks - {"", "none-yet", "not-known"} <= {"sound", "soft", "rotten"}
    findings = {rule.finding for rule in house_rules.urgency()}
    assert findings - {"", "any"} <= {"fixed", "fascia", "joist", "board", "firrings"}


@pytest.mark.parametrize(
    ("rules", "says"),
    [
        ([{"band": "first", "words": "x", "basis": "y", "deck": "rotten"}], "last rule"),
        ([{"band": "first", "words": "x", "basis": "y"}] * 2, "last rule"),
        ([{"band": "first", "words": "x"}], "missing required field `basis`"),
        (
            [{"band": "first", "words": "x", "basis": "y", "colour": "red"}],
            "unknown field `colour`",
        ),
        ([{"band": "second", "words": "x", "basis": "y"}], "band: there is no key second"),
    ],
)
def test_a_table_of_urgency_that_leaves_a_roof_out_is_refused(
    rules: list[dict[str, str]], says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    rows = [("band", {"key": "first", "words": "First"}), *(("rule", rule) for rule in rules)]
    said = (f"{key} = '{words}'" for _, row in rows for key, words in row.items())
    texts = ("\n".join([f"[[{name}]]", *islice(said, len(row))]) for name, row in rows)
    (tmp_path / "urgency.toml").write_text("\n".join(texts))
    monkeypatch.setattr(house_rules, "HOUSE", tmp_path)
    with pytest.raises(ReferenceFileError, match=says):
        house_rules.urgency.__wrapped__()


@pytest.mark.parametrize("name", ["deck", "finding"])
def test_a_rule_of_urgency_that_waits_for_nothing_there_is_is_refused(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    first, *others = house_rules.urgency()
    change: dict[str, Any] = {name: "rotten to the core"}
    wrong = (structs.replace(first, **change), *others)
    monkeypatch.setattr(house_rules, "urgency", lambda: wrong)
    with pytest.raises(ReferenceFileError, match=f"{name}: there is no key rotten to the core"):
        pricing_schedule._rules.__wrapped__()


def three_quotes() -> list[Quote]:
    """A bay in three options, a flat roof in two, of which one is accepted, and one in one."""
    bay = enquiry(
        canted_bay(), build_ups=tuple(BuildUp), insulation_mm=given("insulation", 100.0, "mm")
    )
    flat = enquiry(roof(), build_ups=(BuildUp.CAP_OVER, BuildUp.NEW_DECK))
    rotten = with_deck(DeckCondition.ROTTEN, ref="T-09")
    return [
        quote_of(replace(bay, ref="T-02")),
        quote_of(replace(flat, ref="T-01", accepted=BuildUp.NEW_DECK)),
        quote_of(rotten),
    ]


def by_words(sums: tuple[Sums, ...]) -> dict[str, Sums]:
    return {one.words: one for one in sums}


def test_the_most_urgent_comes_first_then_the_reference() -> None:
    schedule = make_schedule([QuotedRoof(quote, 0) for quote in three_quotes()])
    assert [roof.quote.enquiry.ref for roof in schedule.roofs] == ["T-09", "T-01", "T-02"]


def test_the_sums_are_those_of_the_quotes() -> None:
    quotes = three_quotes()
    sums = by_words(make_schedule([QuotedRoof(quote, 0) for quote in quotes]).sums)
    totals = [{o.build_up: o.totals.total.money for o in quote.options} for quote in quotes]
    least = sum(min(one.values()) for one in totals)
    bay, flat, rotten = totals
    fullest = bay[BuildUp.NEW_DECK_INSULATED] + flat[BuildUp.NEW_DECK] + rotten[BuildUp.NEW_DECK]
    assert sums[CHEAPEST].total.money == least
    assert sums[FULLEST].total.money == fullest
    assert sums[ACCEPTED].total.money == flat[BuildUp.NEW_DECK]
    assert sums[ACCEPTED].refs == ("T-01",)
    for build_up in BuildUp:
        offered = [one[build_up] for one in totals if build_up in one]
        assert sums[build_up].total.money == sum(offered)
        assert len(sums[build_up].refs) == len(offered)
    for one in sums.values():
        assert one.vat is not None
        assert one.net.money + one.vat.money == one.total.money
        assert one.total.money == one.total.money.quantize(Decimal("0.01"))


def test_nothing_accepted_gives_no_sum_of_it() -> None:
    quote = three_quotes()[2]
    assert ACCEPTED not in by_words(make_schedule([QuotedRoof(quote, 0)]).sums)


def test_a_firm_without_vat_shows_none() -> None:
    quotes = [quote_of(replace(enquiry(), ref=ref), vat_registered=False) for ref in ("A", "B")]
    sums = by_words(make_schedule([QuotedRoof(quote, 0) for quote in quotes]).sums)
    assert sums[CHEAPEST].vat is None
    assert sums[CHEAPEST].net.money == sums[CHEAPEST].total.money
