"""What nobody has read yet has its sign on the papers, and each says what the sign means."""

from collections.abc import Mapping
from datetime import date

import pytest
from msgspec.structs import replace

from quotegen.documents.crew.order import ORDER
from quotegen.documents.safety.method import METHOD
from quotegen.documents.safety.site_card import SITE_CARD
from quotegen.documents.safety.standing_sheet import STANDING_SHEET
from quotegen.model.safety import MethodStatement
from quotegen.reference import loader
from quotegen.reference.life import UNREAD_SIGN
from quotegen.reference.loader import PublishedValue
from quotegen.safety.statement.standing import make_sheet
from quotegen.safety.statement.statement import make_statement
from quotegen.tables import UNREAD, Confirmed
from tests.builders import TODAY
from tests.documents.conftest import ISSUE
from tests.safety import jobs

READ_ENTRY = loader._entry.__wrapped__
UNREAD_VALUES = [
    f"{name}.{key}"
    for name in loader.subjects()
    for key, values in loader.subject(name).items()
    if any(value.confirmed == UNREAD for value in values)
]
LINE = f"{UNREAD_SIGN} Not read at its source"


def said_with(unread: str, patched: pytest.MonkeyPatch) -> Mapping[str, str]:
    """What the papers of a job say if nobody had read this one value, and somebody all others."""

    def found(dotted: str, day: date | None) -> PublishedValue:
        how: Confirmed = UNREAD if dotted == unread else "common practice, no source"
        return replace(READ_ENTRY(dotted, day), confirmed=how, checked=None)

    patched.setattr(loader, "_entry", found)
    patched.setattr(loader, "_figure", lambda dotted, day: found(dotted, day).figure)
    made = make_statement(jobs.take_off(jobs.plain_enquiry()), jobs.SETTINGS, TODAY)
    return {
        "statement": METHOD.html(made, ISSUE),
        "card": SITE_CARD.html(made, ISSUE),
        "order": ORDER.html(made, ISSUE),
        "sheet": STANDING_SHEET.html(make_sheet(jobs.SETTINGS, made.enquiry), ISSUE),
    }


def test_fewer_than_ten_values_are_from_memory() -> None:
    assert len(UNREAD_VALUES) < 10


@pytest.mark.parametrize("key", [*UNREAD_VALUES, "work_at_height.edge_zone_m"])
def test_a_value_that_nobody_has_read_has_its_sign_and_the_paper_its_line(
    key: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each that is from memory today, and one that stands on the statement itself."""
    texts = said_with(key, monkeypatch)
    signed = {paper for paper, text in texts.items() if UNREAD_SIGN in text}
    assert "sheet" in signed
    for paper, text in texts.items():
        pages_apart = text.count("<h1>Order to") if paper == "order" else 1
        assert (text.count(LINE) > 0) is (paper in signed)
        assert text.count(LINE) <= pages_apart
        assert text.count(UNREAD_SIGN) >= 2 * text.count(LINE), "no line without a value"


def test_where_all_is_read_no_paper_has_sign_or_line(monkeypatch: pytest.MonkeyPatch) -> None:
    assert UNREAD_SIGN not in "".join(said_with("", monkeypatch).values())


def test_no_merchant_gets_a_page_for_the_line_alone(
    demo_statements: list[MethodStatement],
) -> None:
    """It stands on the page of the merchant whose goods have the sign."""
    for made in demo_statements:
        html = ORDER.html(made, ISSUE)
        for page in html.split('<p class="merchant-mark">')[1:]:
            assert (page.count(UNREAD_SIGN) > 0) is (page.count(LINE) == 1)
