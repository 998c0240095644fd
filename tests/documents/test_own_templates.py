"""The owner's templates: found beside the workbook, used in place of ours, kept within bounds."""

from pathlib import Path

import pytest
from jinja2 import UndefinedError
from PIL import Image

from quotegen.documents.crew.cutting_list import CUTTING_LIST
from quotegen.documents.crew.day_sheet import DAY_SHEET
from quotegen.documents.crew.order import ORDER
from quotegen.documents.customer.quote import QUOTE
from quotegen.documents.customer.variation_slip import VARIATION_SLIP
from quotegen.documents.printing import templates
from quotegen.documents.printing.belongings import OWN_TEMPLATES
from quotegen.documents.printing.paper import PictureBox
from quotegen.documents.printing.pdf import Rendered, ResourceRefusedError
from quotegen.documents.printing.templates import OwnTemplateError
from quotegen.documents.safety.method import METHOD
from quotegen.documents.safety.site_card import SITE_CARD
from quotegen.machine.resources import templates_folder
from quotegen.model.quote import Quote
from quotegen.model.safety import MethodStatement
from quotegen.problem_kinds import PROBLEM_KINDS
from tests.documents.conftest import ISSUE, text_of

BROKEN = [
    ("one\n{% if quote %}\n", 2, "template-broken"),
    ("one\n{{ quote.reference | no_such_filter }}", 2, "template-broken"),
    ("\n{{ quote.reference + 1 }}", 2, "template-broken"),
    ("{{ 1 // 0 }}", 1, "template-broken"),
    ("one\ntwo\n{{ quote.no_such_thing }}", 3, "template-name-unknown"),
    ("{% for x in no_such_thing %}{% endfor %}", 1, "template-name-unknown"),
    ("one\n{{ ''.__class__.__mro__[1].__subclasses__() }}", 2, "template-forbidden"),
    ("{{ quote.__init__.__globals__ }}", 1, "template-forbidden"),
    ("one\n{% set _ = head.__class__ %}{{ _.__base__ }}", 2, "template-forbidden"),
    ("\n\n{% include 'nobody.html' %}", 3, "template-part-missing"),
    ("{% extends 'ours/nobody.html' %}", 1, "template-part-missing"),
    ("{% include '../secret.html' %}", 1, "template-part-missing"),
    ("{% extends 'customer/quote.html' %}", 1, "template-endless"),
    ("one\n{% include 'customer/quote.html' %}", 2, "template-endless"),
    ("{% macro more() %}\n{{ more() }}\n{% endmacro %}{{ more() }}", 2, "template-endless"),
    ("\n{% for a in range(10 ** 9) %}{% endfor %}", 2, "template-endless"),
    ("\n{% for a in range(10 ** 30) %}{% endfor %}", 2, "template-endless"),
    (
        "{% for a in range(9999) %}\n{% for b in range(9999) %}{% endfor %}{% endfor %}",
        2,
        "template-endless",
    ),
]

