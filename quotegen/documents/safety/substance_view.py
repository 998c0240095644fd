"""A dangerous substance: as the method statement keeps it, and as the standing sheet labels it."""

from msgspec import Struct

from quotegen.documents.drawing.signs import SymbolView, pictogram, pictogram_words
from quotegen.documents.shared.risk_view import Pair
from quotegen.model.safety import Substance
from quotegen.phrases import without_stop


class KeptView(Struct, frozen=True):
    """A substance of the job: how much, what it can do, how it is kept and mixed."""

    name: str
    amount: str
    does: str
    kept: tuple[Pair, ...]


class LabelView(Struct, frozen=True):
    """A substance as its label and data sheet warn of it; `signal` is empty without a label."""

    name: str
    signal: str
    symbols: tuple[SymbolView, ...]
    statements: str
    rows: tuple[Pair, ...]


def kept_view(substance: Substance) -> KeptView:
    """A substance of the job as whoever handles it needs it."""
    rows = (
        Pair("", " ".join(substance.storage)),
        Pair("", substance.mixing),
        Pair("Never near", substance.never_near),
    )
    return KeptView(
        name=substance.short,
        amount=substance.amount,
        does=substance.does,
        kept=tuple(row for row in rows if row.words),
    )


def label_view(substance: Substance) -> LabelView:
    """A substance as no job changes it: its label, limits, and what to do if it goes wrong."""
    rows = (
        Pair("Limits in the air", "; ".join(substance.limits)),
        Pair("Kept", " ".join(substance.storage)),
        Pair("Never near", substance.keep_from),
        Pair("Spilt", substance.spill),
        Pair("On fire", substance.fire),
        *(Pair(f"First aid, {route}", words) for route, words in substance.first_aid),
        Pair("Waste", substance.waste),
    )
    return LabelView(
        name=substance.name,
        signal=substance.signal,
        symbols=tuple(
            SymbolView(pictogram(code), pictogram_words(code)) for code in substance.pictograms
        ),
        statements="; ".join(f"{words} ({code})" for code, words in substance.statements),
        rows=tuple(Pair(row.name, f"{without_stop(row.words)}.") for row in rows if row.words),
    )
