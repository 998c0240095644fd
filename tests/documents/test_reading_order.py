"""The reading order of every paper: parts in the order a reader needs, values after their labels.

The text is compared in the order the PDF holds it.
"""

import re

import pytest
from msgspec import Struct

from quotegen.documents.printing.pdf import Rendered
from tests.documents.conftest import squeezed, text_of

POUNDS = r"£[\d,]+\.\d\d"


class Read(Struct, frozen=True):
    """What is heard of a paper: its parts in order, and labels with the pattern that follows."""

    parts: tuple[str, ...]
    values: tuple[tuple[str, str], ...]


PAPERS = {
    "quote_paper": Read(
        ("Quotation", "What it costs", "How to accept", "What we found",
         "Every option includes", "The options side by side", "Acceptance"),
        (("Height to the edge", "2600 mm"), ("Total to pay", POUNDS * 3)),
    ),
    "cancellation_paper": Read(
        ("Model cancellation form", "Complete and return this form", "To", "hereby give notice",
         "Write it here", "Delete as appropriate", "When you cancel"),
        (("To", r".*Tern & Daughter Roofing"),),
    ),
    "method_paper": Read(
        ("Site card", "STOP", "Edge and ground", "Mixes", "Method statement", "Not known",
         "Access and ladders", "The work in order", "What to wear",
         "Dangerous substances", "Lifts and waste", "If it goes wrong", "Risks",
         "Read, understood and kept to"),
        (("Now there", "felt on "), ("Edge at", "2600 mm"),
         ("Days", "2 people, about [0-9]+ days of work; not agreed yet"), ("Eye", "Rinse at once")),
    ),
    "phase_plan_paper": Read(
        ("Construction phase plan", "Who is who", "What can hurt someone worst here",
         "If it goes wrong",
         "How the work is run", "Toilet, water, rest", "Rules of the site", "Hold points",
         "What the signature says"),
        (("First day", "not agreed yet"), ("Way up", "tower; the edge is at 2600 mm"),
         ("Client", r"Ms R\. Petrel")),
    ),
    "tenant_notice_paper": Read(
        ("Roof work where you live or work", "Ring us", "When we come", "Monday 7 December 2026",
         "Then we tell you", "What we ask of you", "Given to you on"),
        (("Ring us:", "01632 960001"), ("Under the roof.", "Keep out from under the roof"),
         ("No flame.", "No smoking")),
    ),
    "day_sheet_paper": Read(
        ("Day sheet", "The days", "Day 1", "Neither laminate nor topcoat, when",
         "Least deck temperature", "Measured on the day", "Photographs", "Mixes"),
        (("First day", "not agreed yet"), ("5 °C", r"(\d+\.\d){8}7 °C"),
         ("R1", r"Resin, [\d.]+ l = [\d.]+ kg\s*bandages and strip 1")),
    ),
    "van_list_paper": Read(
        ("Van list T-01", "Goods for Day 1", "Our own kit", "If it goes wrong"),
        (("Deck board 18 mm", r"\d+"), ("Chemical gloves, pairs", "8 a day"),
         ("Laminating resin", r"1 × 20 kg")),
    ),
    "mix_card_paper": Read(
        ("Site card", "STOP", "Edge and ground", "999", "Mix card", "Wear eye protection",
         "NEVER catalyst", "R RESIN for the laminate",
         "T TOPCOAT over the cured laminate", "Tick each mix", "In an eye.",
         "Measure the deck, not the air"),
        (("under 5 °C", "DO NOT MIX"), ("5 °C test", r"\d+ ml\s*\d+ min"),
         ("Ring 999.", "Say: 4 Kittiwake Street"),
         ("TOPCOAT, each", r"[\d.]+ l = [\d.]+ kg\.\s*T1")),
    ),
    "order_paper": Read(
        ("Order to", "Deliver to", "What we need", "lines in all"),
        (("Deliver to", "4 Kittiwake Street"), ("Drip trim", "2 3 m 6 m")),
    ),
    "cutting_list_paper": Read(
        ("Cutting list", "The roof and its edges", "Trims", "Wall trim", "Drip trim",
         "Boards", "Boards as laid", "Mat", "Strips as laid"),
        (("A back", "wall upstand 2400 mm 45°"), ("T3 1321 mm", "C, front at B: mitre"),
         ("Area in plan", r"1\.08 m²")),
    ),
    "variation_slip_paper": Read(
        ("Variation slip", "What was found", "What it costs", "How it changes the days",
         "Your answer, before the work", "For the firm"),
        (("For", r"Ms R\. Petrel"), ("Replace one board of the deck", f"each {POUNDS}")),
    ),
    "hand_over_paper": Read(
        ("Hand-over and guarantee", "The guarantee", "What was done", "Left as it was",
         "Declined, and so outside the guarantee", "What the guarantee depends on"),
        (("Cap over", "10 years"), ("For", r"Ms R\. Petrel")),
    ),
    "cost_sheet_paper": Read(
        ("Cost sheet", "PRIVATE", "What each option leaves", "The price, as the customer sees it",
         "If a size is 25 mm more", "Warnings", "Cost by stage"),
        (("Price without VAT", POUNDS * 3), ("Crew and days on site", "2 people, 2 days")),
    ),
    "schedule_paper": Read(
        ("Schedule of roofs", "What 2 roofs come to", "The roofs, the most urgent first",
         "Not priced yet", "How we grade urgency"),
        (("The cheapest of each roof both roofs", POUNDS * 3),
         ("Start:", "We start on Thursday 3 December 2026")),
    ),
}  # fmt: skip


@pytest.fixture(scope="module", params=PAPERS)
def read(request: pytest.FixtureRequest) -> tuple[Read, str]:
    """What is wanted of a paper, and its text without spaces."""
    paper: Rendered = request.getfixturevalue(request.param)
    return PAPERS[request.param], squeezed(text_of(paper))


def places(parts: tuple[str, ...], text: str) -> list[int]:
    """Where each part begins, looked for after the one before it; -1 where it is not."""
    found, at = [], 0
    for part in parts:
        at = text.find(squeezed(part), max(at, 0))
        found.append(at)
    return found


def test_its_parts_are_read_in_the_order_a_reader_needs(read: tuple[Read, str]) -> None:
    wanted, text = read
    found = places(wanted.parts, text)
    missing = [part for part, at in zip(wanted.parts, found, strict=True) if at < 0]
    assert missing == []


def test_each_value_follows_its_label(read: tuple[Read, str]) -> None:
    wanted, text = read
    for label, value in wanted.values:
        pattern = re.escape(squeezed(label)) + squeezed(value)
        assert re.search(pattern, text), f"{label}: {value}"


def test_the_check_fails_on_a_text_out_of_order() -> None:
    assert places(("one", "two"), "twoone") == [3, -1]
    assert places(("one", "two"), "onetwo") == [0, 3]


def test_all_papers_are_read(paper: Rendered, request: pytest.FixtureRequest) -> None:
    assert request.node.callspec.params["paper"] in PAPERS
    assert paper.pages
