"""The standing safety sheet as a PDF: the firm's rules that no job changes, in numbered paragraphs.

It is carried in the van and sent to whoever asks; each method statement names its paragraphs.
"""

from collections.abc import Mapping
from typing import Any

from msgspec import Struct

from quotegen import wording
from quotegen.documents.printing.design import Design
from quotegen.documents.printing.paper import PictureBox
from quotegen.documents.safety.substance_view import LabelView, label_view
from quotegen.documents.shared.risk_view import MatrixRow, matrix_rows
from quotegen.model.issue import Issue
from quotegen.model.safety import SheetSection, StandingSheet
from quotegen.reference.rule_keys import SheetSentence
from quotegen.safety.rules.text import told

SIGNING_LINES = 6


class LabelledView(Struct, frozen=True):
    """A substance with its paragraph."""

    number: str
    label: LabelView


class StandingSheetView(Struct, frozen=True):
    """Everything the template of the standing sheet shows but for the firm's head.

    The section on substances, numbered `labels_at`, is printed from `labels`.
    """

    revision: str
    dated: str
    intro: tuple[str, ...]
    sections: tuple[SheetSection, ...]
    labels_at: str
    labels: tuple[LabelledView, ...]
    ratings: str
    doubt: str
    severities: tuple[str, ...]
    matrix: tuple[MatrixRow, ...]
    signing: tuple[str, ...]


def standing_sheet_view(sheet: StandingSheet, issue: Issue) -> StandingSheetView:
    """The standing sheet in ready words."""
    substances = next(section for section in sheet.sections if section.number == sheet.labels_at)
    return StandingSheetView(
        revision=str(issue.revision),
        dated=wording.date(issue.issued),
        intro=sheet.intro,
        sections=sheet.sections,
        labels_at=sheet.labels_at,
        labels=tuple(
            LabelledView(line.number, label_view(substance))
            for line, substance in zip(substances.lines, sheet.substances, strict=True)
        ),
        ratings=told(SheetSentence.RATINGS),
        doubt=told(SheetSentence.DOUBT),
        severities=tuple(
            f"{number} {words}" for number, words in enumerate(sheet.matrix.severity_words, 1)
        ),
        matrix=matrix_rows(sheet.matrix),
        signing=("",) * SIGNING_LINES,
    )


def _fill(sheet: StandingSheet, issue: Issue, _box: PictureBox) -> Mapping[str, Any]:
    return {"standing": standing_sheet_view(sheet, issue)}


STANDING_SHEET = Design(
    "Standing safety sheet",
    "safety/standing_sheet.html",
    lambda sheet: (sheet.first, sheet.settings),
    _fill,
    line=lambda sheet: sheet.settings.text("firm_name"),
)
