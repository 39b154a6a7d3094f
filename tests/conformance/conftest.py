"""One browser for all conformance tests."""

import os
from collections.abc import Iterator
from importlib.util import find_spec
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from conformance.browser import Browser


@pytest.fixture(scope="session")
def browser() -> Iterator["Browser"]:
    """Start Chromium; without it skip, but fail where it is promised to be: in CI."""
    if find_spec("selenium") is None:
        _go_without('selenium is not installed: pip install "edgefinder[conformance]"')
    # Not before it is known to be there.
    from conformance.browser import Browser, find_browser  # noqa: PLC0415

    found = find_browser()
    if found is None:
        _go_without("no browser found: install chromium and chromium-driver")
    browser = Browser(*found)
    yield browser
    browser.close()


def _go_without(reason: str) -> None:
    if os.environ.get("CI") == "true":
        pytest.fail(reason)
    pytest.skip(reason)
