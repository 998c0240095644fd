"""What of the safety rules is on paper: on the card, in the statement, or on the sheet it names.

Read from the printed words (`blocks_of`), not from the records: a paragraph of the standing sheet
counts only where the statement gives its number.
"""

import re
from collections.abc import Iterable, Iterator, Mapping

from quotegen.documents.printing.paper import one_line
from quotegen.documents.safety.method import METHOD, MethodView, method_view
from quotegen.documents.safety.standing_sheet import STANDING_SHEET
from quotegen.model.issue import Issue
from quotegen.model.safety import MethodStatement
from quotegen.reference import rules
from quotegen.reference.rule_keys import IN_FULL_ON_SHEET, ON_FRONT_PAGE
from quotegen.reference.rule_records import EmergencyNote
from quotegen.safety.rules.text import with_figures
from quotegen.safety.statement.firm_words import firm_words
from quotegen.safety.statement.standing import make_sheet
from tests.builders import TODAY
from tests.documents.said_papers import blocks_of

NUMBER = re.compile(r"\d+\.\d+")
SHEET_ISSUE = Issue("The firm", 0, TODAY)


def sheet_paragraphs(made: MethodStatement) -> Mapping[str, str]:
    """The paragraphs of the firm's standing sheet as printed, by their numbers."""
    html = STANDING_SHEET.html(make_sheet(made.settings, made.enquiry), SHEET_ISSUE)
    found: dict[str, str] = {}
    number = ""
    for block in blocks_of(html):
        if NUMBER.fullmatch(block):
            number = block
            assert number not in found, "a number stands twice"
            found[number] = ""
        elif number:
            found[number] = f"{found[number]} {block}".strip()
    return found


def expanded(cited: str) -> Iterator[str]:
    """Every paragraph of a list of numbers and of runs of them.

    >>> list(expanded("1.1–1.3, 2.4"))
    ['1.1', '1.2', '1.3', '2.4']
    """
    for part in filter(None, cited.split(", ")):
        first, _, last = part.partition("–")
        section, _, at = first.partition(".")
        end = (last or first).rpartition(".")[2]
        yield from (f"{section}.{number}" for number in range(int(at), int(end) + 1))


def every_citation(view: MethodView) -> Iterator[str]:
    """Every list of paragraphs that the statement gives."""
    yield from (risk.sheet for risk in view.risks)
    yield from (step.sheet for step in view.steps)
    yield from (view.dusts, view.road, view.marks, view.waste_rules, view.law, view.follows)


def off_paper(made: MethodStatement) -> list[str]:
    """The controls and other rules of a job that are on none of its papers."""
    issue = Issue(made.enquiry.ref, 0, TODAY)
    view, sheet = method_view(made, issue), sheet_paragraphs(made)
    said = squeezed(blocks_of(METHOD.html(made, issue)))
    lost = [f"names {one}" for cited in every_citation(view) for one in expanded(cited)
            if one not in sheet]  # fmt: skip
    lost += [cited for cited in every_citation(view) if squeezed([cited]) not in said]

    def need(texts: Iterable[str], cited: str = "") -> None:
        there = [squeezed([sheet.get(number, "")]) for number in expanded(cited)]
        for text in texts:
            words = squeezed([text])
            if words not in said and not any(words in one for one in there):
                lost.append(text)

    for risk, row in zip(made.risks, view.risks, strict=True):
        need((control.text for control in risk.controls), row.sheet)
    for step, shown in zip(made.steps, view.steps, strict=True):
        need((*step.lines, step.hold_point))
        need((line.text for line in step.on_sheet), shown.sheet)
    elsewhere = (*ON_FRONT_PAGE, *IN_FULL_ON_SHEET)
    need(note.text for note in made.emergency if note.key not in elsewhere)
    need((note.text for note in made.emergency if note.key in IN_FULL_ON_SHEET), view.follows)
    named = made.settings.text
    need(["A&E", one_line(made.enquiry.site_address), "what happened and which substance"])
    need(filter(None, map(named, ("supervisor", "first_aider", "emergency_phone"))))
    need(_what_follows(made), view.follows)
    need(made.cautions)
    need(made.people)
    need((note.text for note in made.marks), view.marks)
    need((note.text for note in made.waste), view.waste_rules)
    need((note.text for note in made.law), view.law)
    need((note.text for note in made.stored), view.road)
    need(text for one in made.protection for text in (one.eyes, one.breathing))
    need(
        (text for one in made.protection for text in (one.gloves, one.hands, one.other)), view.marks
    )
    for one in made.substances:
        need(
            (*one.limits, *one.storage, one.mixing, one.keep_from, one.spill, one.fire, one.waste),
            view.dusts,
        )
        need((words for _, words in (*one.statements, *one.first_aid)), view.dusts)
    return lost


def _what_follows(made: MethodStatement) -> Iterator[str]:
    """What follows on the emergencies of a job, with the figures of the firm."""
    words = firm_words(made.settings)
    called = {note.key for note in made.emergency}
    for note in rules.notes("emergency"):
        if isinstance(note, EmergencyNote) and note.key in called and note.more:
            yield with_figures(note.more, words)


def squeezed(texts: Iterable[str]) -> str:
    """Texts without their spaces, for lines are broken anywhere."""
    return "".join("".join(text.split()) for text in texts)
