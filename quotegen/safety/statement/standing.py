"""The standing safety sheet: every rule that no job changes, in numbered paragraphs.

Which text stands on it is decided by its placeholders: one that names only figures of the firm and
published values is the same on every job. The numbers follow the order of the tables.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence

from msgspec import Struct

from quotegen import wording
from quotegen.model.enquiry import Enquiry
from quotegen.model.safety import SheetLine, SheetSection, StandingSheet
from quotegen.model.settings import Settings
from quotegen.phrases import capital
from quotegen.reference import rules
from quotegen.reference.life import marked
from quotegen.reference.rule_keys import IN_FULL_ON_SHEET, SheetSentence
from quotegen.reference.rule_records import EmergencyNote, NoteRule
from quotegen.safety.rules.hazards import level_of, stated_matrix
from quotegen.safety.rules.protection import glove_line
from quotegen.safety.rules.substances import standing_substance
from quotegen.safety.rules.text import Numbers, TextPlace, names_only, told, with_figures
from quotegen.safety.statement.firm_words import firm_words

SHEET_REF = "Every roof"
"""What the sheet is filed under: it belongs to no enquiry."""

NOTES_ON_SHEET: Mapping[str, SheetSentence] = {
    "marks": SheetSentence.MARKS,
    "stored": SheetSentence.STORED,
    "waste": SheetSentence.WASTE,
    "law": SheetSentence.LAW,
}
"""The tables of notes whose texts stand on the sheet where no job changes them."""


class _Text(Struct, frozen=True):
    """A text of the sheet before its figures are put in, and where it comes from."""

    place: TextPlace
    title: str
    text: str


class _Section(Struct, frozen=True):
    title: str
    texts: tuple[_Text, ...]
    who: str = ""


def make_sheet(settings: Settings, first: Enquiry) -> StandingSheet:
    """The standing sheet of a firm; it is the same whatever the jobs."""
    words = firm_words(settings)
    sections = _sections(words)
    numbers = _numbered(sections)
    made = [
        SheetSection(
            str(number),
            section.title,
            section.who,
            tuple(
                SheetLine(numbers[one.place], one.title, with_figures(one.text, words))
                for one in section.texts
            ),
        )
        for number, section in enumerate(sections, 1)
    ]
    labelled = TextPlace("substances", rules.substances()[0].key)
    return StandingSheet(
        ref=SHEET_REF,
        settings=settings,
        first=first,
        intro=(told(SheetSentence.WHAT_IT_IS), told(SheetSentence.WHAT_APPLIES)),
        sections=tuple(made),
        labels_at=numbers[labelled].partition(".")[0],
        substances=tuple(standing_substance(rule, words) for rule in rules.substances()),
        matrix=stated_matrix(),
    )


def sheet_numbers(firm: Collection[str]) -> Numbers:
    """The paragraph of each text on the sheet; `firm` are the placeholders no job changes."""
    return _numbered(_sections(firm))


def _numbered(sections: Sequence[_Section]) -> Numbers:
    return {
        one.place: f"{number}.{at}"
        for number, section in enumerate(sections, 1)
        for at, one in enumerate(section.texts, 1)
    }


def _sections(firm: Collection[str]) -> tuple[_Section, ...]:
    """The sections in their order; one without a text is left out."""
    found = [
        *_hazards(firm),
        _Section(told(SheetSentence.PRACTICE), tuple(_practice())),
        _Section(told(SheetSentence.SUBSTANCES), tuple(_substances())),
        _Section(told(SheetSentence.WORN), tuple(_worn())),
        _Section(told(SheetSentence.EMERGENCY), tuple(_emergencies())),
        *(_Section(told(key), tuple(_notes(table, firm))) for table, key in NOTES_ON_SHEET.items()),
    ]
    return tuple(section for section in found if section.texts)


def _hazards(firm: Collection[str]) -> Iterator[_Section]:
    for rule in rules.hazards():
        texts = tuple(
            _Text(TextPlace("hazards", rule.key, at), capital(level_of(rule, one)), one.text)
            for at, one in enumerate(rule.controls)
            if names_only(one.text, firm)
        )
        yield _Section(rule.hazard, texts, rule.who)


def _practice() -> Iterator[_Text]:
    """The lines of the steps that their table puts on the sheet."""
    for rule in rules.steps():
        for at, line in enumerate(rule.lines):
            if line.sheet:
                yield _Text(TextPlace("steps", rule.key, at), rule.title, line.text)


def _substances() -> Iterator[_Text]:
    for rule in rules.substances():
        yield _Text(TextPlace("substances", rule.key), rule.name, "")


def _worn() -> Iterator[_Text]:
    """What is worn on hands and body for each task; eyes and breathing stand on the statement."""
    for rule in rules.protection():
        gloves = [glove_line(rule.gloves)] if rule.gloves else []
        lines = [line.text for line in (*rule.hands, *rule.other)]
        yield _Text(TextPlace("protection", rule.key), rule.task, " ".join([*gloves, *lines]))


def _emergencies() -> Iterator[_Text]:
    """What follows on what an emergency asks for at once; that too where it stands here alone."""
    for note in rules.notes("emergency"):
        if isinstance(note, EmergencyNote) and note.more:
            parts = (note.text, note.more) if note.key in IN_FULL_ON_SHEET else (note.more,)
            yield _Text(TextPlace("emergency", note.key), note.title, " ".join(parts))


def _notes(table: str, firm: Collection[str]) -> Iterator[_Text]:
    for note in rules.notes(table):
        if names_only(note.text, firm):
            title = _dated(note) if table == "law" else note.title
            yield _Text(TextPlace(table, note.key), title, note.text)


def _dated(note: NoteRule) -> str:
    """The title of a note on the law, with the day it was read, or the sign that it was not."""
    read = note.basis.checked
    if read is None:
        return marked(note.title, note)
    return told(SheetSentence.AS_KNOWN, name=note.title, day=wording.date(read))
