"""What the tests of the firm's own numbers share: the demo firm worked out."""

from pathlib import Path

import pytest

from quotegen.demo.scenario import demo_date, write_demo
from quotegen.machine.resources import price_lists_folder
from quotegen.working_out import Batch, work_out


@pytest.fixture(scope="session")
def demo_batch(tmp_path_factory: pytest.TempPathFactory) -> Batch:
    """All demo enquiries worked out with both demo price lists."""
    book = write_demo(tmp_path_factory.mktemp("demo"))
    assert isinstance(book, Path)
    return work_out(book, sorted(price_lists_folder().glob("*.xlsx")), demo_date())
