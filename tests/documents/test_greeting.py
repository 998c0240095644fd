"""Who is greeted, and how: common practice in letters, no source."""

import pytest

from quotegen.documents.shared.greeting import greeting
from quotegen.model.choices import CustomerKind
from quotegen.model.enquiry import Customer

HOME, LANDLORD = CustomerKind.HOME_OWNER, CustomerKind.LANDLORD
AGENT, TRADE = CustomerKind.AGENT, CustomerKind.TRADE


@pytest.mark.parametrize(
    ("name", "kind", "contact", "said"),
    [
        ("Ms R. Petrel", LANDLORD, "", "Dear Ms Petrel"),
        ("Ms R Petrel", LANDLORD, "", "Dear Ms Petrel"),
        ("Ms Rachel Petrel", HOME, "", "Dear Ms Petrel"),
        (" Mr  D.\nDunlin ", HOME, "", "Dear Mr Dunlin"),
        ("Mr and Mrs A. Whimbrel", HOME, "", "Dear Mr and Mrs Whimbrel"),
        ("Mr A. Knot & Ms B. Plover", HOME, "", "Dear Mr Knot and Ms Plover"),
        ("Mr J. van der Plover", HOME, "", "Dear Mr van der Plover"),
        ("Dr. Wren Tern-Knot", HOME, "", "Dear Dr. Tern-Knot"),
        ("Wren Tern", HOME, "", "Dear Wren Tern"),
        ("Sir Wren Tern", HOME, "", "Dear Sir Wren Tern"),
        ("Ms", HOME, "", "Dear Ms"),
        ("Cormorant Lettings", AGENT, "", "Good morning"),
        ("Knot & Plover Builders", TRADE, "", "Good morning"),
        ("Harbour Homes Ltd", LANDLORD, "", "Good morning"),
        ("22 Harbour Parade Management", LANDLORD, "", "Good morning"),
        ("Mr Plover Roofing Ltd", TRADE, "", "Good morning"),
        ("Mr P. Knot", TRADE, "", "Dear Mr Knot"),
        ("Cormorant Lettings", AGENT, "Ms J. Shearwater", "Dear Ms Shearwater"),
        ("Cormorant Lettings", AGENT, "Robin", "Hello Robin"),
        ("Mrs O. Fulmar", HOME, "Mr S. Fulmar", "Dear Mr Fulmar"),
    ],
)
def test_the_right_person_is_greeted(
    name: str, kind: CustomerKind, contact: str, said: str
) -> None:
    assert greeting(Customer(name, kind, "9 Gull Row", contact=contact)) == said
