"""The name under which the papers of a customer are filed."""

import re
from itertools import islice
from pathlib import Path

import pytest

from quotegen.model.choices import CustomerKind
from quotegen.model.enquiry import Customer
from quotegen.register.filing import customer_references, same_customer
from quotegen.register.store import Register

REFERENCE_OF_AN_ENQUIRY = re.compile(r"[\w.-]{1,40}")
"""What the column Reference allows: letters, figures, hyphens, full stops, underscores."""


def customer(name: str, address: str = "9 Gull Row, Mizzlehaven") -> Customer:
    return Customer(name, CustomerKind.LANDLORD, address)


@pytest.mark.parametrize(
    "name",
    ["../../etc/passwd", "CON", "nul.", "C:\\Windows", "Łódź & Søn", "株式会社", "", " ", "a" * 300,
     "Petrel\r\nLtd", "=1+1", "Ms R. Petrel", "\u202egnp.exe", "x/..", "T-01"],
)  # fmt: skip
def test_any_name_gives_a_folder_of_its_own_that_no_enquiry_can_have(name: str) -> None:
    for reference in islice(customer_references(customer(name, name)), 4):
        assert re.fullmatch(r"[A-Za-z0-9]+(,? [A-Za-z0-9]+)+", reference)
        assert len(reference) <= 100
        assert reference.endswith(", all roofs")
        assert not REFERENCE_OF_AN_ENQUIRY.fullmatch(reference)


def filed(folder: Path, one: Customer) -> str:
    return Register(folder).customer_reference(same_customer(one), customer_references(one))


def test_capitals_and_spaces_make_no_other_customer(tmp_path: Path) -> None:
    one, other = (
        customer("Ms R. Petrel"),
        customer("MS R.\u00a0 petrel ", " 9 GULL ROW,\nMizzlehaven"),
    )
    assert same_customer(one) == same_customer(other)
    assert filed(tmp_path, one) == filed(tmp_path, other) == "Ms R Petrel, all roofs"


def test_two_customers_of_one_name_are_told_apart_by_where_the_bill_goes(tmp_path: Path) -> None:
    here, there = customer("Mr A. Smith"), customer("MR A SMITH", "10 Gull Row, Mizzlehaven")
    town = customer("Mr A. Smith", "9 Gull Row, Puffin Bay")
    names = [filed(tmp_path, one) for one in (here, there, town)]
    assert names == [
        "Mr A Smith, all roofs",
        "MR A SMITH, 10 Gull Row, all roofs",
        "Mr A Smith, 9 Gull Row, all roofs",
    ]
    assert [filed(tmp_path, one) for one in (town, here, there)] == [names[2], *names[:2]]


def test_customers_whose_letters_no_folder_takes_are_kept_apart_by_number(tmp_path: Path) -> None:
    made = [
        filed(tmp_path, customer(name, "海岸")) for name in ("株式会社", "有限会社", "合同会社")
    ]
    assert made == ["Customer, all roofs", "Customer 2, all roofs", "Customer 3, all roofs"]
