"""What page 1 of the quote says besides the price: what we advise, what is settled first, when."""

from collections.abc import Iterable, Sequence

from msgspec import Struct

from quotegen import wording
from quotegen.documents.shared.before_words import EXTRA, SettledFirst, days_words, settled_first
from quotegen.documents.shared.remark_words import said
from quotegen.model.choices import BuildUp
from quotegen.model.prestart.record import BeforeItem, BeforeStart, OfferedStart
from quotegen.model.quote import Quote
from quotegen.phrases import small, without_stop
from quotegen.reference.rule_keys import BeforeKey
from quotegen.units import round_up

_WEEK = 7
WHO_PAYS_EXTRA = (
    "“Extra” is not in our price: you pay it direct. Where no sum is shown, ask us first."
)


_OF_AN_OFFER = (BeforeKey.CANCELLATION, BeforeKey.DEPOSIT)
"""What follows from a yes: an estimate asks for none, so nothing is due and nothing to cancel."""
FLUE_OFF = "The boiler or fire with its flue near the roof stays off all that time: no heating."
WAITS_FOR_VISIT = "We have not looked closely: what we advise waits for the visit."


class StartView(Struct, frozen=True):
    """The start in ready words, with a row for each thing not settled, and what else may be needed.

    `when` is its part on the first day, `apart` what of the rows is not in the price, `inside` the
    rest of them, and `extra` explains the word if a row uses it.
    """

    words: str
    when: str = ""
    rows: tuple[SettledFirst, ...] = ()
    perhaps: str = ""
    apart: str = ""
    inside: str = ""
    extra: str = ""


def start_view(quote: Quote, letters: Sequence[str]) -> StartView:
    """The start of a quote whose days have been laid out, with the letters of its options."""
    start = quote.start
    if start is None:
        return StartView("")
    letter_of = {
        option.build_up: letter for option, letter in zip(quote.options, letters, strict=True)
    }
    rows = [
        row for key, row in _rows(start, letter_of) if not (quote.unknown and key in _OF_AN_OFFER)
    ]
    sure = tuple(row for row in rows if row.sure)
    when = _when(start, bool(rows))
    return StartView(
        words=f"{when} {_on_site(quote, start)}",
        when=when,
        rows=sure,
        perhaps=_in_short(row for row in rows if not row.sure),
        apart=_in_short(row for row in sure if row.cost.startswith(EXTRA)),
        inside=_in_short(row for row in sure if not row.cost.startswith(EXTRA)),
        extra=WHO_PAYS_EXTRA if any(row.cost.startswith(EXTRA) for row in rows) else "",
    )


class AdviceView(Struct, frozen=True):
    """What is advised, or what the customer has chosen, and the reasons as sentences."""

    title: str
    choice: str
    because: str


def advice_view(quote: Quote, letters: Sequence[str]) -> AdviceView:
    """The option chosen, else the one advised and why; only what speaks against it stays then."""
    names = {
        option.build_up: f"{letter}: {option.build_up}" if letter else str(option.build_up)
        for option, letter in zip(quote.options, letters, strict=True)
    }
    colon = "" if len(names) > 1 else ":"
    accepted, advice = quote.enquiry.accepted, quote.advised
    if accepted in names:
        return AdviceView("What you have chosen", f"You have chosen{colon} {names[accepted]}.", "")
    if advice is None and quote.unknown:
        return AdviceView("What we advise", WAITS_FOR_VISIT, "")
    if advice is None:
        return AdviceView("", "", "")
    against = [f"{said(remark)}." for remark in advice.against]
    if advice.build_up is None:
        return AdviceView("What we advise", "We advise none of these.", " ".join(against))
    reasons = [f"{said(remark)}." for remark in advice.because]
    own = f"{without_stop(advice.own_words)}." if advice.own_words else ""
    return AdviceView(
        "What we advise, and why",
        f"We advise{colon} {names[advice.build_up]}.",
        " ".join(part for part in (own, *reasons, *against) if part),
    )


def _in_short(rows: Iterable[SettledFirst]) -> str:
    """Things to be settled in one line, each with its cost and its wait."""
    return "; ".join(f"{small(row.what)} ({row.cost}; {row.takes})" for row in rows)


def _rows(
    start: OfferedStart, letter_of: dict[BuildUp, str]
) -> list[tuple[BeforeKey, SettledFirst]]:
    """The things not settled for any option, each once; the quote itself asks for the yes."""
    found: dict[BeforeKey, tuple[BeforeItem, BeforeStart]] = {}
    needing: dict[BeforeKey, list[str]] = {}
    for build_up, before in start.before.items():
        for item in before.open_items:
            if item.key is not BeforeKey.ACCEPTANCE:
                if item.key not in found or item.sure:
                    found[item.key] = item, before
                needing.setdefault(item.key, []).append(letter_of[build_up])
    order = list(BeforeKey)
    everywhere = len(start.before)
    return [
        (key, settled_first(*found[key], () if len(needing[key]) == everywhere else needing[key]))
        for key in sorted(found, key=order.index)
    ]


def _when(start: OfferedStart, waits: bool) -> str:
    """The day if one is agreed, otherwise the wait from the customer's yes: no day before that."""
    once = ", once this is settled" if waits else ""
    if start.agreed is not None:
        return f"We start on {wording.long_day(start.agreed)}."
    said_yes = not any(
        item.key is BeforeKey.ACCEPTANCE
        for before in start.before.values()
        for item in before.open_items
    )
    if said_yes:
        return f"We agree the first day with you{once}."
    if start.wait_days:
        days = days_words(int(round_up(float(start.wait_days), _WEEK if waits else 1)))
        return f"We can start about {days} after you say yes{once}."
    return f"We agree the first day with you when you say yes{once}."


def _on_site(quote: Quote, start: OfferedStart) -> str:
    """The days on site of the options a customer can still choose from."""
    counts = sorted(
        option.take_off.programme.days.number
        for option in quote.options
        if option.build_up in start.before
    )
    least, most = counts[0], wording.count(counts[-1], "day", "days")
    days = most if least == counts[-1] else f"{wording.plain(least)} to {most}"
    off = f" {FLUE_OFF}" if quote.enquiry.site.flue_near else ""
    return f"The work takes about {days} on site, in dry weather.{off}"
