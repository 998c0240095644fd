"""The data inside the quote: read back out of the PDF and compared with the quote."""

import json
from decimal import Decimal
from typing import Any

import pytest

from quotegen.documents.customer.quote import QUOTE
from quotegen.documents.data.quote_data import quote_data
from quotegen.documents.printing.pdf import Rendered
from quotegen.model.quote import Quote
from tests.documents.conftest import ISSUE, text_of
from tests.pdfs import reader_of, root_of


@pytest.fixture(scope="module")
def carried(quote_paper: Rendered) -> dict[str, Any]:
    files = reader_of(quote_paper.content).attachments
    name = f"{ISSUE.reference}-quote-r{ISSUE.revision}.json"
    assert list(files) == [name]
    found: dict[str, Any] = json.loads(files[name][0])
    return found


def test_the_file_in_the_pdf_is_the_data_of_the_quote(
    carried: dict[str, Any], bay_quote: Quote
) -> None:
    assert carried == quote_data(bay_quote, ISSUE)


def test_lines_add_up_to_what_the_paper_says(
    carried: dict[str, Any], quote_paper: Rendered
) -> None:
    text = text_of(quote_paper)
    for option in carried["options"]:
        net = sum(Decimal(line["net"]) for line in option["lines"])
        assert str(net) == option["net"]
        assert Decimal(option["net"]) + Decimal(option["vat"]) == Decimal(option["to_pay"])
        assert f"£{Decimal(option['to_pay']):,.2f}" in text


def test_the_carried_file_is_named_as_what_it_is(quote_paper: Rendered) -> None:
    """ISO 14289-1 (PDF/UA-1), 7.11, from memory: an embedded file has F and UF in its dictionary;
    its description is for those who cannot see the name of the file."""
    carried = root_of(quote_paper.content)["/Names"]["/EmbeddedFiles"]["/Names"][1].get_object()
    assert carried["/F"] == carried["/UF"]
    assert carried["/Desc"] == "The figures of this quotation as data"


def test_no_cost_no_hours_and_no_profit_go_with_it(
    carried: dict[str, Any], bay_quote: Quote
) -> None:
    said = json.dumps(carried)
    for option in bay_quote.options:
        assert str(option.cost.money) not in said
    assert not {"cost", "hours", "profit", "margin"} & set(_keys(carried))


def test_the_same_quote_is_the_same_file(bay_quote: Quote, quote_paper: Rendered) -> None:
    assert QUOTE.make(bay_quote, ISSUE, None).content == quote_paper.content


def _keys(data: Any) -> list[str]:
    if isinstance(data, dict):
        return [*data, *(key for value in data.values() for key in _keys(value))]
    return [key for value in data for key in _keys(value)] if isinstance(data, list) else []
