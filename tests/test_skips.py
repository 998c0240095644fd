"""A skipped check is always reported."""

from pathlib import Path

import pytest

SKIPPED = "import pytest\n\n\ndef test_it():\n    pytest.skip('no LibreOffice')\n"


@pytest.fixture
def suite(pytester: pytest.Pytester) -> pytest.Pytester:
    """A suite of one skipped check under the rules of ours."""
    pytester.makeconftest(Path(__file__).with_name("conftest.py").read_text(encoding="utf-8"))
    pytester.makepyfile(SKIPPED)
    return pytester


def test_skips_are_counted_by_their_reason(suite: pytest.Pytester) -> None:
    ran = suite.runpytest_inprocess("-p", "no:cacheprovider")
    ran.assert_outcomes(skipped=1)
    ran.stdout.fnmatch_lines(["1 check skipped: no LibreOffice"])


def test_a_skip_is_a_failure_where_none_is_allowed(suite: pytest.Pytester) -> None:
    ran = suite.runpytest_inprocess("-p", "no:cacheprovider", "--no-skips")
    ran.assert_outcomes(failed=1)
    ran.stdout.fnmatch_lines(["*was skipped: no LibreOffice*"])
