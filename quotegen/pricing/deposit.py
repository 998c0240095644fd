"""The deposit on acceptance, and the balance that is left."""

from quotegen.model.quote import Totals
from quotegen.model.settings import Settings
from quotegen.pricing.money import less, percentage_of
from quotegen.units import Unit
from quotegen.working import Figure, derive


def deposit_and_balance(
    total: Totals, settings: Settings, home_owner: bool
) -> tuple[Figure, Figure]:
    """Deposit and balance, which add up to the total."""
    code = "deposit_pct_home_owner" if home_owner else "deposit_pct_business"
    deposit = derive("deposit", Unit.GBP, percentage_of, amount=total.total, pct=settings[code])
    balance = derive("balance", Unit.GBP, less, amount=total.total, paid=deposit)
    return deposit, balance
