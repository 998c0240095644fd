"""Under which name the papers of a customer with several roofs are filed."""

import hashlib
import re
import unicodedata

from quotegen.model.enquiry import Customer

_LONGEST = 30
_MARK_DIGITS = 6


def same_customer(customer: Customer) -> tuple[str, str]:
    """What two rows of one customer have in common: name and bill address, as a person reads them.

    Capitals, spaces and line breaks make no difference.

    >>> from quotegen.model.enquiry import CustomerKind
    >>> same_customer(Customer("Ms R.  Petrel", CustomerKind.LANDLORD, "9 Gull Row\\nMizzlehaven"))
    ('ms r. petrel', '9 gull row mizzlehaven')
    """
    name, address = (
        " ".join(unicodedata.normalize("NFKC", words).casefold().split())
        for words in (customer.name, customer.bill_address)
    )
    return name, address


def customer_reference(customer: Customer) -> str:
    """The reference of the papers for all roofs of a customer: the name, and a mark of the address.

    It holds only letters, figures and single spaces, so it is safe as the name of a folder, and
    always a space, so it is never the reference of an enquiry. The mark keeps apart two customers
    of one name.

    >>> from quotegen.model.enquiry import CustomerKind
    >>> customer_reference(Customer("MS R. PETREL", CustomerKind.LANDLORD, "9 Gull Row"))
    'Ms R Petrel eaa928'
    """
    name, address = same_customer(customer)
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    words = re.sub(r"[^a-z0-9]+", " ", plain).title().split()
    safe = " ".join(words)[:_LONGEST].strip() or "Customer"
    mark = hashlib.sha256(f"{name}\n{address}".encode()).hexdigest()[:_MARK_DIGITS]
    return f"{safe} {mark}"
