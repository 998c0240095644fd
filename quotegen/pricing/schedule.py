"""The landlord's schedule: one customer's quotes side by side, and their totals."""

from collections.abc import Iterator, Sequence
from functools import cache

from msgspec.structs import replace

from quotegen.model.choices import BuildUp, Covering, DeckCondition, PriceBasis
from quotegen.model.enquiry import Enquiry
from quotegen.model.quote import Quote, QuotedOption, Totals
from quotegen.model.several import DoneTogether, QuotedRoof, Schedule, ScheduledRoof, Sums
from quotegen.pricing.costs import money_total
from quotegen.pricing.money import less, totals
from quotegen.pricing.together_saves import savings_of
from quotegen.reference import house_rules
from quotegen.reference.house_rules import UrgencyRule
from quotegen.tables import key_of, known_key
from quotegen.units import Unit
from quotegen.working import Figure, derive

ADVISED, CHEAPEST = "what we advise for each roof", "the cheapest of each roof"
FULLEST, ACCEPTED = "the fullest of each roof", "accepted"
TOGETHER = "what we advise, all in one visit"
_NONE_YET, _NOT_KNOWN = "none-yet", "not-known"
ANY_FINDING = "any"
_DECKS = frozenset({"", _NONE_YET, _NOT_KNOWN, *map(key_of, DeckCondition)})
_FINDINGS = frozenset({"", ANY_FINDING, *map(key_of, PriceBasis)})
_FULLEST = tuple(BuildUp)


def make_schedule(quoted: Sequence[QuotedRoof], unpriced: Sequence[Enquiry] = ()) -> Schedule:
    """The schedule of one customer's quotes, at least one; the most urgent roof comes first."""
    roofs = sorted((_scheduled(one) for one in quoted), key=_place_in_order)
    first = quoted[0].quote
    return Schedule(
        customer=first.enquiry.customer,
        settings=first.settings,
        roofs=tuple(roofs),
        sums=tuple(_sums(roofs)),
        unpriced=tuple(unpriced),
        together=_together(roofs),
    )


def urgency_of(enquiry: Enquiry) -> UrgencyRule:
    """The first rule of `reference/house/urgency.toml` that fits a roof."""
    existing = enquiry.existing
    if existing.condition is not None:
        deck = key_of(existing.condition)
    else:
        bare = existing.deck is None and existing.covering is Covering.NONE
        deck = _NONE_YET if bare else _NOT_KNOWN
    found = {key_of(finding.basis) for finding in enquiry.findings if finding.basis}
    if enquiry.findings:
        found.add(ANY_FINDING)
    return next(
        rule for rule in _rules() if rule.fits_all or rule.deck == deck or rule.finding in found
    )


@cache
def _rules() -> tuple[UrgencyRule, ...]:
    """The rules of urgency; each names only a deck or a finding that exists."""
    rules = house_rules.urgency()
    for rule in rules:
        known_key(rule.deck, _DECKS, "urgency.toml, deck")
        known_key(rule.finding, _FINDINGS, "urgency.toml, finding")
    return rules


def _scheduled(one: QuotedRoof) -> ScheduledRoof:
    options = one.quote.options
    rule = urgency_of(one.quote.enquiry)
    return ScheduledRoof(
        quote=one.quote,
        revision=one.revision,
        band=rule.band.key,
        band_words=rule.band.words,
        because=rule.words,
        cheapest=min(options, key=lambda option: option.totals.total.money),
        fullest=max(options, key=lambda option: _FULLEST.index(option.build_up)),
        advised=_advised(one.quote),
    )


def _advised(quote: Quote) -> QuotedOption | None:
    """The option accepted, else the one we advise."""
    build_up = quote.enquiry.accepted or (quote.advised.build_up if quote.advised else None)
    return quote.option(build_up) if build_up else None


def _together(roofs: Sequence[ScheduledRoof]) -> DoneTogether | None:
    """What the roofs save if done in one visit, in the options advised or accepted.

    A firm that keeps the saving tells no customer of it.
    """
    settings, on = roofs[0].quote.settings, roofs[0].quote.dated
    chosen = [(roof, roof.advised) for roof in roofs if roof.advised]
    if len(chosen) < 2 or not settings.yes("together_passed_on"):
        return None
    savings = savings_of([(roof.quote.enquiry, option) for roof, option in chosen], settings)
    known = [one.amount for one in savings if one.amount and one.amount.money]
    saved = totals(known, settings, on) if known else None
    price = _less(_sum(TOGETHER, None, chosen), saved) if saved else None
    refs = tuple(roof.quote.enquiry.ref for roof, _ in chosen)
    return DoneTogether(refs, savings, saved, price)


def _less(whole: Sums, saved: Totals) -> Sums:
    """A sum less what is saved, each of its amounts by itself."""

    def rest(amount: Figure, part: Figure) -> Figure:
        return derive(amount.name, Unit.GBP, less, amount=amount, paid=part)

    vat = rest(whole.vat, saved.vat) if whole.vat and saved.vat else None
    return replace(
        whole, net=rest(whole.net, saved.net), vat=vat, total=rest(whole.total, saved.total)
    )


def _place_in_order(roof: ScheduledRoof) -> tuple[int, str]:
    bands = [band.key for band in house_rules.urgency_bands()]
    return bands.index(roof.band), roof.quote.enquiry.ref


def _sums(roofs: Sequence[ScheduledRoof]) -> Iterator[Sums]:
    """The sums of the choices open; an option that only some roofs have is summed over those."""
    advised = [(roof, roof.advised) for roof in roofs if roof.advised]
    if advised:
        yield _sum(ADVISED, None, advised)
    yield _sum(CHEAPEST, None, [(roof, roof.cheapest) for roof in roofs])
    yield _sum(FULLEST, None, [(roof, roof.fullest) for roof in roofs])
    accepted = [
        (roof, option)
        for roof in roofs
        for option in roof.quote.options
        if option.build_up is roof.quote.enquiry.accepted
    ]
    if accepted:
        yield _sum(ACCEPTED, None, accepted)
    for build_up in BuildUp:
        offered = [
            (roof, option)
            for roof in roofs
            for option in roof.quote.options
            if option.build_up is build_up
        ]
        if offered:
            yield _sum(str(build_up), build_up, offered)


def _sum(
    words: str, build_up: BuildUp | None, chosen: Sequence[tuple[ScheduledRoof, QuotedOption]]
) -> Sums:
    amounts = [option.totals for _, option in chosen]
    vat = [one.vat for one in amounts if one.vat is not None]
    return Sums(
        words=words,
        build_up=build_up,
        refs=tuple(roof.quote.enquiry.ref for roof, _ in chosen),
        net=derive("net", Unit.GBP, money_total, parts=[one.net for one in amounts]),
        vat=derive("VAT", Unit.GBP, money_total, parts=vat) if vat else None,
        total=derive("to pay", Unit.GBP, money_total, parts=[one.total for one in amounts]),
    )
