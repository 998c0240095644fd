"""The name under which the papers of a customer are filed."""

import re

import pytest

from quotegen.model.enquiry import Customer, CustomerKind
from quotegen.register.filing import customer_reference, same_customer

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
    reference = customer_reference(customer(name))
    assert re.fullmatch(r"[A-Za-z0-9]+( [A-Za-z0-9]+)+", reference)
    assert len(reference) <= 40
    assert not REFERENCE_OF_AN_ENQUIRY.fullmatch(reference)


def test_capitals_and_spaces_make_no_other_customer() -> None:
    one, other = (
        customer("Ms R. Petrel"),
        customer("MS R.\u00a0 petrel ", " 9 GULL ROW,\nMizzlehaven"),
    )
    assert same_customer(one) == same_customer(other)
    assert customer_reference(one) == customer_reference(other)


def test_two_customers_of_one_name_are_kept_apart() -> None:
    here, there = customer("Mr A. Smith"), customer("Mr A. Smith", "10 Gull Row, Mizzlehaven")
    assert customer_reference(here) != customer_reference(there)
    assert customer_reference(customer("株式会社")) != customer_reference(customer("有限会社"))