LOOP = "{% for i in range(60) %}\n"
ENDLESS = [
    ("\n{% macro m(n) %}{% if n %}{{ m(n - 1) }}{{ m(n - 1) }}{% endif %}{% endmacro %}"
     "{{ m(60) }}", 2),
    ("\n{% set x = ('x' * 9999)|list %}\n{% for a in x %}{% for b in x %}{% endfor %}"
     "{% endfor %}", 3),
    ("\n{% for a in range(9999) %}\n{% for b in 'x' * 99999 %}{% endfor %}{% endfor %}", 3),
    ("\n{{ range(1000000000)|list }}", 2),
    ("\n{% if n is not defined %}{% set n = 40 %}{% endif %}{% set n = n - 1 %}"
     "{% if n %}\n{% include 'customer/quote.html' %}"
     "{% include 'customer/quote.html' %}{% endif %}", 3),
]  # fmt: skip
TOO_LARGE = [
    ("\n{{ 'x' * 3000000000 }}", 2),
    ("\n{{ 3000000000 * 'x' }}", 2),
    ("\n{{ quote.reference * 3000000000 }}", 2),
    ("\n{{ (['x' * 1000] * 1000000)|join }}", 2),
    ("\n{{ (1, 2) * 1000000000 }}", 2),
    ("\n{{ '%1000000000d' % 5 }}", 2),
    ("\n{{ '%*d' % (1000000000, 5) }}", 2),
    ("\n{{ '%.1000000000f' % 5 }}", 2),
    ("\n{{ '%(a)1000000000d' % {'a': 5} }}", 2),
    ("\n{{ '%1000000000d'|format(5) }}", 2),
    ("\n{{ 'x'|indent(1000000000, true) }}", 2),
    ("\n{{ range(90000)|join('x' * 100000) }}", 2),
    ("\n{{ range(90000)|map('string')|join('x' * 100000) }}", 2),
    ("\n{{ ('x' * 100000)|replace('x', 'y' * 100000) }}", 2),
    ("\n{{ [1]|batch(1000000000, 'x')|list }}", 2),
    ("\n{{ 10 ** 1000000000 }}", 2),
    (f"\n{{% set ns = namespace(n=3) %}}{LOOP}{{% set ns.n = ns.n * ns.n %}}{{% endfor %}}", 3),
    (f"\n{{% set ns = namespace(x='ab') %}}{LOOP}{{% set ns.x = ns.x ~ ns.x %}}{{% endfor %}}", 3),
    (f"\n{{% set ns = namespace(x='ab') %}}{LOOP}{{% set ns.x = ns.x + ns.x %}}{{% endfor %}}", 3),
    (f"\n{{% set ns = namespace(x=[1]) %}}{LOOP}{{% set ns.x = [ns.x, ns.x] %}}{{% endfor %}}", 3),
    (f"\n{{% set ns = namespace(x='ab') %}}{LOOP}{{% set y %}}{{{{ ns.x }}}}{{{{ ns.x }}}}"
     "{% endset %}{% set ns.x = y %}{% endfor %}", 3),
    ("\n{% for a in range(90000) %}" + "words " * 200 + "{% endfor %}", 2),
    ("{% for a in range(90000) %}\n{{ 'x' * 9999 }}{% endfor %}", 2),
    ("{% set x = ['x' * 1000] * 500 %}\n{% set y = x[:] ~ x[:] ~ x[:] ~ x[:] %}", 2),
    ("\n{% filter upper %}{% for a in range(90000) %}\n" + "words " * 200
     + "{% endfor %}{% endfilter %}", 2),
    ("{% import 'part.html' as part %}\n{{ part }}", 2),
]  # fmt: skip
NOT_THERE = [
    ("\n{{ 'x'.center(1000000000) }}", "template-forbidden"),
    ("\n{{ 'x'['center'](1000000000) }}", "template-forbidden"),
    ("\n{{ 'x'|attr('ljust')|string }}", "template-forbidden"),
    ("\n{{ ''.join(['x']) }}", "template-forbidden"),
    ("\n{{ '{:1000000000}'.format(5) }}", "template-forbidden"),
    ("\n{{ '\t'.expandtabs(1000000000) }}", "template-forbidden"),
    ("\n{{ (5).to_bytes(1000000000, 'big') }}", "template-forbidden"),
    ("\n{{ 'x'|center(1000000000) }}", "template-broken"),
    ("\n{{ ['x']|map('center', 1000000000)|list }}", "template-broken"),
    ("\n{{ 'x'|wordwrap(1, true, 'y' * 100000) }}", "template-broken"),
    ("\n{{ [1]|tojson(indent=1000000000) }}", "template-broken"),
    ("\n{{ lipsum(100000) }}", "template-name-unknown"),
]


@pytest.fixture
def own(tmp_path: Path) -> Path:
    folder = tmp_path / OWN_TEMPLATES
    (folder / "customer").mkdir(parents=True)
    return folder


def html(quote: Quote, own: Path) -> str:
    return QUOTE.html(quote, ISSUE, PictureBox(own.parent, quote.enquiry.ref))


def slip(quote: Quote, own: Path) -> Rendered:
    """The shortest of the papers as a PDF."""
    return VARIATION_SLIP.make(quote, ISSUE, own.parent)


def page(body: str) -> str:
    return f'<html lang="en"><head><title>T</title></head><body>{body}</body></html>'


