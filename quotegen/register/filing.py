"""The references that papers of a customer with several roofs are filed under."""

import re
import unicodedata
from collections.abc import Iterator
from itertools import count

from quotegen.model.enquiry import Customer

ALL_ROOFS = "all roofs"
_LONGEST_NAME = 30
_LONGEST_ADDRESS = 40


def same_customer(customer: Customer) -> tuple[str, str]:
    """The identity of a customer: name and bill address, ignoring capitals, spaces and line breaks.

    >>> from quotegen.model.enquiry import CustomerKind
    >>> same_customer(Customer("Ms R.  Petrel", CustomerKind.LANDLORD, "9 Gull Row\\nMizzlehaven"))
    ('ms r. petrel', '9 gull row mizzlehaven')
    """
    name, address = (
        " ".join(unicodedata.normalize("NFKC", words).casefold().split())
        for words in (customer.name, customer.bill_address)
    )
    return name, address


def customer_references(customer: Customer) -> Iterator[str]:
    """Possible references for the papers of all a customer's roofs, the shortest first.

    The first has the name alone. The others are for a customer whose name another one already has,
    and add where the bill goes: the first line of the address, then all of it, then a number. Each
    holds only letters, figures, commas and single spaces, so it is safe as a folder name, and
    always a comma, so it is never the reference of an enquiry.

    >>> from itertools import islice
    >>> from quotegen.model.enquiry import CustomerKind
    >>> landlord = Customer("Ms R. Petrel", CustomerKind.LANDLORD, "9 Gull Row, Mizzlehaven")
    >>> for reference in islice(customer_references(landlord), 4):
    ...     print(reference)
    Ms R Petrel, all roofs
    Ms R Petrel, 9 Gull Row, all roofs
    Ms R Petrel, 9 Gull Row Mizzlehaven, all roofs
    Ms R Petrel, 9 Gull Row Mizzlehaven 2, all roofs
    """
    name = _safe(customer.name, _LONGEST_NAME) or "Customer"
    street = _safe(re.split(r"[,\n]", customer.bill_address.strip())[0], _LONGEST_ADDRESS)
    whole = _safe(customer.bill_address, _LONGEST_ADDRESS)
    yield f"{name}, {ALL_ROOFS}"
    for address in dict.fromkeys((street, whole)):
        if address:
            yield f"{name}, {address}, {ALL_ROOFS}"
    for number in count(2):
        yield f"{name}, {whole} {number}, {ALL_ROOFS}" if whole else f"{name} {number}, {ALL_ROOFS}"


def _safe(words: str, longest: int) -> str:
    plain = unicodedata.normalize("NFKD", words).encode("ascii", "ignore").decode()
    return " ".join(re.sub(r"[^A-Za-z0-9]+", " ", plain).split())[:longest].strip()
