"""Sentences of the quote on VAT, payment, building control and the firm's insurance."""

from collections.abc import Sequence

from quotegen import wording
from quotegen.model.choices import INSULATED, CustomerKind, Nation
from quotegen.model.quote import Quote
from quotegen.model.settings import Term
from quotegen.phrases import capital, listed, small, without_stop
from quotegen.pricing.tax import VatTreatment, vat_treatment
from quotegen.reference.loader import entry
from quotegen.reference.rule_keys import BeforeKey

NO_VAT = "No VAT is charged: the firm is not registered for VAT."
_OTHER_RULES = (Nation.SCOTLAND, Nation.NORTHERN_IRELAND)
"""Where the rule on insulating a roof is one that we have not read."""


def vat_words(quote: Quote) -> str:
    """The VAT heading, or a statement that the firm charges none."""
    rates = {o.totals.vat_rate.number for o in quote.options if o.totals.vat_rate is not None}
    if not rates:
        return NO_VAT
    (rate,) = rates
    return f"VAT at {wording.percent(rate)}"


def quoted_vat_words(quote: Quote) -> str:
    """The VAT heading of a quote, which says that insulation in a roof bears the roof's rate.

    Source: VAT Notice 708/6 (`vat.standard_rate_pct`).
    """
    insulated = any(option.build_up in INSULATED for option in quote.options)
    too = ", insulation too" if insulated and quote.settings.yes("vat_registered") else ""
    return f"{vat_words(quote)}{too}"


def offer_name(quote: Quote) -> str:
    """What the paper is: an estimate until we have looked."""
    return "Estimate" if quote.unknown else "Quotation"


def provisional_note(quote: Quote) -> str:
    """That the price is an estimate, and why; empty where enough is known."""
    if not quote.unknown:
        return ""
    lists = " It lists what we have taken for granted." if quote.taken_as else ""
    return (
        "This is an estimate. Much about the roof and the site is not known yet: we have to look "
        f"before we can give you a price.{lists}"
    )


def reverse_charge_note(quote: Quote) -> str:
    """The note on the reverse charge: that it applies, or what to tell us; otherwise empty.

    Of those who have not told us, only the trade is asked here.
    """
    treatment = vat_treatment(quote.enquiry, quote.settings)
    if treatment is VatTreatment.REVERSE:
        return (
            "VAT is shown but not charged: the domestic reverse charge applies, and you account "
            "for it to HMRC. You pay us the price without VAT."
        )
    trade = quote.enquiry.customer.kind is CustomerKind.TRADE
    if not trade or treatment is not VatTreatment.ASK:
        return ""
    return (
        "VAT is shown as we charge it to a customer who is not registered. If you are registered "
        "for VAT and the Construction Industry Scheme, the domestic reverse charge may apply and "
        "you would account for the VAT yourself: tell us your status in writing, and whether you "
        "are the end user, before we invoice."
    )


def building_control_note(quote: Quote) -> str:
    """The duty to insulate, and that we certify it if we do; empty over an unheated room.

    The rule is that of the nation of the site, or both that were read where it is not known.
    """
    heated = quote.enquiry.site.heated_below
    if heated is False:
        return ""
    if _control_settled(quote):
        return "Building control has been told."
    yet = "" if quote.enquiry.accepted else " before you accept"
    ask = f"Building control may require insulation: ask us or them{yet}."
    nation = quote.enquiry.nation
    if nation in _OTHER_RULES:
        return f"{ask} {nation} has rules of its own. {_u_values(quote)}."
    share, outside = (
        wording.percent(float(entry(f"thermal.{name}_share_pct", quote.dated).value))
        for name in ("renewed", "envelope")
    )
    years = entry("thermal.payback_years", quote.dated).value
    room = "The room below is heated, so" if heated else "If the room below is heated, then"
    where = nation or Nation.ENGLAND
    scheme = without_stop(quote.settings.text("building_work_scheme"))
    tells = f", of which we tell building control and certify it, under {scheme}" if scheme else ""
    threshold, renovated, new, source = _insulated_to(quote, nation)
    elsewhere = "" if nation else f" {_elsewhere(quote)}"
    return (
        f"{ask} {room} in {where} renewing more than {share} of its roof, the waterproof layer "
        f"alone too, or {outside} of the outside of the building is renovation{tells}. A roof "
        f"worse than {threshold} then has to be insulated, so far as that can be done and pays "
        f"back within {wording.count(years, 'year', 'years')}: in a home to {renovated}, made new "
        f"to {new} (the lower, the warmer; {source}); other buildings: "
        f"volume 2.{elsewhere} {_u_values(quote)}."
    )


