"""The greeting of a letter: the right person, as they are spoken to."""

import re
from collections.abc import Sequence

from quotegen.model.choices import CustomerKind
from quotegen.model.enquiry import Customer

_TITLES = frozenset({"mr", "mrs", "ms", "miss", "mx", "dr", "prof", "professor", "rev", "cllr"})
_FIRMS = frozenset(
    {
        "association", "bros", "brothers", "builders", "co", "company", "council", "estates",
        "group", "homes", "housing", "lettings", "limited", "llp", "ltd", "partners", "plc",
        "properties", "roofing", "services", "sons", "trust",
    }
)  # fmt: skip
"""Words that only the name of a firm has, as an untitled customer may be one."""
_AND = re.compile(r"\s+(?:and|&|\+)\s+", re.IGNORECASE)
_INITIAL = re.compile(r"(?:[A-Z]\.?)+$")
_TRADES = (CustomerKind.AGENT, CustomerKind.TRADE)


def greeting(customer: Customer) -> str:
    """The first line of a letter, without its comma.

    A named contact comes before the customer. Someone with a title is greeted by title and surname,
    a contact without one by the name given, and a firm that names nobody with good morning.

    >>> landlord = CustomerKind.LANDLORD
    >>> greeting(Customer("Ms R. Petrel", landlord, "9 Gull Row"))
    'Dear Ms Petrel'
    >>> greeting(Customer("Mr and Mrs A. Whimbrel", landlord, "6 Sandpiper Lane"))
    'Dear Mr and Mrs Whimbrel'
    >>> greeting(Customer("Cormorant Lettings", CustomerKind.AGENT, "22 Harbour Parade"))
    'Good morning'
    """
    contact = " ".join(customer.contact.split())
    if contact:
        titled = titled_name(contact)
        return f"Dear {titled}" if titled else f"Hello {contact}"
    name = " ".join(customer.name.split())
    titled = titled_name(name)
    if titled:
        return f"Dear {titled}"
    return "Good morning" if _is_firm(name, customer.kind) else f"Dear {name}"


def titled_name(name: str) -> str:
    """The titles with the surname; empty where a person of the name has no title.

    >>> titled_name("Mr J. van der Plover"), titled_name("Dr Wren Tern"), titled_name("Wren Tern")
    ('Mr van der Plover', 'Dr Tern', '')
    >>> titled_name("Mr A. Knot & Ms B. Plover"), titled_name("Mr A. and Mrs B. Knot")
    ('Mr Knot and Ms Plover', 'Mr and Mrs Knot')
    """
    if _firm_words(name):
        return ""
    people = [part.split() for part in _AND.split(name)]
    if not all(words and _is_title(words[0]) for words in people):
        return ""
    surnames = [_surname(words[1:]) for words in people]
    if not surnames[-1]:
        return ""
    shown = [
        f"{words[0]} {surname}".strip() for words, surname in zip(people, surnames, strict=True)
    ]
    return " and ".join(shown)


def _surname(words: Sequence[str]) -> str:
    """The surname among the words after a title: what follows initials, or else forenames."""
    initials = [word for word in words if _INITIAL.match(word)]
    rest = [word for word in words if word not in initials]
    if initials or not rest:
        return " ".join(rest)
    lower = next((place for place, word in enumerate(rest) if word[0].islower()), len(rest) - 1)
    return " ".join(rest[lower:])


def _is_title(word: str) -> bool:
    return word.rstrip(".").lower() in _TITLES


def _is_firm(name: str, kind: CustomerKind) -> bool:
    return kind in _TRADES or _firm_words(name)


def _firm_words(name: str) -> bool:
    """Whether a name has a word, or a figure, that only the name of a firm has."""
    words = re.findall(r"[a-z]+", name.lower())
    return any(word in _FIRMS for word in words) or any(letter.isdigit() for letter in name)
