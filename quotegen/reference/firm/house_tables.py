"""The house defaults for the firm's tables: catalyst doses, curing times, material losses.

`house/doses.toml`, `curing.toml` and `losses.toml` hold the rows with which these sheets begin,
each with the basis of its figures and the setting in which an older workbook has them.
"""

from functools import cache

from quotegen.reference.house_rules import HOUSE
from quotegen.tables import Key, Number, Said, Table, rows


class HouseDose(Table, frozen=True):
    """Catalyst [%] in a material, named by its key, at a deck temperature [C]."""

    material: Key
    deck_c: Number
    dose_pct: Number
    basis: Said
    was: Said


class HouseCure(Table, frozen=True):
    """Hours [h] to a stage of curing, named by its key, at a deck temperature [C]."""

    stage: Key
    deck_c: Number
    hours: Number
    basis: Said
    was: Said


class HouseLoss(Table, frozen=True, kw_only=True):
    """The loss of a material, named by its key, on a plain and on a cut-up roof [%].

    `cut_up_pct` is None where the loss is the same on both.
    """

    material: Key
    plain_pct: Number
    cut_up_pct: Number | None = None
    basis: Said
    was: tuple[Said, ...]


@cache
def doses() -> tuple[HouseDose, ...]:
    """The first rows of the Catalyst doses sheet."""
    return rows(HOUSE / "doses.toml", "dose", HouseDose)


@cache
def curing() -> tuple[HouseCure, ...]:
    """The first rows of the Curing times sheet."""
    return rows(HOUSE / "curing.toml", "cure", HouseCure)


@cache
def losses() -> tuple[HouseLoss, ...]:
    """The first rows of the Material losses sheet."""
    return rows(HOUSE / "losses.toml", "loss", HouseLoss)
