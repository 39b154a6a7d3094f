"""One browser for all conformance tests."""

import shutil
from collections.abc import Iterator
from importlib.util import find_spec
from typing import TYPE_CHECKING

import pytest
from conformance.absence import go_without

if TYPE_CHECKING:
    from conformance.browser import Browser


@pytest.fixture(scope="session")
def browser() -> Iterator["Browser"]:
    """Start Chromium; without it skip, but fail where it is promised to be: in CI."""
    if find_spec("selenium") is None:
        go_without('no selenium: pip install "edgefinder[conformance]"')
    chromium, driver = shutil.which("chromium"), shutil.which("chromedriver")
    if chromium is None or driver is None:
        go_without("no browser found: install chromium and chromium-driver")
    # Not before selenium is known to be there.
    from conformance.browser import Browser  # noqa: PLC0415

    started = Browser(chromium, driver)
    yield started
    started.close()