def test_a_template_of_the_same_name_takes_the_place_of_ours(own: Path, bay_quote: Quote) -> None:
    (own / "customer/quote.html").write_text(
        "<html lang='en'><p>Ours: {{ quote.reference }}</p></html>"
    )
    assert html(bay_quote, own) == f"<html lang='en'><p>Ours: {ISSUE.reference}</p></html>"


def test_it_may_add_to_ours_and_bring_its_own_picture_of_a_page(
    own: Path, bay_quote: Quote
) -> None:
    (own / "customer/quote.html").write_text(
        '{% extends "ours/customer/quote.html" %}{% block body %}<p>A word first.</p>{{ super() }}'
        "{% endblock %}"
    )
    paper = QUOTE.make(bay_quote, ISSUE, own.parent)
    assert "A word first." in text_of(paper)
    assert bay_quote.enquiry.customer.name in text_of(paper)


def test_without_a_folder_ours_are_used(tmp_path: Path, bay_quote: Quote) -> None:
    assert html(bay_quote, tmp_path / OWN_TEMPLATES) == QUOTE.html(bay_quote, ISSUE)


@pytest.mark.parametrize(("written", "line", "code"), BROKEN)
def test_what_is_wrong_with_it_is_told_with_its_file_and_line(
    own: Path, bay_quote: Quote, written: str, line: int, code: str
) -> None:
    file = own / "customer/quote.html"
    file.write_text(written)
    with pytest.raises(OwnTemplateError) as found:
        html(bay_quote, own)
    assert (found.value.code, found.value.file, found.value.line) == (code, file, line)
    assert found.value.seen.strip()
    assert PROBLEM_KINDS[code].severity == "stop"


@pytest.mark.parametrize(
    ("written", "line", "code"),
    [
        *((written, line, "template-endless") for written, line in ENDLESS),
        *((written, line, "template-too-large") for written, line in TOO_LARGE),
        *((written, 2, code) for written, code in NOT_THERE),
    ],
)
def test_what_asks_for_too_much_is_stopped_before_it_is_had(
    own: Path, bay_quote: Quote, written: str, line: int, code: str
) -> None:
    """Each of these would take gigabytes, or hours."""
    (own / "customer/quote.html").write_text(written)
    (own / "part.html").write_text("{% for a in range(9999) %}words{% endfor %}")
    with pytest.raises(OwnTemplateError) as found:
        html(bay_quote, own)
    assert (found.value.code, found.value.line) == (code, line)


def test_a_template_that_is_too_long_is_not_read(own: Path, bay_quote: Quote) -> None:
    file = own / "customer/quote.html"
    file.write_text("x" * (templates.MOST_TEMPLATE_BYTES + 1))
    with pytest.raises(OwnTemplateError) as found:
        html(bay_quote, own)
    assert (found.value.code, found.value.file) == ("template-too-large", file)
    file.write_text("x" * templates.MOST_TEMPLATE_BYTES)
    assert len(html(bay_quote, own)) == templates.MOST_TEMPLATE_BYTES


def test_a_style_sheet_that_is_too_long_is_not_read(own: Path, bay_quote: Quote) -> None:
    (own / "customer/variation_slip.html").write_text(
        page('\n<link rel="stylesheet" href="own.css">')
    )
    (own / "own.css").write_text("/* words */" * templates.MOST_TEMPLATE_BYTES)
    with pytest.raises(OwnTemplateError, match="larger than") as found:
        slip(bay_quote, own)
    assert (found.value.code, found.value.line) == ("template-file-refused", 2)


