"""A dangerous substance as the method statement shows it: its signs, its label, how it is kept."""

from msgspec import Struct

from quotegen.documents.drawing.signs import SymbolView, pictogram, pictogram_words
from quotegen.documents.shared.risk_view import Pair
from quotegen.model.safety import Substance
from quotegen.phrases import without_stop


class SubstanceView(Struct, frozen=True):
    """A dangerous substance with its pictograms and what to do."""

    name: str
    amount: str
    signal: str
    symbols: tuple[SymbolView, ...]
    statements: str
    paragraphs: tuple[tuple[Pair, ...], ...]


def substance_view(substance: Substance) -> SubstanceView:
    """A labelled substance with what its row says, paragraph by paragraph."""
    paragraphs = (
        (Pair("Limits in the air", "; ".join(substance.limits)),),
        (Pair("Storing", " ".join(substance.storage)), Pair("Keep from", substance.keep_from)),
        (Pair("Mixing", substance.mixing),),
        _gone_wrong(substance),
    )
    return SubstanceView(
        name=substance.name,
        amount=substance.amount,
        signal=substance.signal,
        symbols=tuple(
            SymbolView(pictogram(code), pictogram_words(code)) for code in substance.pictograms
        ),
        statements="; ".join(f"{words} ({code})" for code, words in substance.statements),
        paragraphs=tuple(
            said
            for paragraph in paragraphs
            if (said := tuple(pair for pair in paragraph if pair.words))
        ),
    )


def _gone_wrong(substance: Substance) -> tuple[Pair, ...]:
    return (
        Pair("Spilt", substance.spill),
        Pair("On fire", substance.fire),
        *(Pair(f"First aid, {route}", words) for route, words in substance.first_aid),
    )


def dust_line(substance: Substance) -> Pair:
    """A substance without a label in one run of sentences."""
    parts = (
        Pair("Limits in the air", "; ".join(substance.limits)),
        Pair("Keep from", substance.keep_from),
        *_gone_wrong(substance),
    )
    said = (f"{part.name}: {without_stop(part.words)}." for part in parts if part.words)
    return Pair(substance.name, " ".join(said))
