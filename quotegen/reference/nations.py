"""The nation in which a site lies, read from its postcode."""

import re

from quotegen.reference import loader

_POSTCODE = re.compile(r"\b([A-Z]{1,2})\d[A-Z\d]? ?\d[A-Z]{2}\b")


def nation_of(address: str) -> str:
    """The nation of the last postcode of an address; empty without one and near a border.

    The letters at the front of a postcode are its area; an area that crosses a border, or may, is
    in no list. Source: `nations.toml`.

    >>> nation_of("1 Sample Row, BT1 1AA"), nation_of("1 Sample Row"), nation_of("LD1 1AA")
    ('Northern Ireland', '', '')
    """
    areas = _POSTCODE.findall(address.upper())
    if not areas:
        return ""
    keys = loader.subject("nations")
    found = (key for key in keys if areas[-1] in loader.entry(f"nations.{key}").value)
    return next(found, "").replace("_", " ").title()