def test_in_bounds_our_own_templates_say_the_same(
    own: Path, bay_quote: Quote, bay_statement: MethodStatement
) -> None:
    """Beside an own template everything is counted, and nothing comes out otherwise."""
    (own / "base.html").write_text('{% extends "ours/base.html" %}')
    box = PictureBox(own.parent, bay_quote.enquiry.ref)
    for paper in (QUOTE, VARIATION_SLIP):
        assert paper.html(bay_quote, ISSUE, box) == paper.html(bay_quote, ISSUE)
    for sheet in (METHOD, DAY_SHEET, SITE_CARD, ORDER, CUTTING_LIST):
        assert sheet.html(bay_statement, ISSUE, box) == sheet.html(bay_statement, ISSUE)


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("{{ '%-5s|%05.1f' % ('a', 2) }}", "a    |002.0"),
        ("{{ '%s of %s'|format(1, 2) }}", "1 of 2"),
        ("{{ ['a', 'b']|join(', ') }}{{ 'a' ~ (1 + 2) }}", "a, ba3"),
        ("{{ 'a\nb'|indent(2) }}", "a\n  b"),
        ("{{ 'abc'[1:] * 2 }}{{ 7 * 6 }}{{ 2 ** 10 }}", "bcbc421024"),
        ("{% for a, b in [(1, 2), (3, 4)] %}{{ loop.index }}{{ a + b }}{% endfor %}", "1327"),
        ("{% for k, v in {'a': 1}|items %}{{ k }}{{ v }}{{ loop.length }}{% endfor %}", "a11"),
        ("{% for row in [1, 2, 3]|batch(2, '-') %}{{ row|join }};{% endfor %}", "12;3-;"),
        ("{% for a in [1, 2] if a > 1 %}{{ a }}{{ loop.last }}{% endfor %}", "2True"),
        ("{{ ['b', 'a']|sort|map('upper')|join }}{{ 'a-b'|replace('-', '+') }}", "ABa+b"),
        ("{% macro m(a) %}<{{ a }}{{ caller() }}>{% endmacro %}{% call m(1) %}x{% endcall %}",
         "<1x>"),
        ("{% set a, b = 1, 2 %}{{ b }}{{ 'Ab'.upper() }}{{ 'a b'.split()|last }}", "2ABb"),
    ],
)  # fmt: skip
def test_what_a_template_needs_is_there(
    own: Path, bay_quote: Quote, written: str, said: str
) -> None:
    """What each gives is as Jinja's own documentation of it says."""
    (own / "customer/quote.html").write_text(written)
    assert html(bay_quote, own) == said


def test_the_file_told_is_the_one_with_the_mistake_in_it(own: Path, bay_quote: Quote) -> None:
    """A part that is included or extended is named, and not the template that takes it."""
    (own / "customer/quote.html").write_text("{% include 'part.html' %}")
    (own / "part.html").write_text("\n{{ nobody }}")
    with pytest.raises(OwnTemplateError) as found:
        html(bay_quote, own)
    assert (found.value.file.name, found.value.line) == ("part.html", 2)
    (own / "customer/quote.html").write_text(
        "{% extends 'ours/customer/quote.html' %}\n{% block body %}\n{{ nobody }}{% endblock %}"
    )
    with pytest.raises(OwnTemplateError) as found:
        html(bay_quote, own)
    assert (found.value.file.name, found.value.line) == ("quote.html", 3)


def test_a_part_that_lacks_what_ours_calls_is_the_one_to_blame(
    own: Path, bay_statement: MethodStatement
) -> None:
    (own / "_plan.html").write_text("nothing in here")
    with pytest.raises(OwnTemplateError) as found:
        CUTTING_LIST.html(bay_statement, ISSUE, PictureBox(own.parent, ISSUE.reference))
    assert (found.value.code, found.value.file.name) == ("template-name-unknown", "_plan.html")


def test_a_template_saved_in_another_encoding_is_told(own: Path, bay_quote: Quote) -> None:
    (own / "customer/quote.html").write_bytes("one\ntwo £".encode("cp1252"))
    with pytest.raises(OwnTemplateError, match="UTF-8") as found:
        html(bay_quote, own)
    assert (found.value.code, found.value.line) == ("template-broken", 2)


def test_mended_it_is_used_at_once(own: Path, bay_quote: Quote) -> None:
    file = own / "customer/quote.html"
    file.write_text("{{ nobody }}")
    with pytest.raises(OwnTemplateError):
        html(bay_quote, own)
    file.write_text("{% for a in range(60000) %}{% endfor %}mended and longer than before")
    for _ in range(2):
        assert html(bay_quote, own) == "mended and longer than before", "each paper has its turns"


def test_our_own_fault_is_not_laid_on_the_owner(own: Path, bay_quote: Quote) -> None:
    """A paper that takes none of the owner's templates fails as it does without any."""
    (own / "customer/quote.html").write_text("fine")
    with pytest.raises(UndefinedError):
        templates.fill("safety/method.html", own, sheet={})
    (own / "nobody.html").write_text("{{ wrong")
    assert "fine" in html(bay_quote, own)