def _control_settled(quote: Quote) -> bool:
    """Whether notice to building control is ticked off for the build-up accepted."""
    before = quote.accepted_before
    return before is not None and any(
        item.key is BeforeKey.CONTROL and item.done for item in before.items
    )


def _insulated_to(quote: Quote, nation: Nation | None) -> tuple[str, str, str, str]:
    """The threshold, the U-value of a renovated and of a new roof, and the guide that says so."""
    if nation is Nation.WALES:
        wales = entry("thermal.wales_u", quote.dated)
        threshold, renovated, new = (_with_unit(float(u), wales.unit) for u in wales.value)
        return threshold, renovated, new, f"{wales.source}, {wales.edition} edition"
    threshold, renovated, new = (
        _u_words(quote, f"{name}_roof_u") for name in ("threshold", "renovated", "new")
    )
    guide = entry("thermal.edition", quote.dated)
    return threshold, renovated, new, f"{guide.source}, {guide.value}"


def _elsewhere(quote: Quote) -> str:
    """What is said beside the rule of England where the nation of the site is not known."""
    wales = listed([wording.plain(u) for u in entry("thermal.wales_u", quote.dated).value])
    return (
        f"In Wales the three are {wales}; in Scotland and Northern Ireland building control says."
    )


def _u_words(quote: Quote, name: str) -> str:
    """A published U-value with its unit."""
    published = entry(f"thermal.{name}", quote.dated)
    return _with_unit(float(published.value), published.unit)


def _with_unit(u_value: float, unit: str) -> str:
    return f"{wording.plain(u_value)} {unit.replace('m2', 'm²')}"


def _u_values(quote: Quote) -> str:
    """The U-values of the insulated options, as worked out in the take-off."""
    worked_out = [
        f"{option.build_up} comes to about {wording.number(u_value.number, 2)} W/m²K"
        f"{_short_of(quote, u_value.number)}"
        for option in quote.options
        if (u_value := option.take_off.u_value) is not None
    ]
    if not worked_out:
        return "Nothing quoted adds insulation"
    return f"Worked out without fixings and ceiling, {listed(worked_out)}"


def _short_of(quote: Quote, u_value: float) -> str:
    """What a U-value falls short of, empty if of nothing or where we do not know the rule."""
    if quote.enquiry.nation in _OTHER_RULES:
        return ""
    for name in ("threshold_roof_u", "renovated_roof_u"):
        if u_value > float(entry(f"thermal.{name}", quote.dated).value):
            return f", which is worse than {_u_words(quote, name)}"
    return ""


def payment_sentences(quote: Quote) -> tuple[str, ...]:
    """When payments fall due, from the firm's settings."""
    consumer = quote.enquiry.customer.kind is CustomerKind.HOME_OWNER
    code = "balance_days" if consumer else "balance_days_business"
    days = wording.count(quote.settings.number(code), "day", "days")
    deposit = any(option.deposit.money for option in quote.options)
    if quote.unknown:
        return ("Nothing is due yet: our quotation after the visit says how you pay.",)
    first = _deposit_words(quote) if deposit else "No deposit. The full price is due"
    return (f"{first} within {days} of our finishing.",)


def _deposit_words(quote: Quote) -> str:
    """When the deposit is due, and whether it has been paid once the customer has accepted."""
    before = quote.accepted_before
    if before is None:
        return "The deposit is due when you accept, the balance"
    due = any(item.key is BeforeKey.DEPOSIT for item in before.open_items)
    return f"{'The deposit is due now' if due else 'Your deposit is paid'}, the balance is due"


def insurance_words(quote: Quote) -> str:
    """The firm's insurance and until when it runs; empty if there is none on the day of the quote.

    Without its end it is said as the firm has written it.
    """
    insurance = without_stop(quote.settings.text("insurance"))
    until = quote.settings.day("insurance_until")
    if not insurance or (until is not None and until < quote.dated):
        return ""
    return f"{insurance}, until {wording.date(until)}." if until else f"{insurance}."


def term_sentences(terms: Sequence[Term]) -> tuple[str, ...]:
    """The firm's terms, each printed once; a term for only some build-ups names them first."""
    build_ups: dict[str, list[str]] = {}
    for term in terms:
        build_ups.setdefault(term.text, []).append(term.applies_to)
    return tuple(
        f"{capital(listed(names))}: {small(text)}" if all(names) else text
        for text, names in build_ups.items()
    )
