"""What a finished roof is handed over by: its quote and its method statement."""

from dataclasses import dataclass

from quotegen.model.quote import Quote, QuotedOption
from quotegen.model.safety import MethodStatement


@dataclass(frozen=True, slots=True)
class HandOver:
    """One roof handed over: its quote and its method statement."""

    quote: Quote
    statement: MethodStatement

    @property
    def options(self) -> tuple[QuotedOption, ...]:
        """The option the customer accepted, or all of them while none is."""
        accepted = self.quote.enquiry.accepted
        chosen = tuple(option for option in self.quote.options if option.build_up is accepted)
        return chosen or self.quote.options
