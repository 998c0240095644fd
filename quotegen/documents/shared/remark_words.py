"""What the calculation says by keys and figures, put into the words for those keys."""

from collections.abc import Callable, Iterable, Mapping
from functools import partial

from msgspec import Struct

from quotegen.model.several import TogetherKey
from quotegen.reference.firm.advice import advice_words
from quotegen.reference.firm.house_words import house_words
from quotegen.reference.remark_keys import (
    AdviceKey,
    Included,
    JobNote,
    RateFor,
    Undone,
    WasteReason,
)
from quotegen.reference.remarks import Remark, RemarkKey, written
from quotegen.reference.rules import sentence_words

_HOUSE_WORDS: Mapping[type[RemarkKey], Callable[[], Mapping[str, str]]] = {
    Included: partial(house_words, "offer.toml", "included", Included),
    Undone: partial(house_words, "offer.toml", "undone", Undone),
    JobNote: partial(house_words, "notes.toml", "note", JobNote),
    WasteReason: partial(house_words, "notes.toml", "waste", WasteReason),
    RateFor: partial(house_words, "work.toml", "rate", RateFor),
    TogetherKey: partial(house_words, "notes.toml", "together", TogetherKey),
    AdviceKey: partial(advice_words, AdviceKey),
}
"""Where the words of the house stand, by the kind of key; all others are sentences of the rules."""


class SaidLine(Struct, frozen=True):
    """A remark in words, with its key."""

    key: RemarkKey
    words: str


def said(remark: Remark) -> str:
    """A remark in words."""
    kind = type(remark.key)
    house = _HOUSE_WORDS.get(kind)
    return written(remark, house() if house else sentence_words(kind))


def said_lines(remarks: Iterable[Remark]) -> tuple[SaidLine, ...]:
    """Remarks in words, each with its key, which joins the lines of several options."""
    return tuple(SaidLine(one.key, said(one)) for one in remarks)
