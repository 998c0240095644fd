"""The method statement as a PDF: for the crew, the landlord and whoever has to be shown it."""

from pathlib import Path

from quotegen.documents import templates
from quotegen.documents.method_view import method_view
from quotegen.documents.paper import PictureBox, letterhead, make_paper, one_line, sheet
from quotegen.documents.pdf import Rendered
from quotegen.documents.roof_view import plan_view
from quotegen.documents.wording import Wording
from quotegen.model.issue import Issue
from quotegen.model.safety import MethodStatement

TEMPLATE = "method.html"
PLAN_HEIGHT_MM = 58.0


def method_html(statement: MethodStatement, issue: Issue, box: PictureBox | None = None) -> str:
    """The HTML of the method statement; without a box of pictures it has no logo."""
    wording = Wording.of(statement.settings)
    enquiry = statement.enquiry
    box = box or PictureBox(None, enquiry.ref)
    about = f"{enquiry.roof.kind} roof, {one_line(enquiry.site_address)}"
    return templates.fill(
        TEMPLATE,
        sheet=sheet("Method statement", about, issue, statement.settings, wording),
        head=letterhead(statement.settings, enquiry, box),
        method=method_view(statement, issue, wording),
        plan=plan_view(statement.take_off, wording, PLAN_HEIGHT_MM),
    )


def make_method_paper(statement: MethodStatement, issue: Issue, folder: Path | None) -> Rendered:
    """The method statement as a PDF; its logo is looked for in the folder."""
    box = PictureBox(folder, statement.enquiry.ref)
    return make_paper(method_html(statement, issue, box), box)
