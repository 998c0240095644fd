"""The site card: the first page of the method statement, to be read at arm's length in the rain."""

from msgspec import Struct

from quotegen.documents.printing.paper import one_line
from quotegen.documents.safety.access_view import kept_clear
from quotegen.documents.shared.before_words import hold_lines
from quotegen.documents.shared.limit_lines import limit_lines
from quotegen.documents.shared.mix_view import MixTable, mix_tables, planned_mixes
from quotegen.documents.shared.risk_view import Pair
from quotegen.model.choices import Access
from quotegen.model.issue import Issue
from quotegen.model.safety import MethodStatement
from quotegen.phrases import capital
from quotegen.reference.rule_keys import ON_FRONT_PAGE, LimitSentence, MixSentence
from quotegen.safety.rules.text import told


class SiteCardView(Struct, frozen=True):
    """Everything the site card shows.

    `kept_clear` is the ground below the open edges, empty where nobody works at height.
    """

    reference: str
    site_address: str
    build_up: str
    injuries: tuple[str, ...]
    holds: tuple[str, ...]
    limits: tuple[str, ...]
    emergencies: tuple[Pair, ...]
    kept_clear: str
    goggles: str
    bottle: str
    mixes: tuple[MixTable, ...]


def site_card_view(statement: MethodStatement, issue: Issue) -> SiteCardView:
    """The site card in ready words."""
    at_height = statement.option.access.chosen is not Access.GROUND
    return SiteCardView(
        reference=issue.reference,
        site_address=one_line(statement.enquiry.site_address),
        build_up=str(statement.build_up),
        injuries=tuple(capital(injury) for injury in statement.injuries),
        holds=tuple(hold_lines(statement.before)),
        limits=(*limit_lines(statement), told(LimitSentence.CANNOT_BE_KEPT)),
        emergencies=tuple(
            Pair(note.title, note.text) for note in statement.emergency if note.key in ON_FRONT_PAGE
        ),
        kept_clear=kept_clear(statement) if at_height else "",
        goggles=told(MixSentence.GOGGLES_ON),
        bottle=told(MixSentence.OPEN_BOTTLE),
        mixes=mix_tables(
            planned_mixes(statement), statement.limits, statement.settings, fills=False
        ),
    )