def test_a_paper_of_ours_that_asks_for_too_much_is_our_fault(
    own: Path, bay_quote: Quote, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An own template of another paper is not blamed for it."""
    (own / "customer/email.txt").write_text("not of this paper")
    monkeypatch.setattr(templates, "fill", lambda *_, **__: page('<img src="no.png" alt="">'))
    with pytest.raises(ResourceRefusedError):
        slip(bay_quote, own)


@pytest.mark.parametrize(
    ("asked", "line"),
    [
        ('one\n<img src="logo.png" alt="Logo">', 2),
        ('one\n<img src="my logo.png" alt="Logo">', 2),
        ('one\ntwo\n<img src="my%20logo.png" alt="Logo">', 3),
        ('<img src="https://example.com/logo.png" alt="Logo">', 1),
        ('\n\n<link rel="stylesheet" href="gone.css">', 3),
        ('<img src="../secret.png" alt="Logo">', 1),
        ('<img src="http://[bad/a.png" alt="Logo">', 1),
        ('<img src="{{ "%s.png" % slip.reference }}" alt="Logo">', 1),
    ],
)
def test_a_file_it_asks_for_and_cannot_have_is_told(
    own: Path, bay_quote: Quote, asked: str, line: int
) -> None:
    file = own / "customer/variation_slip.html"
    file.write_text(page(asked))
    (own.parent / "secret.png").write_bytes(b"not for print")
    with pytest.raises(OwnTemplateError) as found:
        slip(bay_quote, own)
    said = (found.value.code, found.value.file, found.value.line)
    assert said == ("template-file-refused", file, line)
    assert str(templates_folder()) not in found.value.seen, "our folder is nothing to the owner"


def test_a_template_cannot_carry_off_another_file(own: Path, bay_quote: Quote) -> None:
    secret = own.parent / "secret.png"
    secret.write_bytes(b"not for print")
    (own / "customer/variation_slip.html").write_text(page(f'<img src="{secret.as_uri()}" alt="">'))
    with pytest.raises(OwnTemplateError) as found:
        slip(bay_quote, own)
    assert isinstance(found.value.__cause__, ResourceRefusedError)
    (own / "kept.png").symlink_to(secret)
    (own / "customer/variation_slip.html").write_text(page('<img src="kept.png" alt="">'))
    with pytest.raises(OwnTemplateError, match="outside"):
        slip(bay_quote, own)


def test_pictures_and_styles_beside_it_are_found_by_their_names(
    own: Path, bay_quote: Quote
) -> None:
    Image.new("RGB", (80, 60), "red").save(own / "logo.png")
    (own / "customer/variation_slip.html").write_text(
        page('<link rel="stylesheet" href="paper.css"><p class="no">Hidden</p><p>Shown</p>')
    )
    (own / "paper.css").write_text(".no { display: none }")
    plain = slip(bay_quote, own)
    assert text_of(plain) == "Shown"
    assert plain.warnings == ()
    with_logo = (
        (own / "customer/variation_slip.html").read_text().replace("<p>", '<img src="logo.png">', 1)
    )
    (own / "customer/variation_slip.html").write_text(with_logo)
    assert b"/Image" in slip(bay_quote, own).content
    assert b"/Image" not in plain.content


@pytest.mark.parametrize(
    "style",
    ["p { colour: red }", "p { color: nonsense }", "p color: red }", "@media { nonsense }"],
)
def test_a_mistake_in_its_style_is_a_warning_and_the_paper_is_made(
    own: Path, bay_quote: Quote, style: str
) -> None:
    (own / "customer/variation_slip.html").write_text(page(f"<style>{style}</style><p>Shown</p>"))
    paper = slip(bay_quote, own)
    assert text_of(paper) == "Shown"
    assert len(paper.warnings) == 1


def test_a_picture_that_is_none_is_a_warning(own: Path, bay_quote: Quote) -> None:
    (own / "logo.png").write_bytes(b"not a picture")
    (own / "customer/variation_slip.html").write_text(
        page('<img src="logo.png" alt="Logo"><p>Shown</p>')
    )
    paper = slip(bay_quote, own)
    assert "Shown" in text_of(paper)
    assert any("logo.png" in line for line in paper.warnings)
