"""Trying the owner's templates on a job: filled in as for its papers, but not laid out."""

from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path

from msgspec.structs import replace

from quotegen.documents.printing.belongings import own_templates
from quotegen.documents.printing.own_templates import takes_part
from quotegen.documents.printing.paper import PictureBox
from quotegen.documents.printing.templates import OwnTemplateError
from quotegen.making.drawing_up import not_usable
from quotegen.making.papers import (
    CUSTOMER_MAKERS,
    DIARY_MAKERS,
    FIRM_MAKERS,
    PAPER_KINDS,
    Draft,
    Paper,
    Ready,
    SeveralRoofs,
    diary_of,
    draft_of,
    ready_for,
    sheet_of,
)
from quotegen.model.issue import Issue, IssuedPaper
from quotegen.problems import Problem
from quotegen.reference.life import on_day
from quotegen.working_out import Batch


def try_own_templates(batch: Batch) -> list[Problem]:
    """Problems found by filling in the owner's templates, beyond those already reported.

    Each paper that one of them takes part in is tried on the first enquiry that nothing stops and
    that needs the paper, or on the first of all if none does yet. A fault that shows only on
    another enquiry is reported when its papers are made, and so is a missing file that a template
    asks for.
    """
    own = own_templates(batch.folder)
    if own is None:
        return []
    ready = [one for one in (ready_for(w, batch.prices) for w in batch.worked) if one]
    if not ready:
        return []
    told = [(p.code, p.place) for p in batch.problems]
    on = ready[0].quote.dated
    with on_day(on):
        found = [_tried(draft, on, batch.folder) for draft in _drafts(ready, own)]
    return [p for p in found if p and (p.code, p.place) not in told]


def _drafts(ready: Sequence[Ready], own: Path) -> Iterator[Draft]:
    """Drafts of the papers an owner's template takes part in, as if those carried were issued."""
    for paper, kind in PAPER_KINDS.items():
        one = next((one for one in ready if kind.wanted(one)), ready[0])
        if kind.maker.template and takes_part(kind.maker.template, own):
            yield draft_of(_with(one, kind.carries(one)), paper)
    twice = _with(ready[0], (Paper.QUOTE,))
    for customer_paper, maker in CUSTOMER_MAKERS.items():
        if maker.template and takes_part(maker.template, own):
            yield draft_of(SeveralRoofs(twice.ref, (twice, twice), ()), customer_paper)
    for firm_paper, maker in FIRM_MAKERS.items():
        if maker.template and takes_part(maker.template, own):
            yield draft_of(sheet_of(ready[0]), firm_paper)
    for diary_paper, maker in DIARY_MAKERS.items():
        if maker.template and takes_part(maker.template, own):
            yield draft_of(diary_of(ready, ready[0].quote.dated), diary_paper)


def _with(ready: Ready, papers: Sequence[Paper]) -> Ready:
    issue = Issue(ready.ref, 0, ready.quote.enquiry.dated or ready.quote.dated)
    carried = {
        paper: IssuedPaper(PAPER_KINDS[paper].maker.title, issue, "", b"") for paper in papers
    }
    return replace(ready, carried=carried)


def _tried(draft: Draft, on: date, folder: Path) -> Problem | None:
    issue = Issue(draft.ref, 0, on)
    try:
        draft.maker.said(draft.subject(issue), issue, PictureBox(folder, draft.ref))
    except OwnTemplateError as error:
        return not_usable(error, draft.ref)
    return None
