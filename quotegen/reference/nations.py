"""The nation in which a site lies, read from its postcode."""

import re

from quotegen.model.choices import Nation
from quotegen.reference.loader import entry

_POSTCODE = re.compile(r"\b([A-Z]{1,2})\d[A-Z\d]? ?\d[A-Z]{2}\b")


def nation_of(address: str) -> Nation | None:
    """The nation of the last postcode of an address; None without one and near a border.

    The letters at the front of a postcode are its area; an area that crosses a border, or may, is
    in no list. Source: `nations.toml`.

    >>> nation_of("1 Sample Row, CF10 1AA"), nation_of("1 Sample Row"), nation_of("LD1 1AA")
    (<Nation.WALES: 'Wales'>, None, None)
    """
    areas = _POSTCODE.findall(address.upper())
    if not areas:
        return None
    found = (n for n in Nation if areas[-1] in entry(f"nations.{n.name.lower()}").value)
    return next(found, None)
