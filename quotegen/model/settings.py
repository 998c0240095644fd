"""The firm's settings, tables and terms, and the prices it buys at."""

from collections.abc import Container, Iterable, Mapping
from datetime import date
from decimal import Decimal
from enum import StrEnum

from msgspec import Struct, field

from quotegen.model.weather import Weather
from quotegen.problems import Place
from quotegen.units import Unit
from quotegen.working import Figure


class TermKind(StrEnum):
    """The kind of a row on the Terms sheet."""

    EXCLUSION = "not included"
    PAYMENT = "payment"
    GUARANTEE = "guarantee condition"
    GENERAL = "general term"


class Term(Struct, frozen=True):
    """One sentence of the firm's terms; `applies_to` is a build-up, or empty for all."""

    kind: TermKind
    applies_to: str
    text: str


class Mixed(StrEnum):
    """What catalyst is mixed into."""

    RESIN = "resin"
    TOPCOAT = "topcoat"


class Curing(StrEnum):
    """How hard a coat has to be."""

    LAMINATE = "laminate until it is walked on"
    TOPCOAT = "topcoat until it may get wet"


class Lost(StrEnum):
    """What is partly lost in cutting and mixing."""

    INSULATION = "insulation"
    MAT = "glass mat (besides laps and trimming)"
    RESIN = "resin"
    TOPCOAT = "topcoat"
    BANDAGE = "bandage"
    TIMBER = "batten and timber"
    CATALYST = "catalyst"
    FIXINGS = "screws and nails"
    ADHESIVE = "adhesive and sealant"


class AtDeck(Struct, frozen=True):
    """A row of a table by deck temperature: a temperature [C] and its amount."""

    place: Place
    deck_c: float
    amount: Figure

    def paired(self, unit: Unit) -> Figure:
        """Temperature and amount as one figure of a table that a formula takes."""
        return Figure(self.amount.name, (self.deck_c, self.amount.number), unit, self.amount.basis)


class Loss(Struct, frozen=True):
    """What is lost of one material on a plain and on a cut-up roof [%]."""

    place: Place
    plain: Figure
    cut_up: Figure


class FirmTables(Struct, frozen=True):
    """The firm's tables: each has every material or stage, by temperature the coldest first."""

    doses: Mapping[Mixed, tuple[AtDeck, ...]]
    curing: Mapping[Curing, tuple[AtDeck, ...]]
    losses: Mapping[Lost, Loss]


def pairs(rows: Iterable[AtDeck]) -> tuple[tuple[float, float], ...]:
    """Rows by deck temperature as bare numbers: (temperature [C], amount)."""
    return tuple((row.deck_c, row.amount.number) for row in rows)


class DefaultedSettings(Struct, frozen=True):
    """The settings that have a default, by code, and the tables, with the place each was read.

    They exist whatever the workbook lacks, and are enough to check the roof itself. What only the
    firm can know is not among them. An unknown code is our own fault (KeyError).
    """

    figures: Mapping[str, Figure]
    tables: FirmTables

    def __getitem__(self, code: str) -> Figure:
        return self.figures[code]

    def get(self, code: str) -> Figure | None:
        """The setting, or None where the firm left it blank."""
        return self.figures.get(code)

    def number(self, code: str) -> float:
        """A setting as a bare number."""
        return self.figures[code].number

    def text(self, code: str) -> str:
        """A setting as text, empty where blank."""
        found = self.figures.get(code)
        return found.text if found else ""

    def day(self, code: str) -> date | None:
        """A date, None where blank."""
        found = self.text(code)
        return date.fromisoformat(found) if found else None

    def yes(self, code: str) -> bool:
        """A yes/no setting, False where blank."""
        found = self.figures.get(code)
        return bool(found.value) if found else False


class Settings(DefaultedSettings, frozen=True):
    """Business, Rates and Waste in full, by code, the tables, and the van's stock.

    They exist only when every setting that a price or a paper needs has a value: no take-off begins
    without them. `van_stock` gives quantities by item, in the item's unit; `forecast` the weather
    where the jobs are, in time order, `taken` the days on which all crews are at agreed jobs. An
    optional setting left blank is absent from `figures`, and `get` gives None.
    """

    terms: tuple[Term, ...] = ()
    van_stock: Mapping[str, Figure] = field(default_factory=dict)
    forecast: tuple[Weather, ...] = ()
    taken: tuple[date, ...] = ()


class PackPrice(Struct, frozen=True):
    """One row of a price list: a pack of an item from a supplier, without VAT."""

    item: str
    words: str
    unit: Unit
    pack_size: float
    pack_price: Decimal
    supplier: str
    dated: date
    place: Place


class PriceBook(Struct, frozen=True):
    """Every pack on every price list read, by item."""

    packs: Mapping[str, tuple[PackPrice, ...]]

    def of(self, item: str) -> tuple[PackPrice, ...]:
        """The packs an item is sold in; empty when it is not priced."""
        return self.packs.get(item, ())

    def sellers(self, item: str) -> frozenset[str]:
        """The suppliers that price an item."""
        return frozenset(pack.supplier for pack in self.of(item))

    def within(self, items: Iterable[str], suppliers: Container[str]) -> "PriceBook":
        """A price book of only these items from these suppliers."""
        return PriceBook(
            {
                item: packs
                for item in items
                if (packs := tuple(p for p in self.of(item) if p.supplier in suppliers))
            }
        )
